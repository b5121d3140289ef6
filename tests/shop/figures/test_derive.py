"""Labour and shares of what a press touched are those that all would have, worked out anew."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shopclock.shop.figures.derive import (
    Derived,
    derive,
    derived_on,
    marked_alone,
    marked_together,
    stretch_us,
    touched,
)
from shopclock.shop.state.shop_floor import Memo, ShopFloor
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Interval, Leaving, Piece, Step, Tally
from shopclock.shop.values.kinds import Certainty, Kind, MarkedBy, WorkKind
from shopclock.shop.work import amend, begin, finish
from tests.shop.workshop import Shop

HAND, WATCH, WAIT = Kind.HANDS_ON, Kind.WATCH, Kind.WAIT


def work(number: int, start: int, end: int | None, **other: Any) -> Interval:
    """An interval of batch 1 by maker 1, at no step unless told."""
    plain = {
        "batch_id": 1, "step_id": None, "stage_id": 1, "maker_id": 1, "method_id": None, "kind": HAND,
        "work": WorkKind.RUN,
        "cause_step_id": None, "start_us": start, "end_us": end, "start_sure": Certainty.PRESSED,
        "end_sure": Certainty.PRESSED, "continues_id": None, "together": True, "shop_c": None, "load_id": None,
        "pieces": (),
    }  # fmt: skip
    return Interval(id=number, uuid="", **(plain | other))


def put(floor: ShopFloor, *things: Interval | Tally | Leaving | Piece | Step) -> ShopFloor:
    for thing in things:
        floor.put(thing)
    return floor


@pytest.fixture
def shop() -> Shop:
    """Its batch has pieces 1, 2 and 3, marked A, B and C; bevelling is one by one, sawing is in rounds."""
    shop = Shop(3)
    assert shop.pieces("ABC") == (1, 2, 3)
    return shop


def at(shop: Shop, step: str, number: int, start: int, end: int | None, marks: str, **other: Any) -> Interval:
    return work(number, start, end, step_id=shop.step(step).id, pieces=shop.pieces(marks), **other)


def marked(shop: Shop, number: int, mark: str, interval: Interval, at_us: int, rules: int = 1) -> Tally:
    """A mark; by the rules of version 1, so that a few microseconds from the next it stands alone."""
    assert interval.step_id is not None
    return Tally(
        id=number, uuid="", step_id=interval.step_id, piece_id=shop.piece(mark).id, interval_id=interval.id,
        at_us=at_us, how=MarkedBy.DONE, rules=rules,
    )  # fmt: skip


def lost(shop: Shop, number: int, mark: str, interval: Interval, at_us: int, *, in_hand: bool = True) -> Leaving:
    assert interval.step_id is not None
    return Leaving(
        id=number, uuid="", piece_id=shop.piece(mark).id, step_id=interval.step_id, interval_id=interval.id,
        at_us=at_us, in_hand=in_hand,
    )  # fmt: skip


BESIDE = (
    work(1, 0, 10), work(2, 0, 11), work(3, 19, 30), work(4, 20, 30), work(5, 12, 13), work(6, 0, 90),
    work(7, 10, 20, maker_id=2), work(8, 10, 20, kind=WAIT), work(9, 10, 20, kind=WATCH),
    work(11, 19, None), work(12, 20, None), work(13, 5, None, kind=WAIT), work(14, 5, None, maker_id=2),
)  # fmt: skip


@pytest.mark.parametrize(
    ("interval", "numbers"),
    [
        pytest.param(work(99, 10, 20), {2, 3, 5, 6, 9, 11, 99}, id="what touches shares no instant"),
        pytest.param(work(99, 10, None), {2, 3, 4, 5, 6, 9, 11, 12, 99}, id="what runs lasts on"),
        pytest.param(work(99, 10, 20, kind=WATCH), {2, 3, 5, 6, 9, 11, 99}, id="a watch takes of the same hands"),
        pytest.param(work(99, 10, 20, kind=WAIT), {99}, id="a wait takes of nobody's"),
        pytest.param(work(99, 10, 20, maker_id=2), {7, 14, 99}, id="another maker's hands"),
    ],
)
def test_a_press_touches_what_shares_an_instant_of_the_same_hands(interval: Interval, numbers: set[int]) -> None:
    assert touched(put(ShopFloor(), *BESIDE), [Change(None, interval)]) == numbers
    assert touched(put(ShopFloor(), *BESIDE), [Change(interval, None)]) == numbers


def test_a_press_touches_what_was_beside_it_before_and_what_is_now() -> None:
    floor = put(ShopFloor(), work(1, 0, 10), work(2, 40, 50), work(3, 20, 30))
    moved = Change(work(9, 5, 15), work(9, 35, 45))
    assert touched(floor, [moved]) == {1, 2, 9}
    assert touched(floor, [Change(None, work(9, 5, 6)), Change(None, work(8, 45, 46))]) == {1, 2, 8, 9}


def test_a_press_touches_the_whole_chain_of_what_it_touches() -> None:
    chain = [work(1, 0, 10), work(2, 10, 20, continues_id=1), work(3, 20, 30, continues_id=2)]
    floor = put(ShopFloor(), *chain, work(4, 40, 50), work(5, 50, 60, continues_id=4), work(6, 70, 80, continues_id=77))
    for one in chain:
        assert touched(floor, [Change(one, one)]) == {1, 2, 3}
    assert touched(floor, [Change(None, work(9, 45, 47))]) == {4, 5, 9}
    assert touched(floor, [Change(work(9, 90, 95, continues_id=4), None)]) == {4, 5, 9}
    assert touched(floor, [Change(None, work(6, 70, 80, continues_id=77))]) >= {6}


def test_a_mark_touches_what_it_was_made_in_and_what_was_beside_that(shop: Shop) -> None:
    bevels = [at(shop, "Bevel", 1, 0, 10, "A"), at(shop, "Bevel", 2, 10, 20, "A", continues_id=1)]
    floor = put(shop.floor, *bevels, work(3, 15, 25), work(4, 20, 30))
    mark = marked(shop, 1, "A", bevels[1], 12)
    assert touched(floor, [Change(None, mark)]) == {1, 2, 3}
    assert touched(floor, [Change(mark, None)]) == {1, 2, 3}
    assert touched(floor, [Change(None, replace(mark, interval_id=None))]) == set()
    assert touched(floor, [Change(shop.piece("A"), replace(shop.piece("A"), number="7"))]) == set()


def test_moving_a_mark_can_move_a_microsecond_of_what_ran_at_the_same_time() -> None:
    """Both at once for 20: a mark at 10 leaves nothing over, one at 7 leaves one over in each of the two parts."""
    shop = Shop(1)
    other = shop.new_batch(1)
    bevels = shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel", other), together=True))
    shop.clock.on(us=10)
    shop.press(lambda tx: finish.one_done(tx, shop.now(bevels)))
    shop.clock.on(us=10)
    shop.press(begin.stop)
    assert list(shop.floor.labour.values()) == [10, 10]
    mark = next(shop.floor.all(Tally))
    shop.press(lambda tx: amend.move_mark(tx, mark, mark.at_us - 3))
    assert list(shop.floor.labour.values()) == [4 + 7, 3 + 6]
    assert shop.floor.labour == shop.all_anew().labour
    assert shop.floor.shares == shop.all_anew().shares


def test_what_ran_beside_takes_its_share_and_is_not_told_unasked(shop: Shop) -> None:
    """A and B for 30, from 20 on with C beside them: 20, and two thirds of 10."""
    floor = put(shop.floor, at(shop, "Saw", 1, 0, 30_000, "AB"), at(shop, "Bevel", 2, 21_000, 60_000, "C"))
    assert derive(floor, [1]) == Derived({1: 27_000}, {1: ((1, 13_500), (2, 13_500))})
    assert derive(floor, [2]) == Derived({2: 33_000}, {2: ((3, 33_000),)})
    assert derive(floor, [1, 2, 77]) == Derived(
        {1: 27_000, 2: 33_000}, {1: ((1, 13_500), (2, 13_500)), 2: ((3, 33_000),)}
    )


def test_what_runs_counts_until_an_instant_given_or_only_takes_its_share(shop: Shop) -> None:
    floor = put(shop.floor, at(shop, "Saw", 1, 0, 30, "A"), at(shop, "Bevel", 2, 20, None, "C"))
    assert derive(floor, [1, 2]) == Derived({1: 25}, {1: ((1, 25),)})
    assert derive(floor, [2], until_us=44) == Derived({2: 19}, {2: ((3, 19),)})


def test_makers_do_not_share_their_hands_and_work_of_the_shop_is_no_piece_s(shop: Shop) -> None:
    sweeping = work(3, 10, 20, batch_id=None)
    floor = put(shop.floor, at(shop, "Saw", 1, 0, 30, "A"), at(shop, "Saw", 2, 0, 30, "B", maker_id=2), sweeping)
    assert derive(floor, [1, 2, 3]) == Derived({1: 25, 2: 30, 3: 5}, {1: ((1, 25),), 2: ((2, 30),)})


def test_a_stretch_goes_over_the_links_of_a_chain_whichever_of_them_are_asked_for(shop: Shop) -> None:
    links = [at(shop, "Bevel", 1, 0, 10, "AB"), at(shop, "Bevel", 2, 10, 30, "AB", continues_id=1)]
    floor = put(shop.floor, *links, marked(shop, 1, "B", links[1], 16))
    assert derive(floor, [1]) == Derived({1: 10}, {1: ((1, 0), (2, 10))})
    assert derive(floor, [2]) == Derived({2: 20}, {2: ((1, 14), (2, 6))})


def test_in_rounds_a_mark_moves_nobodys_minutes(shop: Shop) -> None:
    sawing = at(shop, "Saw", 1, 0, 10, "AB")
    floor = put(shop.floor, sawing, marked(shop, 1, "B", sawing, 4))
    assert derive(floor, [1]).shares == {1: ((1, 5), (2, 5))}
    assert marked_together(floor, sawing) == []


@pytest.mark.parametrize(
    ("a_us", "b_us", "first", "second"),
    [
        pytest.param(4, 12, ((1, 4), (2, 6)), ((1, 4), (2, 6)), id="by when they were made"),
        pytest.param(10, 10, ((1, 0), (2, 10)), ((1, 5), (2, 5)), id="at one instant by their press"),
    ],
)
def test_marks_count_by_when_they_were_made_then_by_their_press(
    shop: Shop, a_us: int, b_us: int, first: tuple[Any, ...], second: tuple[Any, ...]
) -> None:
    """A's mark is in the first link and was pressed later than B's, in the second. Both done, the rest is halved."""
    links = [at(shop, "Bevel", 1, 0, 10, "AB"), at(shop, "Bevel", 2, 10, 20, "AB", continues_id=1)]
    marks = [marked(shop, 5, "A", links[0], a_us), marked(shop, 3, "B", links[1], b_us)]
    assert derive(put(shop.floor, *links, *marks), [1, 2]).shares == {1: first, 2: second}


def test_marks_far_apart_in_two_links_stand_alone_whichever_was_pressed_first(shop: Shop) -> None:
    """Sorted by press, B's at 90 s would come before A's at 30 s and the two share 45 s each."""
    links = [
        at(shop, "Bevel", 1, 0, 40_000_000, "AB"),
        at(shop, "Bevel", 2, 40_000_000, 90_000_000, "AB", continues_id=1),
    ]
    marks = [marked(shop, 5, "A", links[0], 30_000_000, 2), marked(shop, 3, "B", links[1], 90_000_000, 2)]
    shares = derive(put(shop.floor, *links, *marks), [1, 2]).shares
    assert shares == {1: ((1, 30_000_000), (2, 10_000_000)), 2: ((1, 0), (2, 50_000_000))}


@pytest.mark.parametrize(
    ("minutes", "apart_us", "rules", "shares"),
    [
        pytest.param(None, 20_000_000, 2, (30_000_000, 30_000_000), id="20 s apart they share"),
        pytest.param(None, 20_000_001, 2, (40_000_000, 20_000_001), id="further apart each has its own"),
        pytest.param(1, 15_000_000, 2, (27_500_000, 27_500_000), id="a quarter of what the route says of a piece"),
        pytest.param(1, 15_000_001, 2, (40_000_000, 15_000_001), id="more than a quarter"),
        pytest.param(None, 20_000_000, 1, (40_000_000, 20_000_000), id="marked by version 1 each has its own"),
    ],
)
def test_marks_that_follow_closely_share_by_the_rules_that_they_were_made_by(
    shop: Shop, minutes: int | None, apart_us: int, rules: int, shares: tuple[int, int]
) -> None:
    """A's mark is version 2's, B's the one told."""
    step = replace(shop.step("Bevel"), minutes_us=minutes and minutes * 60_000_000)
    bevel = at(shop, "Bevel", 1, 0, 40_000_000 + apart_us, "AB")
    first, then = marked(shop, 1, "A", bevel, 40_000_000, 2), marked(shop, 2, "B", bevel, 40_000_000 + apart_us, rules)
    floor = put(shop.floor, step, bevel, first, then)
    assert tuple(us for _, us in derive(floor, [1]).shares[1]) == shares
    together = shares[0] != 40_000_000
    assert marked_together(floor, bevel) == ([[first, then]] if together else [[first], [then]])
    alone = frozenset[tuple[int, int]]() if together else {(step.id, 1), (step.id, 2)}
    assert marked_alone(floor, shop.batch.id) == alone


