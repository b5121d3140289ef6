"""A day as a line: lanes for what was by hand, stayed by and waited, from its first hour to its last."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from shopclock.shop.review.change_text import KIND_WORDS
from shopclock.shop.state.wording import instant_of, length_text, shop_time, time_text
from shopclock.shop.values.kinds import Certainty, Kind, worse
from shopclock.shop.work.overlap_rules import name_of
from shopclock.views.page import DayBarView, DayView

if TYPE_CHECKING:
    from collections.abc import Sequence
    from zoneinfo import ZoneInfo

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Interval

HOUR_US = 3_600_000_000
LEAST_GAP_US = 300_000_000
MOST_ROWS = 2
"""So many rows for what is at once in one way; more than that share the last."""
ROLES = {Kind.HANDS_ON: "dye", Kind.WATCH: "straw", Kind.WAIT: "raised", Kind.AWAY: "raised"}
LANES = {
    Kind.HANDS_ON: KIND_WORDS[Kind.HANDS_ON],
    Kind.WATCH: KIND_WORDS[Kind.WATCH],
    Kind.WAIT: "waits",
    Kind.AWAY: "waits",
}
Lane = tuple[int, str, int]
"""Its place from the top, its name, and which row of that name."""


@dataclass(frozen=True, slots=True)
class Ended:
    """A stretch of the day with an end: now, where it still runs."""

    interval: Interval
    end_us: int


@dataclass(frozen=True, slots=True)
class DaySpan:
    """The part of a day that the line shows."""

    start_us: int
    end_us: int

    def share(self, at_us: int) -> float:
        """Where an instant stands, 0 to 1."""
        inside = min(max(at_us, self.start_us), self.end_us)
        return (inside - self.start_us) / (self.end_us - self.start_us)

    def shows(self, ended: Ended) -> bool:
        """Tell whether any of a stretch lies in it."""
        return ended.interval.start_us < self.end_us and ended.end_us > self.start_us


def day_look(
    floor: ShopFloor, intervals: Sequence[Interval], day_us: tuple[int, int], now_us: int, zone: ZoneInfo
) -> DayView | None:
    """Draw the stretches of a day; nothing where there are none."""
    every = [Ended(s, now_us if s.end_us is None else s.end_us) for s in intervals]
    if not every:
        return None
    span = _span(every, day_us, zone)
    shown = [ended for ended in every if span.shows(ended)]
    lanes = _lanes(shown)
    rows = sorted(set(lanes.values()))
    bars = [_bar(floor, ended, rows.index(lanes[ended.interval.id]), span) for ended in shown]
    names = tuple(name if row == 0 else "" for _, name, row in rows)
    return DayView(names, tuple(_ticks(span, zone)), (*bars, *_gaps(shown, span)), _spoken(floor, shown, zone))


def _span(every: Sequence[Ended], day_us: tuple[int, int], zone: ZoneInfo) -> DaySpan:
    """From the hour in which the first work began to the end of the last one's, within the day."""
    told = [ended for ended in every if ended.interval.kind.attended] or every
    first = max(day_us[0], min(ended.interval.start_us for ended in told))
    last = min(day_us[1], max(ended.end_us for ended in told))
    start_us = instant_of(shop_time(first, zone).replace(minute=0, second=0, microsecond=0))
    hours = max(1, -(-(last - start_us) // HOUR_US))
    return DaySpan(start_us, start_us + hours * HOUR_US)


def _lanes(shown: Sequence[Ended]) -> dict[int, Lane]:
    """Give each stretch its lane, a second row where two of a kind are at once."""
    found: dict[int, Lane] = {}
    until: dict[str, list[int]] = {}
    for ended in shown:
        name = LANES[ended.interval.kind]
        rows = until.setdefault(name, [])
        row = next((i for i, us in enumerate(rows) if us <= ended.interval.start_us), len(rows))
        row = min(row, MOST_ROWS - 1)
        rows[row:] = [max(ended.end_us, *rows[row : row + 1], 0), *rows[row + 1 :]]
        found[ended.interval.id] = (tuple(dict.fromkeys(LANES.values())).index(name), name, row)
    return found


def _bar(floor: ShopFloor, ended: Ended, lane: int, span: DaySpan) -> DayBarView:
    interval = ended.interval
    guessed = worse(interval.start_sure, interval.end_sure) is Certainty.ESTIMATED
    left, right = span.share(interval.start_us), span.share(ended.end_us)
    return DayBarView(lane, left, right, name_of(floor, interval), ROLES[interval.kind], guessed)


def _gaps(shown: Sequence[Ended], span: DaySpan) -> list[DayBarView]:
    """Say how long nobody was at work between two stretches, where there is a lane for hands."""
    attended = [ended for ended in shown if ended.interval.kind.attended]
    found, until_us = [], 0
    for ended, later in pairwise(attended):
        until_us = max(until_us, ended.end_us)
        gap_us = later.interval.start_us - until_us
        if gap_us >= LEAST_GAP_US:
            left, right = span.share(until_us), span.share(later.interval.start_us)
            found.append(DayBarView(0, left, right, length_text(gap_us), "gap"))
    return found


def _ticks(span: DaySpan, zone: ZoneInfo) -> list[tuple[float, str]]:
    hours = range(span.start_us, span.end_us + 1, HOUR_US)
    return [(span.share(at_us), time_text(at_us, zone)) for at_us in hours]


def _spoken(floor: ShopFloor, shown: Sequence[Ended], zone: ZoneInfo) -> str:
    parts = [
        f"{name_of(floor, e.interval)} {time_text(e.interval.start_us, zone)} to {time_text(e.end_us, zone)}"
        for e in shown
    ]
    return "; ".join(parts)
