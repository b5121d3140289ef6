"""Review in sentences, numbers and legend, the same on screen and on paper."""

from collections import defaultdict
from collections.abc import Sequence

from shopclock.shop.figures.batch_figures import CUT_DOWN, KEPT, LOST, BatchFigures, StageFigures
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.figures.untimed import Untimed
from shopclock.shop.review.review import Loss, Pace, Review, Spread, StageReview, Went, parts
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import (
    MINUTE_US,
    counted,
    length_text,
    minutes_text,
    rounded_parts,
    shop_time,
    word,
    zone_of,
)
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.habits import figure
from shopclock.shop.values.kinds import Kind, Outcome
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.makers import name_of_maker

CARRIED = {LOST: "lost with", KEPT: "kept with", CUT_DOWN: "cut down with"}


def answer(floor: ShopFloor, told: BatchFigures) -> str:
    """Say where the minutes of a finished piece went; its parts add up to it."""
    finished, batch = word(floor, "finished"), word(floor, "batch").one
    if not told.whole.all_us:
        return f"No work is timed in this {batch} yet." if told.so_far else f"No work was timed in this {batch}."
    parts = _parts(told)
    whole = f"{_least(told)}{_length(sum(parts))} of work"
    if not told.finished:
        nothing = f"No {finished.one} {'is left' if told.so_far else 'was finished'}"
        return f"{nothing}; {whole}: {_carried_text(floor, told, parts[1:])}."
    said = f"{whole} in each {finished.one}{' so far' if told.so_far else ''}"
    carried = _carried_text(floor, told, parts[1:])
    return _begun(f"{said}: {_length(parts[0])} its own, {carried}." if carried else f"{said}.")


def untimed_text(found: Sequence[Untimed]) -> str:
    """Name the steps that have no minutes: Harden and Temper 1 have no minutes."""
    names = [one.step.name for one in found]
    named = " and ".join(names) if len(names) < 3 else f"{names[0]}, {names[1]} and {len(names) - 2} steps more"
    return f"{named} {'has' if len(names) == 1 else 'have'} no minutes"


def _begun(text: str) -> str:
    return text[:1].upper() + text[1:]


def _least(told: BatchFigures) -> str:
    return "at least " if told.at_least else ""


def _carried(stage: StageFigures) -> dict[Outcome, int]:
    return {end: us for end, us in stage.carried.items() if us}


def _parts(told: BatchFigures) -> list[int]:
    """Whole minutes of a finished piece (of all where none is): its own, then what each kind of ended one took."""
    exact = [told.whole.of_finished.all_us, *_carried(told.whole).values()]
    return [int(part) for part in rounded_parts([us / (told.finished or 1) / MINUTE_US for us in exact], 0)]


def _length(minutes: int) -> str:
    return length_text(minutes * MINUTE_US)


def _carried_text(floor: ShopFloor, told: BatchFigures, minutes: Sequence[int]) -> str:
    """Say what went into the pieces that did not finish; what is under half a minute is left out."""
    pairs = zip(_carried(told.whole), minutes, strict=True)
    return ", ".join(f"{_length(n)} {CARRIED[end]} {marks_of(floor, told, end)}" for end, n in pairs if n)


def marks_of(floor: ShopFloor, told: BatchFigures, end: Outcome) -> str:
    """Say which pieces of a batch ended so: E, or A–C."""
    return spoken([piece.mark for piece in floor.pieces(told.batch.id) if piece.outcome is end])


def unusual(floor: ShopFloor, found: Review) -> str:
    """Say which stages were quicker or slower than their last eight; empty where none was."""
    names = {
        pace: [floor.get(Stage, stage.stage_id).name for stage in found.stages if stage.pace is pace] for pace in Pace
    }
    quicker, slower = (_joined(names[pace]) for pace in Pace)
    said = [f"{quicker} {_were(names[Pace.QUICKER])} quicker than usual" if quicker else ""]
    if slower:
        said.append(
            f"{_small(slower)} slower" if quicker else f"{slower} {_were(names[Pace.SLOWER])} slower than usual"
        )
    return f"{', '.join(part for part in said if part)}." if any(said) else ""


def _were(names: Sequence[str]) -> str:
    return "were" if len(names) > 1 else "was"


def _joined(names: Sequence[str]) -> str:
    names = [*names[:1], *map(_small, names[1:])]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}" if names else ""


def _small(name: str) -> str:
    """Begin a stage's name small inside a sentence, unless it is all capitals."""
    return name if name[1:2].isupper() else name[:1].lower() + name[1:]


