"""What two benches said apart and cannot be is listed alike at both: it is asked about, not settled in silence."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.shop.values.entities import Interval, Piece, Step, Tally
from shopclock.shop.work import amend, begin, finish, pieces
from tests.record.joining.several import OneBench, Shop
from tests.record.machine import MINUTE_US


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path, 2, 3, makers=2)
    yield made
    made.close()


def saw(bench: OneBench) -> Step:
    return next(step for step in bench.record.floor.steps(1) if step.name == "Saw")


def listed(bench: OneBench) -> list[Interval | Tally]:
    return bench.record.doubtful(0)


def test_an_end_before_its_start_has_no_minutes_and_is_listed(shop: Shop) -> None:
    """One bench puts the end forward, the other the start back behind it: each made sense where it was pressed."""
    one, other = shop.benches
    start = one.press(lambda tx: begin.begin(tx, saw(one)))
    shop.on(30 * MINUTE_US)
    one.press(begin.stop)
    shop.level()
    one.press(lambda tx: amend.move_end(tx, tx.floor.get(Interval, start.id), start.start_us + 10 * MINUTE_US))
    other.press(lambda tx: amend.move_start(tx, tx.floor.get(Interval, start.id), start.start_us + 20 * MINUTE_US))
    shop.level()
    for bench in shop.benches:
        (pressed,) = listed(bench)
        assert isinstance(pressed, Interval)
        assert [(us - start.start_us) // MINUTE_US for us in (pressed.start_us, pressed.end_us or 0)] == [20, 10]
        stands = bench.record.floor.get(Interval, start.id)
        assert stands.end_us == stands.start_us
        assert check(bench.path) == []
    one.press(lambda tx: amend.move_end(tx, tx.floor.get(Interval, start.id), start.start_us + 25 * MINUTE_US))
    shop.level()
    assert [listed(bench) for bench in shop.benches] == [[], []]
    assert shop.benches[1].record.floor.labour[start.id] == 5 * MINUTE_US


def test_a_mark_after_the_loss_of_its_piece_does_not_count_and_is_listed(shop: Shop) -> None:
    one, other = shop.benches
    one.press(lambda tx: begin.begin(tx, saw(one)))
    shop.level()
    shop.on(5 * MINUTE_US)
    piece = one.record.floor.get(Piece, 1)
    one.press(lambda tx: pieces.lose(tx, piece, saw(one), "cracked"))
    shop.on(5 * MINUTE_US)
    other.press(lambda tx: finish.all_through(tx, saw(other), [piece.id]))
    shop.level()
    for bench in shop.benches:
        (pressed,) = listed(bench)
        assert isinstance(pressed, Tally)
        assert pressed.piece_id == piece.id
        assert not list(bench.record.floor.all(Tally))
        assert bench.record.doubtful(pressed.at_us + 1) == [], "what is older is not asked about for ever"
    one.undo()
    shop.level()
    assert [listed(bench) for bench in shop.benches] == [[], []]
    assert [t.piece_id for t in other.record.floor.all(Tally)] == [piece.id]


def test_two_marks_of_one_piece_are_not_listed(shop: Shop) -> None:
    """The earlier counts, and that is all there is to it."""
    for bench in shop.benches:
        bench.press(lambda tx, b=bench: finish.all_through(tx, saw(b), [1]))
        shop.on(MINUTE_US)
    shop.level()
    assert [len(list(bench.record.floor.all(Tally))) for bench in shop.benches] == [1, 1]
    assert [listed(bench) for bench in shop.benches] == [[], []]
