"""How warm the shop is while a resin cures: asked for on a number pad, answered with the time it is ready."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.shop.routes import cure
from shopclock.shop.state.wording import when_text, zone_of
from shopclock.shop.values.entities import Interval, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.piece_progress import ready_at
from shopclock.views.dialogs import BELOW_ZERO, Choice

if TYPE_CHECKING:
    from shopclock.screens.bench.session import BenchSession

WARMTH = "warmth"


def warmth_choice(desk: BenchSession, wait: Interval) -> tuple[Choice, ...]:
    """Offer to say how warm the shop is, where a wait can follow it."""
    if not cure.can_follow(desk.floor, wait):
        return ()
    now = f"{wait.shop_c:g} °C" if wait.shop_c is not None else "a cold shop cures slower"
    return (Choice(WARMTH, "Shop's warmth", now),)


def ask_warmth(desk: BenchSession, wait: Interval) -> None:
    """Ask how warm it is, beginning with what was told last."""
    known = cure.newest_c(desk.floor)
    first = f"{known:g}" if known is not None else ""
    span = cure.span_text(desk.floor.get(Step, wait.step_id or 0))
    question = f"How warm is the shop, °C or °F? The length holds for 25 °C, the figure for {span} °C"
    desk.dialogs.number(question, first, partial(_take, desk, wait), signs=BELOW_ZERO)


def _take(desk: BenchSession, wait: Interval, text: str | None) -> None:
    if not text:
        return
    try:
        shop_c = cure.typed_c(text)
    except Refusal as refused:
        desk.dialogs.tell(str(refused))
        return
    done = desk.do(f"Shop at {shop_c:g} °C", lambda tx: cure.follow(tx, wait, shop_c))
    if done is not None:
        desk.say(_said(desk, wait, shop_c))
    desk.tell()


def _said(desk: BenchSession, wait: Interval, shop_c: float) -> str:
    now_us = desk.record.instant()
    at_us = ready_at(desk.floor, desk.floor.get(Interval, wait.id)) or now_us
    when = when_text(at_us, now_us, zone_of(desk.floor))
    return f"Ready {when} at {shop_c:g} °C. Its makers' leaflet decides."
