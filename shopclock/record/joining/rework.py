"""Rows made anew of the presses that stand: folded, settled between benches, with their derived rows.

What a thing is as pressed comes from the journal; where benches contradict each other its row says how it can have
been, and `corrected` keeps it as pressed. The same code makes a few things anew and a whole record.
"""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import replace
from itertools import chain, groupby
from typing import Any, TypeVar

import sqlalchemy as sa

from shopclock.record.file import write
from shopclock.record.file.codec import KIND_NAMED, from_line, to_line
from shopclock.record.file.fold import Name, in_order, moves_of, moving, parts_of, pointed_at
from shopclock.record.file.schema import POINTS_AT, VERSION, columns_of, table_name
from shopclock.record.joining.presses import TravellingPress, heard_of, insert
from shopclock.record.joining.standing import judge_anew
from shopclock.record.read.load import ALL, chunks, read
from shopclock.record.read.recompute import groups_bearing, recompute_derived, recompute_trend_rows
from shopclock.shop.state.fold import fold
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import (
    ENTITIES,
    AskedPrice,
    Batch,
    Both,
    Entity,
    Interval,
    Key,
    Leaving,
    MadeBefore,
    Method,
    OrderPiece,
    Pattern,
    Piece,
    Reason,
    Scales,
    Setting,
    Stage,
    Step,
    Tally,
    Word,
)
from shopclock.shop.values.instants import INSTANTS
from shopclock.shop.values.ranges import own_range, whole_of
from shopclock.shop.work.settle import Work, free_names, settle, still_open

T = TypeVar("T", bound=Entity)
NAMED: dict[type[Entity], tuple[str, Callable[[Any], object]]] = {
    Stage: ("name", lambda _: 0),
    Pattern: ("name", lambda _: 0),
    Reason: ("name", lambda _: 0),
    Method: ("name", lambda method: method.stage_id),
    Batch: ("name", lambda _: 0),
    Piece: ("mark", lambda piece: piece.batch_id),
    Scales: ("number", lambda _: 0),
}
"""What has a name of its own, and among which others: who was made first keeps it, others get *name.2*."""
ONE_EACH: dict[type[Entity], Callable[[Any], object]] = {
    Setting: lambda setting: (setting.name, setting.id if setting.of_bench else 0),
    Word: lambda word: word.name,
    Key: lambda key: key.action,
    AskedPrice: lambda asked: asked.pattern_id,
    MadeBefore: lambda made: (made.stage_id, made.method_id, made.maker_id),
    OrderPiece: lambda tie: tie.piece_id,
}
"""What there is one of alone: the last that was pressed."""
WORKED = (Interval, Tally, Leaving, Both, Piece, Step, Batch)


def several(connection: sa.Connection) -> bool:
    """Tell whether presses of several benches that give numbers of their own are in a record, or may come into it."""
    query = "SELECT 1 FROM bench WHERE place != '' LIMIT 1"
    placed = connection.exec_driver_sql(query).first() is not None
    return placed or len({own_range(bench) for bench in heard_of(connection)}) > 1


def contradicts(connection: sa.Connection) -> bool:
    """Tell whether benches contradict each other: something is otherwise than pressed, or stays that was taken back."""
    query = "SELECT EXISTS (SELECT 1 FROM corrected) OR EXISTS (SELECT 1 FROM kept)"
    return bool(connection.exec_driver_sql(query).scalar_one())


def take_in(connection: sa.Connection, presses: Iterable[TravellingPress]) -> tuple[list[int], bool]:
    """Take presses of another bench, as if they had been there in their place.

    Returns the numbers of those that a record lacked, and whether some have to wait.
    """
    come, wait = insert(connection, presses)
    stand_by(connection, come)
    return come, wait


def stand_by(connection: sa.Connection, presses: Collection[int]) -> None:
    """Have everything stand as presses say that have come into the journal."""
    if presses:
        rework(connection, names_of(connection, {*presses, *judge_anew(connection, presses)}))


def names_of(connection: sa.Connection, presses: Collection[int]) -> set[Name]:
    """Return what presses changed, and what they moved with a clock that was put right."""
    found: set[Name] = set()
    for number in presses:
        lines = connection.exec_driver_sql("SELECT thing, number FROM journal WHERE press_id = ?", (number,))
        found.update((thing, what) for thing, what in lines)
        move = connection.exec_driver_sql("SELECT from_us, by_us FROM clock_move WHERE press_id = ?", (number,)).first()
        if move is not None:
            found.update(_lying_after(connection, min(move.from_us, move.from_us + move.by_us)))
    return found


