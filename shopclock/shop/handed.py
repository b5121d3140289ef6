"""That the record was taken along: one file goes on as the shop's, a copy of it is changed at a desk."""

from dataclasses import dataclass
from enum import StrEnum

from shopclock.shop.thing import Thing


class Side(StrEnum):
    """Whose a file is."""

    SHOP = "shop"
    DESK = "desk"


@dataclass(frozen=True, slots=True, kw_only=True)
class HandingOver(Thing):
    """The record was taken along at an instant. Both files have this, by one UUID; `side` says which this one is.

    `joined`: the last line of the desk's journal that has come back; 0 before any has.
    """

    at_us: int
    side: Side
    joined: int
