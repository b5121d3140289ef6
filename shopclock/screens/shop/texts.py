"""Texts of kinds, lengths and steps in Shop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.routes.route_length import length_text
from shopclock.shop.values.kinds import Kind

if TYPE_CHECKING:
    from shopclock.shop.values.entities import RouteStep

KINDS = {
    Kind.HANDS_ON: ("Hands-on", "a hand on the work"),
    Kind.WATCH: ("Stay by it", "somebody has to be there"),
    Kind.WAIT: ("Wait", "nobody is needed"),
    Kind.AWAY: ("Away", "sent out"),
}
WORKED = {True: ("One by one", "each is done before the next"), False: ("In rounds", "all get the same, then the next")}
LEAFLET = "Its length holds for 25 °C. The leaflet of the resin's makers decides: its hours and its limits go here."
US = 1_000_000


def length_said(length_us: int | None) -> str:
    """Length of something lasts; a dash where that not said."""
    return length_text(length_us // US) if length_us is not None else "no length"


def practice_said(said: str, *, common_practice: bool) -> str:
    """A starting value, marked where it is the trade's common practice."""
    return f"{said} · common practice, no source" if common_practice else said


def step_said(step: RouteStep) -> str:
    """A step in one line: who is needed, how it is worked or how long it lasts."""
    said = KINDS[step.kind][0].casefold()
    if step.wait_us is not None:
        said = f"{said} {length_said(step.wait_us)}"
    elif step.kind is Kind.HANDS_ON:
        said = WORKED[step.one_by_one][0].casefold()
    return f"{said} · begins by itself" if step.begins_itself else said