def _lying_after(connection: sa.Connection, since_us: int) -> Iterator[Name]:
    for kind, names in INSTANTS.items():
        table = table_name(kind)
        where = " OR ".join(f"{name} >= {since_us}" for name in names)
        rows = connection.exec_driver_sql(f"SELECT id FROM {table} WHERE {where}")  # noqa: S608  # ours
        yield from ((table, number) for number in rows.scalars() if number > 0)


def all_names(connection: sa.Connection) -> set[Name]:
    """Return everything that has a line in the journal."""
    return {(thing, n) for thing, n in connection.exec_driver_sql("SELECT DISTINCT thing, number FROM journal")}


def rework(connection: sa.Connection, names: Iterable[Name], former: Iterable[Entity] = ()) -> None:
    """Make these things anew from the presses that stand, with all that they bear on.

    `former` are things as they stood before, where their rows have been changed already.
    """
    anew = _Rework(connection, former)
    anew.derive(anew.fold(set(names)))


def make_whole(connection: sa.Connection) -> None:
    """Make every row anew of a record that holds presses and journal alone, or stands otherwise than they say."""
    connection.exec_driver_sql("DELETE FROM kept")
    judge_anew(connection, connection.exec_driver_sql("SELECT DISTINCT press_id FROM taken_back").scalars().all())
    _Rework(connection).fold(all_names(connection))
    work_out_anew(connection)


def work_out_anew(connection: sa.Connection) -> None:
    """Write all derived rows of a record anew."""
    write.forget_all_derived(connection)
    for _, derived in recompute_derived(connection):
        write.write_derived(connection, derived)
    write.write_stage_rows(connection, dict(recompute_trend_rows(connection)))


