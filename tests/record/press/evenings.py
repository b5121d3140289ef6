"""Any evening in the shop: presses, kills, wrong clocks, answers, amendments and undos in any order, on a real file.

Each rule takes small numbers alone, so that what hypothesis prints when something does not hold is a story that can
be played again as it stands: `evening = Evenings(); evening.opens(...); evening.press(...)`.
"""

import shutil
import tempfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import ClassVar
from zoneinfo import ZoneInfo

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule

from shopclock.record.check.check import check
from shopclock.record.file import engine, heartbeat
from shopclock.record.file.schema import CLOCK_RIGHT
from shopclock.record.file.undo import Pressed
from shopclock.record.press.record import Record
from shopclock.record.press.watch import Watch
from shopclock.shop.recovery import answers, clock_answers, questions, timeline
from shopclock.shop.recovery.timeline import Anchor
from shopclock.shop.setup import reading_kinds
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Batch, Interval, Question, Reading, ReadingKind
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import QuestionReason
from shopclock.shop.work import pairs, readings
from tests.record.held import (
    Stood,
    assert_apart,
    assert_as_before,
    assert_kept,
    assert_moved,
    assert_same_floor,
    standing,
)
from tests.record.machine import BATTERY_US, HOUR_US, MINUTE_US, SECOND_US, Machine
from tests.record.on_disk import NAME, DiskShop
from tests.shop.amendments import AMENDMENTS, MOVES_US
from tests.shop.histories import GAPS_US, PRESSES
from tests.shop.sound import assert_sound

IN_MEMORY = next((place for place in ("/dev/shm",) if Path(place).is_dir()), None)  # noqa: S108 - only to be quick
"""Thousands of presses, each flushed to the disk, would be a test of the disk."""
VIENNA = ZoneInfo("Europe/Vienna")
BEGINS = {
    "an evening": "2026-11-26T20:14",
    "before summer ends": "2026-10-24T21:30",
    "before it begins": "2026-03-28T22:00",
}
"""The clocks change in the night after two of them."""

LOOK_EVERY = 60
"""Steps from one look at the whole file to the next: each takes as long as ten presses."""
RESTART_AFTER = 25
"""Opening a record takes as long as twenty presses."""
SMALL = st.integers(0, 63)
AFTER = st.sampled_from(GAPS_US)
MOVES = st.sampled_from(MOVES_US)
FULL = (" holds ", " full", " at 800 °C", " at 200 °C", ": take out what is ready first")
REFUSED = {
    "start": ("left to do in this batch", *FULL),
    "start with": FULL,
    "both at once": ("left to do in this batch", *FULL),
    "rework": FULL,
    "letters": FULL,
    "stop": ("Nothing is running",),
    "carry on": ("Work is running already", "Nothing of it can go on", *FULL),
    "next": ("Shop work has no next step",),
    "done": ("done already",),
    "not yet": ("has gone on from",),
    "skip": ("is running. Stop it first",),
    "take off": ("nothing to take time off", "has not run that long"),
    "since": ("before other work began",),
    "forgot": ("Nothing was changed",),
}
"""The only words by which a press may be refused, whatever the clocks say: nothing to do it with, a piece that has gone
on, or a tool that is full or set otherwise. All other presses always go through."""


class Trusty(Machine):
    """A machine that knows the shop's zone: its offset follows the wall clock."""

    def moment(self) -> Moment:
        """What all clocks say."""
        offset = datetime.fromtimestamp(self.wall_us / 1e6, VIENNA).utcoffset()
        assert offset is not None
        return Moment(self.wall_us, self.boot_us, self.awake_us, self.boot_id, round(offset.total_seconds() / 60))


