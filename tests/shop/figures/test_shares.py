"""Whose minutes a stretch was: shared, or one by one; splits, losses, set-up, rework."""

from collections import Counter
from itertools import pairwise
from math import lcm

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.figures.labour import Part
from shopclock.shop.figures.shares import Shares, chain_shares
from shopclock.shop.values.entities import Interval, Method, Tally
from shopclock.shop.values.kinds import Certainty, Kind, MarkedBy, WorkKind
from shopclock.shop.work import acts, adjust, begin, finish, pieces
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
    some: list[Interval], parts: dict[int, list[Part]], *marked: Tally, one_by_one: bool = True
) -> dict[int, Shares]:
    """Pieces are marked from the highest number down."""
    return chain_shares(some, parts, marked, one_by_one, lambda piece: -piece)


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


UNITS = 24
WHOLE_US = lcm(*range(1, 5))
"""Divides by as many pieces as there are: nothing is left over."""


@st.composite
def chains(draw: st.DrawFn) -> tuple[list[tuple[int, set[int], WorkKind]], dict[int, int]]:
    """Splits of a chain (from which unit, who is in hand, what for) and the unit at which each piece was done."""
    starts = sorted({0, *draw(st.sets(st.integers(1, UNITS - 1), max_size=3))})
    in_hand = st.sets(st.sampled_from([1, 2, 3, 4]), min_size=1)
    splits = [(at, draw(in_hand), draw(st.sampled_from(WorkKind))) for at in starts]
    done_at = draw(st.dictionaries(st.sampled_from([1, 2, 3, 4]), st.integers(1, UNITS), max_size=4))
    by_turn = dict(zip(sorted(done_at), draw(st.permutations(sorted(set(done_at.values())))), strict=False))
    return splits, {piece: at for piece, at in by_turn.items() if piece in _in_hand(splits, at - 1)[0]}


def _in_hand(splits: list[tuple[int, set[int], WorkKind]], at: int) -> tuple[set[int], WorkKind]:
    return next((hand, work) for start, hand, work in reversed(splits) if start <= at)


def unit_by_unit(
    splits: list[tuple[int, set[int], WorkKind]], done_at: dict[int, int], one_by_one: bool
) -> Counter[int]:
    """Whose each unit was, as record.md says it of a stretch, a set-up, what is left and a stage in rounds."""
    got: Counter[int] = Counter()
    for at in range(UNITS):
        hand, work = _in_hand(splits, at)
        ahead = [piece for piece in done_at if done_at[piece] > at]
        of_it = hand
        if one_by_one and work is not WorkKind.SETUP:
            following = min(ahead, key=done_at.__getitem__, default=None)
            of_it = {following} if following in hand else (hand - set(done_at) or hand)
        for piece in of_it:
            got[piece] += WHOLE_US // len(of_it)
    return got


@given(chains(), st.booleans())
def test_shares_are_what_they_are_unit_by_unit(
    chain: tuple[list[tuple[int, set[int], WorkKind]], dict[int, int]], one_by_one: bool
) -> None:
    splits, done_at = chain
    cuts = sorted({UNITS, *done_at.values(), *(start for start, *_ in splits)})
    some, parts = [], {}
    for number, (start, hand, work) in enumerate(splits):
        some.append(interval(number, tuple(hand), work))
        end = min((other for other, *_ in splits if other > start), default=UNITS)
        own = [start, *(cut for cut in cuts if start < cut <= end)]
        parts[number] = [Part(a, b, (b - a) * WHOLE_US) for a, b in pairwise(own)]
    marked = sorted((tally(piece, at) for piece, at in done_at.items()), key=lambda t: t.at_us)
    found: Counter[int] = Counter()
    for own_shares in shares(some, parts, *marked, one_by_one=one_by_one).values():
        found.update(dict(own_shares))
    assert +found == +unit_by_unit(splits, done_at, one_by_one)
