"""The readings of one piece: what was measured, what it should have been, and putting it right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.about import PieceAbout
from shopclock.screens.readings.asking import AskReading, units_from
from shopclock.shop.state.wording import when_text, word, zone_of
from shopclock.shop.values.entities import Batch, ReadingKind
from shopclock.shop.work import readings
from shopclock.views.dialogs import MEASURED, Choice
from shopclock.views.page import TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.values.entities import Reading
    from shopclock.views.page import Action


class PieceReadingsPage(PieceAbout):
    """Every reading of a piece, the newest first; what lies outside its limits is red and says how."""

    def title(self) -> str:
        """Whose readings."""
        return f"Readings of {self.piece.mark}"

    def lines(self) -> Sequence[TextLine]:
        """What can be done here, or that there are none."""
        if readings.of_piece(self._stack.floor, self.piece):
            return (TextLine("Press a reading to put it right."),)
        return (TextLine("None yet."),)

    def offers(self) -> Sequence[Action]:
        """The readings."""
        return [self._one(reading) for reading in readings.of_piece(self._stack.floor, self.piece)]

    def actions(self) -> Sequence[Action]:
        """One more."""
        return [action("new", "New reading", calling(self._new), role="primary")]

    def _one(self, reading: Reading) -> Action:
        floor = self._stack.floor
        kind, wrong = floor.get(ReadingKind, reading.kind_id), readings.outside(floor, reading)
        target = readings.target(reading)
        aim = f"target {target}" if target is not None else ""
        whole = "" if reading.piece_id else f"whole {word(floor, 'load').one}"
        when = when_text(reading.at_us, self._stack.record.instant(), zone_of(floor))
        return action(
            f"reading {reading.id}",
            f"{kind.name} {readings.measured(reading)}",
            calling(lambda: self._put_right(reading)),
            detail=", ".join(part for part in (wrong, aim, whole, when) if part),
            role="red" if wrong else "plate",
        )

    def _new(self) -> None:
        stack = self._stack
        batch = stack.floor.get(Batch, self.piece.batch_id)
        AskReading(stack.floor, stack.record.reads, stack.dialogs, stack.do, batch, None).what(self.piece)

    def _put_right(self, reading: Reading) -> None:
        acts = {
            "again": (Choice("again", "Another value", "it was typed wrong"), self._ask_again),
            "target": (Choice("target", "Target", "what it should have been"), self._ask_target),
            "away": (Choice("away", "Take away", "it was not this one"), self._take_away),
        }
        self._stack.dialogs.ask(
            readings.reading_text(self._stack.floor, reading),
            [choice for choice, _ in acts.values()],
            on_answer(lambda key: acts[key][1](reading)),
        )

    def _name(self, reading: Reading) -> str:
        return self._stack.floor.get(ReadingKind, reading.kind_id).name

    def _ask_again(self, reading: Reading) -> None:
        name, old = self._name(reading), readings.measured(reading)

        def take(typed: str) -> None:
            self._stack.do(f"{name}: {self.piece.mark}", lambda tx: readings.measure_again(tx, reading, typed))

        self._stack.dialogs.number(
            f"{name} of {self.piece.mark}", old.shown, on_answer(take), units_from(old.unit), signs=MEASURED
        )

    def _ask_target(self, reading: Reading) -> None:
        name, target = self._name(reading), readings.target(reading)

        def take(typed: str) -> None:
            self._stack.do(f"Target: {self.piece.mark}", lambda tx: readings.set_target(tx, reading, typed))

        start = target.shown if target is not None else ""
        self._stack.dialogs.number(
            f"Target of {name}", start, on_answer(take), units_from(reading.target_unit), signs=MEASURED
        )

    def _take_away(self, reading: Reading) -> None:
        self._stack.do(f"Took away {self._name(reading)}", lambda tx: readings.take_away(tx, reading))