class Evenings(RuleBasedStateMachine):
    """The record of a small shop on a machine where everything goes wrong; `steps` counts over all of them."""

    steps: ClassVar[int] = 0
    fresh: ClassVar[dict[str, bytes]] = {}

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="shopclock-", dir=IN_MEMORY))
        self.record: Record | None = None
        self._undoable: dict[int, Stood] = {}
        self._undone: dict[int, Stood] = {}
        self._opened = self._looked = self._opened_at = 0

    @initialize(begins=st.sampled_from(sorted(BEGINS)))
    def opens(self, begins: str) -> None:
        """The shop is there since a minute ago, on this day, with two batches of blanks."""
        wall_us = round(datetime.fromisoformat(BEGINS[begins]).replace(tzinfo=VIENNA).timestamp()) * SECOND_US
        self.machine = Trusty(wall_us)
        self.path = self.folder / NAME
        if begins not in self.fresh:
            self.fresh[begins] = new_shop(wall_us)
        self.path.write_bytes(self.fresh[begins])
        self.machine.on(1)
        self._latest_us = self.machine.wall_us
        self._open()
        self._opened_at = self.steps

    def _open(self) -> None:
        self.record = Record.open(self.path, self.machine)
        self.watch = Watch(self.record)
        self.watch.start()

    @property
    def floor(self) -> ShopFloor:
        """What the screens would read."""
        return self.record.floor

    @property
    def _anchor(self) -> Anchor:
        assert self.record.anchor is not None
        return self.record.anchor

    @rule(presses=st.lists(st.tuples(st.sampled_from(sorted(PRESSES)), SMALL, SMALL, AFTER), min_size=1, max_size=16))
    def press(self, presses: list[tuple[str, int, int, int]]) -> None:
        """Press this and that; what no press can be about just now is passed over."""
        for name, what, who, after in presses:
            self._on(after)
            made = PRESSES[name](self.floor, what, who)
            said = self._press(name, made) if made is not None else None
            assert said is None or any(words in said for words in REFUSED.get(name, ())), said

    @rule(
        amendments=st.lists(st.tuples(st.sampled_from(sorted(AMENDMENTS)), SMALL, SMALL, MOVES), min_size=1, max_size=5)
    )
    def amend(self, amendments: list[tuple[str, int, int, int]]) -> None:
        """Amend stretches; what makes no sense is refused."""
        for name, what, who, us in amendments:
            self._on(MINUTE_US)
            self._bring_all_there_is()
            made = AMENDMENTS[name](self.floor, what, who, us)
            if made is not None:
                self._press(f"amend {name}", made)

    def _bring_all_there_is(self) -> None:
        """Have all beside what could be amended on the floor, as the day's page does with what it shows."""
        while (first_us := min((i.start_us for i in self.floor.all(Interval)), default=0) - 12 * HOUR_US) < (
            self.floor.horizon_us
        ):
            self.record.load_since(first_us)

    @rule(times=st.integers(1, 6), after=AFTER)
    def undo(self, times: int, after: int) -> None:
        """Take back so many presses; each leaves what stood before it."""
        self._on(after)
        for _ in range(times):
            pressed = self.record.next_undo
            if pressed is not None and pressed.id in self._undoable:
                stood = standing(self.record)
                if not self._let(pressed, self.record.undo, stood):
                    return
                assert_as_before(self.record, self._undoable[pressed.id])
                self._undone[pressed.id] = stood
                self._after()

    @rule(times=st.integers(1, 8), after=AFTER)
    def put_back(self, times: int, after: int) -> None:
        """Put back so many presses; each leaves what stood before its Undo."""
        self._on(after)
        for _ in range(times):
            pressed = self.record.next_put_back
            if pressed is not None:
                if not self._let(pressed, self.record.put_back, standing(self.record)):
                    return
                assert_as_before(self.record, self._undone[pressed.id])
                assert self.record.next_undo == pressed
                self._after()

    def _let(self, pressed: Pressed, take: Callable[[], str], stood: Stood) -> bool:
        """Take back or put back; with a clock that was put right time itself goes back, if nothing is to come then."""
        try:
            said = take()
        except Refusal as error:
            said = str(error)
        if said == timeline.TO_COME:
            assert_as_before(self.record, stood)
            return False
        assert said == pressed.what
        if pressed.what == CLOCK_RIGHT:
            self._latest_us = self.record.instant()
        return True

    @rule(which=SMALL, how=st.sampled_from(("still", "stopped", "other step")), what=SMALL, at=SMALL)
    def answer(self, which: int, how: str, what: int, at: int) -> None:
        """Answer a question about work that nobody stopped."""
        asked = [q for q in questions.open_questions(self.floor) if q.why in questions.ABOUT_WORK]
        if not asked:
            return
        question = asked[which % len(asked)]
        about = self.floor.get(Interval, question.about_id or 0)
        at_us = about.start_us + (self.record.instant() - about.start_us) * at // 63
        others = answers.other_steps(self.floor, about)
        if how == "still":
            assert self._press("Still at it", lambda tx: answers.still_at_it(tx, question)) is None
        elif how == "stopped":
            self._press("Stopped", lambda tx: answers.stopped(tx, question, at_us))
        elif others:
            step = others[what % len(others)]
            self._press("Other step", lambda tx: answers.other_step(tx, question, step, at_us))

    @rule(how=st.sampled_from(("new", "told", "old", "seen")), hours=st.integers(-30, 30), whole=st.booleans())
    def clock_question(self, how: str, hours: int, whole: bool) -> None:
        """Answer which clock is right, or say what time it is; a time before an earlier evening is refused."""
        asked = [q for q in questions.open_questions(self.floor) if q.why in clock_answers.ABOUT_CLOCK]
        if not asked:
            return
        moment = self.machine.moment()
        question = min(asked, key=lambda q: (q.boot_id != moment.boot_id, q.why is not QuestionReason.SET, q.id))
        if how == "old":
            assert self._press("As before", lambda tx: clock_answers.as_before(tx, question)) is None
        elif how == "seen":
            self._press("Seen", lambda tx: questions.answered(tx, question, questions.SEEN), undoable=False)
        elif question.boot_id != moment.boot_id:
            self._put_earlier_right(moment, question, whole=whole)
        else:
            right_us = moment.wall_us if how == "new" else self.record.instant() + hours * HOUR_US
            self._put_right(moment, right_us, whole=whole)

    def _put_earlier_right(self, moment: Moment, question: Question, *, whole: bool) -> None:
        """A clock that was set in a boot that has ended was right: what that boot left moves, or is refused."""
        if question.why is not QuestionReason.SET:
            return
        stood = standing(self.record)
        try:
            self.record.put_earlier_clock_right(
                lambda tx, moved: clock_answers.move_earlier(tx, question, moved), moment, question, whole=whole
            )
        except Refusal:
            assert_as_before(self.record, stood)
            return
        self._note_undoable(stood)
        self._after()

    def _note_undoable(self, stood: Stood) -> None:
        assert self.record.next_undo is not None
        assert self.record.next_put_back is None
        self._undoable[self.record.next_undo.id] = stood

    def _put_right(self, moment: Moment, right_us: int, *, whole: bool) -> None:
        stood, now_us = standing(self.record), self.record.instant()
        try:
            self.record.put_clock_right(clock_answers.put_right, moment, right_us, whole=whole)
        except Refusal:
            assert_as_before(self.record, stood)
            assert self.record.instant() == now_us
            return
        assert self.record.instant() == right_us
        for number, before in stood.things[Interval].items():
            assert_moved(before, self.floor.get(Interval, number), right_us - now_us)
        self._note_undoable(stood)
        self._latest_us = right_us
        self._after()

    @rule(us=AFTER, ticks=st.integers(0, 4))
    def wait(self, us: int, ticks: int) -> None:
        """Time goes by; the program ticks so often, or stands still."""
        for _ in range(max(1, ticks)):
            self.machine.on(us=us // max(1, ticks))
            if ticks:
                self.watch.tick()
        self._after()

    @rule(minutes=st.sampled_from((0.5, 3, 37, 600)))
    def sleep(self, minutes: float) -> None:
        """The machine sleeps and wakes."""
        self.machine.sleep(minutes)
        self.watch.tick()
        self._after()

    @rule(minutes=st.sampled_from((2, -2, 60, -60, 1440, -5_000_000)))
    def set_clock(self, minutes: float) -> None:
        """Somebody sets the machine's clock."""
        self.machine.set_by(minutes)
        self.watch.tick()
        self._after()

    @precondition(lambda self: self.steps - self._opened_at >= RESTART_AFTER)
    @rule(off=AFTER, how=st.sampled_from(("closed", "killed", "flat", "right", "fast", "slow")), again=st.booleans())
    def restart(self, off: int, how: str, again: bool) -> None:
        """Close the window, kill the program, or lose power until the clock comes back so; perhaps at once again."""
        for _ in range(1 + again):
            if how == "closed":
                self.record.close()
            else:
                self._die()
            self._former, self._latest_us = self.record, max(self._anchor.last_us, self._signed_us())
            self._while_off(off, how)
            self._open()
            assert_same_floor(self._former.floor, self.floor)
            assert self.record.next_undo == self._former.next_undo
            assert self.record.next_put_back == self._former.next_put_back
            former, maker_id = self._former.floor, self.record.maker.id
            assert self.floor.hands.last_ended(maker_id) == former.hands.last_ended(maker_id)
            self._after()
        self._opened_at = self.steps

    def _die(self) -> None:
        """Leave the file as a kill does: what is committed may be in the log alone, nothing is closed."""
        self._opened += 1
        there = self.folder / str(self._opened)
        there.mkdir()
        for file in (self.path, engine.log_of(self.path), heartbeat.place(self.path)):
            if file.exists():
                shutil.copyfile(file, there / file.name)
        self.record._engine.dispose()
        self.path = there / self.path.name

    def _while_off(self, off: int, how: str) -> None:
        right_us = max(self.machine.wall_us, self.record.instant()) + off
        walls = {
            "flat": BATTERY_US,
            "right": right_us,
            "fast": right_us + 5 * HOUR_US,
            "slow": right_us - 7 * MINUTE_US,
        }
        if how in walls:
            self.machine.restart(walls[how], f"boot {self.steps}")
        else:
            self.machine.on(us=off)

    def _signed_us(self) -> int:
        """The instant of the last sign of life; where this boot's instants have moved since, it has moved along."""
        sign, anchor = heartbeat.read(self.path), self._anchor
        if sign is None:
            return 0
        return anchor.utc_us + sign.boot_us if sign.boot_id == anchor.boot_id else sign.at_us

    @rule(what=SMALL, value=st.sampled_from(("0.2", "1/64 in", "7 thou", "0.25")), again=st.booleans())
    def reading(self, what: int, value: str, again: bool) -> None:
        """Measure something, or put the last value right."""
        (kind,) = self.floor.all(ReadingKind)
        living = [p for batch in self.floor.open_batches() for p in self.floor.living(batch.id)]
        taken = list(self.floor.all(Reading))
        if again and taken:
            assert self._press("Reading", lambda tx: readings.measure_again(tx, taken[-1], value)) is None
        elif living:
            piece = living[what % len(living)]
            batch = self.floor.get(Batch, piece.batch_id)
            step = readings.step_for(self.floor, kind, batch, piece, None)
            assert self._press("Reading", lambda tx: readings.take(tx, kind, step, piece, value)) is None

    @rule(what=SMALL, number=st.sampled_from(("1", "2", "3", "")))
    def pair(self, what: int, number: str) -> None:
        """Say which pair is on a piece; one that is on another piece is refused."""
        living = [p for batch in self.floor.open_batches() for p in self.floor.living(batch.id)]
        if living:
            piece = living[what % len(living)]
            said = self._press("Pair", lambda tx: pairs.tie(tx, piece, number))
            assert said is None or f"Pair {number} is on" in said

    @rule(what=SMALL)
    def look(self, what: int) -> None:
        """Open the page of a batch, closed or not: it is brought onto the floor."""
        batches = list(self.floor.all(Batch))
        self.record.load_batch(batches[what % len(batches)].id)
        self._after()

    def _press(self, name: str, made: Callable[[Transaction], object], *, undoable: bool = True) -> str | None:
        """Press; a refusal changes nothing, and its sentence is returned."""
        before = standing(self.record)
        try:
            self.record.press(name, made, undoable=undoable)
        except Refusal as error:
            assert standing(self.record).things == before.things
            return str(error)
        if undoable:
            self._note_undoable(before)
        self._after()
        return None

    def _on(self, us: int) -> None:
        self.machine.on(us=us)
        if us:
            self.watch.tick()

    def _after(self) -> None:
        """After every step: time has not gone back, nothing overlaps; now and then, what is on the disk."""
        type(self).steps += 1
        now_us = self.record.instant()
        anchor = self._anchor
        if anchor.boot_id != self.machine.boot_id:  # nothing pressed yet: until then it is what the wall clock says
            self._latest_us = anchor.last_us
        assert now_us >= self._latest_us
        self._latest_us = now_us
        assert_apart(self.floor, now_us)
        self._looked += 1
        if self._looked % LOOK_EVERY == 0:
            assert_kept(self.path)

    def teardown(self) -> None:
        """At the end: the record is sound, and its journal rebuilds it to the last row."""
        try:
            if self.record is not None:
                assert_kept(self.path)
                assert check(self.path) == []
                self.record.load_since(0)
                for batch in list(self.floor.all(Batch)):
                    self.record.load_batch(batch.id)
                assert_sound(self.floor, self.record.instant())
        finally:
            if self.record is not None:
                self.record._engine.dispose()
            shutil.rmtree(self.folder)


def new_shop(wall_us: int) -> bytes:
    """The file of a shop that was just set up: a pattern, two batches, something to measure."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as name:
        shop = DiskShop(Path(name), 4, 2, clock=Trusty(wall_us))
        bevel = shop.floor.stage_by_name("Bevel")
        assert bevel is not None
        shop.press(lambda tx: reading_kinds.add_kind(tx, bevel, "edge", "mm"))
        shop.close()
        return shop.path.read_bytes()
