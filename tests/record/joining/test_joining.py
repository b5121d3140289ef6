"""The same presses make the same record at every bench, whatever order they come in."""

import random
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.desk.bringing_back import bring_back, plan
from shopclock.record.desk.looking import look_through
from shopclock.record.desk.taking_along import TAKEN, take_along
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.recovery import clock_answers
from shopclock.shop.state import settings
from shopclock.shop.state.desk_copy import check_out
from shopclock.shop.values.entities import Batch, Interval, Piece, Setting, Stage, Step, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, MarkedBy, Outcome, WorkKind
from shopclock.shop.values.ranges import ROOM, range_of
from shopclock.shop.work import adjust, amend, begin, finish, pieces
from shopclock.shop.work.batches import close_batch
from shopclock.shop.work.settle import Work, settle
from tests.plenty import parts
from tests.record.joining.several import OneBench, Shop, rows_of, story
from tests.record.machine import MINUTE_US

PARTS, STORIES, LOOKED_AT = 200, 2_000, 8
"""How often between presses a bench is looked at: that it stands as its presses say, made whole anew."""


def assert_level(shop: Shop) -> None:
    """All benches have all presses, the same rows, and are sound."""
    shop.level()
    shop.assert_equal()
    for bench in shop.benches:
        assert check(bench.path) == []


def assert_sound(number: int, bench: OneBench) -> None:
    """What a bench has made of what came, one after the other, is what all of it together says."""
    if number % LOOKED_AT == 0:
        assert check(bench.path) == [], number


def step(bench: OneBench, name: str) -> Step:
    return next(s for s in bench.record.floor.steps(1) if s.name == name)


def marks(bench: OneBench, interval: Interval) -> str:
    return "".join(bench.record.floor.get(Piece, number).mark for number in interval.pieces)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path, 2, 4, makers=2)


@pytest.mark.parametrize("seed", range(4))
def test_any_story_ends_equal(tmp_path: Path, seed: int) -> None:
    with closing(story(tmp_path, seed, presses=40, after=assert_sound)) as shop:
        assert_level(shop)


@pytest.mark.long
@parts(PARTS, of_ten=0.125)
def test_thousands_of_presses_end_equal(tmp_path: Path, part: int) -> None:
    for seed in range(1_000 + part, 1_000 + STORIES, PARTS):
        folder = tmp_path / str(seed)
        folder.mkdir()
        with closing(story(folder, seed, presses=80, after=assert_sound)) as shop:
            assert_level(shop)


def test_presses_are_taken_twice_and_in_any_order(tmp_path: Path) -> None:
    """Taking a press again changes nothing; one that comes before those of its bench waits for them."""
    with closing(Shop(tmp_path, 3, 3, makers=3)) as shop:
        one, other, third = shop.benches
        for bench in (one, other):
            shop.on(MINUTE_US)
            bench.press(lambda tx, b=bench: begin.begin(tx, step(b, "Saw")))
            shop.on(MINUTE_US)
            bench.press(begin.stop)
        sent = [*one.sent(third.known), *other.sent(third.known)]
        shuffled = [*sent, *sent]
        random.Random(7).shuffle(shuffled)  # noqa: S311 - no secret
        waited = [third.record.take_presses([press]) for press in shuffled]
        assert any(waited), "none came before those that it follows: the order says nothing"
        while third.record.take_presses(sent):
            pass
        after = rows_of(third.path)
        third.record.take_presses(shuffled)
        assert rows_of(third.path) == after
        assert_level(shop)


