"""An evening put right rule by rule: what changes, what comes along, what makes no sense."""

from collections.abc import Callable
from dataclasses import fields

import pytest

from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import ENTITIES, Both, ImportRow, Interval, Leaving, Method, Note, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, MarkedBy, Outcome, WorkKind
from shopclock.shop.work import acts, amend, begin, finish, pieces
from shopclock.shop.work.batches import close_batch
from shopclock.shop.work.piece_progress import through
from tests.shop.sound import assert_sound
from tests.shop.workshop import MINUTE_US, Shop


@pytest.fixture
def shop() -> Shop:
    """Saw 21:00 to 21:40, Next; Bevel 21:40 to 22:30 with A done at 22:00; stopped; 22:50 now."""
    made = Shop(3)
    made.press(lambda tx: begin.begin(tx, made.step("Saw")))
    made.clock.on(40)
    made.press(lambda tx: acts.go_on(tx, made.runs()))
    made.clock.on(20)
    made.press(lambda tx: finish.one_done(tx, made.runs("Bevel")))
    made.clock.on(30)
    made.press(begin.stop)
    made.clock.on(20)
    return made


def at(shop: Shop, name: str) -> Interval:
    """The first stretch at a step."""
    found = [i for i in shop.floor.all(Interval) if i.step_id == shop.step(name).id]
    return min(found, key=lambda i: (i.start_us, i.id))


def moved(us: int, minutes: int) -> int:
    return us + minutes * MINUTE_US


def ended(interval: Interval) -> int:
    assert interval.end_us is not None
    return interval.end_us


def test_a_moved_end_is_amended_and_the_other_stays_as_it_was(shop: Shop) -> None:
    saw = at(shop, "Saw")
    shop.press(lambda tx: amend.move_start(tx, saw, moved(saw.start_us, -5)))
    now = shop.now(saw)
    assert (now.start_sure, now.end_sure) == (Certainty.AMENDED, Certainty.PRESSED)
    assert shop.floor.labour[saw.id] == 45 * MINUTE_US


def test_marks_made_by_the_end_move_with_it(shop: Shop) -> None:
    saw = at(shop, "Saw")
    shop.press(lambda tx: amend.move_end(tx, saw, moved(ended(saw), -10)))
    marks = [t for t in shop.floor.all(Tally) if t.step_id == saw.step_id]
    assert {t.at_us for t in marks} == {moved(saw.start_us, 30)}
    assert {t.how for t in marks} == {MarkedBy.NEXT}


def test_what_is_in_the_way_gives_way_where_that_is_wanted(shop: Shop) -> None:
    saw, bevel = at(shop, "Saw"), at(shop, "Bevel")
    earlier = moved(bevel.start_us, -5)
    assert amend.giving_way(shop.floor, bevel, start_us=earlier) == (saw,)
    shop.press(lambda tx: amend.move_start(tx, bevel, earlier, others_give_way=True))
    assert shop.now(saw).end_us == shop.now(bevel).start_us == earlier
    assert shop.now(saw).end_sure is Certainty.AMENDED
    assert_sound(shop.floor, shop.clock.now_us)


def test_what_lies_within_gives_no_way(shop: Shop) -> None:
    saw, bevel = at(shop, "Saw"), at(shop, "Bevel")
    before = moved(saw.start_us, -1)
    assert amend.giving_way(shop.floor, bevel, start_us=before) == ()
    with pytest.raises(Refusal, match="Saw is worked by hand from 21:00 to 21:40"):
        shop.press(lambda tx: amend.move_start(tx, bevel, before, others_give_way=True))


def test_an_end_for_what_runs_stops_it_then(shop: Shop) -> None:
    running = shop.press(lambda tx: begin.begin(tx, shop.step("Scales")))
    shop.clock.on(70)
    shop.press(lambda tx: amend.move_end(tx, running, moved(running.start_us, 25)))
    assert shop.running() == {}
    assert shop.floor.labour[running.id] == 25 * MINUTE_US


