"""Comparison of a desk's copy with the shop's record, entry by entry: as it was, the shop's, the desk's.

Things that the desk made have other numbers here: below nothing until they are taken in, so that none is the shop's.
"""

import json
from collections.abc import Iterable, Mapping
from contextlib import closing
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from shopclock.record.copies.older import as_now
from shopclock.record.file import engine
from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.error_text import error_text
from shopclock.record.file.opening import open_reader
from shopclock.record.file.schema import COVERED, NOT_BROUGHT, POINTS_AT, table_name
from shopclock.record.read.load import read
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import AskedPrice, Bench, Checkout, Entity, Key, Question, Setting, Shop, Side, Word
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress

LOOKING = "Looking through the desk's copy"
AT_A_TIME = 500
LEFT_OUT = tuple(table_name(kind) for kind in (Checkout, Bench, Question))
"""What each file has for itself."""
ONE_EACH: dict[type[Entity], str] = {Setting: "name", Word: "name", Key: "action", AskedPrice: "pattern_id"}
"""Where both sides made what there can be one of, it is one entry that both changed."""

PRESSED = f"press_id IN (SELECT id FROM press WHERE {NOT_BROUGHT})"  # noqa: S608  # ours
"""Leaves out what a migration added: both sides got it, each by itself."""

Number = tuple[str, int]
"""A table and a number in it."""


@dataclass(frozen=True, slots=True)
class MergeEntry:
    """One thing that the desk changed: as it was, as the desk has it, as the shop has it now; `group` goes together."""

    was: Entity | None
    desk: Entity | None
    shop: Entity | None
    group: int

    @property
    def both(self) -> bool:
        """True if both sides changed it, and not to the same."""
        return self.shop not in (self.was, self.desk)

    @property
    def thing(self) -> Entity:
        """The thing, whichever side has it."""
        found = self.desk or self.shop or self.was
        if found is None:
            raise ValueError(self)
        return found

    def change(self, *, to_desk: bool) -> Change | None:
        """Return the change of the shop's record by this, where there is one; what the shop alone changed stays."""
        after = self._joined() if to_desk or not self.both else self.shop
        return None if after == self.shop else Change(self.shop, after)

    def not_taken(self) -> Change | None:
        """Return what the journal keeps where the desk's is not taken."""
        return None if self.desk == self.shop else Change(self.shop, self._joined())

    def _joined(self) -> Entity | None:
        if self.desk is None or self.shop is None:
            return self.desk
        names = [f.name for f in fields(self.desk) if f.name not in ("id", "uuid")]
        changed = [n for n in names if self.was is None or getattr(self.desk, n) != getattr(self.was, n)]
        return replace(self.shop, **{name: getattr(self.desk, name) for name in changed})


@dataclass(frozen=True, slots=True)
class Found:
    """Contents of a desk's copy: its entries, the checkout as the shop has it, up to which line of its journal.

    `press_id` is the shop's newest press when it was looked through.
    """

    entries: tuple[MergeEntry, ...]
    handed: Checkout
    until: int
    press_id: int


def look_through(record: Path, desk: Path, progress: Progress = UNWATCHED) -> Found:
    """Return what a desk's copy says that the shop's record does not. ShopError: it is not its copy, and why."""
    progress.at(0, 0, LOOKING)
    with as_now(desk) as desk_now:
        shop_engine, desk_engine = open_reader(record), open_reader(desk_now)
        try:
            with error_text(record), shop_engine.begin() as ours, error_text(desk), desk_engine.begin() as theirs:
                handed = _handed(ours, theirs, desk)
                return _Comparing(ours, theirs, handed, _last_line(desk)).all(progress)
        finally:
            shop_engine.dispose()
            desk_engine.dispose()


def _last_line(desk: Path) -> int:
    """Return the last line of a desk's journal as its own file has it, which may be of an older version."""
    with closing(engine.connect_reader(desk)) as connection:
        return int(connection.execute("SELECT coalesce(max(id), 0) FROM journal").fetchone()[0])


def _handed(ours: sa.Connection, theirs: sa.Connection, desk: Path) -> Checkout:
    """Return the handing-over that made a file the desk's, as the shop has it."""
    if {shop.uuid for shop in read(ours, Shop)} != {shop.uuid for shop in read(theirs, Shop)}:
        raise ShopError(f"{desk} is of another shop. Nothing was changed. Open it on its own.")
    taken = max(read(theirs, Checkout), key=lambda one: one.id, default=None)
    if taken is None or taken.side is not Side.DESK:
        raise ShopError(
            f"{desk} is no desk's copy. Nothing was changed. As a copy of the record it can be brought back."
        )
    known = {one.uuid: one for one in read(ours, Checkout)}.get(taken.uuid)
    if known is None:
        raise ShopError(f"This record knows nothing of {desk}: it is older than that. Nothing was changed.")
    if known.side is Side.DESK:
        raise ShopError("This is the desk's copy itself. Nothing was changed. Bring it back in the shop.")
    return known


@dataclass(slots=True)
class _Net:
    """Net change of one thing in the desk's journal: first before, last after."""

    was: Entity | None
    now: Entity | None


