"""Asking for a reading: whose, what, then the number pad with the last batch's value."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shopclock.shop.setup.reading_kinds import wanted_said
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Interval, Stage
from shopclock.shop.values.kinds import Kind
from shopclock.shop.values.measure import units_like
from shopclock.shop.work.loads import holder
from shopclock.shop.work.readings import kinds_for, outside_of, reading_text, step_for, take
from shopclock.views.dialogs import MEASURED, Choice

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.read.read_only import Reads
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Batch, Piece, ReadingKind, Step
    from shopclock.shop.values.measure import Measure
    from shopclock.views.dialogs import Dialogs

    Press = Callable[[str, Callable[[Transaction], Any]], Any]

LOAD = "load"


class AskReading:
    """Asks its way to one reading. `step` is the one in hand, if any."""

    def __init__(
        self, floor: ShopFloor, reads: Reads, dialogs: Dialogs, press: Press, batch: Batch, step: Step | None
    ) -> None:
        self._floor = floor
        self._reads = reads
        self._dialogs = dialogs
        self._press = press
        self._batch = batch
        self._step = step if step is not None and step.batch_id == batch.id else None

    def ask(self) -> None:
        """Whose it is: a letter, or all that lies in a tool."""
        pieces = {piece.mark: piece for piece in self._floor.living(self._batch.id)}
        loads = {f"{LOAD}:{step.id}": step for step in self._loaded()}
        load = word(self._floor, "load").one
        choices = [
            *(Choice(mark, mark, *self._detail(piece)) for mark, piece in pieces.items()),
            *(Choice(key, f"The whole {load}", step.name) for key, step in loads.items()),
        ]

        def take(key: str | None) -> None:
            if key is not None:
                self._step = loads.get(key, self._step)
                self.what(pieces.get(key))

        self._dialogs.ask("Reading of which one", choices, take)

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
        if wrong:
            return reading_text(self._floor, wrong[0]), "red"
        return piece.number, "plate"

    def what(self, piece: Piece | None) -> None:
        """What was measured, where there is more than one thing to measure."""
        kinds = {str(kind.id): kind for kind in kinds_for(self._floor, self._batch, self._step)}
        if not kinds:
            self._dialogs.tell("Nothing is measured in this route. Add a reading to a stage in Shop.")
        elif len(kinds) == 1:
            self._how_much(piece, next(iter(kinds.values())))
        else:
            choices = [Choice(key, kind.name, self._where(kind)) for key, kind in kinds.items()]
            question = f"What was measured of {self._whose(piece)}"
            self._dialogs.ask(question, choices, lambda key: self._how_much(piece, kinds[key]) if key else None)

    def _where(self, kind: ReadingKind) -> str:
        """The stage, which tells two readings of an oven apart, and what is wanted."""
        return "  ·  ".join(part for part in (self._floor.get(Stage, kind.stage_id).name, wanted_said(kind)) if part)

    def _whose(self, piece: Piece | None) -> str:
        return piece.mark if piece is not None else f"the {word(self._floor, 'load').one}"

    def _how_much(self, piece: Piece | None, kind: ReadingKind) -> None:
        last = self._reads.last_measured(kind.id, self._batch.id)

        def keep(typed: str | None) -> None:
            if typed is not None:
                self._keep(piece, kind, typed)

        self._dialogs.number(
            f"{kind.name} of {self._whose(piece)}",
            last.shown if last is not None else "",
            keep,
            units_from(last.unit if last is not None else kind.unit),
            note_of(kind, last),
            MEASURED,
        )

    def _keep(self, piece: Piece | None, kind: ReadingKind, typed: str) -> None:
        def rule(tx: Transaction) -> object:
            step = step_for(tx.floor, kind, self._batch, piece, self._step)
            return take(tx, kind, step, piece, typed)

        self._press(f"{kind.name}: {self._whose(piece)}", rule)


def units_from(first: str) -> tuple[str, ...]:
    """The units that can be chosen, this one first."""
    like = units_like(first)
    at = like.index(first)
    return (*like[at:], *like[:at])


def note_of(kind: ReadingKind, last: Measure | None) -> str:
    """What is wanted and the last value: 57 to 62 HRC, target 60 HRC, common practice · last batch 59 HRC."""
    wanted = wanted_said(kind)
    if wanted and kind.common_practice:
        wanted = f"{wanted}, common practice"
    parts = (wanted, f"last batch {last}" if last is not None else "")
    return "  ·  ".join(part for part in parts if part)