NONSENSE: dict[str, tuple[str, Callable[[Shop, Transaction], object]]] = {
    "an end before the start": (
        "before it starts",
        lambda shop, tx: amend.move_end(tx, at(shop, "Saw"), moved(at(shop, "Saw").start_us, -1)),
    ),
    "an end at the start": (
        "before it starts",
        lambda shop, tx: amend.move_end(tx, at(shop, "Saw"), at(shop, "Saw").start_us),
    ),
    "an end later than now": ("later than now", lambda shop, tx: amend.move_end(tx, at(shop, "Bevel"), tx.now_us + 1)),
    "two things by the same hands": (
        "Bevel is worked by hand from 21:40 to 22:30",
        lambda shop, tx: amend.move_end(tx, at(shop, "Saw"), moved(ended(at(shop, "Saw")), 5)),
    ),
    "an end before a piece was done": (
        "A was done at 22:00, after that end",
        lambda shop, tx: amend.move_end(tx, at(shop, "Bevel"), moved(at(shop, "Bevel").start_us, 10)),
    ),
    "a start after a piece was done": (
        "A was done at 22:00, before that start",
        lambda shop, tx: amend.move_start(tx, at(shop, "Bevel"), moved(at(shop, "Bevel").start_us, 30)),
    ),
    "a piece taken out that was done in it": (
        "A was done in it",
        lambda shop, tx: amend.use_pieces(tx, at(shop, "Bevel"), shop.pieces("BC")),
    ),
    "no piece at all": ("One piece has to stay", lambda shop, tx: amend.use_pieces(tx, at(shop, "Saw"), ())),
    "done again without a cause": (
        "names the step",
        lambda shop, tx: amend.use_work(tx, at(shop, "Saw"), WorkKind.REWORK),
    ),
    "a split outside": (
        "between its start and its end",
        lambda shop, tx: amend.split_at(tx, at(shop, "Saw"), at(shop, "Saw").start_us),
    ),
    "no next one to join": ("No more of Saw comes after it", lambda shop, tx: amend.join_next(tx, at(shop, "Saw"))),
    "work added where hands were busy": (
        "Saw is worked by hand",
        lambda shop, tx: amend.add(
            tx, shop.step("Scales"), moved(at(shop, "Saw").start_us, 5), moved(at(shop, "Saw").start_us, 9)
        ),
    ),
}


@pytest.mark.parametrize(("sentence", "rule"), NONSENSE.values(), ids=NONSENSE)
def test_what_makes_no_sense_is_refused_with_a_sentence_and_changes_nothing(
    shop: Shop, sentence: str, rule: Callable[[Shop, Transaction], object]
) -> None:
    before = list(shop.floor.all(Interval)), list(shop.floor.all(Tally))
    with pytest.raises(Refusal, match=sentence) as refused:
        shop.press(lambda tx: rule(shop, tx))
    assert str(refused.value).endswith("Nothing was changed.")
    assert (list(shop.floor.all(Interval)), list(shop.floor.all(Tally))) == before


def test_a_piece_is_not_in_a_wait_and_at_work_in_its_strand(shop: Shop) -> None:
    wait = shop.press(lambda tx: begin.begin(tx, shop.step("Temper"), shop.pieces("AB")))
    with pytest.raises(Refusal, match="A is at Bevel from 21:40 to 22:30"):
        shop.press(lambda tx: amend.move_start(tx, wait, moved(wait.start_us, -40)))
    shop.press(lambda tx: amend.move_start(tx, wait, moved(wait.start_us, -20)))
    assert shop.now(wait).start_us == ended(at(shop, "Bevel"))


def test_a_lost_piece_is_not_worked_on_after_its_loss(shop: Shop) -> None:
    shop.press(lambda tx: pieces.end_piece(tx, shop.piece("C"), Outcome.SCRAPPED, shop.step("Bevel"), "dropped"))
    shop.clock.on(20)
    bevel = at(shop, "Bevel")
    with pytest.raises(Refusal, match="C was out of the work at 22:50"):
        shop.press(lambda tx: amend.move_end(tx, bevel, moved(ended(bevel), 25)))


def test_what_runs_is_not_let_run_with_a_piece_that_is_finished(shop: Shop) -> None:
    other = shop.new_batch(1)
    shop.press(lambda tx: begin.begin(tx, shop.step("Temper", other)))
    waits = shop.runs("Temper")
    shop.press(lambda tx: close_batch(tx, shop.batch, {}, ""))
    with pytest.raises(Refusal, match="A was finished at 22:50, and this still runs"):
        shop.press(lambda tx: amend.use_step(tx, waits, shop.step("Temper")))
    shop.clock.on(5)
    shop.press(lambda tx: amend.move_end(tx, waits, tx.now_us))
    shop.press(lambda tx: amend.use_step(tx, shop.now(waits), shop.step("Temper")))


