"""The three clocks tell apart: a clock set, sleep, a stall, the change of the year, a flat battery, a kill."""

from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from datetime import datetime
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.file import heartbeat, write
from shopclock.record.file.schema import CLOCK_RIGHT
from shopclock.record.press.record import Record
from shopclock.record.press.watch import Watch
from shopclock.shop.recovery import answers, clock_answers, questions, timeline
from shopclock.shop.setup import patterns
from shopclock.shop.values.entities import ENTITIES, Batch, Interval, Question
from shopclock.shop.values.errors import Refusal, ShopError
from shopclock.shop.values.kinds import Certainty, QuestionReason
from shopclock.shop.work import acts, amend, begin
from shopclock.shop.work.batches import close_batch
from tests.record.machine import BATTERY_US, EVENING_US, HOUR_US, MINUTE_US, SECOND_US, Machine
from tests.record.on_disk import DiskShop
from tests.shop.sound import assert_sound
from tests.shop.workshop import ROUTE


class Evening(DiskShop):
    """The small shop on a machine whose clocks can go wrong, with a watch that ticks."""

    def __init__(self, folder: Path) -> None:
        self.machine = Machine()
        self.path = folder / "shop.shopclock"
        self.clock = self.machine  # type: ignore[assignment]  # has all of it that is used
        self.record = Record.open(self.path, self.machine, make=True, zone="Europe/Vienna")
        self.pattern = self.press(lambda tx: patterns.copy_route(tx, ROUTE, "Spreader"))
        self.batches = [self.new_batch(3)]
        self.watch_again()

    def watch_again(self) -> None:
        self.watch = Watch(self.record)
        self.watch.start()

    def again(self) -> None:
        """Killed and started anew: nothing is closed tidily."""
        self.record._engine.dispose()
        self.record = Record.open(self.path, self.machine)
        self.watch_again()

    def tick(self, minutes: float = 0) -> None:
        """Let time pass with a tick each twenty seconds."""
        for _ in range(round(minutes * 3)):
            self.machine.on(us=20 * SECOND_US)
            self.watch.tick()
        self.watch.tick()

    def start(self, name: str) -> Interval:
        return self.press(lambda tx: begin.begin(tx, self.step(name)))

    def asked(self) -> list[QuestionReason]:
        return [q.why for q in questions.open_questions(self.floor)]

    def the_question(self) -> Question:
        (found,) = questions.open_questions(self.floor)
        return found

    def now(self, interval: Interval) -> Interval:
        return self.floor.get(Interval, interval.id)

    @property
    def now_us(self) -> int:
        return self.record.instant()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Evening]:
    made = Evening(tmp_path)
    yield made
    made.record.close()


def test_a_sign_of_life_lies_beside_the_record_at_least_every_30_seconds(shop: Evening) -> None:
    for _ in range(40):
        shop.machine.on(us=3 * SECOND_US)
        shop.watch.tick()
        sign = heartbeat.read(shop.path)
        assert sign is not None
        assert 0 <= shop.now_us - sign.at_us <= 30 * SECOND_US
        assert (sign.boot_id, heartbeat.place(shop.path).stat().st_mode & 0o777) == ("first", 0o600)


@pytest.mark.parametrize("spoilt", [b"", b"{", b"[]", b'{"at_us": 1}', b"\xff\xfe", b'{"at_us": "x"}'])
def test_a_spoilt_sign_of_life_is_none(shop: Evening, spoilt: bytes) -> None:
    heartbeat.place(shop.path).write_bytes(spoilt)
    assert heartbeat.read(shop.path) is None
    shop.again()
    assert shop.asked() == []


def test_after_a_power_cut_what_ran_is_asked_about_since_the_last_sign_of_life(shop: Evening) -> None:
    bevels = shop.start("Bevel")
    shop.tick(7)
    sign = heartbeat.read(shop.path)
    assert sign is not None
    shop.machine.restart(shop.machine.wall_us + 33 * MINUTE_US)
    shop.again()
    asked = shop.the_question()
    assert (asked.why, asked.about_id, asked.sure_us) == (QuestionReason.POWER, bevels.id, sign.at_us)
    shop.again()
    assert shop.the_question() == asked
    shop.press(lambda tx: answers.stopped(tx, asked, sign.at_us))
    assert shop.now(bevels).end_us == sign.at_us
    assert shop.asked() == []
    shop.undo()
    assert shop.asked() == [QuestionReason.POWER]
    shop.press(lambda tx: answers.stopped(tx, asked, sign.at_us + 10 * MINUTE_US))
    first = shop.now(bevels)
    (rest,) = [i for i in shop.floor.all(Interval) if i.continues_id == bevels.id]
    assert (first.end_us, first.end_sure) == (sign.at_us, Certainty.PRESSED)
    assert (rest.start_us, rest.end_us, rest.end_sure) == (
        sign.at_us, sign.at_us + 10 * MINUTE_US, Certainty.ESTIMATED,
    )  # fmt: skip
    assert_sound(shop.floor, shop.now_us)
    assert check(shop.path) == []


