"""An invented shop on a file record, with a clock that is set by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.record.press.record import Record
from shopclock.shop.figures.untimed import say
from shopclock.shop.setup import patterns
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Interval, Pattern
from shopclock.shop.values.kinds import StepState
from shopclock.shop.work import batches, begin, finish, pieces
from tests.shop.starters import starters

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.shop.routes.starter_route import StarterRoute
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Batch, Step
    from shopclock.shop.values.kinds import Outcome

MINUTE_US = 60_000_000
DAY_MIN = 24 * 60
START_US = 1_790_000_000_000_000


class HandClock:
    """A clock that goes only when told."""

    def __init__(self) -> None:
        self.us = START_US

    def moment(self) -> Moment:
        """What all clocks say."""
        return Moment(self.us, self.us - START_US + MINUTE_US, 0, "a boot", 120)

    def go(self, minutes: float) -> None:
        """Let time pass."""
        self.us += round(minutes * MINUTE_US)


class Gone:
    """Remembers where a screen wanted to go."""

    def __init__(self) -> None:
        self.to: list[tuple[str, int | None]] = []

    def __call__(self, tab_key: str, batch_id: int | None = None) -> None:
        self.to.append((tab_key, batch_id))


def routes() -> tuple[StarterRoute, ...]:
    """The routes that come with the program."""
    return starters()


def route_called(name: str) -> StarterRoute:
    """One of them."""
    return next(route for route in routes() if route.name == name)


class Shop:
    """A record with what a test does in it."""

    def __init__(self, folder: Path) -> None:
        self.clock = HandClock()
        self.record = Record.open(folder / "tidal.shopclock", self.clock, make=True, zone="Europe/Lisbon")

    @property
    def floor(self) -> ShopFloor:
        """The shop as it is now."""
        return self.record.floor

    def pattern(self, name: str, route: StarterRoute | None = None) -> Pattern:
        """Copy a route."""
        chosen = route if route is not None else routes()[-1]
        made, _ = self.record.press("Copy", lambda tx: patterns.copy_route(tx, chosen, name))
        return made

    def batch(self, pattern: Pattern, n: int) -> Batch:
        """Start a batch."""

        def rule(tx: Transaction) -> Batch:
            return batches.start_batch(tx, pattern, n, batches.batch_name(tx.floor, tx.now_us))

        return self.record.press("New", rule)[0]

    def work(self, step: Step, minutes: float, marks: str | None = None) -> None:
        """Work a step for some minutes, then all in hand are through."""
        chosen = None if marks is None else [p.id for p in self.floor.pieces(step.batch_id) if p.mark in marks]
        interval, _ = self.record.press("Start", lambda tx: begin.begin(tx, step, chosen))
        self.clock.go(minutes)
        self.record.press("Through", lambda tx: finish.out(tx, tx.floor.get(Interval, interval.id)))

    def lose(self, batch: Batch, mark: str, step: Step, reason: str) -> None:
        """Lose a piece."""
        piece = next(p for p in self.floor.pieces(batch.id) if p.mark == mark)
        self.record.press("Lost", lambda tx: pieces.lose(tx, piece, step, reason))

    def start(self, step: Step) -> None:
        """Start a step and let it run."""
        self.record.press("Start", lambda tx: begin.begin(tx, step))

    def skip(self, step: Step) -> None:
        """Leave a step out."""
        self.record.press("Skip", lambda tx: batches.set_state(tx, step, StepState.SKIPPED))

    def not_timed(self, step: Step) -> None:
        """Say that a step was done before timing began."""
        self.record.press("Not timed", lambda tx: batches.set_state(tx, step, StepState.NOT_TIMED))

    def close(
        self, batch: Batch, line: str = "", outcomes: dict[int, Outcome] | None = None, *, skipped: bool = True
    ) -> None:
        """Close a batch; what has no minutes was skipped, or nobody has said yet."""
        self.record.press("Close", lambda tx: batches.close_batch(tx, batch, outcomes or {}, line))
        if skipped:
            self.record.press("Skipped", lambda tx: say(tx, batch, StepState.SKIPPED))


def busy(shop: Shop) -> None:
    """Two patterns, five closed batches, three open ones at different steps."""
    oyster, paring = shop.pattern("Oyster knife, bog oak handle", routes()[0]), shop.pattern("Paring 95", routes()[-1])
    for n, pattern in enumerate((oyster, paring, paring, oyster, paring)):
        batch = shop.batch(pattern, 5 + n)
        for step in shop.floor.steps(batch.id)[:4]:
            shop.work(step, 20 + 7 * n)
        shop.lose(batch, "B", shop.floor.steps(batch.id)[3], "warped")
        shop.clock.go(9 * DAY_MIN)
        shop.close(batch, "thinner before hardening" if pattern is paring else "")
    for n, pattern in enumerate((paring, oyster, paring)):
        batch = shop.batch(pattern, (7, 12, 6)[n])
        steps = shop.floor.steps(batch.id)
        for step in steps[: 5 - 2 * n]:
            shop.work(step, 33)
        shop.work(steps[5 - 2 * n], 21, marks="ABC")
        shop.clock.go(3 * DAY_MIN)
    first = shop.floor.open_batches()[0]
    shop.lose(first, "E", shop.floor.steps(first.id)[3], "cracked")
