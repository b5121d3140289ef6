"""Pictures of a review, on a window and on paper: bars by stage, days as lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.review.review import Pace, Went, parts
from shopclock.shop.review.sentences import LANES, common, half_done, heading, legend, numbers, over, through_text
from shopclock.shop.state.wording import MINUTE_US, day_text, length_text, minutes_text, shop_time, word, zone_of
from shopclock.shop.values.entities import Stage, Step
from shopclock.views.bars_picture import BarRow, BarsPicture, Fill, LineRow, LineSpan, LinesPicture, day_lines
from shopclock.views.dots_picture import DotRow, DotsPicture, PieceDot

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.figures.batch_figures import StageFigures
    from shopclock.shop.review.review import Day, Loss, Review, Spread, StageReview
    from shopclock.shop.state.shop_floor import ShopFloor

FILLS = {
    Went.OWN: Fill("dye"),
    Went.SET_UP: Fill("purple", "lines"),
    Went.REWORK: Fill("bronze", "cross"),
    Went.LOST: Fill("red_ground"),
    Went.KEPT: Fill("quiet", "lines"),
    Went.CUT_DOWN: Fill("quiet", "dots"),
}
WORDS = {Pace.QUICKER: "green", Pace.SLOWER: "red"}


def bars(floor: ShopFloor, found: Review, *, by_size: bool) -> BarsPicture:
    """The stages of a batch as bars of minutes for each finished piece; all minutes where none finished."""
    told = found.figures
    pairs = list(zip(found.stages, numbers(found), strict=True))
    if by_size:
        pairs.sort(key=lambda pair: -pair[0].figures.all_us)
    rows = tuple(_row(floor, found, stage, number) for stage, number in pairs)
    said = tuple((FILLS[went] if went else None, text) for went, text in legend(floor, found))
    return BarsPicture(heading(floor, told), said, rows)


def _row(floor: ShopFloor, found: Review, stage: StageReview, number: str) -> BarRow:
    usual, per_piece, half = stage.usual, stage.figures.finished > 0, half_done(found, stage)
    name = floor.get(Stage, stage.stage_id).name
    return BarRow(
        name=f"{name}, {through_text(stage.figures)}" if half else name,
        parts=_through(stage.figures) if half else _parts(stage.figures, over(found.figures)),
        number=number,
        low=usual.low_min if usual and per_piece else None,
        high=usual.high_min if usual and per_piece else None,
        word=stage.pace.value if stage.pace else "",
        word_role=WORDS[stage.pace] if stage.pace else "text",
        told=stage.pace is not None,
    )


def _parts(stage: StageFigures, over: int) -> tuple[tuple[Fill, float], ...]:
    return tuple((FILLS[went], us / over / MINUTE_US) for went, us in parts(stage).items() if us)


def _through(stage: StageFigures) -> tuple[tuple[Fill, float], ...]:
    """The same for each piece that is through."""
    own = stage.of_passed
    spent = {Went.OWN: own.run_us, Went.SET_UP: own.setup_us, Went.REWORK: own.rework_us}
    return tuple((FILLS[went], us / stage.passed / MINUTE_US) for went, us in spent.items() if us)


def beside(floor: ShopFloor, one: Review, other: Review) -> BarsPicture:
    """Two batches stage by stage: the first filled, the other hatched under it, and how far they are apart."""
    stages = common(one, other)
    said = [dict(zip((s.stage_id for s in found.stages), numbers(found), strict=True)) for found in (one, other)]
    names = (one.figures.batch.name, other.figures.batch.name)
    fills = (FILLS[Went.OWN], Fill("bronze", "lines"))
    rows = []
    for stage in stages:
        minutes = [_minutes(found, stage) for found in (one, other)]
        bars_of = [((fill, n),) if n else () for fill, n in zip(fills, minutes, strict=True)]
        first, second = (known.get(stage, "–") for known in said)
        name = floor.get(Stage, stage).name
        rows.append(BarRow(name, bars_of[0], first, second=bars_of[1] or ((fills[1], 0.0),), second_number=second))
    each = f"Minutes per finished {word(floor, 'finished').one}"
    return BarsPicture(each, tuple(zip(fills, names, strict=True)), tuple(rows), names)


def _minutes(found: Review, stage_id: int) -> float:
    all_us = next((s.figures.all_us for s in found.stages if s.stage_id == stage_id), 0)
    return all_us / over(found.figures) / MINUTE_US


def piece_dots(floor: ShopFloor, found: Sequence[Spread], lost: Sequence[Loss], longest: Spread | None) -> DotsPicture:
    """Rows of a dot a piece, one for each stage worked one by one; `longest` is the one that the sentence names."""
    gone = {loss.piece.mark for loss in lost}
    rows = []
    for spread in found:
        alone = len(spread.minutes) == 1
        dots = tuple(PieceDot(mark, minutes, mark in gone) for mark, minutes in spread.minutes)
        rows.append(
            DotRow(
                floor.get(Stage, spread.stage_id).name,
                dots,
                "–" if alone else minutes_text(spread.middle_min),
                None if alone else spread.middle_min,
                f"one {word(floor, 'piece').one}: no spread" if alone else "",
                spread is longest,
            )
        )
    what = f"Minutes of each {word(floor, 'piece').one}: a dot each, the longest by its letter, the middle a bar"
    return DotsPicture(f"{what}{', red what did not finish' if gone else ''}", "middle", tuple(rows))


def hours(found: Sequence[Day]) -> BarsPicture:
    """The hours of each day that somebody worked."""
    worked = [day for day in found if day.labour_us]
    rows = (BarRow(day_text(day.day), ((FILLS[Went.OWN], day.labour_us / MINUTE_US),), _hours(day)) for day in worked)
    return BarsPicture("Hours by day", (), tuple(rows))


def _hours(day: Day) -> str:
    return length_text(day.labour_us) if day.labour_us else "–"


def time_lines(floor: ShopFloor, found: Sequence[Day]) -> LinesPicture:
    """The days as time lines between the hours that were worked, with what ran."""
    return day_lines([LineRow(day_text(day.day), _spans(floor, day), _hours(day)) for day in found])


def _spans(floor: ShopFloor, day: Day) -> tuple[LineSpan, ...]:
    """Spans of what ran on a day, in hours of the wall clock; midnight after the day is 24."""

    def clock(at_us: int) -> float:
        at = shop_time(at_us, zone_of(floor))
        return at.hour + at.minute / 60 + at.second / 3600 if at_us < day.ends_us else 24.0

    names = {step.id: step.name for step in floor.all(Step)}
    return tuple(
        LineSpan(clock(i.start_us), clock(i.end_us), LANES[i.kind], (names.get(i.step_id or 0, ""),))
        for i in day.intervals
    )