def counts_text(floor: ShopFloor, told: BatchFigures) -> str:
    """Say how many were started and how each ended: 7 started, 6 finished, 1 lost."""
    ends = [piece.outcome for piece in floor.pieces(told.batch.id)]
    said = [f"{told.started} started"]
    if told.so_far:
        said.append(f"{sum(end is None for end in ends)} in work")
    done = sum(end is not None and end.finished for end in ends)
    if done or not told.so_far:
        said.append(f"{done} finished")
    if told.seconds:
        said.append(f"{told.seconds} of them second")
    other = {LOST: "lost", KEPT: "kept", CUT_DOWN: "cut down"}
    return ", ".join([*said, *(f"{ends.count(end)} {name}" for end, name in other.items() if end in ends)])


def days_text(floor: ShopFloor, found: Review) -> str:
    """Say how many days it took, by the shop's calendar: 11 days from first cut to packed."""
    if not found.first_us:
        return ""
    zone = zone_of(floor)
    n = (shop_time(found.last_us, zone).date() - shop_time(found.first_us, zone).date()).days + 1
    long = f"{n} day{'s' * (n > 1)}"
    return f"{long} since the first cut" if found.figures.so_far else f"{long} from first cut to packed"


def more(floor: ShopFloor, found: Review) -> str:
    """Say under the answer what was out of the usual, the counts and the days."""
    counts = ", ".join(part for part in (counts_text(floor, found.figures), days_text(floor, found)) if part)
    untimed = " Some steps were not timed." if found.figures.at_least else ""
    return " ".join(part for part in (unusual(floor, found), f"{counts}.{untimed}") if part)


def makers_text(floor: ShopFloor, batch_id: int, now_us: int) -> str:
    """Say how much of a batch's work is whose; empty where one maker did all of it."""
    worked: dict[int, int] = defaultdict(int)
    for row in piece_labour(floor, batch_id, now_us):
        worked[row.maker_id] += row.us
    if len(worked) < 2:
        return ""
    said = (f"{name_of_maker(floor, maker)} {length_text(us)}" for maker, us in sorted(worked.items()))
    return f"{', '.join(said)}."


def hands_on_text(found: Review) -> str:
    """Say the share of the days that was work; empty where there is none to say."""
    share = found.hands_on_share
    if share is None or not found.figures.whole.all_us:
        return ""
    return f"{share * 100:.0f} % of the time from first start to last finish was work"


def right_first_text(
    floor: ShopFloor, told: BatchFigures, n: int, share: float | None, wrong: Sequence[tuple[str, int, int]]
) -> str:
    """Say how many were right first time, in one line.

    `n`: finished without rework. `share`: right at every stage, all of them multiplied; nothing where none came to one.
    `wrong`: the stages where not all were, with how many of how many.
    """
    if share is None:
        return ""
    where = ", ".join(f"{name} {right} of {came}" for name, right, came in wrong)
    so_far = " so far" if told.so_far else f": {n} of {counted(floor, 'piece', told.started)}"
    if not wrong:
        return f"Right first time{so_far}{' at every ' + word(floor, 'stage').one if told.so_far else ''}."
    stages = word(floor, "stage").many
    return f"Right first time{so_far}, {100 * share:.0f} % through all {stages}; not at {where}."


LEAST_PIECES = 3
"""Of fewer none stands out."""
FAR_OUT = 1.25
"""A piece that took so many times the middle stands out; common practice, no source."""


def stands_out(found: Sequence[Spread]) -> Spread | None:
    """Return the stage whose longest piece stands out most from its middle; nothing where none does."""
    known = [one for one in found if len(one.minutes) >= LEAST_PIECES and one.longest[1] >= FAR_OUT * one.middle_min]
    return max(known, key=lambda one: one.longest[1] - one.middle_min, default=None)


def longest_text(floor: ShopFloor, found: Spread) -> str:
    """Say which piece stands out, and where: A took longest at Harden: 26 min against 8."""
    mark, most = found.longest
    digits = 0 if found.middle_min >= 10 else 1
    stage = floor.get(Stage, found.stage_id).name
    return f"{mark} took longest at {stage}: {figure(most, digits)} min against {figure(found.middle_min, digits)}."


def losses_text(found: Sequence[Loss]) -> str:
    """Say what did not finish, together what went together: J lost at Glue up (other): 1 h 45 gone with it."""
    grouped: dict[tuple[str, str], list[Loss]] = {}
    for loss in found:
        grouped.setdefault((loss_text(loss).removeprefix(loss.piece.mark), loss.reason), []).append(loss)
    return " ".join(
        f"{spoken([loss.piece.mark for loss in own])}{how} ({reason or 'no reason noted'}): "
        f"{length_text(sum(loss.us for loss in own))} gone with {'it' if len(own) == 1 else 'them'}."
        for (how, reason), own in grouped.items()
    )


