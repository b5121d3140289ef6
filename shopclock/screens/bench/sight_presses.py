"""Presses that choose what is looked at, and how what runs is put right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.adjusting import options
from shopclock.screens.bench.reading import ask_reading, reading_button
from shopclock.screens.bench.state import BenchPage
from shopclock.screens.bench.texts import batch_text
from shopclock.shop.values.entities import Method
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work import adjust
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.bench.run_presses import Verb
    from shopclock.screens.bench.session import BenchSession
    from shopclock.shop.values.clock import Moment


class SightPresses:
    """Batches, pages, what runs beside; method, set-up, adjust; undo."""

    def __init__(self, desk: BenchSession, go: Callable[[str], None]) -> None:
        self._desk = desk
        self._go = go

    def verbs(self) -> dict[str, Verb]:
        """The presses by the first word of their key."""
        return {
            "batch": self._batch,
            "batches": self._batches,
            "show": self._show,
            "page": self._page,
            "both": self._both,
            "method": self._method,
            "methods": self._methods,
            "set-up": self._set_up,
            "adjust": self._adjust,
            "undo": self._undo,
            "go": self._leave,
        }

    def _batch(self, number: str, _moment: Moment | None) -> None:
        self._desk.memory.look_at(int(number))

    def _batches(self, _: str, _moment: Moment | None) -> None:
        floor = self._desk.floor
        choices = [Choice(str(b.id), batch_text(floor, b)) for b in floor.open_batches()]
        self._desk.ask("Which batch", choices, lambda key: self._batch(key, None) if key else None)

    def _show(self, number: str, _moment: Moment | None) -> None:
        self._desk.memory.step_id = int(number)
        self._desk.memory.page = BenchPage.BENCH

    def _page(self, name: str, _moment: Moment | None) -> None:
        self._desk.memory.page, self._desk.memory.both = BenchPage(name), False

    def _both(self, _: str, _moment: Moment | None) -> None:
        self._desk.memory.both = not self._desk.memory.both

    def _method(self, number: str, moment: Moment | None) -> None:
        """Go on by another method, or choose it for what will be started."""
        hand, method = self._desk.hand(), self._desk.floor.find(Method, int(number))
        interval = hand.interval
        if method is None:
            return
        if hand.running and interval is not None:
            self._desk.do(f"Method {method.name}", lambda tx: adjust.use_method(tx, interval, method), moment)
        elif interval is None:
            self._desk.memory.method_id = method.id

    def _methods(self, _: str, _moment: Moment | None) -> None:
        """Ask which of many methods."""
        hand, floor = self._desk.hand(), self._desk.floor
        if hand.step is None:
            return
        now = hand.interval.method_id if hand.interval is not None else self._desk.method_id(hand)
        methods = [m for m in floor.all(Method) if m.stage_id == hand.step.stage_id and not m.put_away]
        choices = [Choice(str(m.id), m.name, checked=m.id == now) for m in methods]
        self._desk.ask("By which method", choices, lambda key: self._method(key, None) if key else None)

    def _set_up(self, _: str, moment: Moment | None) -> None:
        interval = self._desk.hand().interval
        if interval is None or not interval.running:
            return
        if interval.work is WorkKind.SETUP:
            self._desk.do("Now running", lambda tx: adjust.now_running(tx, interval), moment)
        else:
            self._desk.do("Set-up", lambda tx: adjust.set_up(tx, interval), moment)

    def _adjust(self, _: str, _moment: Moment | None) -> None:
        desk = self._desk
        found = {o.choice.key: o for o in options(desk.floor, desk.hand(), desk.maker_id, desk.record.instant())}
        more = [Choice(button.key, button.title, "measured") for button in reading_button(desk.floor, desk.hand())]
        more.append(Choice("amend", "Amend times", "all of this day"))

        def answer(key: str | None) -> None:
            if key == "reading":
                ask_reading(desk)
            elif key == "amend":
                self._go("amend")
            elif key is not None:
                desk.do(found[key].what, found[key].rule)

        choices = [*(o.choice for o in found.values()), *more]
        desk.ask("Adjust what runs" if desk.hand().running else "Adjust", choices, answer)

    def _undo(self, _: str, moment: Moment | None) -> None:
        self._desk.press_undo(moment)

    def _leave(self, tab: str, _moment: Moment | None) -> None:
        self._go(tab)
