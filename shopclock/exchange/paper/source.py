"""What a paper is made from: a record that is open, in a window or for reading only."""

from datetime import date
from typing import Protocol

from shopclock.exchange.paper.page import SIZES, Size
from shopclock.record.reading import Reads
from shopclock.shop import settings
from shopclock.shop.floor import Floor
from shopclock.shop.values import Shop
from shopclock.shop.wording import day_text, shop_time, zone_of


class Source(Protocol):
    """A record to read."""

    @property
    def floor(self) -> Floor:
        """The shop as it is now."""

    @property
    def reads(self) -> Reads:
        """What is read of closed batches."""

    def bring_batch(self, batch_id: int) -> Floor:
        """Have a closed batch whole on the floor too."""


def size_for(floor: Floor, here: Size) -> Size:
    """Return the paper that the shop prints on; what is usual here where none was chosen."""
    return SIZES.get(settings.value(floor, settings.PAPER), here)


def shop_name(floor: Floor) -> str:
    """Return the name of the shop, "" where it has none."""
    return next((shop.name for shop in floor.all(Shop)), "")


def day_of(floor: Floor, at_us: int) -> date:
    """Return the shop's day of an instant."""
    return shop_time(at_us, zone_of(floor)).date()


def dated(day: date) -> str:
    """Say a day with its year: Thu 26 Nov 2026."""
    return f"{day_text(day)} {day.year}"
