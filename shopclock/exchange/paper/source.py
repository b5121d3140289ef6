"""Source of a paper: a record that is open, in a window or for reading only."""

from datetime import date
from typing import Protocol

from shopclock.exchange.paper.page import SIZES, PaperSize
from shopclock.record.read.read_only import Reads
from shopclock.shop.state import settings
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import day_text, shop_time, zone_of
from shopclock.shop.values.entities import Shop


class Source(Protocol):
    """A record to read."""

    @property
    def floor(self) -> ShopFloor:
        """The shop as it is now."""

    @property
    def reads(self) -> Reads:
        """Reads of closed batches."""

    def load_batch(self, batch_id: int) -> ShopFloor:
        """Have a closed batch whole on the floor too."""


def size_for(floor: ShopFloor, here: PaperSize) -> PaperSize:
    """Return the paper that the shop prints on; what is usual here where none was chosen."""
    return SIZES.get(settings.value(floor, settings.PAPER), here)


def shop_name(floor: ShopFloor) -> str:
    """Return the name of the shop, "" where it has none."""
    return next((shop.name for shop in floor.all(Shop)), "")


def day_of(floor: ShopFloor, at_us: int) -> date:
    """Return the shop's day of an instant."""
    return shop_time(at_us, zone_of(floor)).date()


def dated(day: date) -> str:
    """Say a day with its year: Thu 26 Nov 2026."""
    return f"{day_text(day)} {day.year}"
