"""Parts that all pages of Amend share: old work loaded, the reason, and a press with both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from shopclock.screens.paged.described import PageAbout
from shopclock.shop.review.change_text import SURE_WORDS
from shopclock.shop.state.wording import length_text, time_text, zone_of
from shopclock.shop.values.entities import Batch, Interval
from shopclock.shop.values.kinds import Certainty, worse
from shopclock.shop.work.overlap_rules import name_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from zoneinfo import ZoneInfo

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.page import Page, PageContent

T = TypeVar("T")
MINUTE_US = 60_000_000
SURE = {**SURE_WORDS, Certainty.PRESSED: ""}


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

    def about(self, interval: Interval, describe: Callable[[Amending, Interval], PageContent]) -> Page:
        """A page about one stretch: left when it was taken away, or joined to the one before."""
        return PageAbout(self.stack, interval, lambda _stack, now: describe(self, now))

    def titled(self, interval: Interval) -> str:
        """Say when it was, what it was, and of which batch: 19:10 – 20:25   Bevel, 26-11."""
        end = self.time(interval.end_us) if interval.end_us is not None else "now"
        batch = self.floor.find(Batch, interval.batch_id) if interval.batch_id is not None else None
        of = f", {batch.name}" if batch is not None else ""
        return f"{self.time(interval.start_us)} – {end}   {name_of(self.floor, interval)}{of}"


def long_text(interval: Interval, now_us: int) -> str:
    """Say how long it took."""
    return length_text((now_us if interval.end_us is None else interval.end_us) - interval.start_us)


def sure_text(interval: Interval) -> str:
    """Say what wasn't pressed, in one word: amended, guessed; nothing where both ends were pressed."""
    return SURE[worse(interval.start_sure, interval.end_sure)]


def sure_sentence(interval: Interval) -> str:
    """Say which end wasn't pressed."""
    ends = (("start", interval.start_sure), ("end", interval.end_sure))
    said = [f"The {name} is {SURE[sure]}." for name, sure in ends if SURE[sure]]
    return " ".join(said) if said else "Both ends were pressed." if interval.end_us is not None else "It still runs."
