"""Sentences of a stage's page: does it get quicker, one method beside another, the next batch."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.change import Change
from shopclock.analysis.learning.methods import Comparison, Passing
from shopclock.analysis.learning.sentences import (
    SURE,
    between,
    caveat,
    change_text,
    each_doubling,
    percent,
    without_spread,
)
from shopclock.analysis.model.verdict import STEADY, Verdict
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
from shopclock.shop.values.habits import figure
from shopclock.shop.values.names import columns

if TYPE_CHECKING:
    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.screens.trends.shown import Shown

TWO_LINES = 255
"""Letters that the two lines under the sentence hold in every window."""


def beside(shown: Shown) -> str:
    """Say how the later of two methods stands to the earlier one; nothing where they can't be compared."""
    found, pair = shown.answer.comparison, pair_of(shown)
    if not isinstance(found, Comparison) or pair is None:
        return ""
    later, earlier = (shown.name(method) for method in pair)
    if crosses(shown):
        return _passing(shown, found, later, earlier)
    return _now(found, later, earlier)


def pair_of(shown: Shown) -> tuple[MethodAnswer, MethodAnswer] | None:
    """Return the method taken up later and the earlier one."""
    found, pair = shown.answer.comparison, shown.answer.compared
    if not isinstance(found, Comparison) or pair is None:
        return None
    one, other = (shown.answer.methods[i] for i in pair)
    return (one, other) if found.later_is_first else (other, one)


def crosses(shown: Shown) -> bool:
    """Tell whether there is a crossing to speak of: one of the two has to change, and the place must not be the first.

    Two flat lines that lie close cross by chance, anywhere.
    """
    found, pair = shown.answer.comparison, pair_of(shown)
    if not isinstance(found, Comparison) or pair is None:
        return False
    changes = (method.change for method in pair)
    moves = any(isinstance(one, Change) and (one.verdict.improved or one.verdict is Verdict.SLOWER) for one in changes)
    return moves and found.low is not None and found.passing in (Passing.PASSED, Passing.COMING)


def _passing(shown: Shown, found: Comparison, later: str, earlier: str) -> str:
    """Say where one passes the other, always with the range; a batch or a date only where both ends are in sight."""
    piece = shown.piece.one
    if found.high is None:
        return f"{later} passes {earlier} from its {ordinal(found.low or 1)} {piece} on, perhaps never"
    where = f"{ordinal(found.count or 1)} {piece}{_within(found)}"
    if found.passing is Passing.PASSED:
        batch = f", in {word(shown.floor, 'batch').one} {batch_name(shown.floor, found.lot)}" if found.lot else ""
        return f"{later} passed {earlier} at its {where}{batch}"
    when = f", about {date_text(shown.floor, found.at_us).split(' ', 1)[1]}" if found.at_us is not None else ""
    return f"if it goes on so {later} will pass {earlier} at about its {where}{when}"


def _within(found: Comparison) -> str:
    return f" ({found.low} to {found.high})" if found.low != found.high else ""


def _now(found: Comparison, later: str, earlier: str) -> str:
    """Say which takes less today, where that can be told; about as long only where all of the range is close."""
    ends = found.now_range
    if ends.low >= 1 - STEADY and ends.high <= 1 + STEADY:
        return f"{later} and {earlier} take about as long"
    if 1 in ends:
        return f"which is quicker, {later} or {earlier}, can't be told yet ({later} takes {between(ends)})"
    quicker, slower, share = (later, earlier, found.now) if found.now < 1 else (earlier, later, 1 / found.now)
    low, high = sorted((ends.low, ends.high)) if found.now < 1 else sorted((1 / ends.high, 1 / ends.low))
    return f"{quicker} takes {percent(share)} less than {slower} ({between(Range(low, high))})"


def sentence(shown: Shown) -> str:
    """Answer what the view in sight asks."""
    asked = {View.DATES: _by_date, View.AFTER: _out_of_the_ordinary, View.SIZES: setup_sentence}
    return asked.get(shown.choice.view, _by_count)(shown)


