"""A small invented shop whose names try to be formulas, with a loss, a piece cut down, and work still running."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from shopclock.record.press.record import Record
from shopclock.shop.setup import patterns
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Batch, Interval, Stage
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work import acts, batches, begin, pieces
from tests.shop.starters import starters

T = TypeVar("T")

START_US = 1_792_868_400_123_457  # Saturday 24 October 2026, 21:00 in Vienna: the clocks go back that night
NASTY = '=1+1;"a", \u20ac \U0001f52a'
REASON = '=HYPERLINK("x")'
TAB = "\ttab\x07\n" + "x" * 300


class ToyClock:
    """Goes on when told to."""

    def __init__(self) -> None:
        self.now_us = START_US

    def moment(self) -> Moment:
        return Moment(self.now_us, self.now_us - START_US, 0, "boot", 120)

    def on(self, minutes: float) -> None:
        self.now_us += round(minutes * 60e6) + 7


class Story:
    """A record and its clock; `press` is one press some minutes later."""

    def __init__(self, path: Path) -> None:
        self.clock = ToyClock()
        self.record = Record.open(path, self.clock, make=True, zone="Europe/Vienna")
        self.floor = self.record.floor

    def press(self, minutes: float, rule: Callable[[Transaction], T]) -> T:
        self.clock.on(minutes)
        return self.record.press("press", rule)[0]

    def attended(self) -> Interval:
        return next(i for i in self.floor.running.values() if i.kind.attended)


def tell(path: Path) -> None:
    """Write the record of the story."""
    story = Story(path)
    route = starters()[-1]
    pattern = story.press(0, lambda tx: patterns.copy_route(tx, route, NASTY))
    first = story.press(1, lambda tx: batches.start_batch(tx, pattern, 4, "@SUM(A1)"))
    second = story.press(1, lambda tx: batches.start_batch(tx, pattern, 3, "-2"))
    _work_through(story, first, second)
    story.press(3, lambda tx: batches.close_batch(tx, first, {}, "+ thinner"))
    _sweep(story)
    last = story.floor.pieces(second.id)[-1]
    story.press(4, lambda tx: tx.change(replace(tx.current(last), number=TAB)))
    _begin(story, second, 0)
    story.clock.on(20)
    story.record.close()


def _work_through(story: Story, first: Batch, second: Batch) -> None:
    _begin(story, first, 0, WorkKind.SETUP)
    _begin(story, first, 0)
    a, b, *_ = story.floor.pieces(first.id)
    step = story.floor.steps(first.id)[0]
    story.press(31.7, lambda tx: acts.go_on(tx, story.attended()))
    story.press(12.3, lambda tx: pieces.lose(tx, a, step, REASON))
    story.press(500, lambda tx: pieces.cut_down(tx, b, second, story.floor.steps(second.id)[0]))
    story.press(9, begin.stop)


def _begin(story: Story, batch: Batch, place: int, work: WorkKind = WorkKind.RUN) -> None:
    step = story.floor.steps(batch.id)[place]
    story.press(2, lambda tx: begin.begin(tx, step, work=work))


def _sweep(story: Story) -> None:
    sweeping = next(stage for stage in story.floor.all(Stage) if stage.shop_work)
    story.press(2, lambda tx: begin.begin_shop_work(tx, sweeping))
    story.press(11, begin.stop)
