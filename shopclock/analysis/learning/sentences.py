"""A verdict in words, by the rule table; `batches` is the shop's own word for them, `since` the name of one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import BatchSizes, Learning
from shopclock.analysis.model.verdict import Verdict
from shopclock.shop.values.habits import figure

if TYPE_CHECKING:
    from shopclock.analysis.learning.answer import Range
    from shopclock.analysis.learning.change import Change

SURE = "19 times in 20"
"""Said once on each page, of all ranges of a change."""
LEAST = 0.0005
MANY = 10.0
"""From ten times as much on a range has no end worth a number."""


RANGED = (Verdict.FASTER, Verdict.SLOWER, Verdict.STEADY, Verdict.UNKNOWN)
"""Verdicts that are told with the range of the change at each doubling."""


def change_text(found: Change | NoAnswer, batches: str = "batches", since: str = "") -> str:
    """Say a verdict short enough for a table: 13 % quicker (8 to 17 %); can't tell yet (15 % less to 90 % more)."""
    if isinstance(found, NoAnswer):
        return found.text(batches)
    short = short_text(found, batches, since)
    return f"{short} ({between(found.rates)}{_way(found)})" if found.verdict in RANGED else short


def _way(found: Change) -> str:
    """Say to which side a range lies that is all on one, where the words before it don't."""
    if found.verdict in (Verdict.FASTER, Verdict.SLOWER):
        return ""
    return " less" if found.rates.high <= 1 else " more" if found.rates.low >= 1 else ""


def short_text(found: Change | NoAnswer, batches: str = "batches", since: str = "") -> str:
    """Say a verdict in a few words, as beside a line: 13 % quicker; can't tell yet."""
    if isinstance(found, NoAnswer):
        return found.text(batches)
    return {
        Verdict.FASTER: f"{percent(found.rate)} quicker",
        Verdict.SLOWER: f"{percent(found.rate)} slower",
        Verdict.STEP: f"quicker by {percent(found.left)} since {since}",
        Verdict.ENDED: f"got faster until about {since}; no longer",
        Verdict.ONE_BATCH: f"rests on {since} alone",
        Verdict.OPEN: "has got quicker",
        Verdict.STEADY: "about as long",
        Verdict.UNKNOWN: "can't tell yet",
    }[found.verdict]


def percent(share: float) -> str:
    """Say how far a share is from 1: 13 %; with a digit where it is under one."""
    off = 100 * abs(1 - share)
    return f"{figure(off)} %" if off < 1 else f"{min(off, 999):.0f} %"


def between(ends: Range) -> str:
    """Say the range of a change: 8 to 17 %; 15 % less to 90 % more."""
    low, high = ends.low, ends.high
    if max(abs(1 - low), abs(1 - high)) < LEAST:
        return "less than 0.1 % either way"
    if high <= 1 or low >= 1:
        inner, outer = sorted((low, high), key=lambda end: abs(1 - end))
        said = [percent(end).removesuffix(" %") for end in (inner, outer)]
        if outer > MANY:
            return f"{said[0]} % to many times more"
        return f"{' to '.join(dict.fromkeys(said))} %"
    return f"{percent(low)} less to {f'{percent(high)} more' if high < MANY else 'many times more'}"


def each_doubling(found: Change) -> str:
    """Say how much each doubling of the count brings, with its range."""
    words = "slower" if found.verdict is Verdict.SLOWER else "quicker"
    return f"{percent(found.rate)} {words} each time the count doubles ({between(found.rates)})"


def caveat(found: Change, batches: str) -> str:
    """Say that size and skill can't be told apart, where there is a change to put down to one of them."""
    told = found.verdict.improved or found.verdict is Verdict.SLOWER
    if found.sizes is BatchSizes.ALIKE or not told:
        return ""
    return f"{batches} {found.sizes} too; the two can't be told apart"


def without_spread(found: Learning | NoAnswer, batches: str) -> str:
    """Say that ranges tell little, where the batches lie on the curve exactly."""
    alike = isinstance(found, Learning) and found.without_spread
    return f"the {batches} are too alike for a range of their own" if alike else ""