def more(shown: Shown) -> str:
    """Say what else there is: the other method, the next batch, what to be careful about."""
    of_its_own = {View.DATES: _beside_date, View.AFTER: _beside_after, View.SIZES: beside_setup}
    if shown.choice.view in of_its_own:
        parts = [of_its_own[shown.choice.view](shown)]
    else:
        others = [_other(shown, method) for method in shown.answer.methods if method is not shown.main]
        parts = [_next_ten(shown), beside(shown), *others, _next(shown), _usually(shown), _asides(shown)]
        spare = [_next_ten(shown), *others, _usually(shown)]  # each stands where it was worked out, too
        for one in reversed(spare):
            if columns(_all_said(shown, parts)) > TWO_LINES:
                parts.remove(one)
    return _all_said(shown, parts)


def _all_said(shown: Shown, parts: list[str]) -> str:
    return _named(shown, [*parts, _how_sure(sentence(shown), *parts)])


def _named(shown: Shown, parts: list[str]) -> str:
    said = " ".join(f"{raised(part)}." for part in parts if part)
    if not said or shown.subject == raised(shown.stage):
        return said
    return f"{shown.stage}: {said[:1].lower()}{said[1:]}"


def _by_count(shown: Shown) -> str:
    found, subject = shown.main.change, shown.subject
    average = shown.main.average
    if shown.choice.average and not isinstance(average, NoAnswer):
        told = f"{percent(average.rate)} {'quicker' if average.rate < 1 else 'slower'}"
        return f"{subject}: the average of all so far gets {told} each time the count doubles."
    if isinstance(found, NoAnswer):
        return _not_yet(shown, found, f"to tell whether {shown.who} gets quicker")
    since, ends = shown.since(shown.main), f"{between(found.rates)} each time the count doubles"
    return {
        Verdict.FASTER: f"{subject} is getting faster: {each_doubling(found)}.",
        Verdict.SLOWER: f"{subject} is getting slower: {each_doubling(found)}.",
        Verdict.STEP: f"{subject} is quicker by {percent(found.left)} since {since}.",
        Verdict.ENDED: f"{subject} was getting faster until about {since}; no longer.",
        Verdict.ONE_BATCH: f"{subject}: that it got quicker rests on {since} alone; {_else(shown)} no clear change.",
        Verdict.OPEN: f"{subject} has got quicker; whether little by little, at once or until a while ago "
        "can't be told yet.",
        Verdict.STEADY: f"{subject} takes about as long as before ({ends}).",
        Verdict.UNKNOWN: f"{subject}: can't tell yet whether it gets quicker ({ends}).",
    }[found.verdict]


def _next_ten(shown: Shown) -> str:
    """Say what a maker feels of it: the next ten blades take 0.3 min less each; nothing where that reads 0."""
    found, ahead = shown.main.change, shown.main.next_batch.get(shown.pattern_id)
    if isinstance(found, NoAnswer) or found.verdict is not Verdict.FASTER or ahead is None:
        return ""
    less = found.less * ahead.minutes
    return f"the next ten {shown.piece.many} take {figure(less)} min less each" if less >= 0.05 else ""


BRACKET = re.compile(r"\([^()]*\d[^()]* (?:to|either way)\b[^()]*\)")
"""A range as it stands in a sentence: (8 to 15 %)."""


def _how_sure(*said: str) -> str:
    """Say once on a page how sure the ranges in brackets are, where there are any."""
    return f"ranges in brackets hold {SURE}" if any(BRACKET.search(part) for part in said) else ""


def _else(shown: Shown) -> str:
    """Say how things are without the one batch: since then, where it was the first; without it, where it was not."""
    found = shown.main.change
    number = None if isinstance(found, NoAnswer) else found.since
    first = min(shown.main.chosen.lots, key=lambda lot: lot.number)
    return "since then" if first.batch_id == number else "without it"


def _not_yet(shown: Shown, why: NoAnswer, what: str) -> str:
    said = why.text(word(shown.floor, "batch").many)
    if why.why is NoAnswerReason.FEW:
        return f"{raised(said)} {what}."
    return f"{shown.subject}: {said}."


def _usually(shown: Shown) -> str:
    """Words while there is no verdict: what is usual."""
    if not isinstance(shown.main.change, NoAnswer):
        return ""
    found = shown.main.trend.usual
    if found is None:
        return f"no {word(shown.floor, 'batch').one} counts yet"
    known = [usual_text(found), last_text(found)] if found.n >= ENOUGH else [last_text(found)]
    return f"{', '.join(known)} {shown.a_piece}"


