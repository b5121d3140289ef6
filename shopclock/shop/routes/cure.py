"""Cure time of a resin in a shop that is not at 25 °C: a help, not an instruction.

Its rate doubles every 10 °C: common practice, no source. The makers of the resin have the last word, and their own
limits stand in the step.
"""

from dataclasses import replace
from typing import TypedDict

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Step, StepPlan
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind


class Span(TypedDict):
    """Temperatures of the shop, °C, between which a step's length follows the warmth; both or none."""

    coldest_c: float | None
    warmest_c: float | None


FIGURE_C = 25.0
"""The makers' own figure is told for a shop as warm as this."""
DOUBLES_C = 10.0
LOW_C, HIGH_C = 10.0, 35.0
"""Outside of this there is no figure."""
NO_FIGURE = (
    "There is no figure outside 10 to 35 °C (50 to 95 °F): what the makers of the resin say holds. Nothing was changed."
)
OUTSIDE = "The makers of this resin allow {span} °C: outside of it there is no figure. Nothing was changed."


def cure_us(figure_us: int, shop_c: float) -> int | None:
    """Return how long a cure of so long at 25 °C takes at another temperature; nothing outside 10 to 35 °C."""
    if not LOW_C <= shop_c <= HIGH_C:
        return None
    return round(figure_us * 2 ** ((FIGURE_C - shop_c) / DOUBLES_C))


def typed_c(text: str) -> float:
    """Understand a typed temperature of a shop: 18 is °C, 64 is °F, for no shop has 64 °C."""
    try:
        typed = float(text.replace(",", "."))
    except ValueError:
        raise Refusal(NO_FIGURE) from None
    shop_c = round((typed - 32) / 1.8, 1) if typed > HIGH_C else typed
    if not LOW_C <= shop_c <= HIGH_C:
        raise Refusal(NO_FIGURE)
    return shop_c


def can_follow(floor: ShopFloor, wait: Interval) -> bool:
    """Tell whether a wait can follow the shop's temperature: its step is a cure."""
    step = floor.find(Step, wait.step_id) if wait.step_id is not None else None
    return step is not None and wait.kind is Kind.WAIT and bool(step.wait_us) and span(step) is not None


def span(step: StepPlan) -> tuple[float, float] | None:
    """Return from how cold to how warm a shop a step's length follows; nothing where it is no cure."""
    if step.coldest_c is None or step.warmest_c is None or step.setting:
        return None
    return step.coldest_c, step.warmest_c


def span_text(step: StepPlan) -> str:
    """Say the span: 10 to 35; nothing where there is none."""
    found = span(step)
    return f"{found[0]:g} to {found[1]:g}" if found is not None else ""


def set_span(coldest: str, warmest: str) -> Span:
    """Return the fields of a step that follows between two typed temperatures; refused where they cross."""
    coldest_c, warmest_c = typed_c(coldest), typed_c(warmest)
    if coldest_c > warmest_c:
        raise Refusal(f"{coldest_c:g} °C is warmer than {warmest_c:g} °C. Nothing was changed.")
    return Span(coldest_c=coldest_c, warmest_c=warmest_c)


def follow(tx: Transaction, wait: Interval, shop_c: float) -> list[Interval]:
    """Let the waits that run at this step last as long as they do at this temperature.

    Refused outside what the makers of the resin allow: nobody knows how long it takes there, or whether it ever does.
    """
    step = tx.floor.get(Step, wait.step_id or 0)
    coldest_c, warmest_c = span(step) or (LOW_C, HIGH_C)
    if not coldest_c <= shop_c <= warmest_c:
        raise Refusal(OUTSIDE.format(span=span_text(step)))
    waits = [i for i in tx.floor.running.values() if i.step_id == wait.step_id and i.kind is Kind.WAIT]
    return [tx.change(replace(tx.current(other), shop_c=shop_c)) for other in waits]


def newest_c(floor: ShopFloor) -> float | None:
    """Return the temperature that was told last, or nothing."""
    told = [i for i in floor.all(Interval) if i.shop_c is not None]
    return max(told, key=lambda i: (i.start_us, i.id)).shop_c if told else None