def test_a_loss_claims_the_stretch_over_the_links_of_a_chain_where_it_was_in_hand(shop: Shop) -> None:
    links = [at(shop, "Bevel", 1, 0, 10, "ABC"), at(shop, "Bevel", 2, 10, 30, "AC", continues_id=1)]
    floor = put(shop.floor, *links, lost(shop, 1, "B", links[0], 10), marked(shop, 1, "C", links[1], 16))
    assert derive(floor, [1, 2]).shares == {1: ((1, 0), (2, 10), (3, 0)), 2: ((1, 14), (3, 6))}
    floor.put(lost(shop, 1, "B", links[0], 10, in_hand=False))
    assert derive(floor, [1, 2]).shares == {1: ((1, 0), (2, 0), (3, 10)), 2: ((1, 14), (3, 6))}
    floor.drop(lost(shop, 1, "B", links[0], 10, in_hand=False))
    assert floor.hands.lost_in(links[0]) == []


def test_a_loss_within_an_interval_ends_a_part_of_it(shop: Shop) -> None:
    """Where its end was amended afterwards: from 0 to 10, B lost at 4, nobody done: 4, then all three share."""
    bevel = at(shop, "Bevel", 1, 0, 10, "ABC")
    floor = put(shop.floor, bevel, lost(shop, 1, "B", bevel, 4))
    assert derive(floor, [1]).shares == {1: ((1, 2), (2, 6), (3, 2))}