def test_a_wait_is_never_asked_about(shop: Evening) -> None:
    shop.start("Temper")
    shop.tick(1)
    shop.machine.sleep(600)
    shop.tick(1)
    shop.machine.restart(shop.machine.wall_us + 9 * HOUR_US)
    shop.again()
    shop.tick(1)
    assert shop.asked() == []


SLEEP = {"no sleep": 0.0, "a short sleep": 0.5, "a long sleep": 37.0}
STEP = {"not set": 0.0, "strays": 1.5 / 60, "an hour on": 60.0, "two minutes back": -2.0, "years back": -5_000_000.0}
STALL = {"runs": 0.0, "stalls": 11.0}


@pytest.mark.parametrize("stall", STALL)
@pytest.mark.parametrize("step", STEP)
@pytest.mark.parametrize("sleep", SLEEP)
def test_sleep_a_set_clock_and_a_stall_are_told_apart_in_all_combinations(
    shop: Evening, sleep: str, step: str, stall: str
) -> None:
    bevels = shop.start("Bevel")
    shop.tick(2)
    before_us = shop.now_us
    shop.machine.on(STALL[stall])
    shop.machine.sleep(SLEEP[sleep])
    shop.machine.set_by(STEP[step])
    shop.watch.tick()
    wanted = [QuestionReason.SLEPT] if SLEEP[sleep] > 1 else []
    wanted += [QuestionReason.SET] if abs(STEP[step]) > 1 else []
    assert shop.asked() == wanted
    assert shop.now_us - before_us == round((STALL[stall] + SLEEP[sleep]) * MINUTE_US)
    for question in questions.open_questions(shop.floor):
        assert question.sure_us == before_us
        assert question.shift_us == (round(STEP[step] * MINUTE_US) if question.why is QuestionReason.SET else None)
    shop.press(begin.stop)
    assert shop.now(bevels).end_us == shop.now_us
    assert_sound(shop.floor, shop.now_us)


@pytest.mark.parametrize("at", ["2027-03-28T00:55:00+00:00", "2027-10-31T00:55:00+00:00"])
def test_neither_change_of_clocks_changes_anything(tmp_path: Path, at: str) -> None:
    shop = Evening(tmp_path)
    shop.machine.restart(round(datetime.fromisoformat(at).timestamp()) * SECOND_US)
    shop.again()
    started = shop.start("Saw")
    began_us = shop.now_us
    shop.tick(4)
    shop.machine.offset_min += 60 if at[5:7] == "03" else -60
    shop.tick(6)
    assert shop.asked() == []
    shop.press(begin.stop)
    ended_us = shop.now(started).end_us
    assert ended_us is not None
    assert ended_us - began_us == 10 * MINUTE_US
    shop.record.close()


def test_a_set_clock_is_asked_about_once_and_twice_back_is_nothing_to_ask(shop: Evening) -> None:
    shop.start("Bevel")
    shop.tick(1)
    shop.machine.set_by(60)
    shop.tick(1)
    shop.again()
    shop.tick(1)
    assert shop.asked() == [QuestionReason.SET]
    shop.machine.set_by(-60)
    shop.tick(1)
    assert shop.asked() == []


def test_a_clock_set_just_before_a_restart_is_not_counted_twice(shop: Evening) -> None:
    """The last sign of life was left before it was set."""
    shop.start("Bevel")
    shop.tick(1)
    shop.machine.on(us=SECOND_US)
    shop.machine.set_by(60)
    shop.watch.tick()
    shop.again()
    (asked,) = questions.open_questions(shop.floor)
    assert asked.shift_us == HOUR_US
    shop.machine.set_by(-60)
    shop.tick(0)
    assert shop.asked() == []


