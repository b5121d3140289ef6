"""A day as a line: lanes for what was by hand, stayed by and waited, from its first hour to its last."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from shopclock.screens.paged.page import DayBarLook, DayLook
from shopclock.shop.clash import name_of
from shopclock.shop.kinds import Certainty, Kind, worse
from shopclock.shop.told import KIND_WORDS
from shopclock.shop.wording import instant_of, length_text, shop_time, time_text

if TYPE_CHECKING:
    from collections.abc import Sequence
    from zoneinfo import ZoneInfo

    from shopclock.shop.floor import Floor
    from shopclock.shop.values import Interval

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

    stretch: Interval
    end_us: int


@dataclass(frozen=True, slots=True)
class Span:
    """The part of a day that the line shows."""

    start_us: int
    end_us: int

    def share(self, at_us: int) -> float:
        """Where an instant stands, 0 to 1."""
        inside = min(max(at_us, self.start_us), self.end_us)
        return (inside - self.start_us) / (self.end_us - self.start_us)

    def shows(self, ended: Ended) -> bool:
        """Tell whether any of a stretch lies in it."""
        return ended.stretch.start_us < self.end_us and ended.end_us > self.start_us


def day_look(
    floor: Floor, stretches: Sequence[Interval], day_us: tuple[int, int], now_us: int, zone: ZoneInfo
) -> DayLook | None:
    """Draw the stretches of a day; nothing where there are none."""
    every = [Ended(s, now_us if s.end_us is None else s.end_us) for s in stretches]
    if not every:
        return None
    span = _span(every, day_us, zone)
    shown = [ended for ended in every if span.shows(ended)]
    lanes = _lanes(shown)
    rows = sorted(set(lanes.values()))
    bars = [_bar(floor, ended, rows.index(lanes[ended.stretch.id]), span) for ended in shown]
    names = tuple(name if row == 0 else "" for _, name, row in rows)
    return DayLook(names, tuple(_ticks(span, zone)), (*bars, *_gaps(shown, span)), _spoken(floor, shown, zone))


def _span(every: Sequence[Ended], day_us: tuple[int, int], zone: ZoneInfo) -> Span:
    """From the hour in which the first work began to the end of the last one's, within the day."""
    told = [ended for ended in every if ended.stretch.kind.attended] or every
    first = max(day_us[0], min(ended.stretch.start_us for ended in told))
    last = min(day_us[1], max(ended.end_us for ended in told))
    start_us = instant_of(shop_time(first, zone).replace(minute=0, second=0, microsecond=0))
    hours = max(1, -(-(last - start_us) // HOUR_US))
    return Span(start_us, start_us + hours * HOUR_US)


def _lanes(shown: Sequence[Ended]) -> dict[int, Lane]:
    """Give each stretch its lane, a second row where two of a kind are at once."""
    found: dict[int, Lane] = {}
    until: dict[str, list[int]] = {}
    for ended in shown:
        name = LANES[ended.stretch.kind]
        rows = until.setdefault(name, [])
        row = next((i for i, us in enumerate(rows) if us <= ended.stretch.start_us), len(rows))
        row = min(row, MOST_ROWS - 1)
        rows[row:] = [max(ended.end_us, *rows[row : row + 1], 0), *rows[row + 1 :]]
        found[ended.stretch.id] = (tuple(dict.fromkeys(LANES.values())).index(name), name, row)
    return found


def _bar(floor: Floor, ended: Ended, lane: int, span: Span) -> DayBarLook:
    stretch = ended.stretch
    guessed = worse(stretch.start_sure, stretch.end_sure) is Certainty.ESTIMATED
    left, right = span.share(stretch.start_us), span.share(ended.end_us)
    return DayBarLook(lane, left, right, name_of(floor, stretch), ROLES[stretch.kind], guessed)


def _gaps(shown: Sequence[Ended], span: Span) -> list[DayBarLook]:
    """Say how long nobody was at work between two stretches, where there is a lane for hands."""
    attended = [ended for ended in shown if ended.stretch.kind.attended]
    found, until_us = [], 0
    for ended, later in pairwise(attended):
        until_us = max(until_us, ended.end_us)
        gap_us = later.stretch.start_us - until_us
        if gap_us >= LEAST_GAP_US:
            left, right = span.share(until_us), span.share(later.stretch.start_us)
            found.append(DayBarLook(0, left, right, length_text(gap_us), "gap"))
    return found


def _ticks(span: Span, zone: ZoneInfo) -> list[tuple[float, str]]:
    hours = range(span.start_us, span.end_us + 1, HOUR_US)
    return [(span.share(at_us), time_text(at_us, zone)) for at_us in hours]


def _spoken(floor: Floor, shown: Sequence[Ended], zone: ZoneInfo) -> str:
    parts = [
        f"{name_of(floor, e.stretch)} {time_text(e.stretch.start_us, zone)} to {time_text(e.end_us, zone)}"
        for e in shown
    ]
    return "; ".join(parts)
