"""Sessions in the shop, and how much of one is work taken off: the phone, the kettle, the broom."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import median
from zoneinfo import ZoneInfo

from shopclock.shop.work.day import day_of

GAP_US = 90 * 60 * 1_000_000
"""A pause as long as this ends a session."""
LAST = 8
ENOUGH = 4


@dataclass(frozen=True, slots=True)
class WorkedSpan:
    """One stretch that a person was needed for, and the labour that it got."""

    start_us: int
    end_us: int
    labour_us: int


def share_off(worked: Iterable[WorkedSpan], zone: ZoneInfo) -> float | None:
    """Return which share of a session is not labour, 0 to 1: the median of the last 8 sessions.

    A session is the stretches of one day with gaps under 90 min. Under 4 sessions there is nothing
    to go by.
    """
    ordered = sorted(worked, key=lambda w: (w.start_us, w.end_us))
    days = [list(group) for _, group in groupby(ordered, key=lambda w: day_of(w.start_us, zone))]
    shares = [share for day in days for session in _sessions(day) if (share := _off(session)) is not None][-LAST:]
    return median(shares) if len(shares) >= ENOUGH else None


def _sessions(day: Sequence[WorkedSpan]) -> list[list[WorkedSpan]]:
    found: list[list[WorkedSpan]] = []
    until = 0
    for worked in day:
        if not found or worked.start_us - until >= GAP_US:
            found.append([])
        found[-1].append(worked)
        until = max(until, worked.end_us)
    return found


def _off(session: Sequence[WorkedSpan]) -> float | None:
    span = max(w.end_us for w in session) - session[0].start_us
    return max(0.0, 1 - sum(w.labour_us for w in session) / span) if span else None
