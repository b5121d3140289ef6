"""Taking the record along to a desk: what either side may change until both are joined again."""

from collections.abc import Iterable
from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change, Transaction, net
from shopclock.shop.state.wording import clock_time, day_text, shop_time, zone_of
from shopclock.shop.values.entities import Bench, Checkout, Entity, ImportFile, Interval, Side
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.ranges import free_number

DESK = "Desk"
INSTANTS = ("start_us", "end_us", "at_us", "started_us", "closed_us", "ended_us")
"""The fields that say when something happened in the shop."""


def check_out(tx: Transaction) -> Checkout:
    """Note that the record is taken along now. Refused in a desk's copy: only the shop's record is."""
    if at_desk(tx.floor) is not None:
        raise Refusal("This is the desk's copy. Nothing was changed. Take the shop's record along.")
    handed = tx.add(Checkout(at_us=tx.now_us, side=Side.SHOP))
    tx.take(Change(None, new_bench(tx.floor, handed)))
    return handed


def new_bench(floor: ShopFloor, handed: Checkout) -> Bench:
    """Return a bench for the desk, with numbers of its own; it is known by the UUID of what was taken along."""
    return Bench(id=free_number([bench.id for bench in floor.all(Bench)]), uuid=handed.uuid, name=DESK)


def desk_bench(floor: ShopFloor, handed: Checkout) -> Bench | None:
    """Return the bench of a desk's copy; nothing where that was taken along by an older version."""
    return next((bench for bench in floor.all(Bench) if bench.uuid == handed.uuid), None)


def desks(floor: ShopFloor) -> set[int]:
    """Return the numbers of the benches that are desks' copies."""
    handed = {checkout.uuid for checkout in floor.all(Checkout)}
    return {bench.id for bench in floor.all(Bench) if bench.uuid in handed}


def call_off(tx: Transaction, handed: Checkout) -> None:
    """Let the record not have been taken along: no copy was made."""
    if (bench := desk_bench(tx.floor, handed)) is not None:
        tx.drop(bench)
    tx.drop(handed)


def settle_at_desk(tx: Transaction, number: int) -> Checkout:
    """Make the file of a checkout the desk's: what is pressed in it from now on is pressed at the desk."""
    handed = tx.floor.find(Checkout, number)
    if handed is None:
        raise Refusal("This record was not taken along. Nothing was changed.")
    return tx.change(replace(tx.current(handed), side=Side.DESK))


def give_up(tx: Transaction) -> Checkout:
    """Note that the desk's copy won't come back; should it be found after all, it still can be brought back."""
    handed = out_at_desk(tx.floor)
    if handed is None:
        raise Refusal("No copy is out at a desk. Nothing was changed.")
    return tx.change(replace(tx.current(handed), given_up_us=tx.now_us))


def newest(floor: ShopFloor) -> Checkout | None:
    """Return when the record was taken along last, or nothing."""
    return max(floor.all(Checkout), key=lambda handed: (handed.at_us, handed.id), default=None)


def at_desk(floor: ShopFloor) -> Checkout | None:
    """Return the handing-over that made this file the desk's; nothing where it is the shop's."""
    return next((handed for handed in floor.all(Checkout) if handed.side is Side.DESK), None)


def out_at_desk(floor: ShopFloor) -> Checkout | None:
    """Return the newest handing-over of which nothing has come back to the shop yet and still may, or nothing."""
    handed = newest(floor)
    if handed is None or at_desk(floor) is not None or handed.joined or handed.given_up_us is not None:
        return None
    return handed


def day_and_time(floor: ShopFloor, handed: Checkout) -> str:
    """Say when it was: Wed 25 November 18:10."""
    at = shop_time(handed.at_us, zone_of(floor))
    return f"{day_text(at.date())} {clock_time(at)}"


def which_file(floor: ShopFloor) -> str:
    """Say in one line whether this is the shop's record or the desk's copy; the shop's says when one is out."""
    if (handed := at_desk(floor)) is not None:
        return f"The desk's copy, taken along {day_and_time(floor, handed)}"
    if (handed := out_at_desk(floor)) is not None:
        return f"The shop's record; a copy was taken along {day_and_time(floor, handed)}"
    return "The shop's record"


def check_older(floor: ShopFloor, changes: Iterable[Change]) -> None:
    """Refuse in a desk's copy what happened after it was taken along: that is the shop's to say."""
    handed = at_desk(floor)
    if handed is None:
        return
    if any(_later(side, change, handed.at_us) for change in net(changes) for side in (change.before, change.after)):
        raise Refusal(
            "This is the desk's copy: only what is older than "
            f"{day_and_time(floor, handed)} can be changed here. Start and stop clocks in the shop."
        )


def _later(thing: Entity | None, change: Change, at_us: int) -> bool:
    """Tell whether a side of a change runs on, or has an instant from the handing-over on that it changes.

    When old notes were brought in says nothing of the shop: they are typed at a desk.
    """
    if isinstance(thing, ImportFile):
        return False
    if isinstance(thing, Interval) and thing.running:
        return True
    other = change.after if thing is change.before else change.before
    instants = ((getattr(thing, name, None), getattr(other, name, None)) for name in INSTANTS)
    return any(instant is not None and instant >= at_us and instant != there for instant, there in instants)
