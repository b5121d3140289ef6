"""The record of one shop: the floor in memory, and each press on disk before it is shown."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import fields, replace
from pathlib import Path
from typing import NamedTuple, Protocol, TypeVar

import sqlalchemy as sa

from shopclock.record.check.blame import damage_told
from shopclock.record.file import benches as of_shop
from shopclock.record.file import boots, fold, heartbeat, opening, write
from shopclock.record.file.closed import rows_to_write
from shopclock.record.file.engine import dont_wait_for_disk, put_log_away, raw
from shopclock.record.file.error_text import error_text, failed
from shopclock.record.file.guard import Guard
from shopclock.record.file.numbers import NextNumbers, Place, newest_place
from shopclock.record.file.schema import CLOCK_RIGHT
from shopclock.record.file.undo import Pressed, presses_to_put_back, presses_to_undo, reopens
from shopclock.record.joining.apart import ChangedApart, changed_apart
from shopclock.record.joining.doubtful import doubtful
from shopclock.record.joining.from_desk import desk_presses
from shopclock.record.joining.near import EVER, Corrected, at_wholes
from shopclock.record.joining.presses import (
    TravellingPress,
    heard_of,
    newest_of_others,
    others_until_us,
    refuse_newer,
    uuid_of,
)
from shopclock.record.joining.rework import contradicts, names_of, rework, several, take_in
from shopclock.record.joining.standing import judge_anew
from shopclock.record.read import load
from shopclock.record.read.parcel import Parcel
from shopclock.record.read.read_only import Reads
from shopclock.shop.figures.derive import derive, derived_on
from shopclock.shop.recovery.questions import furthest_set, guessing
from shopclock.shop.recovery.timeline import Anchor, anchor_for, instant, moved, refuse_future
from shopclock.shop.setup.first_things import first_things
from shopclock.shop.setup.the_shop import free_bench_name
from shopclock.shop.state.desk_copy import at_desk, check_older, desks
from shopclock.shop.state.fold import Move
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change, Transaction, net
from shopclock.shop.values.clock import Clock, Moment
from shopclock.shop.values.entities import Batch, Bench, Interval, Maker, Question, Tally
from shopclock.shop.values.errors import Refusal, ShopError
from shopclock.shop.values.kinds import Certainty
from shopclock.shop.values.progress import UNWATCHED, Progress
from shopclock.shop.values.ranges import free_number, own_range
from shopclock.shop.work import makers

T = TypeVar("T")
LARGE = 10_000
"""From so many lines of the journal on a press is seen to take a moment."""


class Takes(NamedTuple):
    """Presses that a press takes back; `mixed` if other benches' came between, or benches contradict each other."""

    presses: Sequence[int] = ()
    mixed: bool = False


class PressRow(Protocol):
    """Gives the row of a press of this bench that comes after all others."""

    def __call__(self, called: str, *, undoable: bool) -> write.Row:
        """Return the row of a press by its name, and whether Undo takes it back."""