def test_hands_are_shared_where_both_stretches_say_so(shop: Shop) -> None:
    saw, bevel = at(shop, "Saw"), at(shop, "Bevel")
    for interval in (saw, bevel):
        shop.press(lambda tx, interval=interval: amend.share_hands(tx, interval, together=True))  # type: ignore[misc]  # bound now
    scales = shop.press(lambda tx: amend.add(tx, shop.step("Scales"), moved(ended(bevel), 1), moved(ended(bevel), 11)))
    shop.press(lambda tx: amend.share_hands(tx, scales, together=True))
    shop.press(lambda tx: amend.move_start(tx, scales, moved(ended(bevel), -10)))
    assert_sound(shop.floor, shop.clock.now_us)
    with pytest.raises(Refusal, match="by hand"):
        shop.press(lambda tx: amend.share_hands(tx, scales, together=False))


def test_another_step_takes_marks_method_and_kind_along(shop: Shop) -> None:
    bevel, scales = at(shop, "Bevel"), shop.step("Scales")
    shop.press(lambda tx: amend.use_step(tx, bevel, scales))
    now = shop.now(bevel)
    assert (now.step_id, now.stage_id, now.method_id, now.pieces) == (scales.id, scales.stage_id, None, bevel.pieces)
    assert through(shop.floor, shop.batch.id)[scales.id] == {shop.piece("A").id}
    assert shop.piece("A").id not in through(shop.floor, shop.batch.id)[shop.step("Bevel").id]


def test_another_batch_means_the_pieces_with_the_same_marks(shop: Shop) -> None:
    other = shop.new_batch(2)
    bevel = at(shop, "Bevel")
    shop.press(lambda tx: amend.use_step(tx, bevel, shop.step("Bevel", other)))
    now = shop.now(bevel)
    assert (now.batch_id, now.pieces) == (other.id, shop.pieces("AB", other))
    assert bevel.id not in {i.id for i in shop.floor.of_batch(Interval, shop.batch.id)}
    assert through(shop.floor, other.id)[shop.step("Bevel", other).id] == {shop.piece("A", other).id}
    assert_sound(shop.floor, shop.clock.now_us)


def test_method_kind_and_purpose_change_in_place(shop: Shop) -> None:
    bevel = at(shop, "Bevel")
    jig = next(m for m in shop.floor.all(Method) if m.name == "jig")
    shop.press(lambda tx: amend.use_method(tx, bevel, jig.id))
    shop.press(lambda tx: amend.use_work(tx, bevel, WorkKind.REWORK, shop.step("Saw")))
    shop.press(lambda tx: amend.use_kind(tx, bevel, Kind.WATCH))
    now = shop.now(bevel)
    assert (now.method_id, now.work, now.cause_step_id, now.kind) == (
        jig.id,
        WorkKind.REWORK,
        shop.step("Saw").id,
        Kind.WATCH,
    )


def test_a_split_keeps_every_share_and_the_marks_on_their_side(shop: Shop) -> None:
    bevel = at(shop, "Bevel")
    shares = dict(shop.floor.shares[bevel.id])
    later = shop.press(lambda tx: amend.split_at(tx, bevel, moved(bevel.start_us, 10)))
    assert (later.continues_id, later.start_sure) == (bevel.id, Certainty.AMENDED)
    assert [t.piece_id for t in shop.floor.hands.done_in(later)] == [shop.piece("A").id]
    both = [dict(shop.floor.shares[i]) for i in (bevel.id, later.id)]
    assert {p: both[0][p] + both[1][p] for p in bevel.pieces} == shares


def test_split_and_joined_again_is_as_before_but_for_its_number(shop: Shop) -> None:
    bevel = at(shop, "Bevel")
    shares = shop.floor.shares[bevel.id]
    shop.press(lambda tx: amend.split_at(tx, bevel, moved(bevel.start_us, 10)))
    shop.press(lambda tx: amend.join_next(tx, shop.now(bevel)))
    assert shop.now(bevel) == bevel
    assert shop.floor.shares[bevel.id] == shares


