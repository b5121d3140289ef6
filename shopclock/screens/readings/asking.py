"""Asking for a reading: whose, what, then the number pad with the last batch's value."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shopclock.shop.setup.reading_kinds import wanted_said
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Interval, Piece, Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind
from shopclock.shop.values.measure import units_like
from shopclock.shop.work.loads import holder
from shopclock.shop.work.readings import kinds_for, outside_of, reading_text, step_for, take
from shopclock.views.dialogs import MEASURED, Choice
from shopclock.views.field import Number, choose

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.read.read_only import Reads
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Batch, ReadingKind, Step
    from shopclock.shop.values.measure import Measure
    from shopclock.views.field import Asking

    Press = Callable[[str, Callable[[Transaction], Any]], Any]


class AskReading:
    """Asks its way to one reading. `step` is the one in hand, if any."""

    def __init__(self, floor: ShopFloor, reads: Reads, press: Press, batch: Batch, step: Step | None) -> None:
        self._floor = floor
        self._reads = reads
        self._press = press
        self._batch = batch
        self._step = step if step is not None and step.batch_id == batch.id else None

    def whose(self) -> Asking[None]:
        """Ask whose it is, a letter or all that lies in a tool; then what."""
        load = word(self._floor, "load").one
        answers: list[tuple[Choice, Piece | Step]] = [
            *((Choice(p.mark, p.mark, *self._detail(p)), p) for p in self._floor.living(self._batch.id)),
            *((Choice(f"load:{step.id}", f"The whole {load}", step.name), step) for step in self._loaded()),
        ]
        whose = yield from choose("Reading of which one", answers)
        if isinstance(whose, Piece):
            yield from self.what(whose)
        else:
            self._step = whose
            yield from self.what(None)

    def _loaded(self) -> list[Step]:
        """The steps at which all of the batch's pieces there can be measured at once, the one in hand first."""
        own = self._floor.of_batch(Interval, self._batch.id)
        begun = {i.step_id for i in own if i.running or (self._step is not None and i.step_id == self._step.id)}
        steps = [step for step in self._floor.steps(self._batch.id) if step.id in begun and self._holds_a_load(step)]
        return sorted(steps, key=lambda step: self._step is None or step.id != self._step.id)

    def _holds_a_load(self, step: Step) -> bool:
        return holder(self._floor, step) is not None or step.kind in (Kind.WAIT, Kind.WATCH)

    def _detail(self, piece: Piece) -> tuple[str, str]:
        """The number that a piece is known by once its letter is hidden; a reading outside in its stead."""
        wrong = outside_of(self._floor, piece)
        return (reading_text(self._floor, wrong[0]), "red") if wrong else (piece.number, "plate")

    def what(self, piece: Piece | None) -> Asking[None]:
        """Ask what was measured, where there is more than one thing to measure; then how much."""
        kinds = kinds_for(self._floor, self._batch, self._step)
        if not kinds:
            raise Refusal("Nothing is measured in this route. Add a reading to a stage in Shop.")
        whose, kind = piece.mark if piece is not None else f"the {word(self._floor, 'load').one}", kinds[0]
        if len(kinds) > 1:
            answers = [(Choice(str(kind.id), kind.name, self._where(kind)), kind) for kind in kinds]
            kind = yield from choose(f"What was measured of {whose}", answers)
        last = self._reads.last_measured(kind.id, self._batch.id)
        typed = yield from Number(
            f"{kind.name} of {whose}",
            last.typed if last is not None else "",
            units_from(last.unit if last is not None else kind.unit),
            note_of(kind, last),
            MEASURED,
        )

        def rule(tx: Transaction) -> object:
            return take(tx, kind, step_for(tx.floor, kind, self._batch, piece, self._step), piece, typed)

        self._press(f"{kind.name}: {whose}", rule)

    def _where(self, kind: ReadingKind) -> str:
        """The stage, which tells two readings of an oven apart, and what is wanted."""
        return "  ·  ".join(part for part in (self._floor.get(Stage, kind.stage_id).name, wanted_said(kind)) if part)


def units_from(first: str) -> tuple[str, ...]:
    """The units that can be chosen, this one first."""
    like = units_like(first)
    at = like.index(first)
    return (*like[at:], *like[:at])


def note_of(kind: ReadingKind, last: Measure | None) -> str:
    """Note of what is wanted and the last value: 57 to 62 HRC, target 60 HRC, common practice · last batch 59 HRC."""
    wanted = wanted_said(kind)
    if wanted and kind.common_practice:
        wanted = f"{wanted}, common practice"
    parts = (wanted, f"last batch {last}" if last is not None else "")
    return "  ·  ".join(part for part in parts if part)
