"""A day as a line: lanes for what was by hand, stayed by and waited, from its first hour to its last."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from shopclock.shop.review.change_text import KIND_WORDS
from shopclock.shop.state.wording import instant_of, length_text, shop_time, time_text
from shopclock.shop.values.kinds import Certainty, Kind, worse
from shopclock.shop.work.overlap_rules import name_of
from shopclock.views.page import DayBarView, DayView

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
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


def day_look(
    floor: ShopFloor, intervals: Sequence[Interval], day_us: tuple[int, int], now_us: int, zone: ZoneInfo
) -> DayView | None:
    """Draw the stretches of a day, from the hour in which the first work began to the end of the last one's.

    Nothing where there are none. What still runs ends now.
    """
    if not intervals:
        return None
    ends_us = {i.id: now_us if i.end_us is None else i.end_us for i in intervals}
    told = [i for i in intervals if i.kind.attended] or intervals
    first_us = max(day_us[0], min(i.start_us for i in told))
    last_us = min(day_us[1], max(ends_us[i.id] for i in told))
    from_us = instant_of(shop_time(first_us, zone).replace(minute=0, second=0, microsecond=0))
    to_us = from_us + max(1, -(-(last_us - from_us) // HOUR_US)) * HOUR_US

    def share(at_us: int) -> float:
        return (min(max(at_us, from_us), to_us) - from_us) / (to_us - from_us)

    def bar(interval: Interval, lane: int) -> DayBarView:
        guessed = worse(interval.start_sure, interval.end_sure) is Certainty.ESTIMATED
        left, right = share(interval.start_us), share(ends_us[interval.id])
        return DayBarView(lane, left, right, name_of(floor, interval), ROLES[interval.kind], guessed)

    shown = [i for i in intervals if i.start_us < to_us and ends_us[i.id] > from_us]
    lanes = _lanes(shown, ends_us)
    rows = sorted(set(lanes.values()))
    gaps = [
        DayBarView(0, share(since_us), share(until_us), length_text(until_us - since_us), "gap")
        for since_us, until_us in _gaps([i for i in shown if i.kind.attended], ends_us)
    ]
    spoken = [f"{name_of(floor, i)} {time_text(i.start_us, zone)} to {time_text(ends_us[i.id], zone)}" for i in shown]
    return DayView(
        tuple(name if row == 0 else "" for _, name, row in rows),
        tuple((share(at_us), time_text(at_us, zone)) for at_us in range(from_us, to_us + 1, HOUR_US)),
        (*(bar(i, rows.index(lanes[i.id])) for i in shown), *gaps),
        "; ".join(spoken),
    )


def _lanes(shown: Sequence[Interval], ends_us: Mapping[int, int]) -> dict[int, Lane]:
    """Give each stretch its lane, a second row where two of a kind are at once."""
    found: dict[int, Lane] = {}
    until: dict[str, list[int]] = {}
    for interval in shown:
        name = LANES[interval.kind]
        rows = until.setdefault(name, [])
        row = next((i for i, us in enumerate(rows) if us <= interval.start_us), len(rows))
        row = min(row, MOST_ROWS - 1)
        rows[row:] = [max(ends_us[interval.id], *rows[row : row + 1], 0), *rows[row + 1 :]]
        found[interval.id] = (tuple(dict.fromkeys(LANES.values())).index(name), name, row)
    return found


def _gaps(attended: Sequence[Interval], ends_us: Mapping[int, int]) -> Iterator[tuple[int, int]]:
    """Yield from when to when nobody was at work between two stretches."""
    until_us = 0
    for interval, later in pairwise(attended):
        until_us = max(until_us, ends_us[interval.id])
        if later.start_us - until_us >= LEAST_GAP_US:
            yield until_us, later.start_us
