"""Presses from outside the window: a command, a script, a second pedal box. Plain Python; the line is in `start`.

What is asked for is pressed on the Bench's own buttons, by what they are in its state: it does what a finger would, and
is refused where a finger would be.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopclock.exchange.names import batches_named, named
from shopclock.screens.bench import texts
from shopclock.screens.bench.current_work import chain, running_by
from shopclock.screens.bench.state import Verb
from shopclock.screens.bench.tiles import waits_of
from shopclock.shop.state.wording import minutes_text, time_text, zone_of
from shopclock.shop.values.entities import Batch, Interval, Step
from shopclock.shop.values.errors import Refusal, ShopError
from shopclock.shop.values.kinds import StepState
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.makers import makers, name_of_maker, several
from shopclock.shop.work.piece_progress import ready_at
from shopclock.views.button import Button, Press
from shopclock.views.dialogs import AMOUNT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.screens.bench.presenter import BenchPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.dialogs import Choice, Then
    from shopclock.views.letter import Letter


@dataclass(frozen=True, slots=True)
class OutsidePress:
    """Press that is asked for: a word of PRESSES, the step or letter it is about, the batch by name.

    `yes` answers what would be asked with its first answer; without it nothing is done then. `maker` is whose hands
    press, by name; without, those of who pressed last.
    """

    do: str
    about: str = ""
    batch: str = ""
    yes: bool = False
    maker: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """Outcome of a press from outside: whether anything was pressed, and a sentence."""

    done: bool
    said: str


@dataclass(frozen=True, slots=True)
class RunningWork:
    """Work that runs by hand or is stayed by: whose hands, where, since when (microseconds UTC), minutes, letters."""

    maker: str
    step: str
    batch: str
    kind: str
    since_us: int
    minutes: float
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """Pieces that wait or are away: where, since when and until when (microseconds UTC; None: nobody knows)."""

    step: str
    batch: str
    kind: str
    since_us: int
    ready_us: int | None
    pieces: tuple[str, ...]
    said: str


def running_work(floor: ShopFloor, now_us: int) -> tuple[RunningWork, ...]:
    """Return what runs, maker by maker: by hand first, the newest first."""

    def told(interval: Interval) -> RunningWork:
        who = name_of_maker(floor, interval.maker_id) if several(floor) else ""
        begun_us = chain(floor, interval)[-1].start_us
        stretches = chain(floor, interval)
        worked_us = sum((i.end_us if i.end_us is not None else now_us) - i.start_us for i in stretches)
        name, batch = texts.name_of(floor, interval), texts.of_batch(floor, interval)
        letters = tuple(floor.marks(interval.pieces))
        return RunningWork(who, name, batch, interval.kind.value, begun_us, round(worked_us / 60e6, 2), letters)

    return tuple(told(interval) for maker in makers(floor) for interval in running_by(floor, maker.id))


def waiting(floor: ShopFloor, now_us: int) -> tuple[Waiting, ...]:
    """Return what waits or is away, in the order in which it began."""
    return tuple(
        Waiting(
            texts.name_of(floor, one),
            texts.of_batch(floor, one),
            one.kind.value,
            one.start_us,
            ready_at(floor, one),
            tuple(floor.marks(one.pieces)),
            f"{texts.on_text(floor, one, now_us)}{texts.in_tool_text(floor, one)}.",
        )
        for one in waits_of(floor)
    )


def running_lines(floor: ShopFloor, works: Sequence[RunningWork]) -> list[str]:
    """Say what runs, a line each: Grind bevels 26-10, A–F, since 19:10: 12 min."""
    zone, lines = zone_of(floor), []
    for one in works:
        work = " ".join(part for part in (one.step, one.batch) if part)
        where = f"{one.maker}: {work}" if one.maker else work
        letters = [spoken(list(one.pieces))] if one.pieces else []
        since = f"since {time_text(one.since_us, zone)}: {minutes_text(one.minutes)} min"
        lines.append(", ".join([where, *letters, since]))
    return lines or ["Nothing runs."]


def press_outside(at_bench: AtBench, asked: OutsidePress) -> Told:
    """Press on the Bench what is asked for. A question stays unasked: nothing is done, and what it was is told."""
    try:
        bench = _whose(at_bench, asked.maker)
    except ShopError as error:
        return Told(done=False, said=str(error))
    record, nobody = bench.record, Nobody(yes=asked.yes)
    before = record.next_undo, record.next_put_back
    with _asks(bench, nobody):
        try:
            PRESSES[asked.do](bench, asked)
        except ShopError as error:
            return Told(done=False, said=str(error))
    after = bench.state(record.instant()).plate
    said = [*nobody.said, *([after.line] if after.urgent and after.line else [])]
    if (record.next_undo, record.next_put_back) == before:
        return Told(done=False, said=" ".join(said) or "Nothing was changed.")
    pressed, taken = record.next_undo, record.next_put_back
    what = f"Took back {taken.what}" if taken is not None else pressed.what if pressed is not None else ""
    runs = running_lines(bench.floor, running_work(bench.floor, record.instant()))
    return Told(done=True, said=" ".join([f"{what}.", *said, *(f"{line.rstrip('.')}." for line in runs)]))


def _whose(at_bench: AtBench, name: str) -> BenchPresenter:
    """Return the presenter of the maker at this bench who is named, else of the one who pressed last."""
    if not name:
        return at_bench.front
    floor = at_bench.floor
    return named(at_bench.shown, name, lambda one: name_of_maker(floor, one.maker_id), "maker at this bench")


@contextmanager
def _asks(bench: BenchPresenter, nobody: Nobody) -> Iterator[None]:
    """Have what would be asked go to nobody meanwhile: who pressed from outside doesn't look at the window."""
    shown, bench.dialogs = bench.dialogs, nobody
    try:
        yield
    finally:
        bench.dialogs = shown