def test_a_piece_that_two_makers_start_apart_is_in_two_hands_at_no_time(shop: Shop) -> None:
    """The earlier goes on without it: its stretch is cut there, and all minutes stay."""
    one, other = shop.benches
    start = one.press(lambda tx: begin.begin(tx, step(one, "Saw")))
    shop.on(20 * MINUTE_US)
    pair = [p.id for p in other.record.floor.pieces(1)][2:]
    later = other.press(lambda tx: begin.begin(tx, step(other, "Saw"), pair))
    shop.on(10 * MINUTE_US)
    one.press(begin.stop)
    other.press(begin.stop)
    assert_level(shop)
    floor = one.record.floor
    ours = sorted((i for i in floor.all(Interval) if i.maker_id == start.maker_id), key=lambda i: i.start_us)
    assert [(marks(one, i), (i.end_us - i.start_us) // MINUTE_US) for i in ours] == [("ABCD", 20), ("AB", 10)]
    assert ours[1].id == start.id, "what was pressed of it is about what goes on"
    assert ours[1].continues_id == ours[0].id
    assert sum(floor.labour[i.id] for i in ours) == 30 * MINUTE_US
    assert floor.labour[later.id] == 10 * MINUTE_US
    shop.close()


def test_one_maker_at_two_benches_has_one_pair_of_hands(shop: Shop) -> None:
    one, other = shop.benches
    other.record.maker = one.record.maker
    first = one.press(lambda tx: begin.begin(tx, step(one, "Saw"), [1]))
    shop.on(5 * MINUTE_US)
    second = other.press(lambda tx: begin.begin(tx, step(other, "Saw"), [2]))
    shop.on(5 * MINUTE_US)
    one.press(begin.stop)
    other.press(begin.stop)
    assert_level(shop)
    floor = one.record.floor
    assert floor.get(Interval, first.id).end_us == floor.get(Interval, second.id).start_us
    assert floor.labour[first.id] == floor.labour[second.id] == 5 * MINUTE_US
    other.undo()
    other.undo()
    assert_level(shop)
    assert one.record.floor.labour[first.id] == 10 * MINUTE_US, "with the other gone it is as it was pressed"
    shop.close()


def test_what_another_rests_on_stays_though_it_is_taken_back(shop: Shop) -> None:
    one, other = shop.benches
    started = one.press(lambda tx: begin.begin(tx, step(one, "Saw")))
    shop.level()
    shop.on(MINUTE_US)
    other.press(lambda tx: finish.one_done(tx, tx.floor.get(Interval, started.id)))
    one.undo()
    assert not one.record.floor.running
    assert_level(shop)
    assert [i.id for i in one.record.floor.running.values()] == [started.id]
    assert [t.how for t in one.record.floor.all(Tally)] == [MarkedBy.DONE]
    shop.close()


def test_what_stayed_for_another_goes_with_it(shop: Shop) -> None:
    """A stretch that one bench took out stays while its second half, split off at the other, is there."""
    one, other = shop.benches
    worked = one.press(lambda tx: begin.begin(tx, step(one, "Saw"), [1, 2]))
    shop.on(12 * MINUTE_US)
    one.press(begin.stop)
    shop.level()
    other.press(lambda tx: amend.remove(tx, tx.floor.get(Interval, worked.id)))
    shop.on(MINUTE_US)
    halves_us = worked.start_us + 5 * MINUTE_US
    half = one.press(lambda tx: amend.split_at(tx, tx.floor.get(Interval, worked.id), halves_us))
    assert_level(shop)
    assert {i.id for i in other.record.floor.all(Interval)} == {worked.id, half.id}
    one.press(lambda tx: amend.remove(tx, tx.floor.get(Interval, half.id)))
    assert list(one.record.floor.all(Interval)) == []
    assert_level(shop)
    shop.close()


def test_a_piece_marked_at_two_benches_counts_once_by_the_earlier(shop: Shop) -> None:
    one, other = shop.benches
    started = one.press(lambda tx: begin.begin(tx, step(one, "Saw")))
    shop.level()
    shop.on(3 * MINUTE_US)
    early = one.press(lambda tx: finish.one_done(tx, tx.floor.get(Interval, started.id)) and tx.now_us)
    shop.on(2 * MINUTE_US)
    other.press(lambda tx: finish.one_done(tx, tx.floor.get(Interval, started.id)))
    assert_level(shop)
    assert [t.at_us for t in other.record.floor.all(Tally)] == [early]
    one.undo()
    assert_level(shop)
    assert [t.at_us for t in other.record.floor.all(Tally)] == [early + 2 * MINUTE_US]
    shop.close()


def test_a_loss_stands_against_what_is_marked_later(shop: Shop) -> None:
    one, other = shop.benches
    started = one.press(lambda tx: begin.begin(tx, step(one, "Saw")))
    shop.level()
    shop.on(3 * MINUTE_US)
    one.press(lambda tx: pieces.lose(tx, tx.floor.pieces(1)[0], step(one, "Saw"), "cracked"))
    shop.on(MINUTE_US)
    first = other.record.floor.pieces(1)[0]
    other.press(lambda tx: finish.one_done(tx, tx.floor.get(Interval, started.id), first))
    assert_level(shop)
    assert not list(one.record.floor.all(Tally))
    running = next(iter(one.record.floor.running.values()))
    assert marks(one, running) == "BCD"
    shop.close()


def test_a_loss_counts_in_a_batch_of_which_nothing_was_timed(shop: Shop) -> None:
    one, other = shop.benches
    one.press(lambda tx: pieces.lose(tx, tx.floor.pieces(1)[0], step(one, "Saw"), "cracked"))
    shop.on(MINUTE_US)
    other.press(lambda tx: finish.all_through(tx, step(other, "Saw"), [p.id for p in tx.floor.pieces(1)]))
    assert_level(shop)
    assert sorted(one.record.floor.get(Piece, t.piece_id).mark for t in one.record.floor.all(Tally)) == ["B", "C", "D"]
    shop.close()


def test_what_is_gone_on_with_at_two_benches_goes_on_once(shop: Shop) -> None:
    """By the earlier; the later is a stretch of its own, though the earlier had ended before it began."""
    one, other = shop.benches
    begun = one.press(lambda tx: begin.begin_shop_work(tx, tx.floor.get(Stage, 1)))
    shop.level()
    shop.on(5 * MINUTE_US)
    earlier = one.press(lambda tx: begin.split(tx, tx.floor.get(Interval, begun.id)))
    shop.on(MINUTE_US)
    one.press(begin.stop)
    shop.on(4 * MINUTE_US)
    later = other.press(lambda tx: begin.split(tx, tx.floor.get(Interval, begun.id)))
    assert_level(shop)
    shop.on(2 * MINUTE_US)
    other.press(lambda tx: begin.end(tx, tx.floor.get(Interval, later.id)))
    assert_level(shop)
    floor = one.record.floor
    assert floor.get(Interval, earlier.id).continues_id == begun.id
    assert floor.get(Interval, later.id).continues_id is None
    one.undo()
    one.undo()
    assert_level(shop)
    assert floor.get(Interval, later.id).continues_id == begun.id
    shop.close()


def test_blanks_added_at_both_get_marks_of_their_own(shop: Shop) -> None:
    one, other = shop.benches
    one.press(lambda tx: pieces.add_piece(tx, tx.floor.get(Batch, 1)))
    shop.on(MINUTE_US)
    other.press(lambda tx: pieces.add_piece(tx, tx.floor.get(Batch, 1)))
    assert_level(shop)
    assert [p.mark for p in one.record.floor.pieces(1)] == ["A", "B", "C", "D", "E", "E.2"]
    one.undo()
    assert [p.mark for p in one.record.floor.pieces(1)] == ["A", "B", "C", "D", "E"]
    assert_level(shop)
    shop.close()


def test_a_batch_that_is_worked_after_it_was_closed_is_open_again(shop: Shop) -> None:
    one, other = shop.benches
    one.press(lambda tx: close_batch(tx, tx.floor.get(Batch, 1), {}, ""))
    shop.on(MINUTE_US)
    other.press(lambda tx: begin.begin(tx, step(other, "Saw")))
    shop.level()
    assert [b.id for b in one.record.floor.open_batches()] == [1]
    other.undo()
    assert_level(shop)
    assert not one.record.floor.open_batches()
    shop.close()


def test_a_bench_whose_clock_is_behind_closes_what_another_has_worked_on(tmp_path: Path) -> None:
    """It knew of that work: the batch is closed at its end, which this bench's clock has still before it."""
    shop = Shop(tmp_path, 2, 4, makers=2, skews=[0, -3])
    one, late = shop.benches
    one.press(lambda tx: begin.begin(tx, step(one, "Saw")))
    shop.on(2 * MINUTE_US)
    one.press(begin.stop)
    ended_us = one.clock.wall_us
    shop.level()
    shop.on(30_000_000)
    late.press(lambda tx: close_batch(tx, tx.floor.get(Batch, 1), {}, ""))
    assert_level(shop)
    assert not late.record.floor.open_batches()
    assert late.record.floor.get(Batch, 1).closed_us == ended_us > late.clock.wall_us
    shop.close()


@pytest.mark.parametrize(("who", "is_open"), [(0, []), (1, [1])])
def test_what_is_noted_after_a_closing_opens_the_batch_unless_its_own_bench_closed_it(
    shop: Shop, who: int, is_open: list[int]
) -> None:
    one, noting = shop.benches[0], shop.benches[who]
    one.press(lambda tx: close_batch(tx, tx.floor.get(Batch, 1), {}, ""))
    shop.on(60 * MINUTE_US)
    ends_us, all_four = noting.clock.wall_us, [piece.id for piece in noting.record.floor.pieces(1)]
    noting.press(lambda tx: amend.add(tx, step(noting, "Saw"), ends_us - 20 * MINUTE_US, ends_us, all_four))
    assert_level(shop)
    assert [[b.id for b in bench.record.floor.open_batches()] for bench in shop.benches] == [is_open, is_open]
    shop.close()


def test_each_bench_has_its_own_look(shop: Shop) -> None:
    one, other = shop.benches
    one.press(lambda tx: settings.set_value(tx, settings.THEME, "paper"))
    other.press(lambda tx: settings.set_value(tx, settings.SIZE, "gloves"))
    one.press(lambda tx: settings.set_value(tx, settings.UNKNOWN_H, 4))
    assert_level(shop)
    read = [[settings.value(b.record.floor, s) for s in (settings.THEME, settings.SIZE)] for b in shop.benches]
    assert read == [["paper", "hands"], ["dark", "gloves"]]
    assert all(settings.value(b.record.floor, settings.UNKNOWN_H) == 4 for b in shop.benches)
    assert len(list(one.record.floor.all(Setting))) == 3
    shop.close()


def test_a_clock_put_right_at_one_bench_moves_nothing_of_another(shop: Shop) -> None:
    one, other = shop.benches
    for bench in shop.benches:
        bench.press(lambda tx, b=bench: begin.begin(tx, step(b, "Saw"), [b.record.floor.pieces(1)[b is other].id]))
    shop.level()
    shop.on(10 * MINUTE_US)
    moment = one.clock.moment()
    now_us = one.record.instant(moment) + 30 * MINUTE_US
    one.record.put_clock_right(clock_answers.put_right, moment, now_us)
    assert_level(shop)
    starts = {i.maker_id: i.start_us for i in other.record.floor.running.values()}
    assert starts[one.record.maker.id] - starts[other.record.maker.id] == 30 * MINUTE_US
    shop.close()


def test_a_stretch_cut_for_another_bench_is_not_amended_by_itself(shop: Shop) -> None:
    one, other = shop.benches
    one.press(lambda tx: begin.begin(tx, step(one, "Saw")))
    shop.on(20 * MINUTE_US)
    other.press(lambda tx: begin.begin(tx, step(other, "Saw"), [3]))
    shop.level()
    part = next(i for i in one.record.floor.all(Interval) if i.id < 0)
    assert part.kind is Kind.HANDS_ON
    with pytest.raises(Refusal, match="was cut where another bench's work begins"):
        one.press(lambda tx: tx.change(replace(part, method_id=None, start_us=part.start_us - 1)))
    assert_level(shop)
    shop.close()


def test_a_record_that_was_copied_is_a_bench_of_its_own(shop: Shop) -> None:
    benches = [bench.record.bench for bench in shop.benches]
    assert benches[0].id == 1
    assert benches[1].id >= 1024
    with closing(Record.open(shop.benches[1].path.parent / "x", shop.benches[1].clock, make=True)) as alone:
        assert not alone.joined
        assert alone.bench.id == 1
    shop.close()


def test_old_notes_that_a_bench_brings_in_get_numbers_of_its_own(shop: Shop) -> None:
    """What is worked out beside the record counts as the bench does."""
    other = shop.benches[1]
    with ReadOnlyRecord.open(other.path) as reading:
        given = reading.numbers_apart.next(Interval)
    assert range_of(given) == other.record.bench.id
    shop.close()


def test_a_desks_copy_of_a_bench_comes_back_to_it(tmp_path: Path) -> None:
    """What the desk puts right goes from the bench that it comes back to on to the others."""
    with closing(Shop(tmp_path, 2, 3, makers=2)) as shop:
        one, other = shop.benches
        shop.on(MINUTE_US)
        other.record.press(TAKEN, check_out, undoable=False)
        take_along(other.path, tmp_path / "desk.shopclock", other.clock)
        with closing(Record.open(tmp_path / "desk.shopclock", other.clock)) as desk:
            desk.press("Note", lambda tx: tx.change(replace(tx.floor.get(Batch, 1), next_time="from the desk")))
        shop.on(MINUTE_US)
        found = look_through(other.path, tmp_path / "desk.shopclock")
        bring_back(other.record, plan(other.path, found, ()))
        assert_level(shop)
        assert one.record.floor.get(Batch, 1).next_time == "from the desk"


def test_a_piece_that_one_bench_marks_again_is_marked_twice_and_by_two_benches_once() -> None:
    """What is done again beside other pieces is marked once more, by whoever knows of the first mark."""

    def mark(number: int, at_us: int) -> Tally:
        return Tally(id=number, step_id=1, piece_id=1, interval_id=None, at_us=at_us, how=MarkedBy.ALL)

    again, elsewhere = [mark(5, 10), mark(6, 30)], mark(2_000 * ROOM + 1, 20)
    assert sorted(settle(Work(tallies=again)).tallies) == [5, 6]
    assert sorted(settle(Work(tallies=[*again, elsewhere])).tallies) == [5, 6]
    assert sorted(settle(Work(tallies=[elsewhere, again[1]])).tallies) == [elsewhere.id]


def test_what_a_maker_begins_later_moves_no_end(shop: Shop) -> None:
    """A stretch that was never stopped ended when its last piece was finished, whichever press comes first."""
    one, other = shop.benches
    other.record.maker = one.record.maker
    started = one.press(lambda tx: begin.begin(tx, step(one, "Saw")))
    shop.on(5 * MINUTE_US)
    for piece in other.record.floor.pieces(1):
        other.press(lambda tx, p=piece: pieces.end_piece(tx, tx.floor.get(Piece, p.id), Outcome.FINISHED, None, ""))
    finished_us = other.record.floor.pieces(1)[-1].ended_us
    one.record.take_presses(other.sent(one.known))
    shop.on(5 * MINUTE_US)
    other.press(lambda tx: begin.begin_shop_work(tx, tx.floor.get(Stage, 1)))
    assert_level(shop)
    assert one.record.floor.get(Interval, started.id).end_us == finished_us
    shop.close()


def test_who_was_put_into_a_stretch_while_it_was_moved_to_another_batch_is_not_in_it(tmp_path: Path) -> None:
    """Each press made sense where it was made; a piece is at work in its own batch alone."""
    with closing(Shop(tmp_path, 2, 3, 2, makers=2)) as shop:
        one, other = shop.benches
        worked = one.press(lambda tx: begin.begin(tx, step(one, "Saw"), [1, 2]))
        shop.on(12 * MINUTE_US)
        one.press(begin.stop)
        shop.level()
        there = next(s for s in one.record.floor.steps(2) if s.name == "Saw")
        one.press(lambda tx: amend.use_step(tx, tx.floor.get(Interval, worked.id), there))
        shop.on(MINUTE_US)
        other.press(lambda tx: amend.use_pieces(tx, tx.floor.get(Interval, worked.id), [1, 2, 3]))
        assert_level(shop)
        stands = one.record.floor.get(Interval, worked.id)
        assert {one.record.floor.get(Piece, number).batch_id for number in stands.pieces} == {2}
        assert marks(one, stands) == "AB"
        assert one.record.floor.labour[worked.id] == 12 * MINUTE_US


def test_a_stretch_that_two_benches_moved_to_different_steps_is_at_one_of_one_batch(tmp_path: Path) -> None:
    """Batch, step and stage say one thing together: the later press has all of it."""
    with closing(Shop(tmp_path, 2, 3, 2, makers=2)) as shop:
        one, other = shop.benches
        worked = one.press(lambda tx: begin.begin(tx, step(one, "Saw"), [1, 2]))
        shop.on(12 * MINUTE_US)
        one.press(begin.stop)
        shop.level()
        there = next(s for s in one.record.floor.steps(2) if s.name == "Saw")
        later = [s for s in one.record.floor.steps(1) if s.kind.attended][1]
        one.press(lambda tx: amend.use_step(tx, tx.floor.get(Interval, worked.id), there))
        shop.on(MINUTE_US)
        other.press(lambda tx: amend.use_step(tx, tx.floor.get(Interval, worked.id), later))
        assert_level(shop)
        stands = one.record.floor.get(Interval, worked.id)
        assert (stands.batch_id, stands.step_id, stands.stage_id) == (1, later.id, later.stage_id)


@pytest.mark.parametrize(
    ("moved", "joined_first", "expected"), [(1, True, (2, True)), (0, False, (1, False)), (0, True, (1, False))]
)
def test_a_mark_is_at_one_step_with_the_minutes_of_that_step_alone(
    tmp_path: Path, moved: int, joined_first: bool, expected: tuple[int, bool]
) -> None:
    """One bench makes two stretches one, another moves one of them to another batch: the mark's last press stands.

    `expected` is the batch whose step the mark is at, and whether it has a stretch.
    """
    with closing(Shop(tmp_path, 2, 3, 2, makers=2)) as shop:
        one, other = shop.benches
        both = []
        for minutes in (12, 8):
            both.append(one.press(lambda tx: begin.begin(tx, step(one, "Saw"), [1, 2])))
            shop.on(minutes * MINUTE_US)
            if minutes == 8:
                one.press(lambda tx: finish.one_done(tx, both[1]))
            one.press(begin.stop)
            shop.on(MINUTE_US)
        shop.level()
        there = next(s for s in one.record.floor.steps(2) if s.name == "Saw")
        presses = [
            lambda: other.press(lambda tx: amend.join_next(tx, tx.floor.get(Interval, both[0].id))),
            lambda: one.press(lambda tx: amend.use_step(tx, tx.floor.get(Interval, both[moved].id), there)),
        ]
        for press in presses if joined_first else presses[::-1]:
            press()
            shop.on(MINUTE_US)
        assert_level(shop)
        [mark] = one.record.floor.all(Tally)
        at = one.record.floor.get(Step, mark.step_id)
        assert (at.batch_id, mark.interval_id is not None) == expected
        assert one.record.floor.get(Piece, mark.piece_id).batch_id == at.batch_id
        if mark.interval_id is not None:
            assert one.record.floor.get(Interval, mark.interval_id).step_id == at.id


def begun_with_one_lost_elsewhere(shop: Shop, name: str, lost: int) -> Interval:
    """Begin a step with two pieces at the first bench, one of which the other has lost, as is heard later."""
    one, other = shop.benches
    other.press(lambda tx: pieces.lose(tx, tx.floor.get(Piece, lost), step(other, "Saw"), "cracked"))
    shop.on(5 * MINUTE_US)
    begun = one.press(lambda tx: begin.begin(tx, step(one, name), [1, 2]))
    shop.level()
    shop.on(5 * MINUTE_US)
    return begun


def test_a_lost_piece_that_another_bench_put_into_the_oven_is_through_nothing_when_it_comes_out(shop: Shop) -> None:
    one = shop.benches[0]
    wait = begun_with_one_lost_elsewhere(shop, "Temper", lost=2)
    one.press(lambda tx: finish.out(tx, tx.floor.get(Interval, wait.id)))
    assert [tally.piece_id for tally in one.record.floor.all(Tally)] == [1]
    assert_level(shop)
    shop.close()


def test_done_passes_a_piece_over_that_is_in_hand_here_and_was_lost_elsewhere(shop: Shop) -> None:
    one = shop.benches[0]
    started = begun_with_one_lost_elsewhere(shop, "Saw", lost=1)
    with pytest.raises(Refusal, match="A is lost"):
        one.press(lambda tx: finish.one_done(tx, tx.floor.get(Interval, started.id), tx.floor.get(Piece, 1)))
    assert one.press(lambda tx: finish.one_done(tx, tx.floor.get(Interval, started.id))).mark == "B"
    assert_level(shop)
    shop.close()


def test_a_stretch_goes_on_from_none_that_another_goes_on_from_when_what_follows_it_is_taken_back(shop: Shop) -> None:
    """Two benches each end one stretch and go on; at one of them a third follows after a break, its end is undone."""
    one, other = shop.benches
    other.record.maker = one.record.maker
    stage = next(one.record.floor.all(Stage))
    first = one.press(lambda tx: begin.begin_shop_work(tx, stage))
    shop.level()

    def set_up(bench: OneBench) -> Interval:
        shop.on(5 * MINUTE_US)
        return bench.press(lambda tx: begin.split(tx, replace(tx.floor.get(Interval, first.id), work=WorkKind.SETUP)))

    earlier, later = set_up(other), set_up(one)
    shop.on(8 * MINUTE_US)
    one.press(lambda tx: adjust.take_off(tx, 5))
    [last] = (i for i in one.record.floor.all(Interval) if i.continues_id == later.id)
    shop.level()
    shop.on(5 * MINUTE_US)
    one.press(begin.stop)
    one.undo()
    goes_on = {i.id: i.continues_id for i in one.record.floor.all(Interval)}
    assert goes_on == {first.id: None, earlier.id: first.id, later.id: None, last.id: later.id}
    assert_level(shop)
    shop.close()


def test_closing_takes_out_of_the_oven_what_was_lost_elsewhere_before_it_was_put_in(tmp_path: Path) -> None:
    with closing(Shop(tmp_path, 2, 4, 1, makers=2)) as shop:
        one, other = shop.benches
        [piece] = one.record.floor.pieces(2)
        other.press(lambda tx: pieces.lose(tx, tx.floor.get(Piece, piece.id), None, "cracked"))
        shop.on(5 * MINUTE_US)
        oven = next(s for s in one.record.floor.steps(2) if s.name == "Temper")
        one.press(lambda tx: begin.begin(tx, oven))
        shop.level()
        shop.on(5 * MINUTE_US)
        one.press(lambda tx: close_batch(tx, tx.floor.get(Batch, 2), {}, ""))
        assert not one.record.floor.running
        assert_level(shop)
        for bench in shop.benches:
            assert bench.record.floor.get(Batch, 2).closed_us is not None


def test_a_batch_that_only_what_runs_keeps_open_is_closed_when_that_is_stopped(tmp_path: Path) -> None:
    """Another bench's work opened it again, of which nothing is left; what runs is of the bench that closed it."""
    with closing(Shop(tmp_path, 2, 4, 2, makers=2)) as shop:
        one, other = shop.benches
        saw = next(s for s in one.record.floor.steps(2) if s.name == "Saw")
        one.press(lambda tx: close_batch(tx, tx.floor.get(Batch, 2), {}, ""))
        shop.on(5 * MINUTE_US)
        other.press(lambda tx: begin.begin(tx, saw, [5]))
        shop.level()
        shop.on(5 * MINUTE_US)
        own = one.press(lambda tx: begin.begin(tx, saw, [6]))
        shop.level()
        other.undo()
        shop.level()
        assert [(i.id, i.batch_id) for i in one.record.floor.running.values()] == [(own.id, 2)]
        assert one.record.floor.get(Batch, 2).closed_us is None, "work of it runs"
        shop.on(5 * MINUTE_US)
        one.press(begin.stop)
        assert one.record.floor.get(Batch, 2).closed_us is not None
        assert_level(shop)


def test_beside_rework_nobody_is_marked_a_second_time(shop: Shop) -> None:
    one, other = shop.benches
    one.press(lambda tx: finish.all_through(tx, step(one, "Saw"), [1, 2]))
    shop.level()
    shop.on(5 * MINUTE_US)
    again = other.press(lambda tx: pieces.rework(tx, tx.floor.get(Piece, 1), step(other, "Saw")))
    with pytest.raises(Refusal, match="B is through Saw already"):
        other.press(lambda tx: finish.one_done(tx, tx.floor.get(Interval, again.id), tx.floor.get(Piece, 2)))
    shop.on(5 * MINUTE_US)
    other.press(lambda tx: finish.one_done(tx, tx.floor.get(Interval, again.id)))
    assert_level(shop)
    assert sorted(tally.piece_id for tally in one.record.floor.all(Tally)) == [1, 1, 2]
    shop.close()


def test_work_on_a_piece_lost_elsewhere_that_is_said_to_have_begun_before_the_loss_ends_with_it(shop: Shop) -> None:
    one, other = shop.benches
    shop.on(5 * MINUTE_US)
    lost = one.press(lambda tx: pieces.lose(tx, tx.floor.get(Piece, 2), step(one, "Saw"), "cracked"))
    shop.on(5 * MINUTE_US)
    started = other.press(lambda tx: begin.begin(tx, step(other, "Saw"), [2]))
    shop.level()
    assert one.record.floor.get(Interval, started.id).running, "it was begun after the loss: its minutes stay"
    shop.on(5 * MINUTE_US)
    one.press(lambda tx: adjust.start_since(tx, tx.floor.get(Interval, started.id), lost.ended_us - MINUTE_US))
    assert one.record.floor.get(Interval, started.id).end_us == lost.ended_us
    assert_level(shop)
    shop.close()