@pytest.mark.parametrize("minutes", [61.0, -2.0])
def test_if_the_new_time_is_right_all_of_this_boot_moves_and_lengths_stay(shop: Evening, minutes: float) -> None:
    saw = shop.start("Saw")
    shop.tick(5)
    shop.press(lambda tx: acts.go_on(tx, saw))
    bevels = shop.floor.get(Interval, max(shop.floor.running))
    shop.tick(3)
    shop.machine.set_by(minutes)
    shop.tick(0)
    assert shop.asked() == [QuestionReason.SET]
    lengths = {i.id: (i.end_us or shop.now_us) - i.start_us for i in shop.floor.all(Interval)}
    saw_start = shop.now(saw).start_us

    by_us = shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.machine.wall_us)
    assert by_us == round(minutes * MINUTE_US)
    assert shop.now_us == shop.machine.wall_us
    assert shop.now(saw).start_us == saw_start + by_us
    assert {i.id: (i.end_us or shop.now_us) - i.start_us for i in shop.floor.all(Interval)} == lengths
    assert shop.asked() == []
    assert_sound(shop.floor, shop.now_us)
    shop.again()
    assert shop.now_us == shop.machine.wall_us
    assert shop.record.next_undo is not None
    assert shop.record.next_undo.what == CLOCK_RIGHT
    shop.tick(2)
    shop.press(begin.stop)
    assert shop.now(bevels).end_us == shop.machine.wall_us
    shop.undo()
    assert shop.now(bevels).running
    assert check(shop.path) == []


def worked(shop: Evening, name: str, minutes: float) -> Interval:
    """Work at a step for some minutes."""
    begun = shop.start(name)
    shop.tick(minutes)
    shop.press(begin.stop)
    return shop.now(begun)


def sleeps(shop: Evening) -> None:
    shop.machine.sleep(30)
    shop.tick(0)


def nobody_there(shop: Evening) -> None:
    shop.machine.on(4 * 60)
    shop.tick(0)


def nobody_there_for_long_enough(shop: Evening) -> None:
    shop.machine.on(3 * 60 + 50)
    shop.tick(0)


def answers_as_before(shop: Evening) -> None:
    shop.machine.set_by(10)
    shop.tick(0)
    question = shop.the_question()
    shop.press(lambda tx: clock_answers.as_before(tx, question))
    shop.machine.set_by(-10)
    shop.watch_again()


def answers_new(shop: Evening) -> None:
    shop.machine.set_by(10)
    shop.tick(0)
    shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.machine.wall_us)


def answers_and_takes_it_back(shop: Evening) -> None:
    answers_new(shop)
    shop.undo()


@pytest.mark.parametrize(
    ("between", "moving"),
    [
        (lambda shop: shop.tick(2), 2),
        (Evening.again, 1),
        (sleeps, 1),
        (nobody_there, 1),
        (nobody_there_for_long_enough, 2),
        (answers_as_before, 1),
        (answers_new, 1),
        (answers_and_takes_it_back, 2),
    ],
)
def test_what_moves_is_what_was_pressed_since_the_clock_was_known_to_be_right(
    shop: Evening, between: Callable[[Evening], object], moving: int
) -> None:
    saw = worked(shop, "Saw", 10)
    shop.tick(1)
    between(shop)
    shop.tick(1)
    bevels = worked(shop, "Bevel", 5)
    saw = shop.now(saw)
    known, whole = shop.record.clock_reaches(shop.machine.boot_id)
    assert (known.intervals, whole.intervals) == (moving, 2)
    assert (known.until_us, whole.until_us) == (None, None)
    assert (known.from_us <= saw.start_us) is (moving == 2)
    assert saw.end_us is not None
    assert known.from_us <= bevels.start_us
    assert moving == 2 or known.from_us > saw.end_us
    shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.now_us + HOUR_US)
    assert shop.now(bevels).start_us == bevels.start_us + HOUR_US
    assert shop.now(saw).start_us == saw.start_us + (HOUR_US if moving == 2 else 0)
    assert check(shop.path) == []


def test_nothing_moves_that_was_pressed_before_the_last_four_hours_without_a_press(shop: Evening) -> None:
    saw = worked(shop, "Saw", 10)
    nobody_there(shop)
    assert shop.record.clock_reaches(shop.machine.boot_id)[0].intervals == 0
    shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.now_us - HOUR_US)
    assert shop.now(saw) == saw


def test_what_the_program_asks_by_itself_breaks_no_four_hours(shop: Evening) -> None:
    saw = worked(shop, "Saw", 10)
    shop.machine.on(2 * 60)
    shop.record.press(questions.ASKED, lambda tx: questions.ask(tx, QuestionReason.OVER, saw, 0), by_itself=True)
    shop.machine.on(2 * 60)
    worked(shop, "Bevel", 5)
    assert shop.record.clock_reaches(shop.machine.boot_id)[0].intervals == 1


def test_a_clock_that_began_with_an_empty_battery_was_never_known_to_be_right(shop: Evening) -> None:
    shop.machine.restart(BATTERY_US)
    shop.again()
    worked(shop, "Saw", 10)
    sleeps(shop)
    shop.again()
    worked(shop, "Bevel", 5)
    known, whole = shop.record.clock_reaches(shop.machine.boot_id)
    assert known == whole
    assert known.intervals == 2


