"""What is promised, when the shop is open, and what things cost: orders, hours, days off, costs, asked prices.

Days are texts (2026-12-12) of the shop's own calendar. Money is an exact decimal text without tax, with its currency.
"""

from dataclasses import dataclass
from enum import StrEnum

from shopclock.shop.thing import Thing


class OrderState(StrEnum):
    """Where an order stands."""

    OPEN = "open"
    DONE = "done"
    CANCELLED = "cancelled"


class CostKind(StrEnum):
    """What money is spent on."""

    MATERIAL = "material"
    CONSUMABLE = "consumable"
    BOUGHT_OUT = "bought-out work"
    FEE = "fee"
    OVERHEAD = "overhead"


class Per(StrEnum):
    """What an amount of money is spent for: each blank, each batch, each month or year of the shop."""

    PIECE = "piece"
    BATCH = "batch"
    MONTH = "month"
    YEAR = "year"


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerOrder(Thing):
    """Who asked for how many of which pattern, for which day, at what price each; the deposit is for all of it."""

    who: str
    pattern_id: int
    wanted: int
    promised: str | None
    price: str | None
    deposit: str | None
    currency: str
    note: str
    state: OrderState


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderPiece(Thing):
    """This piece goes to this order."""

    order_id: int
    piece_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopHours(Thing):
    """Planned hours of each week: weekday (Monday 0), from and to in minutes after midnight on the shop's wall."""

    weekday: int
    from_min: int
    to_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOff(Thing):
    """Days without work, first and last of them, and why."""

    first: str
    last: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CostItem(Thing):
    """Something that costs money: of one pattern or of all; `tax` is the sales tax paid on top, in percent.

    Bought-out work can name the stage that it stands for, and how many days the pieces are away for it.
    """

    name: str
    kind: CostKind
    per: Per
    pattern_id: int | None
    stage_id: int | None
    days: int | None
    amount: str
    currency: str
    tax: str
    put_away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedPrice(Thing):
    """What the shop asks for a piece of a pattern, without tax."""

    pattern_id: int
    price: str
    currency: str
