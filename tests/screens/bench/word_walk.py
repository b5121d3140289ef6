"""A walk over whatever the Bench offers, and a reader that knows its buttons by their words alone.

What a button said before its press is held against what the record has after it. The reader takes nothing from the
program but titles, details and the rows that a press left.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopclock.screens.bench.state import Verb
from shopclock.shop.values.entities import Batch, Interval, Maker, Piece, Stage, Step, Tally
from shopclock.shop.values.kinds import WorkKind
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from shopclock.screens.bench.state import BenchState
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.dialogs import Choice, Then
    from tests.screens.bench.workshop import Workshop

LOOKING = {
    Verb.BATCH, Verb.SHOW, Verb.ROUTE_PAGE, Verb.PIECES_PAGE, Verb.BACK, Verb.BOTH, Verb.NONE, Verb.IT_FITS,
    Verb.TO_BATCHES, Verb.TO_ROUTES, Verb.BATCHES,
}  # fmt: skip
"""Whoever presses these looks, or chooses for later: the record stays as it is."""

ACTING = {
    Verb.START, Verb.START_BOTH, Verb.CARRY_ON, Verb.NEXT, Verb.THROUGH, Verb.DONE, Verb.STOP, Verb.OUT,
    Verb.UNDO, Verb.PUT_BACK,    Verb.SET_NOW, Verb.TOOK_OUT, Verb.OTHER_TOOL, Verb.NOT_STARTED, Verb.LOAD_IN,
}  # fmt: skip
"""What is pressed more often than a random finger would."""


class AnyAnswer:
    """Dialogs that take the answer of that number, of as many as are offered; the one beyond the last is none."""

    def __init__(self) -> None:
        self.which = 0

    def ask(self, _question: str, choices: Sequence[Choice], then: Then) -> None:
        """Take one of the answers, or none."""
        at = self.which % (len(choices) + 1)
        self.which //= len(choices) + 1
        then(choices[at].key if at < len(choices) else None)

    def tell(self, _sentence: str, then: Callable[[], None] | None = None) -> None:
        """Go on."""
        if then:
            then()

    def text(self, _question: str, _start: str, then: Then) -> None:
        """Type nothing."""
        then(None)

    def number(self, _question: str, _start: str, then: Then, *_: object, **__: object) -> None:
        """Type a figure that is neither too warm nor too cold."""
        then("18")


@dataclass(frozen=True)
class Seen:
    """Rows of the record that a press at the Bench moves."""

    marks: frozenset[tuple[int, int]]
    running: dict[int, Interval]
    ended: frozenset[int]
    living: frozenset[int]

    @classmethod
    def of(cls, floor: ShopFloor) -> Seen:
        marks = frozenset((t.step_id, t.piece_id) for t in floor.all(Tally))
        ended = frozenset(i.id for i in floor.all(Interval) if not i.running)
        living = frozenset(p.id for p in floor.all(Piece) if p.living)
        return cls(marks, dict(floor.running), ended, living)


@dataclass
class Reader:
    """Reads a button's words, and asks the record whether they came true."""

    shop: Workshop
    press: Press
    title: str
    detail: str
    batch: Batch | None
    before: Seen
    after: Seen = field(init=False)

    def __post_init__(self) -> None:
        self.floor = self.shop.record.floor

    def true(self) -> None:
        """Hold what was said against what is there now."""
        self.after = Seen.of(self.floor)
        held: dict[str, Callable[[], None]] = {
            Verb.START: self._start, Verb.START_BOTH: self._start, Verb.CARRY_ON: self._carry_on, Verb.NEXT: self._next,
            Verb.THROUGH: self._all_through, Verb.DONE: self._done, Verb.STOP: self._stop, Verb.OUT: self._out,
        }  # fmt: skip
        held |= dict.fromkeys(LOOKING, self._nothing)
        if self.press.verb in held:
            held[self.press.verb]()
        if self.press.verb in (Verb.START, Verb.START_BOTH, Verb.CARRY_ON, Verb.NEXT, Verb.LOAD_IN):
            self._taken_is_named()

    def _nothing(self) -> None:
        assert self.before == self.after, self.title

    # What happened

    def _began(self) -> list[Interval]:
        """What runs by hand or watched now with pieces, or at a step, that it did not have; a split is none."""
        found = []
        for number, interval in self.after.running.items():
            if number in self.before.running or not interval.kind.attended:
                continue
            earlier = self.before.running.get(interval.continues_id or 0)
            if earlier is None or earlier.step_id != interval.step_id:
                found.append(interval)
        return found

    def _started(self) -> dict[str, set[int]]:
        """Which pieces are at which step now that were not, by the step's name; waits too."""
        now: dict[str, set[int]] = {}
        for interval in self.after.running.values():
            was = {p for i in self.before.running.values() if i.step_id == interval.step_id for p in i.pieces}
            new = set(interval.pieces) - was
            if interval.step_id is not None and (new or interval.id not in self.before.running):
                now.setdefault(self._name(interval), set()).update(new)
        return now

    def _name(self, interval: Interval) -> str:
        if interval.step_id is None:
            return self.floor.get(Stage, interval.stage_id).name
        return self.floor.get(Step, interval.step_id).name

    def _new_marks(self) -> set[tuple[int, int]]:
        return set(self.after.marks - self.before.marks)

    def _pieces(self, text: str, batch: Batch | None) -> set[int]:
        """The pieces of a text: A–C, F."""
        assert batch is not None
        of = {p.mark: p for p in self.floor.pieces(batch.id)}
        order = list(of)
        found: set[str] = set()
        for part in text.split(", "):
            first, _, last = part.partition("–")
            found |= set(order[order.index(first) : order.index(last or first) + 1])
        return {of[mark].id for mark in found}

    def _held(self, seen: Seen) -> set[tuple[str, int, int | None]]:
        """Which pieces are in which wait, or in which other maker's hands and not done there before, by name and step.

        Who is marked as through by the press, as its title says, stays where it is.
        """
        found: set[tuple[str, int, int | None]] = set()
        for interval in seen.running.values():
            if not interval.kind.attended:
                found |= {(self._name(interval), piece, interval.step_id) for piece in interval.pieces}
            elif interval.maker_id != self.shop.bench.maker_id:
                hands = f"{self.floor.get(Maker, interval.maker_id).name}'s hands"
                run = interval.work is WorkKind.RUN
                done = {piece for step, piece in self.before.marks if run and step == interval.step_id}
                found |= {(hands, piece, interval.step_id) for piece in interval.pieces if piece not in done}
        return found

    def _taken_is_named(self) -> None:
        """Whoever came out of a wait, or of another's hands, was named before the press."""
        said: set[tuple[str, int]] = set()
        for part in self._parts():
            letters, _, where = part.partition(" out of ")
            batch = next((b for b in self.floor.open_batches() if where.endswith(f" {b.name}")), None)
            if where:
                name = where.removesuffix(f" {batch.name}") if batch is not None else where
                said |= {(name, piece) for piece in self._pieces(letters, batch or self.batch)}
        if self.title != "Out" and not self.title.startswith("Out: "):
            out = self._held(self.before) - self._held(self.after)
            assert {(name, piece) for name, piece, _ in out} == said, (self.title, self.detail)
        stops = {part.removesuffix(" stops") for part in self._parts() if part.endswith(" stops") and "'s " in part}
        gone = {f"{self.floor.get(Maker, i.maker_id).name}'s {self._name(i)}" for i in self._gone(own=False)}
        assert gone == stops, (self.title, self.detail)

    # What was said

    def _parts(self) -> list[str]:
        return self.detail.split("  ·  ") if self.detail else []

    def _letters_said(self, ending: str) -> set[int] | None:
        """The pieces of the part of the detail that ends so; nothing where none does."""
        letters = r"[A-HJ-NP-Z](?:–[A-Z])?(?:, [A-Z](?:–[A-Z])?)*"
        for part in self._parts():
            found = re.fullmatch(rf"({letters}){ending}", part)
            if found:
                return self._pieces(found.group(1), self.batch)
        return None

    def _start(self) -> None:
        step = self.floor.get(Step, self.press.number)
        words = self.title.partition(": ")[2] or self.title
        if self.press.verb is Verb.START_BOTH:
            words = step.name
            assert not self._gone(own=True), (words, "stops nothing by hand")
        if not self._started() and not self._began():
            assert words == "Out" or self.title == "Out" or not self._free(step), self.title
            return
        assert words == step.name, (self.title, step.name)
        began = [i for i in self._began() if i.step_id == step.id]
        pieces = self._started().get(step.name, set()) | {p for i in began for p in i.pieces}
        said = self._letters_said("") or self._letters_said(" goe?s? in")
        if said is not None:
            assert pieces == said, (self.title, self.detail)
        assert not [i for i in self._began() if i.step_id != step.id]

    def _gone(self, *, own: bool) -> list[Interval]:
        """What this maker, or another, worked at and does no more."""
        mine, went_on = self.shop.bench.maker_id, self._split()
        before = (i for n, i in self.before.running.items() if n not in self.after.running and n not in went_on)
        return [i for i in before if i.kind.attended and (i.maker_id == mine) is own]

    def _free(self, step: Step) -> bool:
        return any(p.living and not p.set_aside for p in self.floor.pieces(step.batch_id))

    def _split(self) -> set[int]:
        return {i.continues_id or 0 for i in self.after.running.values()}

    def _carry_on(self) -> None:
        if self.title == "Stopped":
            assert self.before == self.after
            return
        name = self.title.removeprefix("Carry on: ")
        (began,) = self._began()
        assert self._name(began) == name
        if began.batch_id is not None:
            self.batch = self.floor.get(Batch, began.batch_id)
            assert self.batch.name in self._parts()
        said = self._letters_said("")
        if said is not None:
            assert set(began.pieces) == said
        marked = {piece for _, piece in self._new_marks()}
        assert marked <= self._came_out()
        assert not marked or any(" out of " in part for part in self._parts())

    def _next(self) -> None:
        if self.title.startswith("All through"):
            self._all_through()
            return
        if self.title.startswith("End: "):
            assert not self._new_marks()
            assert not self._began()
            return
        name = self.title.removeprefix("Next: ")
        started = self._started()
        assert name in started, (self.title, self.detail, started)
        said = self._letters_said("") or self._letters_said(" goe?s? in")
        assert said is not None, self.detail
        assert started[name] == said, (self.title, self.detail, started)
        through = self._letters_said(" through")
        marked = {piece for _, piece in self._new_marks()}
        assert through is None or through <= marked
        assert marked <= said | (through or set()) | (self._letters_said(" waits?") or set()) | self._came_out()
        ended = self.after.ended - self._split()
        gone = {self._name(i) for n, i in self.before.running.items() if n in ended and i.kind.attended}
        stops = {part.removesuffix(" stops") for part in self._parts() if part.endswith(" stops")}
        assert len(stops) >= len(gone) - 1, (self.detail, gone)

    def _came_out(self) -> set[int]:
        waits = [i for n, i in self.before.running.items() if n in self.after.ended and not i.kind.attended]
        return {p for i in waits for p in i.pieces}

    def _all_through(self) -> None:
        assert not self._began(), (self.title, self.detail)
        said = self._pieces(self.title.removeprefix("All through: "), self.batch)
        assert {piece for _, piece in self._new_marks()} == said, self.title
        assert len({step for step, _ in self._new_marks()}) == 1

    def _done(self) -> None:
        said = self._pieces(self.title.removeprefix("Done: "), self.batch)
        again = [t for t in self.floor.all(Tally) if t.piece_id in said]
        assert {piece for _, piece in self._new_marks()} <= said
        assert again

    def _stop(self) -> None:
        if self.title == "Stopped":
            assert self.before == self.after
            return
        gone = [i for n, i in self.before.running.items() if n in self.after.ended]
        assert gone
        assert all(i.kind.attended for i in gone)
        assert not self._new_marks()
        assert not self._began()
        if self.detail:
            names = {f"{self._name(i)} {self._batch_name(i)}".strip() for i in gone}
            assert set(self.detail.split(", ")) == names
        else:
            assert len(gone) == 1

    def _batch_name(self, interval: Interval) -> str:
        return self.floor.get(Batch, interval.batch_id).name if interval.batch_id is not None else ""

    def _out(self) -> None:
        name = re.split(r" (?:until|ended|since|due|ready) ", self.title.removeprefix("Out: "))[0]
        gone = [i for n, i in self.before.running.items() if n in self.after.ended]
        assert name in {self._name(i) for i in gone}, (self.title, gone)
        assert not any(i.kind.attended for i in gone)