def test_weeks_in_one_boot_move_no_further_back_than_the_last_start_and_undo_goes_on(shop: Evening) -> None:
    """A tablet that only sleeps, its clock set back an hour while bevels run, and the white answer."""
    before = []
    for evening in range(3):
        for _ in range(7):
            before.append(worked(shop, "Saw", 1))
            shop.tick(1)
        shop.machine.sleep(22 * 60)
        shop.tick(0)
        if evening < 2:
            shop.again()
    shop.press(lambda tx: clock_answers.as_before(tx, shop.the_question()) if shop.asked() else None)
    bevels = shop.start("Bevel")
    shop.tick(90)
    shop.machine.set_by(-60)
    shop.tick(0)
    known, whole = shop.record.clock_reaches(shop.machine.boot_id)
    assert (known.intervals, whole.intervals) == (1, 22)
    shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.machine.wall_us)
    assert [shop.now(saw) for saw in before] == before
    assert shop.now(bevels).start_us == bevels.start_us - HOUR_US
    assert shop.now_us - shop.now(bevels).start_us == 90 * MINUTE_US
    assert shop.record.undo() == CLOCK_RIGHT
    assert shop.now(bevels) == bevels
    shop.undo()
    assert shop.floor.find(Interval, bevels.id) is None
    shop.undo()
    shop.undo()
    assert shop.now(before[-1]).running
    assert check(shop.path) == []


def test_a_clock_put_right_by_nothing_leaves_the_same_to_undo_as_a_restart(shop: Evening) -> None:
    shop.start("Saw")
    shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.now_us)
    before = shop.record.next_undo
    shop.again()
    assert shop.record.next_undo == before


def test_a_batch_that_was_closed_in_this_boot_moves_whole_after_a_restart_too(shop: Evening) -> None:
    """Its work was done before the machine was started anew; closing it is all that this boot did."""
    shop.start("Saw")
    shop.tick(5)
    shop.press(begin.stop)
    shop.machine.restart(shop.machine.wall_us + 60 * HOUR_US)
    shop.again()
    batch = shop.batches[0]
    shop.press(lambda tx: close_batch(tx, batch, {}, ""))
    closed_us = shop.now_us
    shop.again()
    shop.machine.on(3)
    right_us = shop.now_us + HOUR_US
    shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), right_us, whole=True)
    assert {piece.ended_us for piece in shop.floor.pieces(batch.id)} == {closed_us + HOUR_US}
    assert shop.floor.get(Batch, batch.id).closed_us == closed_us + HOUR_US
    assert check(shop.path) == []


def test_a_move_before_what_was_amended_to_before_this_boot_is_refused(shop: Evening) -> None:
    """A stretch added for the afternoon does not move along, and may not come to lie after now."""
    shop.press(lambda tx: amend.add(tx, shop.step("Saw"), shop.now_us - HOUR_US, shop.now_us - MINUTE_US))
    shop.tick(5)
    (added,) = shop.floor.all(Interval)
    with pytest.raises(Refusal, match="before what was recorded earlier"):
        shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.now_us - 12 * MINUTE_US)
    assert list(shop.floor.all(Interval)) == [added]
    assert check(shop.path) == []


def test_a_move_into_what_an_earlier_boot_left_is_refused_and_changes_nothing(shop: Evening) -> None:
    shop.start("Saw")
    shop.tick(5)
    shop.press(begin.stop)
    shop.machine.restart(shop.machine.wall_us + 2 * MINUTE_US)
    shop.again()
    shop.start("Saw")
    shop.tick(1)
    stood, now_us = list(shop.floor.all(Interval)), shop.now_us
    shop.machine.set_by(-30)
    shop.tick(0)
    with pytest.raises(Refusal, match="before what was recorded earlier"):
        shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.machine.wall_us)
    assert list(shop.floor.all(Interval)) == stood
    assert shop.now_us == now_us
    shop.press(begin.stop)


def test_with_a_flat_battery_the_record_goes_on_from_the_last_sign_of_life_estimated(shop: Evening) -> None:
    saw = shop.start("Saw")
    shop.tick(5)
    shop.press(begin.stop)
    shop.tick(4)
    sign = heartbeat.read(shop.path)
    assert sign is not None
    shop.machine.restart(BATTERY_US)
    shop.again()
    assert shop.now_us == sign.at_us
    assert shop.asked() == [QuestionReason.BEHIND]
    bevels = shop.start("Bevel")
    shop.tick(6)
    assert shop.now(bevels).start_sure is Certainty.ESTIMATED
    shop.press(begin.stop)
    ended = shop.now(bevels)
    assert ended.end_us is not None
    assert (ended.end_us - ended.start_us, ended.end_sure) == (6 * MINUTE_US, Certainty.ESTIMATED)
    assert shop.now(saw).end_sure is Certainty.PRESSED
    shop.again()
    assert shop.asked() == [QuestionReason.BEHIND]


