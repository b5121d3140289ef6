"""Sentences of a stage's page: does it get quicker, one method beside another, the next batch."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.by_date import YEAR_US
from shopclock.analysis.learning.learning import Verdict, from_log
from shopclock.analysis.learning.methods import Comparison, Passing
from shopclock.analysis.learning.sentences import caveat, each_doubling, how_much, without_spread
from shopclock.screens.trends.shown import (
    about,
    batch_name,
    date_text,
    last_text,
    ordinal,
    pattern_name,
    raised,
    usual_text,
    within,
)
from shopclock.screens.trends.sizes import beside_setup, setup_sentence
from shopclock.screens.trends.state import View
from shopclock.shop.figures.trend_rows import ENOUGH
from shopclock.shop.state.wording import minutes_text, word

if TYPE_CHECKING:
    from shopclock.analysis.learning.by_date import Drift
    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.screens.trends.shown import Shown


def beside(shown: Shown) -> str:
    """Say how the later of two methods stands to the earlier one; nothing where they can't be compared."""
    found, pair = shown.answer.comparison, pair_of(shown)
    if not isinstance(found, Comparison) or pair is None:
        return ""
    later, earlier = ("it" if method is shown.main else shown.name(method) for method in pair)
    if crosses(found):
        return _passing(shown, found, later, earlier)
    return _now(found, later, earlier)


def pair_of(shown: Shown) -> tuple[MethodAnswer, MethodAnswer] | None:
    """Return the method taken up later and the earlier one."""
    found, pair = shown.answer.comparison, shown.answer.compared
    if not isinstance(found, Comparison) or pair is None:
        return None
    one, other = (shown.answer.methods[i] for i in pair)
    return (one, other) if found.later_is_first else (other, one)


def crosses(found: Comparison) -> bool:
    """Tell whether there is a crossing to speak of: one of the two has to change, and the place must not be the first.

    Two flat lines that lie close cross by chance, anywhere.
    """
    changes = any(fit.verdict is not Verdict.NO_CHANGE for fit in (found.later, found.earlier))
    return changes and found.passing in (Passing.PASSED, Passing.COMING)


def _passing(shown: Shown, found: Comparison, later: str, earlier: str) -> str:
    where = f"{ordinal(found.count or 1)} {shown.piece.one}{_within(found)}"
    if found.passing is Passing.PASSED:
        batch = f", in {word(shown.floor, 'batch').one} {batch_name(shown.floor, found.lot)}" if found.lot else ""
        return f"{later} passed {earlier} at its {where}{batch}"
    when = f", about {date_text(shown.floor, found.at_us).split(' ', 1)[1]}" if found.at_us is not None else ""
    return f"if it goes on so {later} will pass {earlier} at about its {where}{when}"


def _within(found: Comparison) -> str:
    """Say the range of the crossing in brackets; nothing where an end of it is out of sight."""
    if found.low is None or found.high is None:
        return ""
    return f" ({found.low} to {found.high})" if found.low != found.high else ""


def _now(found: Comparison, later: str, earlier: str) -> str:
    """Say which takes less today, where that is told by the batches."""
    if 1 in found.now_range:
        if "it" in (later, earlier):
            return f"it takes about as long as {later if earlier == 'it' else earlier}"
        return f"{later} and {earlier} take about the same"
    quicker, slower, share = (later, earlier, found.now) if found.now < 1 else (earlier, later, 1 / found.now)
    return f"{quicker} takes {100 * (1 - share):.0f} % less than {slower}"


def sentence(shown: Shown) -> str:
    """Answer what the view in sight asks."""
    asked = {View.DATES: _by_date, View.AFTER: _out_of_the_ordinary, View.SIZES: setup_sentence}
    return asked.get(shown.choice.view, _by_count)(shown)


def more(shown: Shown) -> str:
    """Say what else there is: the other method, the next batch, what to be careful about."""
    of_its_own = {View.DATES: _beside_date, View.AFTER: _beside_after, View.SIZES: beside_setup}
    if shown.choice.view in of_its_own:
        return _named(shown, [of_its_own[shown.choice.view](shown)])
    others = [_other(shown, method) for method in shown.answer.methods if method is not shown.main]
    return _named(shown, [beside(shown), *others, _next(shown), _usually(shown), _asides(shown)])


def _named(shown: Shown, parts: list[str]) -> str:
    said = " ".join(f"{raised(part)}." for part in parts if part)
    if not said or shown.subject == raised(shown.stage):
        return said
    return f"{shown.stage}: {said[:1].lower()}{said[1:]}"


def _by_count(shown: Shown) -> str:
    fit, subject = shown.main.fit, shown.subject
    if isinstance(fit, NoAnswer):
        return _not_yet(shown, fit, f"to tell whether {shown.who} gets quicker")
    average = shown.main.average
    if shown.choice.average and not isinstance(average, NoAnswer):
        change = f"{abs(1 - average.rate) * 100:.0f} % {'quicker' if average.rate < 1 else 'slower'}"
        return f"{subject}: the average of all so far gets {change} each time the count doubles."
    if fit.verdict is Verdict.NO_CHANGE:
        return f"{subject} shows no clear change{_mean(shown)}."
    return f"{subject} gets {each_doubling(fit)}."


def _mean(shown: Shown) -> str:
    level = shown.main.level
    if isinstance(level, NoAnswer):
        return ""
    ends = level.next_range(shown.pattern_id)
    return f": {about(level.at(shown.pattern_id), ends)} {shown.a_piece}{within(ends)}"


