"""Warmth of the quench oil, and how many blades it takes: a help, with its caution always in sight."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.setup import quench_oil
from shopclock.shop.values.errors import Refusal
from shopclock.views.field import Number, field
from shopclock.views.page import PageContent, TextLine

if TYPE_CHECKING:
    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.setup.quench_oil import OilValue
    from shopclock.views.page import Action


def oil_page(stack: Planning) -> PageContent:
    """Six numbers; nothing is told before all of them are there, and none has a value of its own."""
    known = [quench_oil.oil_value(stack.floor, one) for one in quench_oil.VALUES]
    values = [_value(stack, one, now) for one, now in zip(quench_oil.VALUES, known, strict=True)]
    return PageContent(_title(known), [TextLine(quench_oil.CAUTION, "text"), quench_oil.SOURCES], values)


def _title(known: list[float | None]) -> str:
    if None in known:
        return "How warm does the oil get"
    litres, low, high, grams, blade_c, oil_c = (number or 0.0 for number in known)
    try:
        return quench_oil.rise_text(quench_oil.Bath(litres, low, high), grams / 1000, blade_c, oil_c)
    except Refusal as error:
        return str(error)


def _value(stack: Planning, one: OilValue, now: float | None) -> Action:
    def take(typed: str) -> None:
        stack.do(f"{one.said}: {typed}", lambda tx: quench_oil.set_oil_value(tx, one, typed))

    start, shown = (f"{now:g}", f"{now:g} {one.unit}") if now is not None else ("", "–")
    return field(one.key, shown, one.said, Number(f"{one.said}, {one.unit}", start), take)