def test_a_clock_that_was_flat_and_is_set_moves_this_boot_and_nothing_is_guessed_any_more(shop: Evening) -> None:
    shop.start("Saw")
    shop.tick(5)
    shop.press(begin.stop)
    evening_us = shop.machine.wall_us
    shop.machine.restart(BATTERY_US)
    shop.again()
    bevels = shop.start("Bevel")
    shop.tick(6)
    shop.machine.wall_us = evening_us + 20 * HOUR_US
    shop.tick(0)
    assert shop.asked() == [QuestionReason.BEHIND, QuestionReason.SET]

    shop.record.put_clock_right(clock_answers.put_right, shop.machine.moment(), shop.machine.wall_us)
    assert shop.now_us == shop.machine.wall_us
    assert shop.now(bevels).start_sure is Certainty.PRESSED
    shop.press(begin.stop)
    ended = shop.now(bevels)
    assert ended.end_us is not None
    assert (ended.end_us - ended.start_us, ended.end_sure) == (6 * MINUTE_US, Certainty.PRESSED)
    assert check(shop.path) == []


def test_no_press_is_ever_refused_for_what_a_clock_says(shop: Evening) -> None:
    for wall_us in (BATTERY_US, EVENING_US + 10**15, 0, EVENING_US):
        shop.machine.wall_us = wall_us
        shop.watch.tick()
        shop.start("Saw")
        shop.machine.restart(wall_us, f"boot at {wall_us}")
        shop.again()
        shop.press(begin.stop)
        assert_sound(shop.floor, shop.now_us)


def test_a_stop_is_asked_about_once_and_the_row_survives_a_restart(shop: Evening) -> None:
    bevels = shop.start("Bevel")
    shop.tick(181)
    asked = shop.the_question()
    assert (asked.why, asked.about_id, asked.sure_us) == (QuestionReason.STILL, bevels.id, bevels.start_us)
    shop.tick(30)
    shop.machine.restart(shop.machine.wall_us + HOUR_US)
    shop.again()
    assert shop.the_question() == asked
    shop.press(lambda tx: answers.still_at_it(tx, asked))
    shop.tick(170)
    assert shop.asked() == []
    shop.tick(11)
    assert shop.asked() == [QuestionReason.STILL]


def test_any_press_of_the_maker_is_a_sure_moment_and_none_of_the_programs_own(shop: Evening) -> None:
    bevels = shop.start("Bevel")
    shop.tick(60)
    shop.press(lambda tx: questions.answered(tx, questions.ask(tx, QuestionReason.OVER, None, 0), "seen"))
    heard_us = shop.now_us
    shop.tick(121)
    asked = shop.the_question()
    assert (asked.about_id, asked.sure_us) == (bevels.id, heard_us)
    shop.again()
    assert shop.record.heard_us == heard_us


def test_undo_of_the_start_takes_the_question_with_it(shop: Evening) -> None:
    shop.start("Bevel")
    shop.tick(181)
    assert shop.asked() == [QuestionReason.STILL]
    shop.undo()
    assert shop.asked() == []
    shop.again()
    assert shop.asked() == []


def test_a_full_disk_asks_a_minute_later(shop: Evening, monkeypatch: pytest.MonkeyPatch) -> None:
    shop.start("Bevel")
    shop.tick(1)

    def full(*_: object) -> int:
        raise ShopError("The disk is full.")

    with monkeypatch.context() as patch:
        patch.setattr(write, "write_press", full)
        shop.machine.sleep(20)
        shop.watch.tick()
        assert shop.asked() == []
    shop.tick(2)
    assert shop.asked() == [QuestionReason.SLEPT]


def test_every_instant_of_every_thing_is_moved_and_no_length() -> None:
    lengths = {"wait_us", "minutes_us", "setup_us", "limit_us", "shift_us"}
    for kind in ENTITIES:
        found = {f.name for f in fields(kind) if f.name.endswith("_us")}
        assert found - lengths == set(timeline.INSTANTS.get(kind, ())), kind


def test_a_moment_is_compared_within_one_boot_only() -> None:
    one = Machine().moment()
    assert timeline.passed(one, replace(one, boot_id="other", wall_us=0)) == timeline.Passed()
