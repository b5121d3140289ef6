"""Which screens there are, and what each is made of. Each is imported when it is first shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.awake import Awake

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.record import Record
    from shopclock.screens.background import Work
    from shopclock.screens.shell import Screen, Shell
    from shopclock.shop.clock import Moment
    from shopclock.widgets.dialogs import Dialogs
    from shopclock.widgets.look import Look


@dataclass(frozen=True, slots=True)
class Parts:
    """What screens are made of."""

    shell: Shell
    look: Look
    record: Record
    dialogs: Dialogs
    work: Work

    def now(self) -> Moment:
        """What the clocks say when a finger comes down."""
        return self.record.clock.moment()

    def go(self, tab: str, batch_id: int | None = None) -> None:
        """Bring a screen in sight, at the Bench with a batch if one is given."""
        if batch_id is not None:
            bench = self.shell.screen("bench")
            bench.presenter.show_batch(batch_id)
        self.shell.show_screen(tab)


def add_rooms(shell: Shell, look: Look, record: Record, dialogs: Dialogs, work: Work) -> None:
    """Give the shell every screen that works."""
    parts = Parts(shell, look, record, dialogs, work)
    rooms: dict[str, Callable[[Parts], Screen]] = {
        "bench": _bench,
        "batches": _batches,
        "trends": _trends,
        "shop": _shop,
    }
    for key, make in rooms.items():
        shell.add(key, lambda make=make: make(parts))


def _bench(parts: Parts) -> Screen:
    from shopclock.screens.bench.presenter import BenchPresenter
    from shopclock.screens.bench.screen import BenchScreen

    presenter = BenchPresenter(parts.record, parts.dialogs, parts.record.stage_rows, parts.go)
    screen = BenchScreen(parts.look, presenter, parts.now)
    awake = Awake()
    parts.shell.each_tick(screen.tick)
    parts.shell.each_tick(lambda: awake.set(presenter.keep_awake))
    return screen


def _batches(parts: Parts) -> Screen:
    from shopclock.screens.batches.presenter import BatchesPresenter
    from shopclock.screens.batches.screen import BatchesScreen

    presenter = BatchesPresenter(parts.record, parts.dialogs, parts.go)
    return BatchesScreen(parts.look, presenter, parts.now)


def _trends(parts: Parts) -> Screen:
    from shopclock.screens.trends.presenter import TrendsPresenter
    from shopclock.screens.trends.screen import TrendsScreen

    presenter = TrendsPresenter(parts.record, parts.dialogs, parts.record.stage_rows, parts.go)
    return TrendsScreen(parts.look, presenter, parts.now)


def _shop(parts: Parts) -> Screen:
    from shopclock.places import resource
    from shopclock.screens.shop.presenter import ShopPresenter
    from shopclock.screens.shop.screen import ShopScreen
    from shopclock.shop.route_file import starter_routes

    presenter = ShopPresenter(parts.record, parts.dialogs, starter_routes(resource("routes")), parts.go)
    return ShopScreen(parts.look, presenter, parts.now)
