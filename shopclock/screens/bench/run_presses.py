"""Presses that start, stop and carry on."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from shopclock.screens.bench import texts, tiles
from shopclock.screens.bench.current_work import running_by
from shopclock.screens.bench.letters import done_title
from shopclock.screens.bench.starting import start_of
from shopclock.screens.bench.state import Mode
from shopclock.screens.bench.tiles import waits_of
from shopclock.screens.bench.warmth import WARMTH, ask_warmth, warmth_choice
from shopclock.shop.values.entities import Interval, Stage, Step
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work import begin, finish
from shopclock.shop.work.loads import blocked, fits, one_load, wait_sentence
from shopclock.shop.work.piece_progress import over
from shopclock.shop.work.pieces import cover
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.bench.session import BenchSession
    from shopclock.screens.bench.starting import Start
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment

    Verb = Callable[[str, Moment | None], None]


class RunPresses:
    """Start, stop, carry on, next, done, out; shop work."""

    def __init__(self, desk: BenchSession) -> None:
        self._desk = desk

    def verbs(self) -> dict[str, Verb]:
        """The presses by the first word of their key."""
        return {
            "start": self._start,
            "step": self._start,
            "out": self._out,
            "load-in": self._load_in,
            "stop": self._stop,
            "carry-on": self._carry_on,
            "next": self._next,
            "done": self._done,
            "through": self._through,
            "shop-work": self._shop_work,
        }

    def _start(self, number: str, moment: Moment | None) -> None:
        desk = self._desk
        step, hand, now_us = desk.floor.find(Step, int(number)), desk.hand(), desk.record.instant(moment)
        if step is None:
            return
        ours = not hand.running and hand.step == step
        pieces = tuple(desk.memory.chosen or ()) if ours else ()
        method_id = desk.method_id(hand) if ours else None
        start = start_of(desk.floor, step, now_us, pieces, method_id, together=desk.memory.both)
        if start.line:
            desk.say(start.line)
        elif start.question:
            desk.ask(start.question, start.choices, lambda key: self._go(start) if key == "yes" else None)
        else:
            self._go(start, moment)

    def _go(self, start: Start, moment: Moment | None = None) -> None:
        begun = self._desk.do(start.what, start.rule, moment)
        if begun is not None:
            self._desk.memory.look_at(begun.batch_id)

    def _out(self, number: str, moment: Moment | None) -> None:
        desk = self._desk
        interval = desk.floor.find(Interval, int(number))
        if interval is None or not interval.running:
            return
        name, now_us = texts.name_of(desk.floor, interval), desk.record.instant(moment)
        take_out = partial(desk.do, f"Out: {name}", lambda tx: finish.load_out(tx, interval))
        load = one_load(desk.floor, interval, now_us)
        if all(over(desk.floor, one, now_us) for one in load):
            take_out(moment)
            return
        who = texts.letters_text(desk.floor, [piece for one in load for piece in one.pieces])
        question = f"{who} in {name}, {texts.wait_text(desk.floor, load[-1], now_us)}. Take out now?"
        choices = (Choice("yes", "Take out", role="primary"), Choice("no", "Leave it"), *warmth_choice(desk, interval))
        answers = {"yes": take_out, WARMTH: partial(ask_warmth, desk, interval)}
        desk.ask(question, choices, lambda key: answers[key]() if key in answers else None)

    def _load_in(self, number: str, moment: Moment | None) -> None:
        """Put more of what is ready into the load that is worked, as many as there is room for."""
        desk = self._desk
        now_us = desk.record.instant(moment)
        running = next((i for i in running_by(desk.floor, desk.maker_id) if i.step_id == int(number)), None)
        if running is None:
            return
        step = desk.floor.get(Step, int(number))
        more = tiles.more_ready(desk.floor, running, now_us)
        found, going = blocked(desk.floor, step, more, (), now_us), fits(desk.floor, step, more)
        if not going and found is not None:
            desk.say(wait_sentence(desk.floor, found, now_us))
        elif going:
            wanted = (*running.pieces, *more)
            desk.do(f"Load {len(going)} in: {step.name}", lambda tx: cover(tx, running, wanted), moment)

    def _stop(self, _: str, moment: Moment | None) -> None:
        """Stop by hand what is by hand; a watch on the plate stops alone."""
        desk, hand = self._desk, self._desk.hand()
        interval = hand.interval
        if interval is None or not hand.running:
            return
        alone = interval.kind is Kind.WATCH
        rule: Callable[[Transaction], Any] = (lambda tx: begin.end(tx, interval)) if alone else begin.stop
        if desk.do("Stop", rule, moment) is not None:
            if hand.batch is not None:
                desk.memory.look_at(hand.batch.id)
            desk.say(still_on(desk))

    def _carry_on(self, _: str, moment: Moment | None) -> None:
        desk, hand = self._desk, self._desk.hand()
        rule: Callable[[Transaction], list[Interval]] = begin.carry_on
        if hand.mode is Mode.STOPPED and desk.memory.chosen is not None and hand.step and hand.interval:
            rule = partial(_carry_on_with, hand.step, hand.interval, tuple(desk.memory.chosen))
        begun = desk.do("Carry on", rule, moment)
        if begun:
            desk.memory.look_at(begun[0].batch_id)

    def _next(self, _: str, moment: Moment | None) -> None:
        desk, hand = self._desk, self._desk.hand()
        interval = hand.interval
        if interval is None or hand.step is None or hand.mode not in (Mode.RUNNING, Mode.STOPPED):
            return
        chosen = None if hand.running else tuple(desk.chosen(hand))
        following = finish.next_step(desk.floor, hand.step, chosen or hand.pieces)
        what = f"Next: {following.name}" if following is not None else f"{hand.step.name} through"
        desk.do(what, lambda tx: finish.go_on(tx, interval, chosen), moment)
        desk.memory.look_at(interval.batch_id)

    def _done(self, _: str, moment: Moment | None) -> None:
        desk, hand = self._desk, self._desk.hand()
        interval, title = hand.interval, done_title(self._desk.floor, hand)
        if interval is not None and title:
            desk.do(title, lambda tx: finish.one_done(tx, interval), moment)

    def _through(self, _: str, moment: Moment | None) -> None:
        desk, hand = self._desk, self._desk.hand()
        step = hand.step
        if step is not None and hand.mode is Mode.STOPPED:
            pieces = tuple(desk.chosen(hand))
            desk.do(f"{step.name} through", lambda tx: finish.all_through(tx, step, pieces), moment)

    def _shop_work(self, _: str, moment: Moment | None) -> None:
        floor = self._desk.floor
        kinds = {str(s.id): s for s in floor.all(Stage) if s.shop_work and not s.put_away}
        if len(kinds) == 1:
            self._begin_shop_work(next(iter(kinds.values())), moment)
        elif kinds:
            choices = [Choice(key, stage.name) for key, stage in kinds.items()]
            ask = self._desk.ask
            ask("Which work for the shop", choices, lambda key: self._begin_shop_work(kinds[key]) if key else None)
        else:
            self._desk.say("There is no work for the shop on its list yet. It is made in Shop.")

    def _begin_shop_work(self, stage: Stage, moment: Moment | None = None) -> None:
        begun = self._desk.do(f"Start {stage.name}", lambda tx: begin.begin_shop_work(tx, stage), moment)
        if begun is not None:
            self._desk.memory.look_at(None)


def _carry_on_with(step: Step, interval: Interval, pieces: tuple[int, ...], tx: Transaction) -> list[Interval]:
    """Go on with other pieces than those that were stopped."""
    begun = begin.begin(
        tx,
        step,
        pieces,
        method_id=interval.method_id,
        work=interval.work,
        cause_step_id=interval.cause_step_id,
    )
    return [begun]


def still_on(desk: BenchSession) -> str:
    """Say in one line what is still on after a stop, and until when."""
    now_us = desk.record.instant()
    on = [*running_by(desk.floor, desk.maker_id), *waits_of(desk.floor)]
    if not on:
        return ""
    more = f", and {len(on) - 1} more" if len(on) > 1 else ""
    return f"{texts.on_text(desk.floor, on[0], now_us)}{texts.in_tool_text(desk.floor, on[0])}{more}."
