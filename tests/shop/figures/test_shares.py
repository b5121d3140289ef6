"""Whose minutes a stretch was: shared, or one by one; splits, losses, set-up, rework."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from math import lcm

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.labour import Part
from shopclock.shop.figures.shares import CATCH_UP_US, Shares, chain_shares, claims, groups, near_us
from shopclock.shop.values.entities import Interval, Leaving, Method, Tally
from shopclock.shop.values.kinds import Certainty, Kind, MarkedBy, Outcome, WorkKind
from shopclock.shop.work import acts, adjust, batches, begin, finish, pieces
from tests.shop.workshop import MINUTE_US, Shop

Minutes = dict[str, float]


def got(shop: Shop, step: str) -> Minutes:
    """Minutes of each piece at a step."""
    found: dict[str, float] = {}
    for interval in shop.floor.all(Interval):
        if interval.step_id == shop.step(step).id:
            for piece, us in shop.floor.shares.get(interval.id, ()):
                mark = shop.floor.marks([piece])[0]
                found[mark] = found.get(mark, 0) + us / MINUTE_US
    return found


def start(shop: Shop, step: str, marks: str | None = None) -> None:
    chosen = shop.pieces(marks) if marks is not None else None
    shop.press(lambda tx: begin.begin(tx, shop.step(step), chosen))


def done(shop: Shop, minutes: float, mark: str | None = None) -> None:
    shop.clock.on(minutes)
    shop.press(lambda tx: finish.one_done(tx, shop.runs(), None if mark is None else shop.piece(mark)))


def cover(shop: Shop, minutes: float, marks: str) -> None:
    shop.clock.on(minutes)
    shop.press(lambda tx: pieces.cover(tx, shop.runs(), shop.pieces(marks)))


def stop(shop: Shop, minutes: float) -> None:
    shop.clock.on(minutes)
    shop.press(begin.stop)


def test_in_rounds_all_covered_share_equally_whoever_was_done_when() -> None:
    """One by one it would be 4, 13 and 13."""
    shop = Shop(3)
    start(shop, "Saw")
    done(shop, 4)
    stop(shop, 26)
    assert got(shop, "Saw") == {"A": 10, "B": 10, "C": 10}


def test_one_by_one_with_nobody_done_all_covered_share_equally() -> None:
    shop = Shop(3)
    start(shop, "Bevel", "AB")
    cover(shop, 9, "ABC")
    stop(shop, 6)
    assert got(shop, "Bevel") == {"A": 6.5, "B": 6.5, "C": 2}


def test_one_by_one_the_stretch_up_to_a_done_belongs_to_that_piece() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    done(shop, 10)
    done(shop, 14)
    done(shop, 12)
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 10, "B": 14, "C": 12}


def test_what_is_left_at_the_end_is_shared_by_those_not_yet_done() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    done(shop, 10)
    stop(shop, 8)
    assert got(shop, "Bevel") == {"A": 10, "B": 4, "C": 4}


def test_out_of_the_order_of_marks_a_stretch_is_the_tallied_pieces_too() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    done(shop, 11, "C")
    done(shop, 5, "A")
    stop(shop, 7)
    assert got(shop, "Bevel") == {"A": 5, "B": 7, "C": 11}


def test_what_was_worked_before_a_piece_was_put_in_is_not_its_own() -> None:
    """C is the next one done, and only the 8 minutes since it was put in are its own: not 14, and none goes to D."""
    shop = Shop(4)
    start(shop, "Bevel", "AB")
    cover(shop, 6, "ABCD")
    done(shop, 8, "C")
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 3, "B": 3, "C": 8, "D": 0}


def test_what_is_left_when_all_are_done_is_shared_by_all() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    done(shop, 10)
    done(shop, 20)
    stop(shop, 6)
    assert got(shop, "Bevel") == {"A": 13, "B": 23}


def test_a_pause_begins_a_new_stretch() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    stop(shop, 6)
    shop.clock.on(600)
    shop.press(acts.carry_on)
    done(shop, 10)
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 13, "B": 3}


def test_another_method_splits_without_beginning_a_new_stretch() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.clock.on(6)
    jig = next(m for m in shop.floor.all(Method) if m.name == "jig")
    shop.press(lambda tx: adjust.use_method(tx, shop.runs(), jig))
    done(shop, 4)
    done(shop, 7)
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 10, "B": 7}
    assert len(list(shop.floor.all(Interval))) == 2


def test_when_a_piece_is_lost_the_interval_goes_on_without_it() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    shop.clock.on(9)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("C"), shop.step("Saw"), "cracked"))
    stop(shop, 4)
    assert got(shop, "Saw") == {"A": 5, "B": 5, "C": 3}


def lose(shop: Shop, minutes: float, mark: str) -> None:
    shop.clock.on(minutes)
    shop.press(lambda tx: pieces.lose(tx, shop.piece(mark), shop.step("Bevel"), "cracked"))


def bevel_four() -> Shop:
    """Four bevels: A done after 15 min, B cracks after 14 more, C and D take 15 each."""
    shop = Shop(4)
    start(shop, "Bevel")
    done(shop, 15)
    lose(shop, 14, "B")
    done(shop, 15)
    done(shop, 15)
    stop(shop, 0)
    return shop


def test_the_worked_example_of_a_piece_lost_under_the_hands() -> None:
    shop = bevel_four()
    assert got(shop, "Bevel") == {"A": 15, "B": 14, "C": 15, "D": 15}
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, {}, ""))
    bevel = next(s for s in figures(shop.floor, shop.batch.id, 0).stages if s.stage_id == shop.stage("Bevel").id)
    assert (bevel.passed, bevel.per_piece_min) == (3, 15.0)
    assert bevel.carried[Outcome.SCRAPPED] == 14 * MINUTE_US


def test_one_that_was_not_in_hand_leaves_the_stretch_to_the_next_one() -> None:
    """As a loss without a stored stretch, of version 1 of the record, does."""
    shop = bevel_four()
    shop.press(lambda tx: pieces.not_in_hand(tx, next(shop.floor.all(Leaving))))
    assert got(shop, "Bevel") == {"A": 15, "B": 0, "C": 29, "D": 15}
    shop.undo()
    assert got(shop, "Bevel") == {"A": 15, "B": 14, "C": 15, "D": 15}
    shop.press(lambda tx: tx.drop(next(shop.floor.all(Leaving))))
    assert got(shop, "Bevel") == {"A": 15, "B": 0, "C": 29, "D": 15}


def test_what_is_set_aside_under_the_hands_takes_its_stretch_and_more_when_it_is_done() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    shop.clock.on(14)
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("B")))
    done(shop, 9, "A")
    cover(shop, 0, "ABC")
    done(shop, 5, "B")
    stop(shop, 8)
    assert got(shop, "Bevel") == {"A": 9, "B": 19, "C": 8}


def test_what_is_cut_down_under_the_hands_takes_its_stretch_along() -> None:
    shop = Shop(3)
    other = shop.new_batch(1)
    start(shop, "Bevel")
    done(shop, 10)
    shop.clock.on(4)
    shop.press(lambda tx: pieces.cut_down(tx, shop.piece("B"), other))
    done(shop, 9)
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 10, "B": 4, "C": 9}


def test_a_lost_piece_that_was_through_and_what_is_lost_in_rounds_or_set_up_take_nothing_along() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    done(shop, 10)
    lose(shop, 4, "A")
    done(shop, 5)
    shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    lose(shop, 6, "C")
    assert got(shop, "Bevel") == {"A": 10, "B": 12, "C": 3}
    start(shop, "Saw", "B")
    lose(shop, 6, "B")
    assert not list(shop.floor.all(Leaving))


def test_after_stop_letters_share_the_stretch_that_stop_ended_each_dividing_it_anew() -> None:
    """A at 10; stopped at 40; C, then D, then B marked an hour later: 30, 15 each, 10 each."""
    shop = Shop(4)
    start(shop, "Bevel")
    done(shop, 10)
    stop(shop, 30)
    stopped = next(shop.floor.all(Interval))
    shop.clock.on(60)
    for mark, shares in (("C", [10, 0, 30, 0]), ("D", [10, 0, 15, 15]), ("B", [10, 10, 10, 10])):
        shop.press(lambda tx, mark=mark: finish.one_done(tx, stopped, shop.piece(mark)))
        assert list(got(shop, "Bevel").values()) == shares
    shop.press(lambda tx: finish.not_yet(tx, shop.step("Bevel"), shop.piece("C")))
    assert list(got(shop, "Bevel").values()) == [10, 15, 0, 15]


def test_a_letter_after_stop_catches_up_with_a_mark_just_before_it() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    done(shop, 29.75)
    stop(shop, 0.25)
    shop.press(lambda tx: finish.one_done(tx, next(shop.floor.all(Interval)), shop.piece("C")))
    assert got(shop, "Bevel") == {"A": 15, "B": 0, "C": 15}


def test_set_up_is_nobodys_stretch() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    shop.clock.on(8)
    shop.press(lambda tx: adjust.now_running(tx, shop.runs()))
    done(shop, 10)
    stop(shop, 2)
    assert got(shop, "Bevel") == {"A": 14, "B": 6}


def test_done_ends_set_up() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    done(shop, 10)
    assert shop.runs().work is WorkKind.RUN
    done(shop, 7)
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 5, "B": 12}


@pytest.mark.parametrize(
    ("us", "shares"), [(1, (1, 0, 0)), (2, (1, 1, 0)), (3, (1, 1, 1)), (100, (34, 33, 33)), (101, (34, 34, 33))]
)
def test_microseconds_that_do_not_divide_go_to_the_first_marks(us: int, shares: tuple[int, ...]) -> None:
    shop = Shop(3)
    start(shop, "Saw")
    shop.clock.on(us=us)
    shop.press(begin.stop)
    assert shop.floor.shares[1] == tuple(zip(shop.pieces("ABC"), shares, strict=True))


def test_both_at_once_every_piece_under_the_hands_gets_the_same() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    small = shop.new_batch(1)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", small), together=True))
    stop(shop, 40)
    assert [us / MINUTE_US for share in shop.floor.shares.values() for _, us in share] == [10, 10, 10, 10]


def interval(number: int, covered: tuple[int, ...], work: WorkKind = WorkKind.RUN) -> Interval:
    return Interval(
        id=number, uuid="", batch_id=1, step_id=1, stage_id=1, maker_id=1, method_id=None, kind=Kind.HANDS_ON,
        work=work, cause_step_id=None, start_us=0, end_us=None, start_sure=Certainty.PRESSED,
        end_sure=Certainty.PRESSED, continues_id=None, together=False, shop_c=None, load_id=None, pieces=covered,
    )  # fmt: skip


def tally(piece: int, at_us: int) -> Tally:
    return Tally(id=at_us, uuid="", step_id=1, piece_id=piece, interval_id=1, at_us=at_us, how=MarkedBy.DONE)


def shares(
    some: list[Interval],
    parts: dict[int, list[Part]],
    *marked: Tally,
    lost: tuple[tuple[int, int], ...] = (),
    near: int = -1,
) -> dict[int, Shares]:
    """Pieces are marked from the highest number down; marks this near to each other catch up."""
    return chain_shares(some, parts, claims(groups(marked, near), lost), lambda piece: -piece)


def test_what_is_left_over_goes_by_mark_whatever_the_numbers_of_the_pieces_and_their_order_in_hand() -> None:
    """11 among 7, 9 and 8, marked 9, 8, 7; of those not done, 7 and 8, the same."""
    some, parts = [interval(1, (7, 9, 8))], {1: [Part(0, 11, 11)]}
    assert shares(some, parts) == {1: ((9, 4), (8, 4), (7, 3))}
    assert shares(some, {1: [Part(0, 4, 4), Part(4, 11, 7)]}, tally(9, 4)) == {1: ((9, 4), (8, 4), (7, 3))}


def test_work_that_covers_no_piece_and_work_that_runs_have_no_shares() -> None:
    some = [interval(1, ()), interval(2, (7,)), interval(3, (7,))]
    assert shares(some, {1: [Part(0, 5, 5)], 2: [Part(5, 9, 4)]}) == {2: ((7, 4),)}


def test_a_stretch_goes_over_a_split_and_not_over_set_up() -> None:
    """From 0 to 30 by hand on 7 and 8; from 10 to 20 it was set-up; 8 was done at 25."""
    some = [interval(1, (7, 8)), interval(2, (7, 8), WorkKind.SETUP), interval(3, (7, 8))]
    parts = {1: [Part(0, 10, 10)], 2: [Part(10, 20, 10)], 3: [Part(20, 25, 5), Part(25, 30, 5)]}
    assert shares(some, parts, tally(8, 25)) == {1: ((8, 10), (7, 0)), 2: ((8, 5), (7, 5)), 3: ((8, 5), (7, 5))}


FOUR = interval(1, (4, 3, 2, 1))
"""In hand from 0 on; 4 is marked A, 3 B, 2 C, 1 D."""


def spans(*ends: int) -> list[Part]:
    """Parts of one pair of hands that end here, the first from 0."""
    return [Part(start, end, end - start) for start, end in pairwise((0, *ends))]


def test_what_is_lost_under_the_hands_takes_its_stretch_along() -> None:
    """A done after 15, B cracks after 14 more, C and D take 15 each (the record's own example of a loss)."""
    some = [FOUR, interval(2, (4, 2, 1))]
    parts = {1: spans(15, 29), 2: [Part(29, 44, 15), Part(44, 59, 15)]}
    marked = (tally(4, 15), tally(2, 44), tally(1, 59))
    assert shares(some, parts, *marked, lost=((29, 3),)) == {
        1: ((4, 15), (3, 14), (2, 0), (1, 0)),
        2: ((4, 0), (2, 15), (1, 15)),
    }
    assert shares(some, parts, *marked) == {1: ((4, 15), (3, 0), (2, 14), (1, 0)), 2: ((4, 0), (2, 15), (1, 15))}


def test_what_a_lost_piece_left_over_is_shared_by_those_not_done_and_it_is_not_done() -> None:
    """B set aside at 14 takes them along; of the 30 that are left when it is in hand again, it has its half."""
    some = [interval(1, (4, 3, 2)), interval(2, (4, 2)), interval(3, (3, 2))]
    parts = {1: spans(6, 20), 2: [Part(20, 30, 10)], 3: [Part(30, 60, 30)]}
    assert shares(some, parts, tally(4, 6), lost=((20, 3),)) == {
        1: ((4, 6), (3, 14), (2, 0)),
        2: ((4, 0), (2, 10)),
        3: ((3, 15), (2, 15)),
    }


def test_marks_that_follow_each_other_closely_share_their_stretch() -> None:
    """Three marked at 42, 43 and 45, 2 near enough to each other: 15 each. Further apart they would have 42, 1, 2."""
    marked = (tally(4, 42), tally(3, 43), tally(2, 45))
    parts = {1: spans(42, 43, 45)}
    assert shares([FOUR], parts, *marked, near=2) == {1: ((4, 15), (3, 15), (2, 15), (1, 0))}
    assert shares([FOUR], parts, *marked, near=1) == {1: ((4, 22), (3, 21), (2, 2), (1, 0))}
    assert shares([FOUR], parts, *marked, near=0) == {1: ((4, 42), (3, 1), (2, 2), (1, 0))}


def test_marks_catch_up_with_the_one_before_them_however_long_the_row_of_them() -> None:
    """At 10, 12, 14 and 16: the last is 6 from the first, and all four share."""
    marked = (tally(4, 10), tally(3, 12), tally(2, 14), tally(1, 16))
    assert shares([FOUR], {1: spans(10, 12, 14, 16)}, *marked, near=2) == {1: ((4, 4), (3, 4), (2, 4), (1, 4))}
    assert groups(marked, 2) == [list(marked)]
    assert groups(marked, 1) == [[mark] for mark in marked]


@pytest.mark.parametrize(("first", "then", "together"), [(2, 2, True), (1, 2, False), (2, 1, False), (1, 1, False)])
def test_marks_of_version_1_of_the_record_catch_up_with_none(first: int, then: int, together: bool) -> None:
    marked = [replace(tally(4, 10), rules=first), replace(tally(3, 10), rules=then)]
    assert groups(marked, 0) == ([marked] if together else [marked[:1], marked[1:]])


def test_marks_at_one_instant_share_equally_however_quick_the_stage_is() -> None:
    """So do those made after Stop, which stand at its instant."""
    marked = (tally(4, 5), tally(2, 20), tally(1, 20))
    assert shares([FOUR], {1: spans(5, 20)}, *marked, near=0) == {1: ((4, 5), (3, 0), (2, 8), (1, 7))}


def test_what_is_lost_between_marks_that_catch_up_keeps_what_was_its_own() -> None:
    """A at 10, B lost at 12, C at 13, A and C together: 11, 2 and the rest."""
    some, parts = [FOUR, interval(2, (4, 2, 1))], {1: spans(10, 12), 2: [Part(12, 13, 1), Part(13, 15, 2)]}
    found = shares(some, parts, tally(4, 10), tally(2, 13), lost=((12, 3),), near=3)
    assert found == {1: ((4, 5), (3, 2), (2, 5), (1, 0)), 2: ((4, 1), (2, 0), (1, 2))}


def test_of_those_that_catch_up_only_who_was_in_hand_had_the_stretch() -> None:
    """From 0 to 6 with A and B, then with C and D as well; at 14 A and C are marked: 6, then 4 and 4."""
    some = [interval(1, (4, 3)), interval(2, (4, 3, 2, 1))]
    parts = {1: spans(6), 2: [Part(6, 14, 8)]}
    assert shares(some, parts, tally(4, 14), tally(2, 14), near=0) == {
        1: ((4, 6), (3, 0)),
        2: ((4, 4), (3, 0), (2, 4), (1, 0)),
    }


def test_a_piece_marked_twice_has_no_double_part() -> None:
    assert shares([FOUR], {1: spans(9)}, tally(4, 8), tally(4, 9), tally(3, 9), near=1)[1][:2] == ((4, 5), (3, 4))


def test_marks_catch_up_within_20_s_or_a_quarter_of_what_a_piece_takes_if_that_is_less() -> None:
    assert CATCH_UP_US == near_us(None) == near_us(80_000_000) == near_us(900_000_000) == 20_000_000
    assert near_us(79_999_999) == 19_999_999
    assert near_us(40_000_000) == 10_000_000


def test_claims_stand_by_when_they_were_made_a_mark_before_a_loss_at_the_same_instant() -> None:
    found = claims([[tally(4, 5)], [tally(2, 9)]], ((7, 3), (9, 1)))
    assert [(claim.at_us, claim.pieces, claim.done) for claim in found] == [
        (5, (4,), True), (7, (3,), False), (9, (2,), True), (9, (1,), False),
    ]  # fmt: skip


UNITS = 24
WHOLE_US = lcm(*range(1, 5))
"""Divides by as many pieces as there are: nothing is left over."""


@st.composite
def chains(draw: st.DrawFn) -> tuple[list[tuple[int, set[int], WorkKind]], dict[int, int], dict[int, int]]:
    """Splits of a chain (from which unit, who is in hand, what for), the unit at which each piece was done, or lost."""
    starts = sorted({0, *draw(st.sets(st.integers(1, UNITS - 1), max_size=3))})
    in_hand = st.sets(st.sampled_from([1, 2, 3, 4]), min_size=1)
    splits = [(at, draw(in_hand), draw(st.sampled_from(WorkKind))) for at in starts]
    ended = draw(st.dictionaries(st.sampled_from([1, 2, 3, 4]), st.integers(1, UNITS), max_size=4))
    ended = {piece: at for piece, at in ended.items() if piece in _in_hand(splits, at - 1)[0]}
    lost = draw(st.sets(st.sampled_from([1, 2, 3, 4])))
    done_at = {piece: at for piece, at in ended.items() if piece not in lost}
    return splits, done_at, {p: at for p, at in ended.items() if p in lost and at not in done_at.values()}


def _in_hand(splits: list[tuple[int, set[int], WorkKind]], at: int) -> tuple[set[int], WorkKind]:
    return next((hand, work) for start, hand, work in reversed(splits) if start <= at)


def _together(done_at: dict[int, int], near: int, at: int) -> set[int]:
    """Return who is marked with those marked at a unit, as far as marks follow each other closely."""
    when = sorted(set(done_at.values()))
    first = last = when.index(at)
    while first and when[first] - when[first - 1] <= near:
        first -= 1
    while last + 1 < len(when) and when[last + 1] - when[last] <= near:
        last += 1
    return {piece for piece, other in done_at.items() if when[first] <= other <= when[last]}


def unit_by_unit(
    splits: list[tuple[int, set[int], WorkKind]], done_at: dict[int, int], lost_at: dict[int, int], near: int
) -> Counter[int]:
    """Whose each unit was, told of a stretch, a loss, marks that catch up, a set-up, what is left."""
    got: Counter[int] = Counter()
    for at in range(UNITS):
        hand, work = _in_hand(splits, at)
        of_it = hand
        if work is not WorkKind.SETUP:
            ends = [end for end in (*done_at.values(), *lost_at.values()) if end > at]
            following = min(ends, default=None)
            claiming = {p for p, end in lost_at.items() if end == following}
            if following in done_at.values():
                claiming = _together(done_at, near, following)
            of_it = (claiming & hand) or (hand - set(done_at)) or hand
        for piece in of_it:
            got[piece] += WHOLE_US // len(of_it)
    return got


@given(chains(), st.integers(0, 5))
def test_shares_are_what_they_are_unit_by_unit(
    chain: tuple[list[tuple[int, set[int], WorkKind]], dict[int, int], dict[int, int]], near: int
) -> None:
    splits, done_at, lost_at = chain
    lost_at = {min(p for p, at in lost_at.items() if at == end): end for end in lost_at.values()}
    cuts = sorted({UNITS, *done_at.values(), *lost_at.values(), *(start for start, *_ in splits)})
    some, parts = [], {}
    for number, (start, hand, work) in enumerate(splits):
        some.append(interval(number, tuple(hand), work))
        end = min((other for other, *_ in splits if other > start), default=UNITS)
        own = [start, *(cut for cut in cuts if start < cut <= end)]
        parts[number] = [Part(a, b, (b - a) * WHOLE_US) for a, b in pairwise(own)]
    marked = sorted((tally(piece, at) for piece, at in done_at.items()), key=lambda t: t.at_us)
    lost = tuple((at, piece) for piece, at in lost_at.items())
    found: Counter[int] = Counter()
    for own_shares in shares(some, parts, *marked, lost=lost, near=near).values():
        found.update(dict(own_shares))
    assert found.total() == UNITS * WHOLE_US
    assert +found == +unit_by_unit(splits, done_at, lost_at, near)