def test_losses_count_by_when_they_were_and_then_by_their_press(shop: Shop) -> None:
    """The second link has the older loss; of two at one instant the one pressed first has the stretch."""
    links = [at(shop, "Bevel", 1, 0, 10, "ABC"), at(shop, "Bevel", 2, 10, 20, "ABC", continues_id=1)]
    losses = [lost(shop, 7, "A", links[0], 9), lost(shop, 5, "B", links[1], 12), lost(shop, 3, "C", links[1], 12)]
    found = derive(put(shop.floor, *links, *losses), [1, 2]).shares
    assert found == {1: ((1, 9), (2, 0), (3, 1)), 2: ((1, 3), (2, 3), (3, 4))}


def test_a_loss_touches_what_it_was_in_and_what_was_beside_that(shop: Shop) -> None:
    bevels = [at(shop, "Bevel", 1, 0, 10, "A"), at(shop, "Bevel", 2, 10, 20, "A", continues_id=1)]
    floor = put(shop.floor, *bevels, work(3, 15, 25), work(4, 20, 30))
    assert touched(floor, [Change(None, lost(shop, 1, "A", bevels[1], 12))]) == {1, 2, 3}


def test_what_a_piece_got_of_a_stretch_leaves_set_up_out_and_counts_until_now(shop: Shop) -> None:
    links = [
        at(shop, "Bevel", 1, 0, 10, "AB", work=WorkKind.SETUP),
        at(shop, "Bevel", 2, 10, 30, "AB", continues_id=1),
        at(shop, "Bevel", 3, 30, None, "A", continues_id=2),
        at(shop, "Saw", 4, 90, 99, "A"),
    ]
    floor = put(shop.floor, *links, lost(shop, 1, "B", links[1], 30))
    assert stretch_us(floor, links[2], shop.piece("B").id, 80) == 20
    assert stretch_us(floor, links[0], shop.piece("A").id, 80) == 50
    assert marked_together(floor, links[3]) == []
    assert marked_together(floor, work(5, 0, 9)) == []


