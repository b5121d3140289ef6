"""What stands on the review of a batch: its sentence, its bars, its days, its losses, its readings, its next time."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from shopclock.exchange.paper.page import PaperFill
from shopclock.exchange.paper.source import Source, dated, day_of, shop_name
from shopclock.shop.review.review import Day, Review, StageReview, Went, days, losses, parts, review
from shopclock.shop.review.sentences import (
    LANES,
    answer,
    hands_on_text,
    heading,
    hours_worked,
    legend,
    loss_text,
    more,
    numbers,
    over,
    spans,
    ticks,
)
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import MINUTE_US, day_text, length_text
from shopclock.shop.values.entities import Batch, Pattern, Reading, ReadingKind, Stage
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work.readings import measured, outside, target, whose

FILLS = {
    Went.OWN: PaperFill.SOLID,
    Went.SET_UP: PaperFill.RISING,
    Went.REWORK: PaperFill.CROSS,
    Went.LOST: PaperFill.NONE,
    Went.KEPT: PaperFill.PALE,
    Went.CUT_DOWN: PaperFill.UPRIGHT,
}
MOST_IDLE = 2
"""Days in a row without work that get a line each."""
KINDS = {
    Kind.HANDS_ON: PaperFill.SOLID,
    Kind.WATCH: PaperFill.CROSS,
    Kind.WAIT: PaperFill.RISING,
    Kind.AWAY: PaperFill.NONE,
}


@dataclass(frozen=True, slots=True)
class PaperBar:
    """A stage: its parts in minutes, the number beside it, the usual range, how it lies to it."""

    name: str
    parts: tuple[tuple[PaperFill, float], ...]
    number: str
    low: float | None
    high: float | None
    pace: str


@dataclass(frozen=True, slots=True)
class PaperDayLine:
    """A day: what ran from where to where in the hours shown, and the hours worked."""

    day: str
    spans: tuple[tuple[float, float, PaperFill], ...]
    hours: str


@dataclass(frozen=True, slots=True)
class ReviewSheet:
    """All that stands on the review of a batch. A filling of nothing is the mark of the usual range."""

    shop: str
    title: str
    as_of: str
    answer: str
    more: str
    heading: str
    legend: tuple[tuple[PaperFill | None, str], ...]
    bars: tuple[PaperBar, ...]
    losses: tuple[str, ...]
    kinds: tuple[tuple[PaperFill, str], ...]
    ticks: tuple[tuple[float, str], ...]
    days: tuple[PaperDayLine, ...]
    readings: tuple[tuple[str, str], ...]
    next_time: str


def review_facts(source: Source, batch_id: int, now_us: int) -> ReviewSheet:
    """Read off what the review of a batch says."""
    floor = source.load_batch(batch_id)
    found = review(floor, source.reads.stage_rows(now_us), batch_id, now_us)
    batch, worked = floor.get(Batch, batch_id), days(floor, batch_id, now_us)
    shown = hours_worked(floor, worked)
    ran = {interval.kind for day in worked for interval in day.intervals}
    share = hands_on_text(found)
    return ReviewSheet(
        shop=shop_name(floor),
        title=f"{batch.name} {floor.get(Pattern, batch.pattern_id).name}",
        as_of=f"Written {dated(day_of(floor, now_us))}",
        answer=answer(floor, found.figures),
        more=f"{more(floor, found)}{f' {share[:1].upper()}{share[1:]}.' if share else ''}",
        heading=heading(floor, found.figures),
        legend=tuple((FILLS[went] if went else None, said) for went, said in legend(floor, found)),
        bars=_bars(floor, found),
        losses=tuple(
            f"{loss_text(loss)}, {loss.reason or 'no reason noted'}: {length_text(loss.us)} of work in it."
            for loss in losses(floor, batch_id, now_us)
        ),
        kinds=tuple((KINDS[kind], said) for kind, said in LANES.items() if kind in ran),
        ticks=ticks(shown),
        days=_days(floor, worked, shown),
        readings=_readings(floor, batch_id),
        next_time=batch.next_time,
    )


def _bars(floor: ShopFloor, found: Review) -> tuple[PaperBar, ...]:
    n = over(found.figures)
    return tuple(_bar(floor, stage, number, n) for stage, number in zip(found.stages, numbers(found), strict=True))


def _bar(floor: ShopFloor, stage: StageReview, number: str, n: int) -> PaperBar:
    ranged = stage.usual if stage.figures.finished else None
    return PaperBar(
        name=floor.get(Stage, stage.stage_id).name,
        parts=tuple((FILLS[went], us / n / MINUTE_US) for went, us in parts(stage.figures).items() if us),
        number=number,
        low=ranged.low_min if ranged else None,
        high=ranged.high_min if ranged else None,
        pace=stage.pace.value if stage.pace else "",
    )


def _days(floor: ShopFloor, worked: Sequence[Day], shown: tuple[int, int]) -> tuple[PaperDayLine, ...]:
    """A line for each day; days in a row without any work share one, which says to when they go."""
    lines = []
    for idle, some in groupby(worked, key=lambda day: not day.labour_us):
        alike = list(some)
        if idle and len(alike) > MOST_IDLE:
            lines.append(replace(_day(floor, alike[-1], shown), day=f"… to {day_text(alike[-1].day)}"))
        else:
            lines += [_day(floor, day, shown) for day in alike]
    return tuple(lines)


def _day(floor: ShopFloor, day: Day, shown: tuple[int, int]) -> PaperDayLine:
    ran = tuple((span.start, span.end, KINDS[span.kind]) for span in spans(floor, day, shown))
    return PaperDayLine(day_text(day.day), ran, length_text(day.labour_us) if day.labour_us else "–")


def _readings(floor: ShopFloor, batch_id: int) -> tuple[tuple[str, str], ...]:
    """Each kind of reading with its target, and what was measured of whom, in the order it was taken."""
    found: dict[tuple[int, str], list[str]] = defaultdict(list)
    for reading in sorted(floor.of_batch(Reading, batch_id), key=lambda r: (r.at_us, r.id)):
        aim = target(reading)
        wrong = outside(floor, reading)
        said = f"{whose(floor, reading)} {measured(reading).shown}{f' ({wrong})' if wrong else ''}"
        found[reading.kind_id, f", wanted {aim}" if aim is not None else f", {reading.unit}"].append(said)
    return tuple((f"{floor.get(ReadingKind, kind).name}{aim}", ", ".join(all_)) for (kind, aim), all_ in found.items())
