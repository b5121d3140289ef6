"""The way from the Bench to a reading: of the batch on the plate, at the step in hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.state import BenchButton
from shopclock.screens.readings.asking import AskReading
from shopclock.shop.values.entities import Batch
from shopclock.shop.work.readings import kinds_for
from shopclock.views.field import ask

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.screens.bench.session import BenchSession
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction


def reading_button(floor: ShopFloor, hand: CurrentWork) -> tuple[BenchButton, ...]:
    """The button, where something can be measured in the batch on the plate."""
    if hand.batch is None or not kinds_for(floor, hand.batch) or not floor.living(hand.batch.id):
        return ()
    return (BenchButton("reading", "Reading"),)


def ask_reading(desk: BenchSession) -> None:
    """Ask for a reading; what is outside its limits is then said on the plate."""
    hand = desk.hand()
    batch = hand.batch if hand.batch is not None else desk.floor.find(Batch, desk.eye().batch_id or 0)
    if batch is None:
        return

    def press(what: str, rule: Callable[[Transaction], object]) -> None:
        desk.do(what, rule)
        desk.tell()

    ask(desk.dialogs, AskReading(desk.floor, desk.record.reads, press, batch, hand.step).whose())
