"""A record that can't be opened any more: the newest good copy is offered, and one press takes it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from shopclock.record.copies.copying import COPYING, remember
from shopclock.record.copies.restoring import LOOKING, newest_good, restore
from shopclock.record.copies.soundness import wrong_with
from shopclock.shop.setup.copy_schedule import age_text
from shopclock.shop.state.wording import clock_time, day_text, shop_time
from shopclock.shop.values.clock import SystemClock
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from shopclock.record.file.copy_files import Copy
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.views.dialogs import Dialogs


SEEING = "Looking through the record"


class BringingBack:
    """Looks for a good copy of a damaged record, asks, and has it take the record's place."""

    def __init__(self, dialogs: Dialogs, background: WorkRunner, record: Path, now_us: int, zone: ZoneInfo) -> None:
        self._dialogs = dialogs
        self._background = background
        self._record = record
        self._now_us = now_us
        self._zone = zone

    def look_through(self, then: Callable[[], None], leave: Callable[[], None]) -> None:
        """Go on with `then` where the record is sound, or where the maker takes it as it is or a copy of it."""

        def seen(wrong: list[str]) -> None:
            if not wrong:
                remember(self._record, "", suspect=False)
                then()
                return
            ask = partial(self._ask_unsound, wrong[0], then, leave)
            self._background.run_long(LOOKING, newest_good, (self._record,), ask, lambda _: ask(None))

        # what can't be read at all is told when it is opened
        self._background.run_long(SEEING, wrong_with, (self._record,), seen, lambda _: then())

    def _ask_unsound(self, wrong: str, then: Callable[[], None], leave: Callable[[], None], found: Copy | None) -> None:
        choices = [
            Choice("go on", "Go on with it as it is", "its figures may be wrong"),
            Choice("leave", "Leave all as it is", "the program closes"),
        ]
        question = f"The record does not hold together: {wrong}"
        if found is not None:
            choices.insert(0, self._take_choice(found))
            question = f"{question} Its newest good copy is {self._age(found)}."

        def answer(key: str | None) -> None:
            if key == "take" and found is not None:
                self._take(found, then)
            elif key == "go on":
                then()
            else:
                leave()

        self._dialogs.ask(question, choices, answer)

    def _take_choice(self, found: Copy) -> Choice:
        at = shop_time(found.at_us, self._zone)
        return Choice(
            "take", f"Take the copy of {day_text(at.date())} {clock_time(at)}", "what came after it is lost", "primary"
        )

    def offer(self, then: Callable[[], None], leave: Callable[[], None]) -> None:
        """Go on with `then` once a copy has taken the record's place, with `leave` when none does."""
        arguments, ask = (self._record,), partial(self._ask, then, leave)
        self._background.run_long(LOOKING, newest_good, arguments, ask, lambda _: leave())

    def _ask(self, then: Callable[[], None], leave: Callable[[], None], found: Copy | None) -> None:
        if found is None:
            leave()
            return
        choices = (self._take_choice(found), Choice("leave", "Leave all as it is", "the program closes"))
        question = f"The record is damaged and stays as it is. Its newest good copy is {self._age(found)}."
        self._dialogs.ask(question, choices, lambda key: self._take(found, then) if key == "take" else leave())

    def _age(self, found: Copy) -> str:
        return age_text(found.at_us, self._now_us)

    def _take(self, found: Copy, then: Callable[[], None]) -> None:
        def failed(error: BaseException) -> None:
            self._dialogs.tell(str(error), then=then)

        arguments = (self._record, found.path, self._now_us)
        self._background.run_long(COPYING, restore, arguments, lambda _: then(), failed)


def look_through(
    dialogs: Dialogs,
    background: WorkRunner,
    record: Path,
    zone: str,
    then: Callable[[], None],
    leave: Callable[[], None],
) -> None:
    """Look through a record that may be damaged, and offer the newest good copy where it is; see BringingBack."""
    now_us = SystemClock().moment().wall_us
    BringingBack(dialogs, background, record, now_us, ZoneInfo(zone)).look_through(then, leave)


def offer_copy(
    dialogs: Dialogs,
    background: WorkRunner,
    record: Path,
    zone: str,
    then: Callable[[], None],
    leave: Callable[[], None],
) -> None:
    """Offer the newest good copy of a damaged record; see BringingBack."""
    now_us = SystemClock().moment().wall_us
    BringingBack(dialogs, background, record, now_us, ZoneInfo(zone)).offer(then, leave)


def put_in_place(
    background: WorkRunner, record: Path, copy: Path, then: Callable[[], None], failed: Callable[[BaseException], None]
) -> None:
    """Have a copy take the place of a record that no window has open."""
    arguments = (record, copy, SystemClock().moment().wall_us)
    background.run_long(COPYING, restore, arguments, lambda _: then(), failed)
