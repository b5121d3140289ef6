"""What stood on the screen, where that must not be said twice."""

from dataclasses import dataclass

from shopclock.shop.thing import Thing


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionShown(Thing):
    """The caution that stood on the screen at the first start of a stage on a day."""

    stage_id: int
    caution: str
    at_us: int
