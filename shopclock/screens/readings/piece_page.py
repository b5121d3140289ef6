"""The readings of one piece: what was measured, what it should have been, and putting it right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.readings.asking import AskReading, units_from
from shopclock.shop.state.wording import when_text, word, zone_of
from shopclock.shop.values.entities import Batch, ReadingKind
from shopclock.shop.work import readings
from shopclock.views.dialogs import MEASURED, Choice
from shopclock.views.field import Number, Pick
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Piece, Reading
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

RIGHT = (
    Choice("again", "Another value", "it was typed wrong"),
    Choice("target", "Target", "what it should have been"),
    Choice("away", "Take away", "it was not this one"),
)


def piece_readings_page(stack: PagedPresenter, piece: Piece) -> PageContent:
    """Every reading of a piece, the newest first; what lies outside its limits is red and says how."""
    found = readings.of_piece(stack.floor, piece)
    batch = stack.floor.get(Batch, piece.batch_id)
    asked = AskReading(stack.floor, stack.record.reads, stack.do, batch, None)
    return PageContent(
        f"Readings of {piece.mark}",
        ["Press a reading to put it right." if found else "None yet."],
        [_reading(stack, piece, reading) for reading in found],
        [item("new", "New reading", lambda: asked.what(piece), role="primary")],
    )


def _reading(stack: PagedPresenter, piece: Piece, reading: Reading) -> Action:
    floor = stack.floor
    kind, wrong = floor.get(ReadingKind, reading.kind_id), readings.outside(floor, reading)
    target = readings.target(reading)
    aim = f"target {target}" if target is not None else ""
    whole = "" if reading.piece_id else f"whole {word(floor, 'load').one}"
    when = when_text(reading.at_us, stack.record.instant(), zone_of(floor))
    return item(
        f"reading {reading.id}",
        f"{kind.name} {readings.measured(reading)}",
        lambda: _put_right(stack, piece, reading, kind.name),
        detail=", ".join(part for part in (wrong, aim, whole, when) if part),
        role="red" if wrong else "plate",
    )


def _put_right(stack: PagedPresenter, piece: Piece, reading: Reading, name: str) -> Asking[None]:
    what = yield from Pick(readings.reading_text(stack.floor, reading), RIGHT)
    if what == "again":
        old = readings.measured(reading)
        typed = yield from Number(f"{name} of {piece.mark}", old.typed, units_from(old.unit), signs=MEASURED)
        stack.do(f"{name}: {piece.mark}", lambda tx: readings.measure_again(tx, reading, typed))
    elif what == "target":
        target, units = readings.target(reading), units_from(reading.target_unit)
        start = target.typed if target is not None else ""
        typed = yield from Number(f"Target of {name}", start, units, signs=MEASURED)
        stack.do(f"Target: {piece.mark}", lambda tx: readings.set_target(tx, reading, typed))
    else:
        stack.do(f"Took away {name}", lambda tx: readings.take_away(tx, reading))
