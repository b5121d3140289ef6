"""What all pages of Amend share: old work brought in, the reason, and a press with both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from shopclock.shop.clash import name_of
from shopclock.shop.told import KIND_WORDS
from shopclock.shop.values import Batch, Interval
from shopclock.shop.wording import length_text, time_text, zone_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from zoneinfo import ZoneInfo

    from shopclock.screens.paged.stack import PageStack
    from shopclock.shop.clock import Moment
    from shopclock.shop.floor import Floor
    from shopclock.shop.turn import Turn

T = TypeVar("T")
MINUTE_US = 60_000_000


@dataclass(slots=True)
class Amending:
    """One going through a day. `reason` goes with every change until it is another one."""

    stack: PageStack
    reason: str = ""

    @property
    def floor(self) -> Floor:
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
        self.stack.record.bring_since(since_us)

    def press(self, what: str, rule: Callable[[Turn], T], moment: Moment | None = None, since_us: int = 0) -> T | None:
        """Change something as one press; `since_us` is the earliest instant that it touches."""
        self.bring(since_us)

        def with_reason(turn: Turn) -> T:
            turn.reason = self.reason
            return rule(turn)

        return self.stack.do(what, with_reason, moment)

    def time(self, at_us: int) -> str:
        """Say a clock time."""
        return time_text(at_us, self.zone)


def span_text(amending: Amending, stretch: Interval) -> str:
    """Say from when to when: 19:10 – 20:25, or 19:10 – now."""
    end = amending.time(stretch.end_us) if stretch.end_us is not None else "now"
    return f"{amending.time(stretch.start_us)} – {end}"


def long_text(stretch: Interval, now_us: int) -> str:
    """Say how long it took."""
    return length_text((now_us if stretch.end_us is None else stretch.end_us) - stretch.start_us)


def full_name(floor: Floor, stretch: Interval) -> str:
    """What it was, and of which batch: Bevel, 26-11."""
    batch = floor.find(Batch, stretch.batch_id) if stretch.batch_id is not None else None
    name = name_of(floor, stretch)
    return f"{name}, {batch.name}" if batch is not None else name


def how_text(stretch: Interval) -> str:
    """Who is needed, in words, with what is at once."""
    return f"{KIND_WORDS[stretch.kind]}, both at once" if stretch.together else KIND_WORDS[stretch.kind]
