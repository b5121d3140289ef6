"""What spoils: which pieces have to start what, and by when."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.work import begin, finish, pieces
from shopclock.shop.work.order_rules import Deadline, running_out
from tests.shop.workshop import MINUTE_US, Shop

HOUR_US = 60 * MINUTE_US


def found(shop: Shop) -> list[tuple[str, int, int]]:
    """What runs: marks, minutes since, minutes left."""
    now = shop.clock.now_us
    return [
        ("".join(shop.floor.marks(w.pieces)), (now - w.since_us) // MINUTE_US, (w.until_us - now) // MINUTE_US)
        for w in running_out(shop.floor, now)
    ]


def harden(shop: Shop, minutes: float = 10, marks: str | None = None) -> None:
    chosen = shop.pieces(marks) if marks else None
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden"), chosen))
    shop.clock.on(minutes)


def temper(shop: Shop, marks: str | None = None) -> None:
    chosen = shop.pieces(marks) if marks else None
    shop.press(lambda tx: begin.begin(tx, shop.step("Temper"), chosen))


def stop(shop: Shop) -> None:
    shop.press(begin.stop)


def done(shop: Shop) -> None:
    interval = shop.runs("Harden")
    shop.press(lambda tx: finish.one_done(tx, interval))


def test_it_runs_from_the_start_of_the_interval_that_did_the_first_step() -> None:
    shop = Shop()
    harden(shop, 10)
    stop(shop)
    shop.clock.on(5)
    assert found(shop) == [("ABC", 15, 45)]


def test_it_says_rule_batch_and_both_steps() -> None:
    shop = Shop()
    harden(shop)
    (within,) = running_out(shop.floor, shop.clock.now_us)
    assert isinstance(within, Deadline)
    assert (within.batch, within.first.name, within.then.name) == (shop.batch, "Harden", "Temper")
    assert within.rule.limit_us == HOUR_US == within.until_us - within.since_us


def test_a_mark_of_its_own_counts_for_each_piece_and_the_soonest_stands_first() -> None:
    shop = Shop()
    harden(shop, 10)
    done(shop)
    shop.clock.on(10)
    done(shop)
    shop.clock.on(5)
    assert found(shop)[:2] == [("C", 25, 35), ("A", 15, 45)]
    assert ("B", 5, 55) in found(shop)


def test_what_was_moved_on_together_stands_together() -> None:
    shop = Shop()
    harden(shop, 10)
    shop.press(lambda tx: finish.all_through(tx, shop.step("Harden"), shop.pieces("ABC")))
    stop(shop)
    shop.clock.on(7)
    assert found(shop) == [("ABC", 7, 53)]


def test_it_goes_on_after_the_limit_and_says_by_how_much() -> None:
    shop = Shop()
    harden(shop, 10)
    stop(shop)
    shop.clock.on(80)
    assert found(shop) == [("ABC", 90, -30)]


def test_it_ends_for_the_pieces_that_start_the_step_asked_for() -> None:
    shop = Shop()
    harden(shop)
    stop(shop)
    temper(shop, "AB")
    assert found(shop) == [("C", 10, 50)]


def test_it_stays_ended_when_the_step_asked_for_is_over() -> None:
    shop = Shop()
    harden(shop)
    temper(shop)
    shop.clock.on(150)
    shop.press(lambda tx: finish.out(tx, shop.runs("Temper")))
    assert found(shop) == []


def test_a_lost_piece_no_longer_spoils() -> None:
    shop = Shop()
    harden(shop)
    stop(shop)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Harden"), "cracked"))
    assert found(shop) == [("AC", 10, 50)]


def test_hardened_again_it_runs_again() -> None:
    shop = Shop()
    harden(shop)
    temper(shop)
    shop.clock.on(150)
    shop.press(lambda tx: finish.out(tx, shop.runs("Temper")))
    shop.clock.on(1)
    shop.press(lambda tx: pieces.rework(tx, shop.piece("B"), shop.step("Harden"), shop.step("Harden")))
    shop.clock.on(12)
    stop(shop)
    assert found(shop) == [("B", 12, 48)]


def test_set_up_hardens_nothing() -> None:
    shop = Shop()
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden"), work=WorkKind.SETUP))
    shop.clock.on(20)
    assert found(shop) == []


def one_by_one(shop: Shop) -> None:
    step = shop.step("Harden")
    shop.press(lambda tx: tx.change(replace(tx.current(step), one_by_one=True)))


def marked(shop: Shop) -> None:
    done(shop)
    stop(shop)


@pytest.mark.parametrize(
    ("then", "expected"),
    [
        pytest.param(lambda _: None, [], id="those in hand are not hardened yet"),
        pytest.param(stop, [("ABC", 10, 50)], id="nobody marked: all were hardened"),
        pytest.param(marked, [("A", 0, 60)], id="one marked: the others were not"),
    ],
)
def test_one_by_one(then: Callable[[Shop], None], expected: list[tuple[str, int, int]]) -> None:
    shop = Shop()
    one_by_one(shop)
    harden(shop)
    then(shop)
    assert found(shop) == expected


def test_a_skipped_step_is_not_asked_for() -> None:
    shop = Shop()
    harden(shop)
    stop(shop)
    step = shop.step("Temper")
    shop.press(lambda tx: tx.change(replace(tx.current(step), state="skipped")))
    assert found(shop) == []


def test_undo_brings_it_back() -> None:
    shop = Shop()
    harden(shop)
    stop(shop)
    temper(shop)
    assert found(shop) == []
    shop.undo()
    assert found(shop) == [("ABC", 10, 50)]


def test_what_begins_later_does_not_run_yet() -> None:
    shop = Shop()
    before = shop.clock.now_us
    shop.clock.on(1)
    harden(shop)
    assert running_out(shop.floor, before) == ()
