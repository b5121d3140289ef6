"""From the name of who ordered, as somebody types it, to the order."""

from shopclock.shop.errors import ShopError
from shopclock.shop.floor import Floor
from shopclock.shop.orders import open_orders
from shopclock.shop.planned import CustomerOrder


def order_named(floor: Floor, who: str) -> CustomerOrder:
    """Return the open order of this name, whatever its capitals: of several the one that is promised first.

    ShopError names those that there are.
    """
    orders, wanted = open_orders(floor), who.strip().casefold()
    found = next((order for order in orders if order.who.casefold() == wanted), None)
    if found is None:
        names = ", ".join(dict.fromkeys(order.who for order in orders))
        raise ShopError(f"There is no open order of {who!r}. {f'Open are: {names}.' if names else 'None is open.'}")
    return found
