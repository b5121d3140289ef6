"""A shop in which bevels are there to be started, and their start."""

from contextlib import closing
from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.shop.setup import patterns
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Step
from shopclock.shop.work import begin
from shopclock.shop.work.batches import start_batch
from tests.shop.workshop import ROUTE


def make(path: Path) -> None:
    """Write the record of a shop with one batch."""
    with closing(Record.open(path, SystemClock(), make=True, zone="Europe/Vienna")) as record:
        furnish(record)


def furnish(record: Record) -> None:
    """Have a pattern and one batch of it."""
    pattern, _ = record.press("Route", lambda tx: patterns.copy_route(tx, ROUTE, "Spreader"))
    record.press("Batch", lambda tx: start_batch(tx, pattern, 3, "26-1"))


def start(record: Record) -> None:
    """Press Start: in the program that is to be found at work, for a start takes any time on a busy machine."""
    bevel = next(step for step in record.floor.all(Step) if step.name == "Bevel")
    record.press("Start", lambda tx: begin.begin(tx, bevel))
