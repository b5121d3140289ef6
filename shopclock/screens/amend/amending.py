"""What all pages of Amend share: old work brought in, the reason, and a press with both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from shopclock.shop.review.change_text import KIND_WORDS
from shopclock.shop.state.wording import length_text, time_text, zone_of
from shopclock.shop.values.entities import Batch, Interval
from shopclock.shop.work.overlap_rules import name_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from zoneinfo import ZoneInfo

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment

T = TypeVar("T")
MINUTE_US = 60_000_000


@dataclass(slots=True)
class Amending:
    """One going through a day. `reason` goes with every change until it is another one."""

    stack: PagedPresenter
    reason: str = ""

    @property
    def floor(self) -> ShopFloor:
        """The shop as it is now."""
        return self.stack.floor

    @property
    def zone(self) -> ZoneInfo:
        """The zone that times are told in."""
        return zone_of(self.floor)

    @property
    def now_us(self) -> int:
        """The instant of now."""
        return self.stack.record.instant()

    def bring(self, since_us: int) -> None:
        """Have on the floor what ended after an instant."""
        self.stack.record.load_since(since_us)

    def press(
        self, what: str, rule: Callable[[Transaction], T], moment: Moment | None = None, since_us: int = 0
    ) -> T | None:
        """Change something as one press; `since_us` is the earliest instant that it touches."""
        self.bring(since_us)

        def with_reason(tx: Transaction) -> T:
            tx.reason = self.reason
            return rule(tx)

        return self.stack.do(what, with_reason, moment)

    def time(self, at_us: int) -> str:
        """Say a clock time."""
        return time_text(at_us, self.zone)


def span_text(amending: Amending, interval: Interval) -> str:
    """Say from when to when: 19:10 – 20:25, or 19:10 – now."""
    end = amending.time(interval.end_us) if interval.end_us is not None else "now"
    return f"{amending.time(interval.start_us)} – {end}"


def long_text(interval: Interval, now_us: int) -> str:
    """Say how long it took."""
    return length_text((now_us if interval.end_us is None else interval.end_us) - interval.start_us)


def full_name(floor: ShopFloor, interval: Interval) -> str:
    """What it was, and of which batch: Bevel, 26-11."""
    batch = floor.find(Batch, interval.batch_id) if interval.batch_id is not None else None
    name = name_of(floor, interval)
    return f"{name}, {batch.name}" if batch is not None else name


def how_text(interval: Interval) -> str:
    """Who is needed, in words, with what is at once."""
    return f"{KIND_WORDS[interval.kind]}, both at once" if interval.together else KIND_WORDS[interval.kind]
