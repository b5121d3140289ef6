"""What a review shows besides its sentence, the same on screen and on paper: numbers, heading, legend, time lines."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from shopclock.shop.figures.batch_figures import CUT_DOWN, KEPT, LOST, BatchFigures
from shopclock.shop.review.days import Day
from shopclock.shop.review.pieces import Loss
from shopclock.shop.review.review import Review, Went, parts
from shopclock.shop.review.sentences import marks_of
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import MINUTE_US, rounded_parts, shop_time, word, zone_of
from shopclock.shop.values.entities import Step
from shopclock.shop.values.kinds import Kind, Outcome

LANES = {Kind.HANDS_ON: "by hand", Kind.WATCH: "stay by it", Kind.WAIT: "waits", Kind.AWAY: "away"}
_ENDS = {Went.LOST: LOST, Went.KEPT: KEPT, Went.CUT_DOWN: CUT_DOWN}
_ENDED = {Outcome.SCRAPPED: "lost", Outcome.KEPT: "kept", Outcome.CUT_DOWN: "cut down"}


def over(told: BatchFigures) -> int:
    """Return what minutes are divided by: the finished pieces; 1 where there are none."""
    return told.finished or 1


def numbers(found: Review) -> list[str]:
    """Say the minutes of each stage to a digit, so that they add up to the whole."""
    n = over(found.figures)
    return [str(part) for part in rounded_parts([s.figures.all_us / n / MINUTE_US for s in found.stages])]


def heading(floor: ShopFloor, told: BatchFigures) -> str:
    """Say what the bars measure."""
    each = f"Minutes per finished {word(floor, 'finished').one}" if told.finished else "Minutes"
    return each + (" so far" if told.so_far else "")


def legend(floor: ShopFloor, found: Review) -> list[tuple[Went | None, str]]:
    """Say what the fillings mean, only of what there is; nothing stands for the usual range."""
    said: list[tuple[Went | None, str]] = [
        (went, f"{went.value} with {marks_of(floor, found.figures, _ENDS[went])}" if went in _ENDS else went.value)
        for went, us in parts(found.figures.whole).items()
        if us or went is Went.OWN
    ]
    ranged = found.figures.finished and any(s.usual and s.usual.low_min is not None for s in found.stages)
    return [*said, (None, "usual range")] if ranged else said


def loss_text(loss: Loss) -> str:
    """Say how a piece ended, and where: E lost at Drill tang."""
    where = f" at {loss.step.name}" if loss.step is not None else ""
    return f"{loss.piece.mark} {_ENDED[loss.outcome]}{where}"


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch on a day's line, from and to in parts of the hours shown, with what it was and its step."""

    start: float
    end: float
    kind: Kind
    name: str


def hours_worked(floor: ShopFloor, found: Sequence[Day]) -> tuple[int, int]:
    """Return the whole hours of the day between which somebody was needed: a wait goes on beyond them."""
    needed = [(day, interval) for day in found for interval in day.intervals if interval.kind.attended]
    first = min((int(_clock(floor, day, interval.start_us)) for day, interval in needed), default=0)
    last = max((ceil(_clock(floor, day, interval.end_us)) for day, interval in needed), default=24)
    return first, max(last, first + 1)


def ticks(hours: tuple[int, int]) -> tuple[tuple[float, str], ...]:
    """Return where the hours stand on a line, and how they are said."""
    first, last = hours
    step = 1 if last - first <= 12 else 2
    return tuple(((hour - first) / (last - first), f"{hour}:00") for hour in range(first, last + 1, step))


def spans(floor: ShopFloor, day: Day, hours: tuple[int, int]) -> tuple[Span, ...]:
    """Return what ran on a day within the hours shown."""
    (first, last), found = hours, []
    for interval in day.intervals:
        at = [_clock(floor, day, us) for us in (interval.start_us, interval.end_us)]
        start, end = ((min(max(hour, first), last) - first) / (last - first) for hour in at)
        if end > start:
            name = floor.get(Step, interval.step_id).name if interval.step_id is not None else ""
            found.append(Span(start, end, interval.kind, name))
    return tuple(found)


def _clock(floor: ShopFloor, day: Day, at_us: int) -> float:
    """Where the wall clock stands at an instant, in hours; midnight after the day is 24."""
    if at_us >= day.ends_us:
        return 24.0
    at = shop_time(at_us, zone_of(floor))
    return at.hour + at.minute / 60 + at.second / 3600
