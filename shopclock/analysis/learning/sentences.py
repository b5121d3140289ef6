"""A fit in words, by the rule table; `batches` is the shop's own word for them."""

from __future__ import annotations

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import BatchSizes, Learning, Verdict


def change_text(found: Learning | NoAnswer, batches: str = "batches") -> str:
    """Say the change at each doubling of the count, short enough for a table: 13 % quicker (8 to 17 %)."""
    if isinstance(found, NoAnswer):
        return found.text(batches)
    much = how_much(found)
    return f"{much} ({_ends(found)})" if much else str(found.verdict)


def each_doubling(found: Learning) -> str:
    """Say the change where there is one: 13 % quicker each time the count doubles (8 to 17 %); nothing otherwise."""
    much = how_much(found)
    return f"{much} each time the count doubles ({_ends(found)})" if much else ""


def how_much(found: Learning) -> str:
    """Say how much is won or lost at each doubling: 13 % quicker; nothing where no change is clear."""
    words = {Verdict.FASTER: "quicker", Verdict.SLOWER: "slower"}
    return f"{_percent(abs(1 - found.rate))} {words[found.verdict]}" if found.verdict in words else ""


def _ends(found: Learning) -> str:
    low, high = sorted(abs(1 - end) for end in (found.rate_range.low, found.rate_range.high))
    return _percents(low, high)


def caveat(found: Learning, batches: str) -> str:
    """Say that size and skill can't be told apart, where there is a change to put down to one of them."""
    if found.fitted.sizes is BatchSizes.ALIKE or found.verdict is Verdict.NO_CHANGE:
        return ""
    return f"{batches} {found.fitted.sizes} too; the two can't be told apart"


def without_spread(found: Learning, batches: str) -> str:
    """Say that ranges tell nothing, where the batches lie on the curve exactly."""
    return f"the {batches} are too alike for a range" if found.without_spread else ""


def _percent(share: float) -> str:
    return f"{_digits(share, share)} %"


def _percents(low: float, high: float) -> str:
    ends = [_digits(end, low) for end in (low, high)]
    return " to ".join(dict.fromkeys(ends)) + " %"


def _digits(share: float, least: float) -> str:
    """Return percents as whole numbers; with one digit where the least would read 0."""
    return f"{100 * share:.1f}" if 100 * least < 1 else f"{100 * share:.0f}"
