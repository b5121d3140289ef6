"""A desk's copy looked through: each entry that it changed as it was, as the desk has it, as the shop has it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from shopclock.record.copies.older import as_now
from shopclock.record.desk.former import as_of_bench, bench_at_desk, bench_there
from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.error_text import Damaged, error_text, sentence
from shopclock.record.file.fold import Name, as_it_stands
from shopclock.record.file.opening import open_reader
from shopclock.record.file.schema import table_name
from shopclock.record.joining.apart import OF_EACH
from shopclock.record.joining.presses import PressName, TravellingPress, heard_of, presses_of, refuse_newer, uuid_of
from shopclock.record.read.load import read
from shopclock.shop.state.fold import SEVERAL, differing
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import (
    AskedPrice,
    Bench,
    Checkout,
    Entity,
    ImportFile,
    ImportRow,
    Key,
    Setting,
    Shop,
    Side,
    Word,
)
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress

LOOKING = "Looking through the desk's copy"
ALL = -1
NOT_LISTED = (Checkout, *OF_EACH)
"""What each file has for itself."""
ONE_EACH: dict[type[Entity], str] = {Setting: "name", Word: "name", Key: "action", AskedPrice: "pattern_id"}
"""Where both sides made what there can be one of, it is one entry that both changed."""
OTHER = (
    "Presses of {desk} are here already that were made in another file: it was copied, and both were changed. "
    "Nothing was changed. Bring back the one that came first."
)


@dataclass(frozen=True, slots=True)
class DeskEntry:
    """One thing that the desk changed: as it was, as the desk has it, as the shop has it now."""

    was: Entity | None
    desk: Entity | None
    shop: Entity | None

    @property
    def both(self) -> bool:
        """True if both sides changed the same of it, and not to the same."""
        if self.shop is None or self.desk is None:
            return self.was is not None and self.was not in (self.desk, self.shop)
        return bool(self._of_both) if self.was is not None else not _same(self.desk, self.shop)

    @property
    def sides(self) -> tuple[Entity | None, Entity | None, Entity | None]:
        """The entry as it was, as the shop has it, as the desk has it: alike in all but what both changed."""
        if self.was is None or self.shop is None or self.desk is None:
            return self.was, self.shop, self.desk
        return _with(self.shop, self.was, self._of_both), self.shop, _with(self.shop, self.desk, self._of_both)

    @property
    def news(self) -> bool:
        """True if the desk has it otherwise than it was, and than the shop has it."""
        return self.desk != self.was and not _same(self.desk, self.shop)

    @property
    def thing(self) -> Entity:
        """The thing, whichever side has it."""
        found = self.desk or self.shop or self.was
        if found is None:
            raise ValueError(self)
        return found

    @property
    def _of_desk(self) -> list[tuple[str, ...]]:
        """Groups of fields that the desk changed."""
        return list(differing(self.was, self.desk)) if self.was is not None and self.desk is not None else []

    @property
    def _of_both(self) -> list[tuple[str, ...]]:
        """Groups of fields that both sides changed, and not to the same."""
        was, shop, desk = self.was, self.shop, self.desk
        if was is None or shop is None or desk is None:
            return []
        return [group for group in self._of_desk if not _equal(shop, was, group) and not _equal(shop, desk, group)]

    def pick(self, connection: sa.Connection, *, to_desk: bool) -> Iterator[Change]:
        """Yield what is missing, with the presses of both sides in a record, for a thing to be as was picked.

        What one side alone changed is that side's, wherever the presses lie in the order of all.
        """
        if self.shop is not None and self.desk is not None and self.shop.id != self.desk.id:
            other = self.shop if to_desk else self.desk
            if (there := _standing(connection, other)) is not None:
                yield Change(there, None)
        elif self.was is not None or self.shop is not None:
            now, wanted = _standing(connection, self.thing), self._wanted(to_desk=to_desk)
            if now is not None and wanted is not None and hasattr(now, SEVERAL):
                wanted = replace(wanted, **{SEVERAL: getattr(now, SEVERAL)})  # each of them by itself
            if now != wanted:
                yield Change(now, wanted)

    def _wanted(self, *, to_desk: bool) -> Entity | None:
        takes = self.desk != self.was and (to_desk or not self.both)
        if self.shop is None or self.desk is None or self.was is None:
            return self.desk if takes else self.shop
        return _with(self.shop, self.desk, [g for g in self._of_desk if takes or _equal(self.shop, self.was, g)])


def _standing(connection: sa.Connection, thing: Entity) -> Entity | None:
    return as_it_stands(connection, table_name(type(thing)), thing.id)


def _with(thing: Entity, other: Entity, groups: Iterable[Iterable[str]]) -> Entity:
    """Return a thing with some groups of fields as another has them."""
    values: dict[str, Any] = {name: getattr(other, name) for group in groups for name in group}
    return replace(thing, **values)


def _equal(one: Entity, other: Entity, group: Iterable[str]) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in group)


def _same(one: Entity | None, other: Entity | None) -> bool:
    """Tell whether two things are alike, but for what they are known by."""
    if one is None or other is None:
        return one is other
    return _equal(one, other, (f.name for f in fields(one) if f.name not in ("id", "uuid")))


@dataclass(frozen=True, slots=True)
class Found:
    """Contents of a desk's copy: its entries, and its presses that the shop lacks.

    `quiet` are entries that the desk changed and changed back, `handed` the checkout as the shop has it, `bench` the
    desk's, `until` its last press, `twice` presses that brought in old notes which the shop has. `press_id` is the
    shop's newest press when it was looked through.
    """

    entries: tuple[DeskEntry, ...]
    quiet: tuple[DeskEntry, ...]
    presses: tuple[TravellingPress, ...]
    handed: Checkout
    bench: Bench
    until: int
    twice: tuple[PressName, ...]
    press_id: int


def look_through(record: Path, desk: Path, progress: Progress = UNWATCHED) -> Found:
    """Return what a desk's copy says that the shop's record does not. ShopError: it is not its copy, and why."""
    progress.at(0, 0, LOOKING)
    with as_now(desk) as desk_now:
        shop_engine, desk_engine = open_reader(record), open_reader(desk_now)
        try:
            with error_text(record), shop_engine.begin() as ours, error_text(desk), desk_engine.begin() as theirs:
                handed = _handed(ours, theirs, desk)
                bench = bench_there(ours, theirs, handed)
                pressed = list(presses_of(theirs, bench_at_desk(theirs, handed).id, 0, ALL))
                refuse_newer(pressed)
                _refuse_damaged(pressed, desk)
                presses = as_of_bench(ours, theirs, handed, bench, pressed)
                _refuse_other(ours, presses, desk)
                return _found(ours, handed, bench, presses)
        finally:
            shop_engine.dispose()
            desk_engine.dispose()


def _handed(ours: sa.Connection, theirs: sa.Connection, desk: Path) -> Checkout:
    """Return the handing-over that made a file the desk's, as the shop has it."""
    if {shop.uuid for shop in read(ours, Shop)} != {shop.uuid for shop in read(theirs, Shop)}:
        raise ShopError(f"{desk} is of another shop. Nothing was changed. Open it on its own.")
    taken = next((one for one in read(theirs, Checkout) if one.side is Side.DESK), None)
    if taken is None:
        raise ShopError(
            f"{desk} is no desk's copy. Nothing was changed. As a copy of the record it can be brought back."
        )
    known = {one.uuid: one for one in read(ours, Checkout)}.get(taken.uuid)
    if known is None:
        raise ShopError(f"This record knows nothing of {desk}: it is older than that. Nothing was changed.")
    if known.side is Side.DESK:
        raise ShopError("This is the desk's copy itself. Nothing was changed. Bring it back in the shop.")
    return known


