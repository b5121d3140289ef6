"""From a review to the bars that are drawn."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from shopclock.shop.figures import CUT_DOWN, KEPT, LOST
from shopclock.shop.kinds import Kind
from shopclock.shop.review import Pace, Went, parts
from shopclock.shop.review_words import marks_of
from shopclock.shop.values import Stage, Step
from shopclock.shop.wording import MINUTE_US, day_text, length_text, rounded_parts, shop_time, word, zone_of
from shopclock.widgets.bars_picture import BarRow, BarsPicture, Fill, LineRow, LineSpan, LinesPicture

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.figures import BatchFigures, StageFigures
    from shopclock.shop.floor import Floor
    from shopclock.shop.review import Review, StageReview
    from shopclock.shop.review_days import Day

FILLS = {
    Went.OWN: Fill("dye"),
    Went.SET_UP: Fill("purple", "lines"),
    Went.REWORK: Fill("bronze", "cross"),
    Went.LOST: Fill("red_ground"),
    Went.KEPT: Fill("quiet", "lines"),
    Went.CUT_DOWN: Fill("quiet", "dots"),
}
ENDS = {Went.LOST: LOST, Went.KEPT: KEPT, Went.CUT_DOWN: CUT_DOWN}
WORDS = {Pace.QUICKER: "green", Pace.SLOWER: "red"}
LANES = {Kind.HANDS_ON: "by hand", Kind.WATCH: "stay by it", Kind.WAIT: "waits", Kind.AWAY: "away"}


def bars(floor: Floor, found: Review, *, by_size: bool) -> BarsPicture:
    """The stages of a batch as bars of minutes for each finished piece; all minutes where none finished."""
    told, numbers = found.figures, _numbers(found)
    pairs = list(zip(found.stages, numbers, strict=True))
    if by_size:
        pairs.sort(key=lambda pair: -pair[0].figures.all_us)
    rows = tuple(_row(floor, stage, number, _over(told)) for stage, number in pairs)
    each = f"Minutes per finished {word(floor, 'finished').one}"
    heading = each if told.finished else "Minutes"
    return BarsPicture(heading + (" so far" if told.so_far else ""), _legend(floor, found), rows)


def _over(told: BatchFigures) -> int:
    return told.finished or 1


def _numbers(found: Review) -> list[str]:
    """Minutes of each stage to a digit, so that they add up to the whole."""
    over = _over(found.figures)
    return [str(part) for part in rounded_parts([s.figures.all_us / over / MINUTE_US for s in found.stages])]


def _row(floor: Floor, stage: StageReview, number: str, over: int) -> BarRow:
    usual, per_piece = stage.usual, stage.figures.finished > 0
    return BarRow(
        name=floor.get(Stage, stage.stage_id).name,
        parts=_parts(stage.figures, over),
        number=number,
        low=usual.low_min if usual and per_piece else None,
        high=usual.high_min if usual and per_piece else None,
        word=stage.pace.value if stage.pace else "",
        word_role=WORDS[stage.pace] if stage.pace else "text",
    )


def _parts(stage: StageFigures, over: int) -> tuple[tuple[Fill, float], ...]:
    return tuple((FILLS[went], us / over / MINUTE_US) for went, us in parts(stage).items() if us)


def _legend(floor: Floor, found: Review) -> tuple[tuple[Fill | None, str], ...]:
    """What the fills mean; only what there is."""
    whole = parts(found.figures.whole)
    said: list[tuple[Fill | None, str]] = [
        (FILLS[went], f"{went.value} with {marks_of(floor, found.figures, ENDS[went])}" if went in ENDS else went.value)
        for went, us in whole.items()
        if us or went is Went.OWN
    ]
    ranged = found.figures.finished and any(s.usual and s.usual.low_min is not None for s in found.stages)
    return (*said, (None, "usual range")) if ranged else tuple(said)


def beside(floor: Floor, one: Review, other: Review) -> BarsPicture:
    """Two batches stage by stage: the first filled, the other hatched under it, and how far they are apart."""
    stages = dict.fromkeys(stage.stage_id for found in (one, other) for stage in found.stages)
    numbers = [dict(zip((s.stage_id for s in found.stages), _numbers(found), strict=True)) for found in (one, other)]
    names = (one.figures.batch.name, other.figures.batch.name)
    fills = (FILLS[Went.OWN], Fill("bronze", "lines"))
    rows = []
    for stage in stages:
        minutes = [_minutes(found, stage) for found in (one, other)]
        bars_of = [((fill, n),) if n else () for fill, n in zip(fills, minutes, strict=True)]
        first, second = (known.get(stage, "–") for known in numbers)
        name = floor.get(Stage, stage).name
        rows.append(BarRow(name, bars_of[0], first, second=bars_of[1] or ((fills[1], 0.0),), second_number=second))
    heading = f"Minutes per finished {word(floor, 'finished').one}"
    return BarsPicture(heading, tuple(zip(fills, names, strict=True)), tuple(rows), names)


def _minutes(found: Review, stage_id: int) -> float:
    all_us = next((s.figures.all_us for s in found.stages if s.stage_id == stage_id), 0)
    return all_us / _over(found.figures) / MINUTE_US


def hours(found: Sequence[Day]) -> BarsPicture:
    """The hours of each day that somebody worked."""
    worked = [day for day in found if day.labour_us]
    rows = (BarRow(day_text(day.day), ((FILLS[Went.OWN], day.labour_us / MINUTE_US),), _hours(day)) for day in worked)
    return BarsPicture("Hours by day", (), tuple(rows))


def _hours(day: Day) -> str:
    return length_text(day.labour_us) if day.labour_us else "–"


def time_lines(floor: Floor, found: Sequence[Day]) -> LinesPicture:
    """The days as time lines between the hours that were worked, with what ran."""
    kinds = {LANES[stretch.kind] for day in found for stretch in day.stretches}
    first, last = _hours_worked(floor, found)
    step = 1 if last - first <= 12 else 2
    ticks = tuple(((hour - first) / (last - first), f"{hour}:00") for hour in range(first, last + 1, step))
    rows = tuple(LineRow(day_text(day.day), _spans(floor, day, first, last), _hours(day)) for day in found)
    return LinesPicture(tuple((kind, kind) for kind in LANES.values() if kind in kinds), ticks, rows)


def _hours_worked(floor: Floor, found: Sequence[Day]) -> tuple[int, int]:
    """The whole hours of the day between which somebody was needed: a wait goes on beyond them."""
    needed = [(day, stretch) for day in found for stretch in day.stretches if stretch.kind.attended]
    first = min((int(_clock(floor, day, stretch.start_us)) for day, stretch in needed), default=0)
    last = max((ceil(_clock(floor, day, stretch.end_us)) for day, stretch in needed), default=24)
    return first, max(last, first + 1)


def _spans(floor: Floor, day: Day, first: int, last: int) -> tuple[LineSpan, ...]:
    spans = []
    for stretch in day.stretches:
        at = [_clock(floor, day, us) for us in (stretch.start_us, stretch.end_us)]
        start, end = ((min(max(hour, first), last) - first) / (last - first) for hour in at)
        if end > start:
            spans.append(LineSpan(start, end, LANES[stretch.kind], _name(floor, stretch.step_id)))
    return tuple(spans)


def _clock(floor: Floor, day: Day, at_us: int) -> float:
    """Where the wall clock stands at an instant, in hours; midnight after the day is 24."""
    if at_us >= day.ends_us:
        return 24.0
    at = shop_time(at_us, zone_of(floor))
    return at.hour + at.minute / 60 + at.second / 3600


def _name(floor: Floor, step_id: int | None) -> str:
    return floor.get(Step, step_id).name if step_id is not None else ""