def test_what_is_left_over_goes_by_the_place_of_a_mark_and_not_by_the_number_of_a_piece(shop: Shop) -> None:
    floor = put(shop.floor, replace(shop.piece("A"), position=9), at(shop, "Saw", 1, 0, 10, "ABC"))
    assert derive(floor, [1]).shares == {1: ((2, 4), (3, 3), (1, 3))}


def test_setting_derived_rows_gives_back_those_that_stood_there() -> None:
    floor = ShopFloor()
    floor.labour, floor.shares = {1: 10, 2: 20, 3: 30}, {1: ((7, 10),), 2: ((7, 20),)}
    slot: Memo[int, str] = Memo()
    floor.memo(slot)[1] = "as it was"
    new = Derived({2: 21, 4: 40}, {2: ((8, 21),), 4: ((8, 40),)})
    former = derived_on(floor, [2, 3, 4], new)
    assert former == Derived({2: 20, 3: 30}, {2: ((7, 20),)})
    assert (floor.labour, floor.memo(slot)) == ({1: 10, 2: 21, 4: 40}, {})
    assert floor.shares == {1: ((7, 10),), 2: ((8, 21),), 4: ((8, 40),)}
    assert derived_on(floor, [2, 3, 4], former) == new
    assert floor.labour == {1: 10, 2: 20, 3: 30}


