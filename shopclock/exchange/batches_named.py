"""From the name of a batch, as somebody types it, to the batch."""

from shopclock.shop.errors import ShopError
from shopclock.shop.floor import Floor
from shopclock.shop.values import Batch

NAMED = 5


def batches_named(floor: Floor, name: str) -> tuple[Batch, ...]:
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
