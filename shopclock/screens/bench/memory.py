"""Memory of the Bench: what a maker looks at and has chosen; nothing of it is in the record."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.state import BenchPage

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.bench.answers import InSpite
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Leaving, Tally

SECOND_US = 1_000_000
SAID_FOR_US = 15 * 60 * SECOND_US
"""So long a line stands on the plate, unless the next press comes sooner."""


@dataclass(frozen=True, slots=True)
class Offer:
    """Offer of a letter to take something back: what, its word, what it does, until when.

    It ends with what it takes back, whoever took that away.
    """

    about: Tally | Leaving
    word: str
    take: Callable[[Moment | None], object]
    until_us: int

    def stands(self, floor: ShopFloor) -> bool:
        """Tell whether what it takes back is there still."""
        return floor.find(type(self.about), self.about.id) is not None


@dataclass(slots=True)
class BenchMemory:
    """Memory of what was looked at and chosen; nothing of it is in the record.

    `step_id` is the running step asked for, `chosen` the pieces and `method_id` the method for what
    will be started, `none` that *None* was pressed and a letter has to follow, `both` that the next
    start stops nothing, `said` the line that says something for a while, `touched_us` when somebody was last there,
    `pressed_us` the last press, `stopped_us` the last Stop and `stopped` the intervals that it ended, `in_spite` what
    was started though its tool was full or set otherwise, `offer` what a letter takes back for now.
    """

    touched_us: int
    pressed_us: int = 0
    batch_id: int | None = None
    step_id: int | None = None
    page: BenchPage = BenchPage.BENCH
    chosen: frozenset[int] | None = None
    method_id: int | None = None
    none: bool = False
    both: bool = False
    said: str = ""
    stopped_us: int | None = None
    stopped: frozenset[int] = frozenset()
    in_spite: InSpite | None = None
    offer: Offer | None = None

    def look_at(self, batch_id: int | None) -> None:
        """Have a batch in sight, on the first page, with nothing chosen; shop work leaves the batch in sight."""
        if batch_id is not None:
            self.batch_id = batch_id
        self.step_id, self.page, self.both = None, BenchPage.BENCH, False
        self.chosen, self.method_id, self.none = None, None, False

    def said_now(self, floor: ShopFloor, now_us: int) -> str:
        """Line that has to be said now: one about a press is no news to who comes back later, nor once that is gone."""
        gone = self.offer is not None and not self.offer.stands(floor)
        return self.said if not gone and now_us - self.touched_us < SAID_FOR_US else ""
