"""Texts of a check when nothing is wrong, and of what a copy brought back would lose."""

from shopclock.record.copies.restoring import Lost
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.read.rows import IntervalRow
from shopclock.shop.state.shop_floor import ShopFloor, since_us
from shopclock.shop.state.wording import counted, when_text, zone_of
from shopclock.shop.values.entities import Batch, Interval


def sound_text(reading: ReadOnlyRecord) -> str:
    """Say that a record is sound, and how much is in it."""
    floor = reading.floor
    batches = counted(floor, "batch", sum(1 for _ in floor.all(Batch)))
    pieces = counted(floor, "piece", sum(1 for _ in reading.reads.pieces()))
    intervals = sum(1 for _ in reading.reads.intervals())
    return f"{reading.path} is sound: {batches}, {pieces}, {intervals} stretches of work."


def running_text(row: IntervalRow, floor: ShopFloor, now_us: int) -> str:
    """Say what has no end yet, and since when: letters that split it began no new work."""
    since = when_text(since_us(floor, floor.get(Interval, row.id)), now_us, zone_of(floor))
    return f"Still running: {row.step or row.stage}{f' of {row.batch}' if row.batch else ''}, since {since}."


def lost_text(lost: Lost | None) -> str:
    """Say what bringing a copy back would lose; nothing known where the record can't be read."""
    if lost is None:
        return "The record can't be read: what came after the copy is not known."
    return f"Lost would be {lost.presses} presses, {lost.intervals} stretches of work, {lost.batches} batches begun."