class Record:
    """One open record, written by this program alone.

    `floor` is what the screens read. `press` runs a rule, writes what it changed in one transaction and only then
    tells the listeners. On any error nothing has changed. What is large comes as a parcel. `reads` are for what
    lies beyond the floor. `sign` is the sign of life found at opening, `heard_us` the maker's last press. `file` says
    whether the record is at its place.
    `one_moment` is put around what keeps the next press waiting.
    """

    def __init__(self, engine: sa.Engine, path: Path, clock: Clock, zone: str) -> None:
        self.path = path
        self.clock = clock
        self._engine = engine
        self._listeners: list[Callable[[], None]] = []
        self._opened_boot_us = clock.moment().boot_us
        self.anchor: Anchor | None = None  # ties the boot heard of last to UTC
        self._undo: list[Pressed] = []
        self._back: list[Pressed] = []
        self._heard_of: dict[int, int] = {}
        self._newest = Place(0, 0)
        self.sign = heartbeat.read(path)
        self.file = Guard(path, engine)
        self.reads = Reads(path, lambda: self.floor, self.file.check)
        self.one_moment: Callable[[], AbstractContextManager[Progress]] = lambda: nullcontext(UNWATCHED)
        with error_text(path), engine.begin() as connection:
            self._read_all(connection)
        if not list(self.floor.all(Maker)):
            self._press_first(zone)
        elif self._is_copy:
            self._press_new_bench()

    @classmethod
    def open(cls, path: Path, clock: Clock, *, make: bool = False, zone: str = "UTC", draft: bool = False) -> "Record":
        """Open the record at a path; `make` allows a new one, whose shop is in this zone.

        A press to a `draft` returns before it is on disk: whoever makes one puts it on disk as a whole.
        """
        if make and opening.holds_nothing(path):
            opening.make(path, lambda part: cls(opening.make_tables(part, draft=draft), part, clock, zone).close())
        engine = opening.open_writer(path)
        try:
            if draft:
                dont_wait_for_disk(engine)
            with damage_told(path):
                return cls(engine, path, clock, zone)
        except BaseException:
            engine.dispose()
            raise

    def _read_all(self, connection: sa.Connection) -> None:
        self.floor = load.load_floor(connection, boots.newest_us(connection))
        benches, desk = list(self.floor.all(Bench)), at_desk(self.floor)
        self.joined = of_shop.are_joined(benches) and desk is None
        self._several = several(connection)
        self._is_copy = self.joined and of_shop.at_place(benches, self.path) is None
        if benches:
            self.bench = of_shop.this_one(benches, self.path, desk) or benches[0]
            self.maker = next(iter(self.floor.all(Maker)))
            self.floor.range = own_range(self.bench.id)
            self._read_presses(connection)
            self._newest = newest_place(connection, self.bench.id)
        self._numbers = NextNumbers(connection, self.floor.range)
        self._corrected, self._others_us, self._mixed_id = Corrected(), 0, 0
        if self._several:
            self._read_others(connection)
        of = None if desk is not None else self.floor.range  # time goes on at the desk from where the shop's was
        self.anchor = boots.last_anchor(connection, self.sign, of)
        self.heard_us = boots.last_heard_us(connection, of)

    def _read_anew(self, connection: sa.Connection) -> None:
        """Have on the floor what stands on disk, with all that was there before, after presses of other benches."""
        former = self.floor
        whole = [batch.id for batch in former.all(Batch) if former.steps(batch.id)]
        found = load.load_floor(connection, boots.newest_us(connection))
        load.load_batches(connection, found, [number for number in whole if found.find(Batch, number) is not None])
        if former.horizon_us < found.horizon_us:
            load.load_all_since(connection, found, former.horizon_us)
        found.range = former.range
        former.renew(found)
        self._several = True
        self._read_others(connection)
        self.bench = former.get(Bench, self.bench.id)
        self.maker = former.find(Maker, self.maker.id) or next(former.all(Maker))
        self._newest = newest_place(connection, self.bench.id)
        self._read_presses(connection)
        self.reads.forget()

    def _read_others(self, connection: sa.Connection) -> None:
        """Read what benches contradict each other about, and until when others pressed.

        A desk's presses are about what is older than its copy, whatever the clock there says.
        """
        apart = {self.bench.id, *desks(self.floor)}
        self._corrected, self._others_us = Corrected.of(connection), others_until_us(connection, apart)
        self._mixed_id = EVER if contradicts(connection) else newest_of_others(connection, self.floor.range)

    def _press_new_bench(self) -> None:
        """Go on as a new bench, with numbers of its own: another one wrote what is there."""
        benches = list(self.floor.all(Bench))
        moment, number = self.clock.moment(), free_number([bench.id for bench in benches])
        self.floor.range, self.anchor, self.sign = own_range(number), None, None
        with error_text(self.path), self._engine.begin() as connection:
            self._numbers = NextNumbers(connection, self.floor.range)
        name, place = free_bench_name(self.floor), of_shop.place_of(self.path)
        self.bench = Bench(id=number, uuid=self._numbers.uuid(), name=name, place=place)
        self._newest, self._undo, self._back = Place(self._newest.order_us, 0), [], []
        tx = self._turn(moment)
        tx.take(Change(None, self.bench))
        self._keep(tx, moment, "New bench", undoable=False)
        self._is_copy = False

    def join_others(self) -> None:
        """Say of this record's bench that it exchanges what is pressed with others: its file is known by its place."""
        place = of_shop.place_of(self.path)
        self.press("Joined", lambda tx: tx.change(replace(tx.current(self.bench), place=place)), undoable=False)
        self.joined, self._several, self.bench = True, True, self.floor.get(Bench, self.bench.id)

    @property
    def sequence(self) -> int:
        """Number of presses that this bench has made."""
        return self._newest.sequence

    def level(self) -> dict[int, int]:
        """Return the last press of each bench that is here."""
        with error_text(self.path), self._engine.begin() as connection:
            return heard_of(connection)

    def press_uuid(self, bench_id: int, sequence: int) -> str | None:
        """Return the UUID of a bench's press that is here."""
        with error_text(self.path), self._engine.begin() as connection:
            return uuid_of(connection, (bench_id, sequence))

    def changed_apart(self, since_us: int) -> list[ChangedApart]:
        """Return the entries that two benches changed apart since an instant, where the later press stands."""
        if not self.joined:
            return []
        with error_text(self.path), self._engine.begin() as connection:
            return changed_apart(connection, since_us)

    def doubtful(self, since_us: int) -> list[Interval | Tally]:
        """Return what benches said apart since an instant that cannot be, and that somebody has to look at."""
        if not self.joined:
            return []
        with error_text(self.path), self._engine.begin() as connection:
            return doubtful(connection, since_us)

    def pick(self, apart: ChangedApart, *, later: bool = False) -> None:
        """Let the earlier bench's values hold, or the later's as they do already, by a press that knows of both."""
        self.bring_in([Change(apart.now, apart.other)])
        kind, number = type(apart.now), apart.now.id
        differs = [f.name for f in fields(kind) if getattr(apart.now, f.name) != getattr(apart.other, f.name)]

        def rule(tx: Transaction) -> None:
            thing = tx.floor.get(kind, number)
            now, other = (replace(thing, **{n: getattr(one, n) for n in differs}) for one in (apart.now, apart.other))
            if later:
                tx.take(Change(other, now))
            else:
                tx.change(other)

        self.press("Picked", rule)

    def take_presses(self, presses: Sequence[TravellingPress]) -> bool:
        """Take what was pressed at other benches, as if it had been there in its place; returns whether some wait.

        ShopError: one was made by a newer version, or the disk fails; then nothing was taken.
        """
        refuse_newer(presses)
        with error_text(self.path):
            with self.file.writing({"uuid": "", "what": "From other benches"}) as connection:
                come, wait = take_in(connection, presses)
            if come:
                with self._engine.begin() as connection:
                    self._read_anew(connection)
        if come:
            self._heard(0, by_hand=False)
        return wait

    def take_desk(
        self, what: str, join: Callable[[sa.Connection, PressRow], None], lines: int, moment: Moment | None = None
    ) -> None:
        """Let a function take a desk's presses, with own ones that belong to them: all of it, or on an error nothing.

        `lines` is how many the journal gets, near enough.
        """
        moment = moment or self.clock.moment()
        with self._watched(lines), error_text(self.path):
            with self.file.writing({"uuid": "", "what": what}) as connection:

                def row(called: str, *, undoable: bool) -> write.Row:
                    place = newest_place(connection, self.bench.id).next(self.instant(moment))
                    return self._row(called, moment, undoable=undoable) | place._asdict()

                join(connection, row)
            with self._engine.begin() as connection:
                self._read_anew(connection)
        now_us = self.instant(moment)
        self.anchor = replace(anchor_for(moment, self.anchor), last_us=now_us)
        self._heard(now_us)

    def _read_presses(self, connection: sa.Connection) -> None:
        """Read which presses of this bench can be taken back and put back."""
        self._undo = presses_to_undo(connection, self.bench.id)
        self._back = presses_to_put_back(connection, self.bench.id)

    def _press_first(self, zone: str) -> None:
        """Fill a new record with its shop, maker, bench and the lists that every shop needs."""
        moment = self.clock.moment()
        tx = Transaction(self.floor, self._numbers, self.instant(moment), maker_id=1)
        first_things(tx, zone)
        self.bench, self.maker = next(self.floor.all(Bench)), next(self.floor.all(Maker))
        self._keep(tx, moment, "New shop", undoable=False)

    def instant(self, moment: Moment | None = None) -> int:
        """Return the instant of a moment, or of now, in microseconds UTC."""
        moment = moment or self.clock.moment()
        return instant(moment, anchor_for(moment, self.anchor))

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call this after every press that is on disk."""
        self._listeners.append(listener)

    def press(
        self,
        what: str,
        rule: Callable[[Transaction], T],
        moment: Moment | None = None,
        *,
        undoable: bool = True,
        by_itself: bool = False,
        maker_id: int | None = None,
    ) -> tuple[T, list[str]]:
        """Run a rule as one press; returns what it returns, and its warnings.

        `what` names it on the Undo button; `moment` is when the finger went down; `by_itself` is a
        press of the program's own, `maker_id` whose it is where that is not the first maker. Raises Refusal for what
        makes no sense and ShopError when the disk fails; then nothing has changed.
        """
        moment = moment or self.clock.moment()
        tx = self._turn(moment, maker_id)
        try:
            with damage_told(self.path):
                result = rule(tx)
                check_older(self.floor, tx.changes)
                self._keep(tx, moment, what, undoable=undoable and not by_itself)
        except BaseException:
            tx.take_back()
            raise
        self._heard(tx.now_us, by_hand=not by_itself, maker_id=maker_id)
        return result, tx.warnings

    def _turn(self, moment: Moment, maker_id: int | None = None) -> Transaction:
        sure = Certainty.ESTIMATED if guessing(self.floor, moment.boot_id) else Certainty.PRESSED
        return Transaction(self.floor, self._numbers, self.instant(moment), maker_id or self.maker.id, sure)

    def clock_reaches(self, boot_id: str, moment: Moment | None = None) -> tuple[boots.Reach, boots.Reach]:
        """Return what moves when the clock of a boot is put right: since it was known to be right, and all of it."""
        moment = moment or self.clock.moment()
        opened_us = anchor_for(moment, self.anchor).utc_us + self._opened_boot_us
        with error_text(self.path), self._engine.begin() as connection:
            return boots.reaches(connection, self.floor, boot_id, opened_us, (moment, self.instant(moment)))

    def put_clock_right(
        self, rule: Callable[[Transaction, Move, str], None], moment: Moment, now_us: int, *, whole: bool = False
    ) -> int:
        """Move what was pressed since this boot's clock was known to be right, so that this moment is `now_us`.

        With `whole`, everything since the boot began. Returns by how much. `rule` gets the turn, the move and the boot.
        Refused where that would put anything before what stays.
        """
        by_us = now_us - self.instant(moment)
        known, all_of_it = self.clock_reaches(moment.boot_id, moment)
        move = Move((all_of_it if whole else known).from_us, None, by_us)
        with error_text(self.path), self._engine.begin() as connection:
            boots.check_room(connection, moment.boot_id, self.instant(moment), move, self.floor.range)
            load.load_moving(connection, self.floor, move.from_us)
        self._move(lambda tx: rule(tx, move, moment.boot_id), moment, move, by_us)
        return by_us

    def put_earlier_clock_right(
        self, rule: Callable[[Transaction, Move], T], moment: Moment, question: Question, *, whole: bool = False
    ) -> T:
        """Let a rule move what a boot left that has ended, by how far its clock was set; as `put_clock_right` does."""
        reach = self.clock_reaches(question.boot_id, moment)[whole]
        move = Move(reach.from_us, reach.until_us, question.shift_us or 0)
        with error_text(self.path), self._engine.begin() as connection:
            load.load_moving(connection, self.floor, reach.from_us - furthest_set(self.floor, question.boot_id))
        return self._move(lambda tx: rule(tx, move), moment, move, 0)

    def _move(self, rule: Callable[[Transaction], T], moment: Moment, move: Move, moved_us: int) -> T:
        """Let a rule move instants, as one press; what is still to come in this boot moves by so much."""
        stood, self.anchor = self.anchor, moved(anchor_for(moment, self.anchor), moved_us)
        tx = self._turn(moment)
        try:
            result = rule(tx)
            self._keep(tx, moment, CLOCK_RIGHT, undoable=True, move=move, moved_us=moved_us)
        except BaseException:
            tx.take_back()
            self.anchor = stood
            raise
        with error_text(self.path), self._engine.begin() as connection:
            self._read_presses(connection)
        self._heard(tx.now_us)
        return result

    def give_sign(self, moment: Moment) -> None:
        """Leave a sign of life beside the record, where it is in its place."""
        if self.file.look() is not None:
            return
        self.file.note_bytes()
        try:
            heartbeat.write(self.path, heartbeat.heartbeat_of(moment, self.instant(moment), self.file.left))
        except OSError as error:  # a disk that is full is told at the next press
            if failed(error):
                self.file.fails()

    def take(self, parcel: Parcel, what: str) -> None:
        """Take a parcel as one press. ShopError: nothing was taken, a press since then or the disk has spoilt it."""
        moment = self.clock.moment()
        now_us = self.instant(moment)
        with self._watched(parcel.size) as progress, error_text(self.path), parcel.beside(self._engine):
            press = self._row(what, moment, undoable=True)
            with self.file.writing(press) as connection:
                parcel.refuse_if_spoilt(connection, self._numbers)
                press_id = write.write_press(connection, press)
                parcel.write(connection, press_id, progress)
            self._numbers.go_on_after(parcel.ranges)
            self._note(moment, now_us, Pressed(press_id, what, now_us))
            load.renew(self.floor, parcel.changes, parcel.derived)
            with self._engine.begin() as connection:
                load.bring_taken(connection, self.floor, parcel.ranges, parcel.rests_on.batches, now_us)
        self.reads.forget()
        self._heard(now_us)

    @contextmanager
    def _watched(self, rows: int) -> Iterator[Progress]:
        """Say that it takes a moment where so many rows do, and have pages at hand that are written to again and again.

        A few rows are there before one sees it.
        """
        if rows <= LARGE:
            yield UNWATCHED
            return
        connection = raw(self._engine)
        connection.execute("PRAGMA main.cache_size = -64000")
        try:
            with self.one_moment() as progress:
                yield progress
        finally:
            connection.execute("PRAGMA main.cache_size = -2000")

    def _keep(
        self,
        tx: Transaction,
        moment: Moment,
        what: str,
        *,
        undoable: bool,
        takes: Takes | None = None,
        move: Move | None = None,
        moved_us: int = 0,
    ) -> None:
        """Put a turn on disk; on any error the derived rows on the floor are as they were.

        `takes` are the presses that it takes back, `move` is how it moves instants, `moved_us` how far those of this
        boot.
        """
        changes = net(tx.changes)
        takes = takes or Takes()
        bears = self._several and (bool(takes.presses) or move is not None or self._bears(tx))
        if self._several:
            changes = at_wholes(changes)
        with error_text(self.path), self._engine.connect() as connection:
            numbers = load.load_touched(connection, self.floor, changes)
        derived = derive(self.floor, numbers)
        former = derived_on(self.floor, numbers, derived)
        press = self._row(what, moment, undoable=undoable) | {"maker_id": tx.maker_id}
        press |= {"moved_us": moved_us, "reason": tx.reason}
        try:
            rows = rows_to_write(self.floor, changes, numbers, tx.now_us)
            with self.file.writing(press) as connection:
                press_id = write.write_press(connection, press, takes.presses)
                if move is not None:
                    write.write_move(connection, press_id, move)
                write.forget_derived(connection, former.labour)
                write.write_changes(connection, press_id, changes)
                write.write_derived(connection, derived)
                write.write_stage_rows(connection, rows)
                if bears:
                    judged = judge_anew(connection, [press_id]) if takes.presses else set()
                    stood = [side for c in tx.changes for side in (c.before, c.after) if side is not None]
                    rework(connection, names_of(connection, {press_id, *judged}), stood)
                if load.lacks_last_stop(self.floor):
                    load.load_last_stop(connection, self.floor)
        except BaseException:
            derived_on(self.floor, numbers, former)
            raise
        if rows:
            self.reads.forget()
        self._note(moment, tx.now_us, Pressed(press_id, what, tx.now_us) if undoable else None)
        if bears:
            with error_text(self.path), self._engine.begin() as connection:
                self._read_anew(connection)

    def _bears(self, tx: Transaction) -> bool:
        """Tell whether a press may contradict another bench's: what is corrected, or later by that bench's clock."""
        return tx.now_us <= self._others_us or self._corrected.bears_on(self.floor, tx.changes)

    def _row(self, what: str, moment: Moment, *, undoable: bool) -> write.Row:
        who, at_us = (self._numbers.uuid(), self.bench.id, self.maker.id), self.instant(moment)
        return write.press_row(who, what, moment, at_us, undoable=undoable) | self._newest.next(at_us)._asdict()

    def _note(self, moment: Moment, now_us: int, undoable: Pressed | None = None) -> None:
        """Note that a press is on disk."""
        self.anchor = replace(anchor_for(moment, self.anchor), last_us=now_us)
        self._newest = self._newest.next(now_us)
        if undoable is not None:
            self._undo.append(undoable)
            self._back.clear()

    def heard_of(self, maker_id: int) -> int:
        """Return when a maker's last press was; where there was only ever one it is that of any, of before too."""
        return self._heard_of.get(maker_id, 0) if makers.several(self.floor) else self.heard_us

    def _heard(self, now_us: int, *, by_hand: bool = True, maker_id: int | None = None) -> None:
        """Note when a maker was last there, the first one unless told, and tell everybody of the press."""
        if by_hand:
            self.heard_us = now_us
            self._heard_of[maker_id or self.maker.id] = now_us
        for listener in self._listeners:
            listener()
        self.file.check_kept()

    @property
    def next_undo(self) -> Pressed | None:
        """The press that Undo would take back, or nothing."""
        return self._undo[-1] if self._undo else None

    @property
    def next_put_back(self) -> Pressed | None:
        """The press that Put back would put back, or nothing: what Undo took back, until something else is pressed."""
        return self._back[-1] if self._back else None

    def undo_reopens(self) -> bool:
        """Tell whether Undo would let something run again that has ended."""
        with error_text(self.path), self._engine.begin() as connection:
            return (pressed := self.next_undo) is not None and reopens(connection, pressed.id)

    def undo_changes(self) -> list[Change] | None:
        """Return what Undo would change; None where that is a whole import, which is too much to be looked at first."""
        if (pressed := self.next_undo) is None:
            return []
        with error_text(self.path), self._engine.begin() as connection:
            takes = desk_presses(connection, pressed.id)
            if not takes and self._at_once(connection, pressed.id):
                return None
            return fold.refolded(connection, (*takes, pressed.id), stands=False)

    def _at_once(self, connection: sa.Connection, press_id: int) -> int:
        """Return how many lines of old notes a press has that Undo and Put back let go or be at once."""
        from shopclock.record.press.undo_import import lines_at_once

        return 0 if self.joined or contradicts(connection) else lines_at_once(connection, press_id)

    def undo(self, moment: Moment | None = None) -> str:
        """Take back this bench's newest standing press; time goes on as if it had not been made. Returns its name.

        Refused where there is none, and where presses that stand rest on what it made: it is never skipped past.
        """
        if (pressed := self.next_undo) is None:
            raise Refusal("There is nothing to take back.")
        with error_text(self.path), self._engine.begin() as connection:
            takes = (*desk_presses(connection, pressed.id), pressed.id)
            if fold.rests_on(connection, takes):
                raise Refusal(f"“{pressed.what}” stays: what came after it rests on it. Nothing was changed.")
        self._let(takes, f"Undo {pressed.what}", takes, moment or self.clock.moment(), stands=False)
        return pressed.what

    def put_back(self, moment: Moment | None = None) -> str:
        """Put back what this bench's newest Undo took back, as if that Undo had not been. Returns its name."""
        if (pressed := self.next_put_back) is None:
            raise Refusal("There is nothing to put back.")
        with error_text(self.path), self._engine.begin() as connection:
            undos = fold.standing_undos(connection, pressed.id)
            back = [taken for undo in undos for taken in fold.taken_by(connection, undo)]
        self._let(back, f"Put back {pressed.what}", undos, moment or self.clock.moment(), stands=True)
        return pressed.what

    def _let(self, presses: Sequence[int], what: str, takes: Sequence[int], moment: Moment, *, stands: bool) -> None:
        """Let presses stand, or not, by one that takes back: what they touched becomes what is folded with or without.

        Several are those that came from a desk, with the one that took them.
        """
        own = presses[-1]
        with error_text(self.path), self._engine.begin() as connection:
            lines = self._at_once(connection, own) if len(presses) == 1 else 0
            moved_us = fold.moved_us(connection, own, moment.boot_id) * (1 if stands else -1)
            changes = [] if lines else fold.refolded(connection, presses, stands=stands)
        if lines:
            now_us = self._let_at_once(own, what, takes, moment, lines, stands=stands)
        else:
            taken = Takes(takes, self._several and min(presses) <= self._mixed_id)
            now_us = self._let_by_thing(changes if stands else changes[::-1], what, taken, moment, moved_us)
        with error_text(self.path), self._engine.begin() as connection:
            self._read_presses(connection)
        self._heard(now_us)

    def _let_by_thing(self, changes: Sequence[Change], what: str, takes: Takes, moment: Moment, moved_us: int) -> int:
        self.bring_in(changes)
        stood, self.anchor = self.anchor, moved(anchor_for(moment, self.anchor), moved_us)
        tx = self._turn(moment)
        try:
            for change in changes:
                now = self.floor.find(type(change.thing), change.thing.id)
                if now is None and not takes.mixed:  # with other benches' it may not be there for what they did
                    now = change.before
                if now != change.after:
                    tx.take(Change(now, change.after))
            refuse_future(tx)
            self._keep(tx, moment, what, undoable=False, takes=takes, moved_us=moved_us)
        except BaseException:
            tx.take_back()
            self.anchor = stood
            raise
        return tx.now_us

    def _let_at_once(
        self, press_id: int, what: str, takes: Sequence[int], moment: Moment, lines: int, *, stands: bool
    ) -> int:
        from shopclock.record.press.undo_import import give_back, take_back

        now_us = self.instant(moment)
        press = self._row(what, moment, undoable=False)
        with self._watched(lines) as progress, error_text(self.path):
            with self.file.writing(press) as connection:
                let = give_back if stands else take_back
                done = let(connection, press_id, write.write_press(connection, press, takes), progress)
            self._note(moment, now_us)
            with self._engine.begin() as connection:
                done.show(connection, self.floor, now_us)
                if load.lacks_last_stop(self.floor):
                    load.load_last_stop(connection, self.floor)
        self.reads.forget()
        return now_us

    def load_batch(self, batch_id: int) -> ShopFloor:
        """Have a batch whole on the floor, a closed one too, and return the floor."""
        with error_text(self.path), self._engine.begin() as connection:
            load.load_batches(connection, self.floor, [batch_id])
        return self.floor

    def bring_in(self, changes: Iterable[Change]) -> None:
        """Have on the floor what these changes are about, and what was at the same time."""
        with error_text(self.path), self._engine.begin() as connection:
            load.load_about(connection, self.floor, changes)

    def load_since(self, since_us: int) -> ShopFloor:
        """Have on the floor what ended after an instant, with all that it rests on; return the floor."""
        if since_us < self.floor.horizon_us:
            with error_text(self.path), self._engine.begin() as connection:
                load.load_all_since(connection, self.floor, since_us)
        return self.floor

    def rest(self) -> None:
        """Do what no press should wait for. It waits for the disk: call it while nobody presses."""
        if self.file.look() is None:
            put_log_away(self._engine)
            self.file.note()
            self.give_sign(self.clock.moment())

    def close(self) -> None:
        """Close the file tidily."""
        try:
            if self.file.look() is None:
                with self._engine.connect() as connection:
                    connection.exec_driver_sql("PRAGMA optimize")
        except sa.exc.DBAPIError as error:
            raise ShopError(f"{self.path} could not be closed tidily. All is kept.") from error
        finally:
            self._engine.dispose()
