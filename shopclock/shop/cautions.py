"""Cautions: one line at the first start of a stage on a day, kept so that a restart doesn't say it again."""

from shopclock.shop.floor import Floor
from shopclock.shop.shown import CautionShown
from shopclock.shop.turn import Turn
from shopclock.shop.values import Stage, Step
from shopclock.shop.wording import shop_time, zone_of


def caution_of(floor: Floor, stage_id: int, step: Step | None) -> str:
    """Return the caution of a step, else of its stage; empty where there is none."""
    return (step.caution if step is not None else "") or floor.get(Stage, stage_id).caution


def note_shown(turn: Turn, stage_id: int, step: Step | None) -> CautionShown | None:
    """Keep that a start shows its caution, unless it was shown today; nothing where it isn't."""
    caution = caution_of(turn.floor, stage_id, step)
    if not caution or _shown_today(turn, stage_id, caution):
        return None
    return turn.new(CautionShown, stage_id=stage_id, caution=caution, at_us=turn.now_us)


def _shown_today(turn: Turn, stage_id: int, caution: str) -> bool:
    zone = zone_of(turn.floor)
    today = shop_time(turn.now_us, zone).date()
    said = (c for c in turn.floor.all(CautionShown) if (c.stage_id, c.caution) == (stage_id, caution))
    return any(shop_time(c.at_us, zone).date() == today for c in said)
