"""One entry that two records have differently, in plain words: its name, and what each of them says, field by field."""

from collections.abc import Iterator
from dataclasses import dataclass, fields

from shopclock.shop.review.change_text import FIELD_WORDS, name_of, value_text
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Entity, Interval

GONE = "taken away"
NOTHING = "–"
WORDS = {"customer_order": "order", "cost_item": "cost", "asked_price": "price", "shop_hours": "hours"}
SKIPPED = ("id", "uuid")


@dataclass(frozen=True, slots=True)
class MergeText:
    """One field: what it is called, what it was, what the shop says, what the desk says."""

    what: str
    was: str
    shop: str
    desk: str


def entry_name(floor: ShopFloor, thing: Entity) -> str:
    """Name an entry: Bevel, 26-11, A–F; else what kind of thing it is, and its name."""
    if (found := name_of(floor, thing)) is not None:
        return found
    kind = "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in type(thing).__name__).strip()
    kind = WORDS.get(kind.replace(" ", "_"), kind)
    own = next((str(getattr(thing, name)) for name in ("name", "who", "number", "mark") if hasattr(thing, name)), "")
    return f"{kind.capitalize()} {own}".strip()


def sides(floor: ShopFloor, was: Entity | None, shop: Entity | None, desk: Entity | None) -> list[MergeText]:
    """Return what differs between what it was, what the shop says and what the desk says."""
    three = (was, shop, desk)
    if shop is None or desk is None:
        return [MergeText("", *(GONE if side is None else "there" for side in three))]
    return list(_differing(floor, three, desk))


def _differing(floor: ShopFloor, three: tuple[Entity | None, ...], thing: Entity) -> Iterator[MergeText]:
    words = FIELD_WORDS.get(type(thing), {})
    for field in fields(thing):
        values = [getattr(side, field.name) if side is not None else None for side in three]
        hidden = field.name in SKIPPED or (isinstance(thing, Interval) and field.name not in words)
        if hidden or all(value == values[0] for value in values):
            continue
        what = words.get(field.name, field.name.removesuffix("_id").removesuffix("_us").replace("_", " "))
        yield MergeText(what, *(_said(floor, field.name, side) for side in three))


def _said(floor: ShopFloor, field: str, side: Entity | None) -> str:
    return NOTHING if side is None else value_text(floor, field, getattr(side, field), side) or NOTHING
