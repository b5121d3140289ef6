"""Things by their names as somebody types them: a batch, a pattern, a stage, an order by who ordered."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from shopclock.shop.planning.orders import open_orders
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Batch, CustomerOrder
from shopclock.shop.values.errors import ShopError

NAMED = 5
T = TypeVar("T")


def named(things: Sequence[T], name: str, name_of: Callable[[T], str], what: str) -> T:
    """Return the thing of a name, whatever its capitals, or the only one of which a word begins so.

    Of several with that name the first. ShopError names those that there are, or those that begin so.
    """
    wanted = name.strip().casefold()
    same = [one for one in things if name_of(one).casefold() == wanted]
    begun = same[:1] or [one for one in things if wanted and f" {name_of(one)}".casefold().find(f" {wanted}") >= 0]
    if len({name_of(one) for one in begun}) == 1:
        return begun[0]
    said = ", ".join(dict.fromkeys(name_of(one) for one in begun or things))
    if begun:
        raise ShopError(f"{name!r} may be {said}. Type more of the name.")
    raise ShopError(f"There is no {what} {name!r}. {f'There are: {said}.' if said else 'There is none.'}")


def batches_named(floor: ShopFloor, name: str) -> tuple[Batch, ...]:
    """Return the batches of this name, whatever its capitals; ShopError names the newest that there are."""
    batches = sorted(floor.all(Batch), key=lambda batch: (batch.started_us, batch.id))
    wanted = name.strip().casefold()
    found = tuple(batch for batch in batches if batch.name.casefold() == wanted)
    if not found:
        raise ShopError(f"There is no batch {name!r}. {_there_are([batch.name for batch in batches])}")
    return found


def _there_are(names: list[str]) -> str:
    if not names:
        return "The record has no batches yet."
    newest = ", ".join(reversed(names[-NAMED:]))
    if len(names) == 1:
        return f"There is only {newest}."
    return f"There are {newest}." if len(names) <= NAMED else f"The newest of {len(names)} are {newest}."


def order_named(floor: ShopFloor, who: str) -> CustomerOrder:
    """Return the open order of this name, or of the only one that begins so: of several the one promised first.

    ShopError names those that there are.
    """
    orders = open_orders(floor)
    try:
        return named(orders, who, lambda order: order.who, "open order of")
    except ShopError as error:
        if orders:
            raise
        raise ShopError(f"There is no open order of {who!r}. None is open.") from error