def _other(shown: Shown, method: MethodAnswer) -> str:
    return "" if isinstance(method.change, NoAnswer) else f"{shown.name(method)}: {shown.short(method)}"


def _next(shown: Shown) -> str:
    """Say what the next batch takes: next batch of 6: 14 min a blade, 12 to 17."""
    found = shown.main.next_batch.get(shown.pattern_id)
    if found is None:
        return ""
    batch = f"next {word(shown.floor, 'batch').one} of {shown.main.ahead}"
    of = f" {pattern_name(shown.floor, shown.pattern_id)}" if len(shown.patterns) > 1 else ""
    minutes = f"{about(found.minutes, found.in_80)} {shown.a_piece}"
    ends = within(found.in_80).replace(" (", ", ").rstrip(")")
    return f"{batch}{of}: {minutes}{f'{ends}, 8 times in 10' if ends else ''}"


def _asides(shown: Shown) -> str:
    found, batches = shown.main.change, word(shown.floor, "batch").many
    if isinstance(found, NoAnswer):
        return ""
    parts = (caveat(found, batches), without_spread(shown.main.fit, batches), _by_date_too(shown, found))
    return ". ".join(part for part in parts if part)


def _by_date_too(shown: Shown, found: Change) -> str:
    """Say what the dates say where that differs, and why; neither denies the other."""
    dates = shown.main.dates
    if isinstance(dates, NoAnswer):
        return ""
    told, means = found.verdict.improved or found.verdict is Verdict.SLOWER, dates.trend.significant
    if told and means and (found.rate - 1) * dates.per_year < 0:
        return "count and date point opposite ways"
    if told and not means:
        return f"by date not sure yet: p {figure(dates.trend.p, 2)}"
    return f"by date {_went(shown)}" if means and not told else ""


def _by_date(shown: Shown) -> str:
    found = shown.main.dates
    if isinstance(found, NoAnswer):
        return _not_yet(shown, found, f"to tell whether {shown.who} changes by date")
    if not found.trend.significant:
        return f"By date it can't be told yet whether {shown.who} changes: p {figure(found.trend.p, 2)}."
    return f"By date {shown.who} {_went(shown)}."


def _went(shown: Shown) -> str:
    """Say a trend by date within the time that was seen: went from 20 to 14 min a blade (12 to 16) in 7 weeks."""
    found, line = shown.main.dates, shown.drift(shown.main)
    if isinstance(found, NoAnswer) or line is None:
        return ""
    begin, end = line.at(line.first_us), line.at(line.last_us)
    ends = found.ratios
    sure = f" ({figure(begin * ends.low)} to {figure(begin * ends.high)})" if ends is not None else ""
    return (
        f"went from {figure(begin)} to {figure(end)} {shown.a_piece}{sure} in {time_text(line.last_us - line.first_us)}"
    )


DAY_US = 86_400_000_000


def time_text(us: int) -> str:
    """Say a length of time in the unit that suits it: 9 days, 7 weeks, 5 months, 3 years."""
    days = us / DAY_US
    for most, length, one, many in (
        (14, 1.0, "1 day", "{} days"),
        (120, 7.0, "1 week", "{} weeks"),
        (1096, 30.44, "1 month", "{} months"),
    ):
        if days < most:
            n = max(1, round(days / length))
            return one if n == 1 else many.format(n)
    return f"{round(days / 365.25)} years"


def _beside_date(shown: Shown) -> str:
    """Say what the count says."""
    found = shown.main.change
    if isinstance(found, NoAnswer):
        return _usually(shown)
    said = f"by count: {change_text(found, since=shown.since(shown.main))}"
    dates = shown.main.dates
    apart = not isinstance(dates, NoAnswer) and dates.trend.significant and (found.rate - 1) * dates.per_year < 0
    return f"{said}; the two point opposite ways" if apart and found.verdict is not Verdict.UNKNOWN else said


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
    """Say what was expected of each."""
    found, batch = shown.main.after, word(shown.floor, "batch")
    if isinstance(found, NoAnswer):
        return _usually(shown)
    return f"each {batch.one} against what all the others let expect; outside of its bar is out of the ordinary"
