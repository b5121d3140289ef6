"""Makers: who there is, who works at a bench now, who comes and who goes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.shop.state import settings
from shopclock.shop.values.entities import Interval, Maker, MakerStage, Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.names import good_name
from shopclock.shop.work.begin import end

if TYPE_CHECKING:
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Bench

MOST_HERE = 2
"""So many work at one bench, each on a part of its screen."""
FIRST = "First maker"
"""Name of the first maker as long as nobody has given one."""


def makers(floor: ShopFloor) -> tuple[Maker, ...]:
    """Return the makers who are not put away, in the order in which they came."""
    return tuple(maker for maker in floor.all(Maker) if not maker.put_away)


def first_maker(floor: ShopFloor) -> int:
    """Return the number of the maker that the shop began with."""
    return next(floor.all(Maker)).id


def several(floor: ShopFloor) -> bool:
    """Tell whether there is more than one pair of hands, or ever was: only then is anything of it shown."""
    return len(list(floor.all(Maker))) > 1


def name_of_maker(floor: ShopFloor, maker_id: int) -> str:
    """Return what a maker is called."""
    return floor.get(Maker, maker_id).name or FIRST


def _place(bench: Bench) -> str:
    return f"here {bench.uuid}"


def here(floor: ShopFloor, bench: Bench) -> tuple[Maker, ...]:
    """Return who works at a bench: those who came last, one at least."""
    known = {str(maker.id): maker for maker in makers(floor)}
    told = (floor.setting(_place(bench)) or "").split()
    found = tuple(known[number] for number in told if number in known)[:MOST_HERE]
    return found or makers(floor)[:1]


def _set_here(tx: Transaction, bench: Bench, now: tuple[Maker, ...]) -> None:
    settings.store(tx, _place(bench), " ".join(str(maker.id) for maker in now))


def comes(tx: Transaction, bench: Bench, maker: Maker) -> None:
    """Have one more maker at a bench; refused where there is no room for one."""
    now = here(tx.floor, bench)
    if maker.id in {m.id for m in now}:
        return
    if len(now) >= MOST_HERE:
        raise Refusal(f"{MOST_HERE} work at this bench already. Nothing was changed; one goes first.")
    _set_here(tx, bench, (*now, maker))


def goes(tx: Transaction, bench: Bench, maker: Maker) -> list[Interval]:
    """Have a maker go: what is under the maker's hands ends. Refused where nobody else is there."""
    rest = tuple(m for m in here(tx.floor, bench) if m.id != maker.id)
    if not rest:
        raise Refusal("Nobody else is at this bench. Nothing was changed.")
    _set_here(tx, bench, rest)
    return _stop(tx, maker)


def takes_over(tx: Transaction, bench: Bench, maker: Maker, other: Maker) -> list[Interval]:
    """Have another maker come in the place of one, whose work ends."""
    now = tuple(other if m.id == maker.id else m for m in here(tx.floor, bench) if m.id != other.id)
    _set_here(tx, bench, now)
    return _stop(tx, maker)


def _stop(tx: Transaction, maker: Maker) -> list[Interval]:
    running = [i for i in tx.floor.running.values() if i.maker_id == maker.id and i.kind.attended]
    return [end(tx, interval) for interval in running]


def add_maker(tx: Transaction, name: str, bench: Bench | None = None, first: str = "") -> Maker:
    """Add a pair of hands, who is at the bench that is given where it has room; `first` names the first maker."""
    own = next(iter(makers(tx.floor)), None)
    if own is not None and not own.name and first:
        rename_maker(tx, own, first)
    made = tx.add(Maker(name=good_name(name, [m.name or FIRST for m in tx.floor.all(Maker)])))
    if bench is not None and len(here(tx.floor, bench)) < MOST_HERE:
        comes(tx, bench, made)
    return made


def rename_maker(tx: Transaction, maker: Maker, name: str) -> Maker:
    """Give a maker another name; minutes and trends stay the same maker's."""
    taken = [m.name or FIRST for m in tx.floor.all(Maker) if m.id != maker.id]
    return tx.change(replace(tx.current(maker), name=good_name(name, taken)))


def put_maker_away(tx: Transaction, maker: Maker, *, away: bool = True) -> Maker:
    """Take a maker out of what is offered, or bring one back; what was worked stays. Refused for the last one."""
    if away and [m.id for m in makers(tx.floor)] == [maker.id]:
        raise Refusal("There is no other maker. Nothing was changed.")
    if away and any(i.maker_id == maker.id and i.kind.attended for i in tx.floor.running.values()):
        raise Refusal(f"{maker.name or FIRST} is at work: stop first. Nothing was changed.")
    return tx.change(replace(tx.current(maker), put_away=away))


def stages_of(floor: ShopFloor, maker: Maker) -> frozenset[int]:
    """Return the stages that a maker does, by number; none where it is all of them."""
    return frozenset(own.stage_id for own in floor.all(MakerStage) if own.maker_id == maker.id)


def does(floor: ShopFloor, maker: Maker, stage_id: int) -> bool:
    """Tell whether a maker does a stage."""
    own = stages_of(floor, maker)
    return not own or stage_id in own


def set_does(tx: Transaction, maker: Maker, stage: Stage, *, wanted: bool) -> None:
    """Say that a maker does a stage, or not; refused where none would be left."""
    every = {s.id for s in tx.floor.all(Stage) if not s.put_away and not s.shop_work}
    own = stages_of(tx.floor, maker) or every
    now = own | {stage.id} if wanted else own - {stage.id}
    if not now:
        raise Refusal(f"{maker.name or FIRST} would do nothing. Nothing was changed; put the maker away instead.")
    for one in list(tx.floor.all(MakerStage)):
        if one.maker_id == maker.id:
            tx.drop(one)
    for stage_id in sorted(now) if now != every else ():
        tx.add(MakerStage(maker_id=maker.id, stage_id=stage_id))
