"""How warm the quench oil gets, and how many blades it takes: a help, with its caution always in sight."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.shop.setup import quench_oil
from shopclock.shop.values.errors import Refusal
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.setup.quench_oil import OilValue
    from shopclock.views.page import Action


class OilPage(Page):
    """Six numbers; nothing is told before all of them are there, and none has a value of its own."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack

    def title(self) -> str:
        """What each blade does to the oil."""
        known = [quench_oil.oil_value(self._stack.floor, one) for one in quench_oil.VALUES]
        if None in known:
            return "How warm does the oil get"
        litres, low, high, grams, blade_c, oil_c = (number or 0.0 for number in known)
        try:
            return quench_oil.rise_text(quench_oil.Bath(litres, low, high), grams / 1000, blade_c, oil_c)
        except Refusal as error:
            return str(error)

    def lines(self) -> Sequence[TextLine]:
        """The caution."""
        return (TextLine(quench_oil.CAUTION, "text"),)

    def offers(self) -> Sequence[Action]:
        """The numbers."""
        return [self._value(one) for one in quench_oil.VALUES]

    def _value(self, one: OilValue) -> Action:
        number = quench_oil.oil_value(self._stack.floor, one)
        shown = f"{number:g} {one.unit}" if number is not None else "–"
        return action(one.key, shown, calling(partial(self._ask, one)), detail=one.said)

    def _ask(self, one: OilValue) -> None:
        now = quench_oil.oil_value(self._stack.floor, one)
        start = f"{now:g}" if now is not None else ""
        self._stack.dialogs.number(f"{one.said}, {one.unit}", start, on_answer(partial(self._set, one)))

    def _set(self, one: OilValue, typed: str) -> None:
        self._stack.do(f"{one.said}: {typed}", lambda tx: quench_oil.set_oil_value(tx, one, typed))
