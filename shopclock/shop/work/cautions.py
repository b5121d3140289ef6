"""Cautions: one line at the first start of a stage on a day, kept so that a restart doesn't say it again."""

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import CautionShown, Stage, Step


def caution_of(floor: ShopFloor, stage_id: int, step: Step | None) -> str:
    """Return the caution of a step, else of its stage; empty where there is none."""
    return (step.caution if step is not None else "") or floor.get(Stage, stage_id).caution


def note_shown(tx: Transaction, stage_id: int, step: Step | None) -> CautionShown | None:
    """Keep that a start shows its caution, unless it was shown today; nothing where it isn't."""
    caution = caution_of(tx.floor, stage_id, step)
    if not caution or _shown_today(tx, stage_id, caution):
        return None
    return tx.add(CautionShown(stage_id=stage_id, caution=caution, at_us=tx.now_us))


def _shown_today(tx: Transaction, stage_id: int, caution: str) -> bool:
    zone = zone_of(tx.floor)
    today = shop_time(tx.now_us, zone).date()
    said = (c for c in tx.floor.all(CautionShown) if (c.stage_id, c.caution) == (stage_id, caution))
    return any(shop_time(c.at_us, zone).date() == today for c in said)