def offered(state: BenchState) -> Iterator[Button]:
    """All that can be pressed now: on the whole route nothing of the Bench behind it."""
    if state.route_page is not None:
        yield from state.route_page.tiles
        yield state.route_page.both
        yield state.back
        return
    plate, side = state.plate, state.side
    yield from state.top
    yield from state.bottom
    yield from (plate.big,) if plate.big is not None else ()
    yield from plate.tools
    yield from plate.picks
    for letter in plate.letters:
        yield Button(letter.letter, letter.shown, key=letter.key)
    if side is not None:
        yield from side.tiles
        yield from (corner for corner in side.corners if corner is not None)
        yield side.whole_route


def press_and_read(shop: Workshop, which: int) -> str:
    """Press one of the buttons there are, and hold its words against the record; returns them."""
    state = shop.state
    buttons = [b for b in offered(state) if b.enabled and isinstance(b.key, Press)]
    buttons += 3 * [b for b in buttons if b.verb in ACTING]
    button = buttons[which % len(buttons)]
    assert isinstance(button.key, Press)
    floor = shop.record.floor
    step = floor.find(Step, button.key.number) if button.verb in (Verb.START, Verb.START_BOTH) else None
    batch = floor.find(Batch, step.batch_id) if step is not None else _on_plate(shop, state)
    reader = Reader(shop, button.key, button.title, button.detail, batch, Seen.of(floor))
    shop.bench.press(button.key, shop.clock.moment())
    reader.true()
    return f"{button.title} [{button.detail}]"


def _on_plate(shop: Workshop, state: BenchState) -> Batch | None:
    """The batch whose letters the plate shows."""
    for letter in state.plate.letters:
        piece = shop.record.floor.find(Piece, letter.key.number) if isinstance(letter.key, Press) else None
        if piece is not None:
            return shop.record.floor.get(Batch, piece.batch_id)
    return None