class _Rework:
    """Things that are being made anew: rows as they stand, as pressed, and as they will be."""

    def __init__(self, connection: sa.Connection, former: Iterable[Entity] = ()) -> None:
        self._connection = connection
        self._former: dict[Name, list[Entity]] = defaultdict(list)
        for thing in former:
            self._former[table_name(type(thing)), whole_of(thing.id)].append(thing)
        rows = connection.exec_driver_sql("SELECT thing, number, pressed, stays FROM corrected").all()
        self._corrected: dict[Name, Entity | None] = {
            (thing, number): from_line(KIND_NAMED[thing], pressed, VERSION) for thing, number, pressed, _ in rows
        }
        self._held = {(thing, number) for thing, number, _, stays in rows if stays}
        self._stay: set[Name] = set()
        self._moves = moves_of(connection)
        self._stands: dict[Name, Entity | None] = {}
        self._pressed: dict[Name, Entity | None] = {}
        self._then: dict[Name, Entity | None] = {}
        self._anew: set[Name] = set()

    def fold(self, names: set[Name]) -> list[Change]:
        """Fold, settle and write; returns what is otherwise than it stood."""
        names |= self._former.keys()
        names |= self._held_up_by(names)
        self._anew = names
        self._see(names)
        for name in names:
            self._pressed[name] = self._folded(name)
        self._see_missing(names)
        self._let_stay(names)
        self._then.update(self._pressed)
        self._settle_work(names)
        self._settle_names(names)
        self._settle_single(names)
        return self._write()

    def _see(self, names: Iterable[Name]) -> None:
        """Have at hand how the rows of things stand."""
        missing: dict[str, list[int]] = defaultdict(list)
        for thing, number in names:
            if (thing, number) not in self._stands:
                missing[thing].append(number)
                self._stands[thing, number] = None
        for thing, numbers in missing.items():
            for some in chunks(sorted(numbers)):
                for row in read(self._connection, KIND_NAMED[thing], "id IN :ids", ids=some):
                    self._stands[thing, row.id] = row

    def _folded(self, name: Name, *, stays: bool = False) -> Entity | None:
        moves = moving(self._moves, name[1])
        parts = in_order([*parts_of(self._connection, *name), *moves])
        return fold((part.part for part in parts if part.stands), stays=stays)

    def _held_up_by(self, names: Iterable[Name]) -> set[Name]:
        """Return what is there only because one of these points at it, or because such a thing does."""
        found: set[Name] = set()
        left = set(names) if self._held else set()
        while left:
            self._see(left)
            pointed = {p for name in left for thing in self._sides(name) for p in pointed_at(thing)}
            left = (pointed & self._held) - found
            found |= left
        return found

    def _see_missing(self, names: set[Name]) -> None:
        """Make anew too what these point at and what has been taken out of the record."""
        left = {thing for name in names if (thing := self._pressed[name]) is not None}
        while left:
            pointed = {name for thing in left for name in pointed_at(thing)} - self._pressed.keys()
            self._see(pointed)
            missing = {name for name in pointed if self._stands[name] is None and name not in self._corrected}
            for name in missing:
                self._pressed[name] = self._folded(name)
            names |= missing
            left = {thing for name in missing if (thing := self._folded(name, stays=True)) is not None}

    def _let_stay(self, names: set[Name]) -> None:
        """Let stay what was taken out of the record while another bench pointed at it."""
        gone = {name for name in names if self._pressed[name] is None and name[0] in _POINTED}
        others = (thing for name, thing in self._corrected.items() if name not in self._pressed and thing is not None)
        pointed = {name for thing in others for name in pointed_at(thing)}
        pointed |= {name for thing in self._pressed.values() if thing is not None for name in pointed_at(thing)}
        while stay := {name for name in gone if name in pointed or self._is_pointed_at(name)}:
            for name in stay:
                if (thing := self._folded(name, stays=True)) is not None:
                    self._pressed[name] = thing
                    self._stay.add(name)
                    pointed.update(pointed_at(thing))
            gone -= stay

    def _is_pointed_at(self, name: Name) -> bool:
        """Tell whether a row points at a thing that is as pressed and isn't made anew."""
        table, number = name
        for kind, column in _POINTED[table]:
            query = f"SELECT id FROM {table_name(kind)} WHERE {column} = ?"  # noqa: S608  # ours
            rows = {(table_name(kind), n) for n in self._connection.exec_driver_sql(query, (number,)).scalars()}
            if rows - self._pressed.keys() - self._corrected.keys():
                return True
        return False

    # Work: intervals, marks, losses, closed batches.

    def _settle_work(self, names: set[Name]) -> None:
        things = [side for name in names for side in self._sides(name) if isinstance(side, WORKED)]
        batches, makers, since_us = self._bearing(things)
        if not batches and not makers:
            return
        own = self._intervals("batch_id", batches) | self._intervals("maker_id", makers, since_us)
        own |= self._gone_on(own, things)
        around = own | self._gone_on(own, ())
        who = {i.maker_id for i in around.values()}
        first_us = min((i.start_us for i in around.values()), default=since_us)
        around |= self._intervals("batch_id", {i.batch_id for i in around.values() if i.batch_id is not None})
        around |= self._intervals("maker_id", who, first_us)
        work = self._work_of(around, batches)
        settled = settle(work)
        self._take_parts({*own, *(number for table, number in names if table == "interval")}, settled.intervals)
        for made, was in ((settled.tallies, work.tallies), (settled.leavings, work.leavings)):
            for one in was:
                of = one.interval_id
                if of in own or (of not in around and self._batch_of(work, one) in batches):
                    self._set(one, made.get(one.id))
        for batch_id in {i.batch_id for i in own.values() if i.batch_id is not None} | batches:
            if (batch := self._as_pressed(Batch, batch_id)) is not None:
                own_work = [i for i in settled.intervals.values() if i.batch_id == batch_id]
                closer = self._closed_in(batch_id) if batch.closed_us is not None else 0
                now = still_open(batch, own_work, closer)
                self._set(batch, replace(self._so_far(batch), closed_us=now.closed_us))

    def _closed_in(self, batch_id: int) -> int:
        """Return the range of the bench whose press closed a batch last."""
        closer = 0
        for place, stands, part in parts_of(self._connection, table_name(Batch), batch_id):
            sides = (part.change.before, part.change.after) if part.change is not None else (None, None)
            before, after = (side.closed_us if isinstance(side, Batch) else None for side in sides)
            if stands and after not in (None, before):
                closer = own_range(place.bench_id)
        return closer

    def _sides(self, name: Name) -> Iterator[Entity]:
        """Yield a thing as it stood before, as its row stands, as it was pressed, as it is pressed now."""
        sides = (self._stands[name], self._corrected.get(name), self._pressed.get(name))
        yield from (*self._former.get(name, ()), *(side for side in sides if side is not None))

    def _bearing(self, things: Collection[Entity]) -> tuple[set[int], set[int], int]:
        """Return the batches and makers whose work things bear on, and from when on."""
        stretches = [i for thing in things for i in self._stretches(thing)]
        batches = {i.batch_id for i in stretches if i.batch_id is not None}
        for thing in things:
            if isinstance(thing, Tally | Leaving):
                step = self._as_pressed(Step, thing.step_id)
                batches |= {step.batch_id} if step is not None else set()
            elif isinstance(thing, Piece | Step | Batch):
                batches.add(thing.id if isinstance(thing, Batch) else thing.batch_id)
        return batches, {i.maker_id for i in stretches}, min((i.start_us for i in stretches), default=0)

    def _stretches(self, thing: Entity) -> Iterator[Interval]:
        """Yield the stretch that a thing is, or those that it pairs."""
        if isinstance(thing, Interval):
            yield thing
        elif isinstance(thing, Both):
            pair = (self._as_pressed(Interval, number) for number in (thing.interval_id, thing.other_id))
            yield from (interval for interval in pair if interval is not None)

    def _as_pressed(self, kind: type[T], number: int) -> T | None:
        name = (table_name(kind), number)
        if name in self._pressed:
            found = self._pressed[name]
        elif name in self._corrected:
            found = self._corrected[name]
        else:
            self._see([name])
            found = self._stands[name]
        return found if isinstance(found, kind) else None

    def _all_pressed(self, kind: type[T], where: str = ALL, **values: Any) -> dict[int, T]:
        """Return things of a kind as pressed: those whose rows are so, and all that is made anew or is corrected."""
        table, found = table_name(kind), {}
        for row in read(self._connection, kind, where, **values):
            self._stands.setdefault((table, row.id), row)
            if (table, row.id) not in self._pressed and (table, row.id) not in self._corrected:
                found[row.id] = row
        for name in {*self._pressed, *self._corrected}:
            if name[0] == table and (thing := self._as_pressed(kind, name[1])) is not None:
                found[thing.id] = thing
        return found

    def _intervals(self, of: str, some: Collection[int], since_us: int | None = None) -> dict[int, Interval]:
        """Return whole intervals as pressed of batches or makers, or those that ended after an instant or run."""
        found: dict[int, Interval] = {}
        late = "" if since_us is None else f" AND (end_us IS NULL OR end_us >= {since_us})"
        for chunk in chunks(sorted(some)):
            found |= self._all_pressed(Interval, f"{of} IN :some{late}", some=chunk)
        return {n: i for n, i in found.items() if getattr(i, of) in some and self._is_late(i, since_us)}

    def _gone_on(self, own: dict[int, Interval], things: Iterable[Entity]) -> dict[int, Interval]:
        """Return what stretches go on from, and all that goes on from these or from the same, whoever works at it."""
        some = [*own.values(), *(thing for thing in things if isinstance(thing, Interval))]
        before = {i.continues_id for i in some if i.continues_id is not None}
        either = before.union(i.id for i in some)
        found = {n: i for n in before if (i := self._as_pressed(Interval, n)) is not None}
        for chunk in chunks(sorted(either)):
            found |= self._all_pressed(Interval, "continues_id IN :some", some=chunk)
        return {n: i for n, i in found.items() if n in before or i.continues_id in either}

    def _is_late(self, interval: Interval, since_us: int | None) -> bool:
        """Tell whether a stretch, as its row stands where it isn't made anew, ended after an instant or runs."""
        name = ("interval", interval.id)
        if since_us is None or name in self._pressed:
            return True
        self._see([name])
        row = self._stands[name]
        return not isinstance(row, Interval) or row.end_us is None or row.end_us >= since_us

    def _work_of(self, around: dict[int, Interval], own: set[int]) -> Work:
        """Return these intervals with all that there is of their batches, and of these batches without an interval."""
        batches = sorted(own.union(i.batch_id for i in around.values() if i.batch_id is not None))
        steps: dict[int, Step] = {}
        pieces: dict[int, Piece] = {}
        tallies: dict[int, Tally] = {}
        leavings: dict[int, Leaving] = {}
        boths: dict[int, Both] = {}
        within = "step_id IN (SELECT id FROM step WHERE batch_id IN :some)"
        for chunk in chunks(batches):
            steps |= self._all_pressed(Step, "batch_id IN :some", some=chunk)
            pieces |= self._all_pressed(Piece, "batch_id IN :some", some=chunk)
            tallies |= self._all_pressed(Tally, within, some=chunk)
            leavings |= self._all_pressed(Leaving, within, some=chunk)
        for chunk in chunks(sorted({n for i in around.values() for n in i.pieces} - pieces.keys())):
            pieces |= self._all_pressed(Piece, "id IN :some", some=chunk)
        for chunk in chunks(sorted(around)):
            boths |= self._all_pressed(Both, "interval_id IN :some OR other_id IN :some", some=chunk)
        return Work(
            list(around.values()), list(tallies.values()), list(leavings.values()), list(boths.values()), steps, pieces
        )

    @staticmethod
    def _batch_of(work: Work, marked: Tally | Leaving) -> int:
        step = work.steps.get(marked.step_id)
        return step.batch_id if step is not None else 0

    def _take_parts(self, own: Collection[int], settled: dict[int, Interval]) -> None:
        """Have the parts of these intervals stand, and no others of them."""
        parts = {n: i for n, i in settled.items() if whole_of(n) in own}
        former = {n for table, n in self._corrected if table == "interval" and n < 0 and whole_of(n) in own}
        self._see([("interval", n) for n in {*parts, *former}])
        for number in former - parts.keys():
            self._then["interval", number] = None
            self._pressed["interval", number] = None
        for number, part in parts.items():
            self._then["interval", number] = part
            if number < 0:
                self._pressed["interval", number] = None
            elif ("interval", number) not in self._pressed:
                self._pressed["interval", number] = self._as_pressed(Interval, number)

    def _so_far(self, pressed: T) -> T:
        """Return a thing as it will be by what is settled so far."""
        name = (table_name(type(pressed)), pressed.id)
        self._see([name])
        found = self._then.get(name, self._stands[name])
        return found if isinstance(found, type(pressed)) else pressed

    def _set(self, pressed: Entity, then: Entity | None) -> None:
        name = (table_name(type(pressed)), pressed.id)
        self._see([name])
        self._pressed.setdefault(name, pressed)
        self._then[name] = then

    # Names, and what there is one of.

    def _settle_names(self, names: Iterable[Name]) -> None:
        touched = {KIND_NAMED[table] for table, _ in names} & NAMED.keys()
        for kind in sorted(touched, key=table_name):
            field, scope = NAMED[kind]
            scopes: dict[object, list[Any]] = defaultdict(list)
            for thing in self._named_like(kind, names):
                scopes[scope(thing)].append(thing)
            corrected = {n for table, n in self._corrected if table == table_name(kind)}
            for some in scopes.values():
                wanted = [(t.id, getattr(t, field)) for t in some if getattr(t, field)]
                several = len({name.casefold() for _, name in wanted}) < len(wanted)
                order = [(t.id, getattr(t, field)) for t in self._first_made(some)] if several else []
                free = dict(free_names((number, name) for number, name in order if name))
                for thing in some:
                    if thing.id in free or thing.id in corrected:
                        name = free.get(thing.id, getattr(thing, field))
                        self._set(thing, replace(self._so_far(thing), **{field: name}))

    def _named_like(self, kind: type[Entity], names: Iterable[Name]) -> Iterable[Any]:
        """Return what things of a kind that are made anew may share a name with."""
        if kind is not Piece:
            return self._all_pressed(kind).values()
        own = [n for n in names if n[0] == "piece"]
        batches = sorted({t.batch_id for n in own for t in self._sides(n) if isinstance(t, Piece)})
        found: dict[int, Piece] = {}
        for chunk in chunks(batches):
            found |= self._all_pressed(Piece, "batch_id IN :some", some=chunk)
        return [piece for piece in found.values() if piece.batch_id in batches]

    def _first_made(self, things: Iterable[Entity]) -> list[Any]:
        """Return things in the order in which they were made."""
        query = """SELECT order_us, bench_id, sequence FROM journal JOIN press ON press.id = press_id
            WHERE thing = ? AND number = ? AND before IS NULL ORDER BY 1, 2, 3 LIMIT 1"""

        def made(thing: Entity) -> tuple[int, ...]:
            row = self._connection.exec_driver_sql(query, (table_name(type(thing)), thing.id)).first()
            return (*row, thing.id) if row is not None else (0, 0, 0, thing.id)

        return sorted(things, key=made)

    def _settle_single(self, names: Iterable[Name]) -> None:
        for kind in {KIND_NAMED[table] for table, _ in names} & ONE_EACH.keys():
            things = self._all_pressed(kind)
            of: dict[object, list[Any]] = defaultdict(list)
            for thing in things.values():
                of[ONE_EACH[kind](thing)].append(thing)
            corrected = {n for table, n in self._corrected if table == table_name(kind)}
            for some in of.values():
                if len(some) > 1 or any(thing.id in corrected for thing in some):
                    last = max(some, key=lambda thing: self._last_pressed(thing) if len(some) > 1 else ())
                    for thing in some:
                        self._set(thing, thing if thing is last else None)

    def _last_pressed(self, thing: Entity) -> tuple[int, ...]:
        own = [p.place for p in parts_of(self._connection, table_name(type(thing)), thing.id) if p.stands]
        last = max(own, default=None)
        return (0, 0, 0, thing.id) if last is None else (last.order_us, last.bench_id, last.sequence, thing.id)

    # On disk.

    def _write(self) -> list[Change]:
        """Write what is otherwise than it stood; return it."""
        self._see(self._then)
        found = [Change(self._stands[n], then) for n, then in self._then.items() if self._stands[n] != then]
        changes = [change for change in found if change.before is not None or change.after is not None]
        place = {kind: n for n, kind in enumerate(ENTITIES)}
        changes.sort(key=lambda change: place[type(change.thing)])
        for _, some in groupby(changes, key=lambda change: type(change.thing)):
            write.rewrite_things(self._connection, list(some))
        for name, then in self._then.items():
            self._note(name, self._pressed.get(name), then)
        return changes

    def _note(self, name: Name, pressed: Entity | None, then: Entity | None) -> None:
        """Note a thing that is otherwise than pressed; one that only stays because another rests on it too."""
        stays = name in self._stay or (name in self._held and name not in self._anew)
        if name in self._corrected:
            self._connection.exec_driver_sql("DELETE FROM corrected WHERE thing = ? AND number = ?", name)
        if pressed != then or stays:
            row = (*name, to_line(pressed), int(stays))
            self._connection.exec_driver_sql("INSERT INTO corrected VALUES (?, ?, ?, ?)", row)

    # What is derived.

    def derive(self, changes: Iterable[Change]) -> None:
        """Work out labour, shares and trend rows of all that changes bear on."""
        changed = (t for change in changes for t in (change.before, change.after) if t is not None)
        sides = [*chain.from_iterable(self._former.values()), *changed]
        stretches = {i for i in sides if isinstance(i, Interval)}
        numbers = {t.interval_id for t in sides if isinstance(t, Tally | Leaving) and t.interval_id is not None}
        steps = sorted({t.id for t in sides if isinstance(t, Step)})
        for chunk in chunks(steps):
            numbers.update(i.id for i in read(self._connection, Interval, "step_id IN :some", some=chunk))
        for chunk in chunks(sorted(numbers)):
            stretches.update(read(self._connection, Interval, "id IN :some", some=chunk))
        bearing = groups_bearing(self._connection, stretches)
        gone = {i.id for i in stretches}.union(*bearing)
        write.forget_derived(self._connection, sorted(gone))
        for _, derived in recompute_derived(self._connection, bearing):
            write.write_derived(self._connection, derived)
        self._derive_trends(sides, gone)

    def _derive_trends(self, sides: Iterable[Entity], intervals: Collection[int]) -> None:
        steps = {t.step_id for t in sides if isinstance(t, Tally | Leaving)}
        batches = {t.id for t in sides if isinstance(t, Batch)}
        batches |= {number for t in sides if (number := getattr(t, "batch_id", None)) is not None}
        for chunk in chunks(sorted(steps)):
            batches |= {step.batch_id for step in read(self._connection, Step, "id IN :some", some=chunk)}
        for chunk in chunks(sorted(intervals)):
            of = (i.batch_id for i in read(self._connection, Interval, "id IN :some", some=chunk))
            batches |= {number for number in of if number is not None}
        rows: dict[int, Any] = dict.fromkeys(batches, ())
        closed = {b.id for c in chunks(sorted(batches)) for b in read(self._connection, Batch, _CLOSED, some=c)}
        if closed:
            rows |= dict(recompute_trend_rows(self._connection, closed))
        write.write_stage_rows(self._connection, rows)


_CLOSED = "closed_us IS NOT NULL AND id IN :some"


def _pointing() -> dict[str, list[tuple[type[Entity], str]]]:
    """Return the kinds and columns that point at each table."""
    found: dict[str, list[tuple[type[Entity], str]]] = defaultdict(list)
    for kind in ENTITIES:
        for column in columns_of(kind):
            if column in POINTS_AT:
                found[POINTS_AT[column]].append((kind, column))
    return found


_POINTED = _pointing()
