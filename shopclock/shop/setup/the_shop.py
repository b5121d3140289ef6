"""The shop itself: its name, address and benches, its currency, the zone of its days; what is in the head of quotes."""

from dataclasses import dataclass, replace
from itertools import count
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from shopclock.shop.setup.rates import set_rate
from shopclock.shop.state.settings import forget, store
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Bench, Shop
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.names import good_name

ADDRESS = "address"
"""The setting that keeps the lines of the shop's address."""
CURRENCY = "rate currency"
FIRST_BENCH = "First bench"
"""The bench that was there before any other; nobody has to name it."""
MOST_LINES, LONGEST_LINE, LONGEST_NAME = 5, 60, 60


@dataclass(frozen=True, slots=True)
class Here:
    """Usual things where the computer stands: its currency, the name of its paper, its zone; "" where unknown."""

    currency: str = ""
    paper: str = ""
    zone: str = ""


def the_shop(floor: ShopFloor) -> Shop:
    """Return the shop of a record; every record has one."""
    return next(floor.all(Shop))


def good_shop_name(typed: str) -> str:
    """Return a shop's name with single spaces; refused where it is too long for a line of paper."""
    name = " ".join(typed.split())
    if len(name) > LONGEST_NAME:
        raise Refusal(f"The name has {len(name)} of at most {LONGEST_NAME} letters. Nothing was changed.")
    return name


def name_shop(tx: Transaction, typed: str) -> Shop:
    """Give the shop a name, or take it away with ""; refused where it is too long for a line of paper."""
    name = good_shop_name(typed)
    return tx.change(replace(tx.current(the_shop(tx.floor)), name=name))


def free_bench_name(floor: ShopFloor) -> str:
    """Return a name for one bench more: Bench 2, or the first number after it that no bench has."""
    taken = {bench.name.casefold() for bench in floor.all(Bench)}
    return next(name for number in count(2) if (name := f"Bench {number}").casefold() not in taken)


def name_bench(tx: Transaction, bench: Bench, typed: str) -> Bench:
    """Give a bench a name; refused where it is none, too long, or another bench's."""
    taken = [other.name or FIRST_BENCH for other in tx.floor.all(Bench) if other.id != bench.id]
    return tx.change(replace(tx.current(bench), name=good_name(typed, taken)))


def address(floor: ShopFloor) -> tuple[str, ...]:
    """Return the lines of the shop's address, none where it has none."""
    return tuple((floor.setting(ADDRESS) or "").splitlines())


def good_address(typed: str) -> tuple[str, ...]:
    """Return the lines of an address, which a comma begins; refused where it is longer than fits."""
    lines = [line for part in typed.splitlines() for line in (" ".join(one.split()) for one in part.split(",")) if line]
    if len(lines) > MOST_LINES or any(len(line) > LONGEST_LINE for line in lines):
        limits = f"{MOST_LINES} lines of {LONGEST_LINE} letters at most"
        raise Refusal(f"An address has {limits}, a comma begins a new one. Nothing was changed.")
    return tuple(lines)


def set_address(tx: Transaction, typed: str) -> tuple[str, ...]:
    """Keep an address: a comma begins a new line; "" takes it away. Refused where it is longer than fits."""
    lines = good_address(typed)
    if lines:
        store(tx, ADDRESS, "\n".join(lines))
    else:
        forget(tx, ADDRESS)
    return lines


def set_zone(tx: Transaction, name: str) -> Shop:
    """Tell the shop's days in another zone: all of them, the past ones too. Refused where there is no such zone."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise Refusal(f"{name} is no time zone, such as Europe/Dublin. Nothing was changed.") from error
    return tx.change(replace(tx.current(the_shop(tx.floor)), zone=name))


def begin_here(tx: Transaction, here: Here) -> None:
    """Begin a new shop with the currency of the place; what was ever set stays."""
    if here.currency and tx.floor.setting(CURRENCY) is None:
        set_rate(tx, "currency", here.currency)