class _Comparing:
    """Both records beside each other."""

    def __init__(self, ours: sa.Connection, theirs: sa.Connection, handed: Checkout, until: int) -> None:
        self._ours = ours
        self._theirs = theirs
        self._handed = handed
        self._until = until
        self._groups = Groups()

    def all(self, progress: Progress) -> Found:
        """Look through the desk's journal, and for each thing at the shop's."""
        begins = self._line("SELECT max(id) FROM journal WHERE thing = 'handing_over'")
        net = self._net(max(begins, self._handed.joined), progress)
        numbers = self._numbers_here(begins)
        entries = [entry for key, one in net.items() if (entry := self._entry(key, one, numbers)) is not None]
        press_id = self._ours.exec_driver_sql("SELECT max(id) FROM press").scalar_one()
        return Found(tuple(entries), self._handed, self._until, press_id)

    def _line(self, query: str) -> int:
        return int(self._theirs.exec_driver_sql(query).scalar_one() or 0)

    def _net(self, after: int, progress: Progress) -> dict[Number, _Net]:
        found: dict[Number, _Net] = {}
        columns = "press_id, thing, number, before, after, version"
        query = f"SELECT {columns} FROM journal WHERE id > ? AND {PRESSED} ORDER BY id"  # noqa: S608  # ours
        for n, line in enumerate(self._theirs.exec_driver_sql(query, (after,))):
            press_id, thing, number, before, now, version = line
            if n % AT_A_TIME == 0:
                progress.at(n, 0, LOOKING)
            if thing not in LEFT_OUT:
                kind = KIND_NAMED[thing]
                one = found.setdefault((thing, number), _Net(from_line(kind, before, version), None))
                one.now = from_line(kind, now, version)
                self._groups.join(("press", press_id), (thing, number))
        return {key: one for key, one in found.items() if one.was != one.now and not _own(one.now or one.was)}

    def _numbers_here(self, begins: int) -> dict[Number, int]:
        """Return the number that each thing has here which the desk made: by its UUID, else one below nothing."""
        query = "SELECT DISTINCT thing, number, after FROM journal WHERE id > ? AND before IS NULL"
        made = [
            (thing, number, json.loads(line)["uuid"])
            for thing, number, line in self._theirs.exec_driver_sql(query, (begins,))
            if thing not in LEFT_OUT
        ]
        known = self._known({thing for thing, _, _ in made})
        return {(thing, number): known[thing].get(uuid, -number) for thing, number, uuid in made}

    def _known(self, tables: Iterable[str]) -> dict[str, dict[str, int]]:
        return {table: self._ids(table) for table in tables}

    def _ids(self, table: str) -> dict[str, int]:
        names = sa.select(sa.column("id", sa.Integer), sa.column("uuid", sa.Text)).select_from(sa.table(table))
        return {row.uuid: row.id for row in self._ours.execute(names)}

    def _entry(self, key: Number, one: _Net, numbers: Mapping[Number, int]) -> MergeEntry | None:
        was, now = (renumbered(side, numbers) if side is not None else None for side in (one.was, one.now))
        number = numbers.get(key, key[1])
        shop = self._here(KIND_NAMED[key[0]], number, now)
        if shop is None and number < 0:
            was = None  # the shop has never had it
        if now in (shop, was):
            return None
        if now is not None and shop is not None:
            now = replace(now, id=shop.id, uuid=shop.uuid)
        return MergeEntry(was, now, shop, self._groups.of(key))

    def _here(self, kind: type[Entity], number: int, now: Entity | None) -> Entity | None:
        """Return the thing as the shop has it; for what there is one of, whatever the shop has in its place."""
        if number > 0:
            return next(iter(read(self._ours, kind, "id = :number", number=number)), None)
        if kind not in ONE_EACH or now is None:
            return None
        name = ONE_EACH[kind]
        return next((one for one in read(self._ours, kind) if getattr(one, name) == getattr(now, name)), None)


def _own(thing: Entity | None) -> bool:
    """Tell whether a thing is one that each window has for itself."""
    return isinstance(thing, Setting) and thing.of_bench


def renumbered(thing: Entity, numbers: Mapping[Number, int]) -> Entity:
    """Return a thing with its own number and those it points at as they are elsewhere."""
    own = table_name(type(thing))
    changed: dict[str, Any] = {"id": numbers.get((own, thing.id), thing.id)}
    for field in fields(thing):
        to, value = POINTS_AT.get(field.name), getattr(thing, field.name)
        if to is not None and value is not None:
            changed[field.name] = numbers.get((to, value), value)
    if type(thing) in COVERED:
        pieces: tuple[int, ...] = getattr(thing, "pieces")  # noqa: B009  # only some have them
        changed["pieces"] = tuple(numbers.get(("piece", piece), piece) for piece in pieces)
    return replace(thing, **changed)


class Groups:
    """Groups that go together, because one press changed both; named by the place of its first."""

    def __init__(self) -> None:
        self._place: dict[object, int] = {}
        self._head: dict[int, int] = {}

    def join(self, one: object, other: object) -> None:
        """Have these two in one group."""
        first, second = sorted((self.of(one), self.of(other)))
        self._head[second] = first

    def of(self, key: object) -> int:
        """Return the group of a thing."""
        head = self._place.setdefault(key, len(self._place))
        while head != self._head.setdefault(head, head):
            head = self._head[head]
        return head