def test_derived_rows_are_added_to_others_and_go_before_them() -> None:
    rows = Derived({1: 10, 2: 20}, {1: ((7, 10),)})
    rows.update(Derived({2: 21}, {1: ((8, 10),), 2: ((8, 21),)}))
    assert rows == Derived({1: 10, 2: 21}, {1: ((8, 10),), 2: ((8, 21),)})


ROW = st.tuples(
    st.sampled_from([HAND, HAND, WATCH, WAIT]), st.integers(1, 2), st.integers(0, 30), st.integers(0, 12) | st.none(),
    st.sampled_from(["A", "C", "AB", "ABC"]), st.booleans(), st.integers(-6, 12) | st.none(),
)  # fmt: skip  # kind, maker, start, length, pieces, whether it goes on from the one before, when its first was done


def laid_out(shop: Shop, rows: list[tuple[Any, ...]]) -> list[Interval]:
    """Set intervals on the floor, some going on from each other, some with a mark; returns them."""
    found: list[Interval] = []
    for number, (kind, maker, start, length, marks, goes_on, mark) in enumerate(rows, 1):
        end = None if length is None else start + length
        before = number - 1 if goes_on and number > 1 else None
        own = at(shop, "Bevel", number, start, end, marks, kind=kind, maker_id=maker, continues_id=before)
        put(shop.floor, own)
        if mark is not None:
            put(shop.floor, marked(shop, number, marks[0], own, start + mark))
        found.append(own)
    return found


@example(
    [(HAND, 2, 15, None, "AB", False, None), (HAND, 2, 13, None, "C", False, 0), (HAND, 2, 12, 0, "A", True, 2),
     (HAND, 2, 15, None, "ABC", True, None), (HAND, 2, 0, None, "A", False, None)]
)  # fmt: skip  # a mark after the end of its own stretch
@example([(HAND, 1, 7, 0, "ABC", False, -6), (HAND, 1, 0, 8, "ABC", False, None), (HAND, 1, 0, 4, "A", False, None)])
@given(st.lists(ROW, min_size=1, max_size=7))
def test_one_alone_is_worked_out_as_among_all(rows: list[tuple[Any, ...]]) -> None:
    shop = Shop(3)
    numbers = [interval.id for interval in laid_out(shop, rows)]
    every = derive(shop.floor, numbers, 50)
    for number in numbers:
        alone = derive(shop.floor, [number], 50)
        assert alone.labour == {n: us for n, us in every.labour.items() if n == number}
        assert alone.shares == {n: own for n, own in every.shares.items() if n == number}


@given(st.lists(ROW, min_size=2, max_size=7), st.integers(0, 30), st.integers(0, 12), st.booleans())
def test_what_a_press_does_not_touch_it_does_not_change(
    rows: list[tuple[Any, ...]], start: int, length: int, gone: bool
) -> None:
    """The last one is moved or taken away, as Undo does, or its mark is."""
    shop = Shop(3)
    *others, last = laid_out(shop, rows)
    numbers = [interval.id for interval in others]
    before = derive(shop.floor, numbers)
    moved = None if gone else replace(last, start_us=start, end_us=start + length)
    changes = [Change(t, None) for t in shop.floor.all(Tally) if t.id == last.id] + [Change(last, moved)]
    for change in changes:
        if change.after is not None:
            shop.floor.put(change.after)
        else:
            shop.floor.drop(change.thing)
    after, untouched = derive(shop.floor, numbers), set(numbers) - touched(shop.floor, changes)
    assert {n: before.labour.get(n) for n in untouched} == {n: after.labour.get(n) for n in untouched}
    assert {n: before.shares.get(n) for n in untouched} == {n: after.shares.get(n) for n in untouched}