def beside_text(floor: ShopFloor, one: Review, other: Review) -> str:
    """Say two batches in one sentence: minutes of a finished piece in each, and the difference.

    Where one is open: over the stages that all pieces of both are through.
    """
    name, told = word(floor, "finished").one, (one.figures, other.figures)
    minutes = [_minutes_each(each) for each in told]
    if None not in minutes and any(each.so_far for each in told):
        return _common_text(floor, one, other)
    if minutes[0] is None or minutes[1] is None:
        without = [each.batch.name for each, took in zip(told, minutes, strict=True) if took is None]
        return f"No minutes for each {name} in {' and '.join(without)}."
    first, second = (
        f"{_least(each)}{_length(took or 0)} in {each.batch.name}" for each, took in zip(told, minutes, strict=True)
    )
    return _begun(f"{first} for each {name}, {second}: {_gap(minutes[0] - minutes[1])}.")


def _gap(gap: int) -> str:
    return f"{_length(abs(gap))} {'more' if gap > 0 else 'less'}" if gap else "the same"


def _minutes_each(told: BatchFigures) -> int | None:
    return sum(_parts(told)) if told.finished and told.whole.all_us else None


def common(one: Review, other: Review) -> tuple[int, ...]:
    """Return the stages to compare two batches over: where one is open, those that all pieces of both are through."""
    if not (one.figures.so_far or other.figures.so_far):
        return tuple(dict.fromkeys(stage.stage_id for found in (one, other) for stage in found.stages))
    through = {stage.stage_id for stage in other.stages if not stage.figures.half_done}
    return tuple(s.stage_id for s in one.stages if not s.figures.half_done and s.stage_id in through)


def _common_text(floor: ShopFloor, one: Review, other: Review) -> str:
    """Say the same over common stages alone: 41 min in 26-10 for each blade through Saw and Bevels, 38 min in 26-09."""
    names, stages = [found.figures.batch.name for found in (one, other)], common(one, other)
    if not stages:
        return f"{names[0]} and {names[1]} have no {word(floor, 'stage').one} yet that all of both are through."
    each = [
        round(sum(s.figures.all_us for s in found.stages if s.stage_id in stages) / over(found.figures) / MINUTE_US)
        for found in (one, other)
    ]
    said = [floor.get(Stage, stage).name for stage in stages]
    where = _joined(said) if len(said) < 4 else f"the {counted(floor, 'stage', len(said))} that both are through"
    piece, gap = word(floor, "piece").one, _gap(each[0] - each[1])
    took = f"{_length(each[0])} for each {piece} in {names[0]}, {_length(each[1])} in {names[1]}"
    return _begun(f"{where}: {took}, {gap}.")


LANES = {Kind.HANDS_ON: "by hand", Kind.WATCH: "stay by it", Kind.WAIT: "waits", Kind.AWAY: "away"}
_ENDS = {Went.LOST: LOST, Went.KEPT: KEPT, Went.CUT_DOWN: CUT_DOWN}
_ENDED = {Outcome.SCRAPPED: "lost", Outcome.KEPT: "kept", Outcome.CUT_DOWN: "cut down"}


def over(told: BatchFigures) -> int:
    """Return what minutes are divided by: the finished pieces; 1 where there are none."""
    return told.finished or 1


def half_done(found: Review, stage: StageReview) -> bool:
    """Tell whether an open batch is in the middle of a stage: its minutes are then told for each piece through."""
    return found.figures.so_far and stage.figures.half_done


def numbers(found: Review) -> list[str]:
    """Say the minutes of each stage to a digit, so that they add up to the whole.

    Of a stage that an open batch is in the middle of: for each piece that is through; a dash where none is.
    """
    n = over(found.figures)
    whole = rounded_parts([s.figures.all_us / n / MINUTE_US for s in found.stages])
    return [
        minutes_text(each_through(s.figures)) if half_done(found, s) else str(part)
        for s, part in zip(found.stages, whole, strict=True)
    ]


def each_through(stage: StageFigures) -> float | None:
    """Return the minutes of a piece that passed a stage, set-up and rework in it; nothing where none did."""
    return stage.of_passed.all_us / stage.passed / MINUTE_US if stage.passed else None


def through_text(stage: StageFigures) -> str:
    """Say how far a stage is: 3 of 7 through."""
    return f"{stage.through} of {stage.finished} through"


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
