"""Pieces made before timing began: where the maker's count starts, which learning is measured by."""

from dataclasses import replace

from shopclock.shop.figures.trend_rows import WHOLE
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import MadeBefore, Maker, Method, Stage
from shopclock.shop.values.errors import Refusal

MOST = 99_999


def made_before(floor: ShopFloor, maker_id: int | None = None) -> dict[tuple[int, int, bool], int]:
    """Return pieces made before the first timed one, by what is counted together; what isn't there is 0.

    That is the stage (WHOLE for whole pieces) and the method (0 for none), never mixed. Of one maker alone where one is
    given: what says of no maker is the first one's.
    """
    first = next(floor.all(Maker)).id
    own = (one for one in floor.all(MadeBefore) if maker_id in (None, one.maker_id or first))
    return {(one.stage_id or WHOLE, one.method_id or 0, False): one.pieces for one in own}


def pieces_before(floor: ShopFloor, stage: Stage | None, method: Method | None) -> int:
    """Return how many pieces were made before by a method of a stage; whole ones without a stage."""
    found = _find(floor, stage, method)
    return found.pieces if found is not None else 0


def set_made_before(tx: Transaction, stage: Stage | None, method: Method | None, typed: str) -> MadeBefore:
    """Say how many pieces were made before timing began, as typed: a whole number, 0 for none."""
    number = _whole(typed)
    if number is None:
        raise Refusal(f"{typed} is no whole number from 0 to {MOST}. Nothing was changed.")
    found = _find(tx.floor, stage, method)
    if found is not None:
        return tx.change(replace(tx.current(found), pieces=number))
    method_id = method.id if method else None
    return tx.add(MadeBefore(stage_id=stage.id if stage else None, method_id=method_id, pieces=number))


def _whole(typed: str) -> int | None:
    text = typed.strip()
    number = int(text) if text.isascii() and text.isdecimal() and len(text) <= len(str(MOST)) else None
    return number if number is not None and number <= MOST else None


def _find(floor: ShopFloor, stage: Stage | None, method: Method | None) -> MadeBefore | None:
    wanted = (stage.id if stage else None, method.id if method else None)
    return next((one for one in floor.all(MadeBefore) if (one.stage_id, one.method_id) == wanted), None)