@dataclass(slots=True)
class Nobody:
    """Dialogs of nobody: what is told is kept, what is asked is left, or answered by yes."""

    yes: bool = False
    said: list[str] = field(default_factory=list)

    def ask(self, question: str, choices: Sequence[Choice], then: Then) -> None:
        """Leave it, or answer with the first."""
        if self.yes and choices:
            then(choices[0].key)
            return
        detail = f": {choices[0].detail}" if choices and choices[0].detail else ""
        self.said.append(f"{question.rstrip('?')}{detail}? Nothing was changed; --yes does it.")

    def tell(self, sentence: str, then: Callable[[], None] | None = None) -> None:
        """Keep it."""
        self.said.append(sentence)
        if then is not None:
            then()

    def text(self, question: str, _start: str, _then: Then) -> None:
        """Leave it."""
        self.said.append(f"{question}? That is asked in the window alone. Nothing was changed.")

    def number(
        self, question: str, start: str, then: Then, _units: Sequence[str] = (), _note: str = "", _signs: str = AMOUNT
    ) -> None:
        """Leave it."""
        self.text(question, start, then)


def _start(bench: BenchPresenter, asked: OutsidePress) -> None:
    bench.press(Press(Verb.START, _step(bench, asked).id))


def _step(bench: BenchPresenter, asked: OutsidePress) -> Step:
    """Return the step that is named: of the batch named, else of the one in sight, else of the only other one."""
    floor, sight = bench.floor, bench.batch_id
    named_ids = {batch.id for batch in batches_named(floor, asked.batch)} if asked.batch else None
    batches = [b for b in floor.open_batches() if named_ids is None or b.id in named_ids]
    if not batches:
        raise Refusal(f"{f'{asked.batch} is closed' if asked.batch else 'No batch is open'}. Nothing was started.")
    if len(batches) == 1:
        return named(_timed(floor, batches[0].id), asked.about, _name, "step")
    found = [step for batch in batches if (step := _step_of(floor, batch.id, asked.about)) is not None]
    if not found:  # what is wrong with the name is told of the batch in sight
        return named(_timed(floor, sight or batches[0].id), asked.about, _name, "step")
    in_sight = next((step for step in found if step.batch_id == sight), None)
    if in_sight is not None or len(found) == 1:
        return in_sight or found[0]
    names = ", ".join(floor.get(Batch, step.batch_id).name for step in found)
    raise Refusal(f"{asked.about} is a step of {names}. Say which with --batch. Nothing was started.")


def _step_of(floor: ShopFloor, batch_id: int, name: str) -> Step | None:
    try:
        return named(_timed(floor, batch_id), name, _name, "step")
    except ShopError:
        return None


def _name(step: Step) -> str:
    return step.name


def _timed(floor: ShopFloor, batch_id: int) -> list[Step]:
    return [step for step in floor.steps(batch_id) if step.state is StepState.TIMED]


def _first(bench: BenchPresenter, verbs: Sequence[Verb], otherwise: str) -> None:
    """Press the first button of these that is there and takes a press."""
    state = bench.state(bench.record.instant())
    there = [button for button in (*state.bottom, state.plate.big) if button is not None and button.enabled]
    found = next((button for verb in verbs for button in there if button.verb == verb), None)
    if found is None:
        raise Refusal(otherwise)
    _press(bench, found)


def _press(bench: BenchPresenter, found: Button | Letter) -> None:
    if isinstance(found.key, Press):
        bench.press(found.key)


def _next(bench: BenchPresenter, _asked: OutsidePress) -> None:
    _first(bench, (Verb.NEXT, Verb.START), "There is no next step now. Nothing was changed.")


def _stop(bench: BenchPresenter, _asked: OutsidePress) -> None:
    if not running_by(bench.floor, bench.maker_id):
        raise Refusal("Nothing runs. Nothing was changed.")
    bench.press(Press(Verb.STOP_ALL, bench.maker_id))


def _undo(bench: BenchPresenter, _asked: OutsidePress) -> None:
    if bench.record.next_undo is None:
        raise Refusal("There is nothing to take back.")
    bench.press(Press(Verb.UNDO))


def _done(bench: BenchPresenter, asked: OutsidePress) -> None:
    """Mark the next piece as through, or the one of a letter; never choose it or take its mark back."""
    if not asked.about:
        _first(bench, (Verb.DONE,), "No piece is to be marked as through now. Nothing was changed.")
        return
    plate = bench.state(bench.record.instant()).plate
    letter = next((one for one in plate.letters if one.letter.casefold() == asked.about.strip().casefold()), None)
    if letter is None:
        raise Refusal(f"There is no piece {asked.about} in the work on the Bench. Nothing was changed.")
    if plate.choosing:
        raise Refusal(f"Letters choose here who goes in, so {letter.letter} can't be marked. Nothing was changed.")
    if letter.state not in ("in", "out"):
        raise Refusal(f"{letter.letter}: {letter.shown}. Nothing was changed.")
    _press(bench, letter)


PRESSES: dict[str, Callable[[BenchPresenter, OutsidePress], None]] = {
    "start": _start,
    "next": _next,
    "done": _done,
    "stop": _stop,
    "undo": _undo,
}
"""What can be pressed from outside, by its word."""