def test_what_differs_is_not_joined(shop: Shop) -> None:
    bevel = at(shop, "Bevel")
    later = shop.press(lambda tx: amend.split_at(tx, bevel, moved(bevel.start_us, 10)))
    shop.press(lambda tx: amend.use_pieces(tx, later, shop.pieces("AB")))
    with pytest.raises(Refusal, match="The next one has other pieces"):
        shop.press(lambda tx: amend.join_next(tx, shop.now(bevel)))


def test_taken_away_goes_with_its_marks_and_comes_back_by_undo(shop: Shop) -> None:
    bevel = at(shop, "Bevel")
    marks = shop.floor.hands.done_in(bevel)
    shop.press(lambda tx: amend.remove(tx, bevel))
    assert shop.floor.find(Interval, bevel.id) is None
    assert shop.floor.find(Tally, marks[0].id) is None
    shop.undo()
    assert shop.now(bevel) == bevel
    assert shop.floor.hands.done_in(bevel) == marks


def test_added_work_covers_who_can_have_been_there(shop: Shop) -> None:
    start = moved(ended(at(shop, "Bevel")), 2)
    added = shop.press(lambda tx: amend.add(tx, shop.step("Glue"), start, moved(start, 10)))
    assert added.pieces == shop.pieces("ABC")
    assert (added.start_sure, added.end_sure) == (Certainty.AMENDED, Certainty.AMENDED)
    assert shop.floor.labour[added.id] == 10 * MINUTE_US


def test_shop_work_can_be_added_and_has_neither_pieces_nor_step(shop: Shop) -> None:
    stage = next(s for s in shop.floor.all(type(shop.stage("Saw"))) if s.shop_work)
    start = moved(ended(at(shop, "Bevel")), 2)
    added = shop.press(lambda tx: amend.add_shop_work(tx, stage, start, moved(start, 10)))
    assert (added.step_id, added.pieces) == (None, ())
    for rule in (
        lambda tx: amend.use_step(tx, added, shop.step("Saw")),
        lambda tx: amend.use_pieces(tx, added, shop.pieces("A")),
        lambda tx: amend.use_work(tx, added, WorkKind.SETUP),
    ):
        with pytest.raises(Refusal, match="Shop work"):
            shop.press(rule)


def test_marks_losses_notes_and_pairs_are_all_that_points_at_a_stretch() -> None:
    """What is taken away or joined with a stretch: a kind that points at one as well has to be told there."""
    pointing = {kind for kind in ENTITIES if "interval_id" in {field.name for field in fields(kind)}}
    assert pointing == {Tally, Leaving, Note, ImportRow, Both}


def tell_of(shop: Shop, interval: Interval, other: Interval) -> None:
    """Have a loss, a note and a pair told of a stretch."""
    lost = Leaving(piece_id=1, step_id=interval.step_id, interval_id=interval.id, at_us=interval.start_us, in_hand=True)
    shop.press(lambda tx: tx.add(lost))
    shop.press(lambda tx: tx.add(Note(interval_id=interval.id, text="worn belt", at_us=interval.start_us)))
    shop.press(lambda tx: tx.add(Both(interval_id=other.id, other_id=interval.id)))


def test_losses_notes_and_pairs_go_with_a_stretch_that_is_taken_away(shop: Shop) -> None:
    bevel = at(shop, "Bevel")
    tell_of(shop, bevel, at(shop, "Saw"))
    shop.press(lambda tx: amend.remove(tx, bevel))
    assert [thing for kind in (Leaving, Note, Both) for thing in shop.floor.all(kind)] == []


def test_losses_notes_and_pairs_of_the_next_are_those_of_the_stretch_that_both_become(shop: Shop) -> None:
    bevel = at(shop, "Bevel")
    later = shop.press(lambda tx: amend.split_at(tx, bevel, moved(bevel.start_us, 10)))
    tell_of(shop, later, at(shop, "Saw"))
    shop.press(lambda tx: tx.add(Both(interval_id=bevel.id, other_id=later.id)))
    shop.press(lambda tx: amend.join_next(tx, shop.now(bevel)))
    assert [thing.interval_id for kind in (Leaving, Note) for thing in shop.floor.all(kind)] == [bevel.id, bevel.id]
    assert [(pair.interval_id, pair.other_id) for pair in shop.floor.all(Both)] == [(at(shop, "Saw").id, bevel.id)]