def _not_yet(shown: Shown, why: NoAnswer, what: str) -> str:
    said = why.text(word(shown.floor, "batch").many)
    if why.why is NoAnswerReason.FEW:
        return f"{raised(said)} {what}."
    return f"{shown.subject}: {said}."


def _usually(shown: Shown) -> str:
    """Words while there is no rate: what is usual."""
    if not isinstance(shown.main.fit, NoAnswer):
        return ""
    found = shown.main.trend.usual
    if found is None:
        return f"no {word(shown.floor, 'batch').one} counts yet"
    known = [usual_text(found), last_text(found)] if found.n >= ENOUGH else [last_text(found)]
    return f"{', '.join(known)} {shown.a_piece}"


def _other(shown: Shown, method: MethodAnswer) -> str:
    name = shown.name(method)
    if isinstance(method.fit, NoAnswer):
        return ""
    if method.fit.verdict is Verdict.NO_CHANGE:
        return f"{name} is flat"
    return f"{name} gets {how_much(method.fit)} each doubling"


def _next(shown: Shown) -> str:
    """Say what the next batch takes: next batch of 6: 14 min a blade, 12 to 17."""
    found = shown.main.next_batch.get(shown.pattern_id)
    if found is None:
        return ""
    batch = f"next {word(shown.floor, 'batch').one} of {shown.main.ahead}"
    of = f" {pattern_name(shown.floor, shown.pattern_id)}" if len(shown.patterns) > 1 else ""
    minutes = f"{about(found.minutes, found.in_80)} {shown.a_piece}"
    return f"{batch}{of}: {minutes}{within(found.in_80).replace(' (', ', ').rstrip(')')}"


def _asides(shown: Shown) -> str:
    fit, batches = shown.main.fit, word(shown.floor, "batch").many
    if isinstance(fit, NoAnswer):
        return ""
    apart = "count and date point opposite ways" if shown.main.disagree else ""
    return ". ".join(part for part in (caveat(fit, batches), without_spread(fit, batches), apart) if part)


def _by_date(shown: Shown) -> str:
    found = shown.main.dates
    if isinstance(found, NoAnswer):
        return _not_yet(shown, found, f"to tell whether {shown.who} changes by date")
    if not found.trend.significant:
        return f"By date {shown.who} shows no clear change."
    factor = brought(shown, shown.main)
    unit, share = span_of(found)
    slope = found.per_year_min * factor * share
    way = "less" if slope < 0 else "more"
    apart = found.limits is not None and 0 not in found.limits
    ends = ""
    if found.limits is not None and apart:
        low, high = sorted(abs(end * factor * share) for end in (found.limits.low, found.limits.high))
        ends = f" ({low:.1f} to {high:.1f})"
    return f"{shown.subject} takes {abs(slope):.1f} {shown.a_piece} {way} each {unit}{ends}."


def span_of(found: Drift) -> tuple[str, float]:
    """Return what a slope is told by, and its share of a year: months where there is no full year of batches."""
    return ("year", 1.0) if found.at_us[-1] - found.at_us[0] >= YEAR_US else ("month", 1 / 12)


def _beside_date(shown: Shown) -> str:
    """Say what the count says, and whether the two point opposite ways."""
    fit = shown.main.fit
    if isinstance(fit, NoAnswer):
        return _usually(shown)
    by_count = f"gets {each_doubling(fit)}" if each_doubling(fit) else "shows no clear change"
    apart = "; the two point opposite ways" if shown.main.disagree else ""
    return f"by count it {by_count}{apart}"


def brought(shown: Shown, method: MethodAnswer) -> float:
    """Return what brings the minutes of a drift, which stand at the mean level of all, to the pattern that is shown."""
    level, pattern = method.level, shown.pattern_of(method)
    if isinstance(level, NoAnswer):
        return 1.0
    mean = sum(level.means[p] * n for p, n in level.counts.items()) / sum(level.counts.values())
    return from_log(level.means[pattern] - mean) if pattern in level.means else 1.0


def _out_of_the_ordinary(shown: Shown) -> str:
    found = shown.main.after
    batch = word(shown.floor, "batch")
    if isinstance(found, NoAnswer):
        return _not_yet(shown, found, f"to tell what is out of the ordinary for {shown.who}")
    told = [dot for dot in found.dots if dot.told]
    if not told:
        return f"{shown.subject}: none of the {len(found.dots)} {batch.many} was out of the ordinary."
    names = [batch_name(shown.floor, dot.lot) for dot in told]
    if len(told) > 1:
        return f"{', '.join(names[:-1])} and {names[-1]} were out of the ordinary."
    dot = told[0]
    ends = f"{minutes_text(dot.limits.low)} to {minutes_text(dot.limits.high)}"
    return f"{names[0]} was out of the ordinary: {minutes_text(dot.minutes)} {shown.a_piece}, not {ends}."


def _beside_after(shown: Shown) -> str:
    """Say what was expected of each, and what marks besides."""
    found = shown.main.after
    if isinstance(found, NoAnswer):
        return _usually(shown)
    against = "the curve" if found.by_fit else "the mean of its pattern"
    each = f"each {word(shown.floor, 'batch').one} against what {against} expected"
    marked = any(dot.signals and not dot.told for dot in found.dots)
    several = f"; outlined: the last of several {word(shown.floor, 'batch').many} on one side" if marked else ""
    return f"{each}; outside of the band is out of the ordinary{several}"
