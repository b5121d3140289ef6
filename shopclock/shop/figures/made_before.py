"""Pieces made before timing began: where the maker's count starts, which learning is measured by."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.shop.figures.trend_rows import WHOLE
from shopclock.shop.values.entities import MadeBefore
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.makers import first_maker

if TYPE_CHECKING:
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Method, Stage

MOST = 99_999


def made_before(floor: ShopFloor, maker_id: int | None = None) -> dict[tuple[int, int, bool], int]:
    """Return pieces made before the first timed one, by what is counted together; what isn't there is 0.

    That is the stage (WHOLE for whole pieces) and the method (0 for none), never mixed. Of one maker alone where one is
    given, else of all together.
    """
    found: Counter[tuple[int, int, bool]] = Counter()
    for one in floor.all(MadeBefore):
        if maker_id in (None, _whose(floor, one)):
            found[one.stage_id or WHOLE, one.method_id or 0, False] += one.pieces
    return dict(found)


def pieces_before(floor: ShopFloor, stage: Stage | None, method: Method | None, maker_id: int | None = None) -> int:
    """Return how many pieces were made before by a method of a stage; whole ones without a stage.

    By one maker where one is given, else by all together.
    """
    wanted = (stage.id if stage else WHOLE, method.id if method else 0, False)
    return made_before(floor, maker_id).get(wanted, 0)


def set_made_before(
    tx: Transaction, stage: Stage | None, method: Method | None, typed: str, maker_id: int | None = None
) -> MadeBefore:
    """Say how many pieces a maker, else the first one, made before timing began: a typed whole number, 0 for none."""
    number = _whole(typed)
    if number is None:
        raise Refusal(f"{typed} is no whole number from 0 to {MOST}. Nothing was changed.")
    floor, maker_id = tx.floor, maker_id or first_maker(tx.floor)
    about = (stage.id if stage else None, method.id if method else None, maker_id)
    known = (one for one in floor.all(MadeBefore) if (one.stage_id, one.method_id, _whose(floor, one)) == about)
    found = next(known, None)
    if found is not None:
        return tx.change(replace(tx.current(found), pieces=number))
    told = maker_id if maker_id != first_maker(floor) else None
    return tx.add(MadeBefore(stage_id=about[0], method_id=about[1], pieces=number, maker_id=told))


def _whose(floor: ShopFloor, one: MadeBefore) -> int:
    """Return whose pieces these are: what says of no maker is the first one's."""
    return one.maker_id or first_maker(floor)


def _whole(typed: str) -> int | None:
    text = typed.strip()
    number = int(text) if text.isascii() and text.isdecimal() and len(text) <= len(str(MOST)) else None
    return number if number is not None and number <= MOST else None
