"""What the buttons beside a chart do: the same, shown in another way."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from shopclock.analysis.learning.cumulative import CumulativeAverage
from shopclock.screens.trends.state import TrendChoice, View, ViewOption
from shopclock.screens.trends.texts import pattern_name

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.screens.trends.shown import Shown

T = TypeVar("T")


def options(shown: Shown) -> tuple[ViewOption, ...]:
    """Return what else the view in sight can bring: another count, another pattern, another method, another curve."""
    choice, found = shown.choice, []
    view = choice.view
    if view is View.COUNT and len(shown.answer.methods) > 1 and not choice.average:
        found.append(ViewOption("own", "on one count" if choice.own_counts else "each on its own"))
    if view in (View.COUNT, View.DATES) and len(shown.patterns) > 1:
        found.append(ViewOption("pattern", f"as {pattern_name(shown.floor, _after(shown.patterns, shown.pattern_id))}"))
    if view is View.HOW and isinstance(shown.main.average, CumulativeAverage):
        found.append(ViewOption("average", "by each piece" if choice.average else "by the running average"))
    if view is not View.TABLE and len(_named(shown)) > 1 and not shown.main.trend.mixed:
        found.append(ViewOption("method", f"about {shown.name(_after(_named(shown), shown.main))}"))
    return tuple(found)


def after_press(shown: Shown, key: str) -> TrendChoice:
    """Return what is chosen after a press on one of them; the same as before where it isn't offered."""
    choice = shown.choice
    if key not in {option.key for option in options(shown)}:
        return choice
    if key == "own":
        return replace(choice, own_counts=not choice.own_counts)
    if key == "average":
        return replace(choice, average=not choice.average, view=View.COUNT)
    if key == "pattern":
        return replace(choice, pattern_id=_after(shown.patterns, shown.pattern_id))
    method = _after(_named(shown), shown.main)
    return replace(choice, method=shown.answer.methods.index(method), average=False)


def _named(shown: Shown) -> Sequence[MethodAnswer]:
    return [method for method in shown.answer.methods if not method.trend.mixed]


def _after(round_: Sequence[T], one: T) -> T:
    """Return the next in a round."""
    return round_[(round_.index(one) + 1) % len(round_)]