def _refuse_damaged(presses: Iterable[TravellingPress], desk: Path) -> None:
    """ShopError where a line of the journal isn't about the thing that it says it is about."""
    for press in presses:
        for line in press.lines:
            kind = KIND_NAMED.get(line.thing)
            sides = [from_line(kind, side, line.version) for side in (line.before, line.after) if kind is not None]
            if not any(sides) or any(side is not None and side.id != line.number for side in sides):
                raise Damaged(sentence(desk, "malformed"))


def _refuse_other(ours: sa.Connection, presses: Sequence[TravellingPress], desk: Path) -> None:
    """ShopError where the shop has other presses of the same bench and number: two files were the desk's."""
    for press in presses:
        known = uuid_of(ours, press.name)
        if known is not None and known != press.row["uuid"]:
            raise ShopError(OTHER.format(desk=desk))


def _found(ours: sa.Connection, handed: Checkout, bench: Bench, presses: Sequence[TravellingPress]) -> Found:
    """Compare what the desk changed since it last came back with what the shop has."""
    known = any(one.uuid == handed.uuid for one in read(ours, Bench))
    here = heard_of(ours).get(bench.id, 0)
    joined = handed.joined if known else 0
    lacking = tuple(press for press in presses if press.name[1] > here)
    twice = tuple(press.name for press in lacking if _brought_twice(ours, press))
    since = (press for press in presses if press.name[1] > joined and press.name not in twice)
    entries = [_entry(ours, name, *sides) for name, sides in _net(since).items()]
    press_id = ours.exec_driver_sql("SELECT max(id) FROM press").scalar_one()
    return Found(
        tuple(entry for entry in entries if entry.news),
        tuple(entry for entry in entries if not entry.news),
        lacking,
        handed,
        bench,
        max(here, presses[-1].name[1] if presses else 0),
        twice,
        press_id,
    )


