"""One method beside another: which is quicker, and since which piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.learning import Verdict
from shopclock.analysis.learning.methods import Comparison, Passing
from shopclock.screens.trends.texts import batch_name, month_text, ordinal
from shopclock.shop.state.wording import word

if TYPE_CHECKING:
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
    when = f", about {month_text(shown.floor, found.at_us)}" if found.at_us is not None else ""
    return f"if it goes on so {later} will pass {earlier} at about its {where}{when}"


def _within(found: Comparison) -> str:
    """Say the range of the crossing in brackets; nothing where an end of it is out of sight."""
    if found.low is None or found.high is None:
        return ""
    return f" ({found.low} to {found.high})" if found.low != found.high else ""


def _now(found: Comparison, later: str, earlier: str) -> str:
    """Say which takes less today, where that is told by the batches."""
    if 1 in found.now_range:
        return f"{later} and {earlier} take about the same" if "it" not in (later, earlier) else _alike(later, earlier)
    quicker, slower, share = (later, earlier, found.now) if found.now < 1 else (earlier, later, 1 / found.now)
    return f"{quicker} takes {100 * (1 - share):.0f} % less than {slower}"


def _alike(later: str, earlier: str) -> str:
    return f"it takes about as long as {later if earlier == 'it' else earlier}"
