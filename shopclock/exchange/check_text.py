"""What a check of the record says when nothing is wrong."""

from shopclock.record.reading import Reading
from shopclock.record.reads import IntervalRow
from shopclock.shop.floor import Floor
from shopclock.shop.values import Batch
from shopclock.shop.wording import counted, when_text, zone_of


def sound_text(reading: Reading) -> str:
    """Say that a record is sound, and how much is in it."""
    floor = reading.floor
    batches = counted(floor, "batch", sum(1 for _ in floor.all(Batch)))
    pieces = counted(floor, "piece", sum(1 for _ in reading.reads.pieces()))
    intervals = sum(1 for _ in reading.reads.intervals())
    return f"{reading.path} is sound: {batches}, {pieces}, {intervals} stretches of work."


def running_text(row: IntervalRow, floor: Floor, now_us: int) -> str:
    """Say what has no end yet, and since when."""
    since = when_text(row.start_us, now_us, zone_of(floor))
    return f"Still running: {row.step or row.stage}{f' of {row.batch}' if row.batch else ''}, since {since}."