def _brought_twice(ours: sa.Connection, press: TravellingPress) -> bool:
    """Tell whether a press brought in old notes of which the shop has brought in any, too."""
    made = [(line.thing, line) for line in press.lines if line.before is None]
    for kind, column in ((ImportFile, "sha256"), (ImportRow, "known_by")):
        table = table_name(kind)
        query = f"SELECT 1 FROM {table} WHERE {column} = ? AND id != ? LIMIT 1"  # noqa: S608  # ours
        for thing, line in made:
            side = from_line(kind, line.after, line.version) if thing == table else None
            if side is not None and ours.exec_driver_sql(query, (getattr(side, column), side.id)).first() is not None:
                return True
    return False


def _net(presses: Iterable[TravellingPress]) -> dict[Name, tuple[Entity | None, Entity | None]]:
    """Return what presses of one bench change: each thing as it was, as it is."""
    found: dict[Name, tuple[Entity | None, Entity | None]] = {}
    for press in presses:
        for line in press.lines:
            kind, name = KIND_NAMED[line.thing], (line.thing, line.number)
            if not issubclass(kind, NOT_LISTED):
                was = found[name][0] if name in found else from_line(kind, line.before, line.version)
                found[name] = was, from_line(kind, line.after, line.version)
    own = {name for name, sides in found.items() if any(isinstance(s, Setting) and s.of_bench for s in sides)}
    return {name: sides for name, sides in found.items() if name not in own and sides != (None, None)}


def _entry(ours: sa.Connection, name: Name, was: Entity | None, desk: Entity | None) -> DeskEntry:
    shop = as_it_stands(ours, *name)
    kind = KIND_NAMED[name[0]]
    if shop is None and was is None and kind in ONE_EACH:
        alike = (one for one in read(ours, kind) if getattr(one, ONE_EACH[kind]) == getattr(desk, ONE_EACH[kind]))
        shop = next(alike, None)
    return DeskEntry(was, desk, shop)
