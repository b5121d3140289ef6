"""A wait goes on as it was when somebody is taken out of it, and begins for whoever comes to it later."""

from dataclasses import replace

import pytest

from shopclock.shop.state.shop_floor import Memo, began_us, since_us
from shopclock.shop.values.entities import Interval, Piece, Step
from shopclock.shop.values.kinds import RuleKind
from shopclock.shop.work import amend, begin, finish, pieces
from shopclock.shop.work.order_rules import rules_of, running_out
from shopclock.shop.work.piece_progress import ready_at
from tests.shop.workshop import MINUTE_US, Shop


@pytest.fixture
def shop() -> Shop:
    return Shop(5)


def ready_min(shop: Shop, since: int) -> float:
    (wait,) = shop.floor.running.values()
    at_us = ready_at(shop.floor, wait)
    assert at_us is not None
    return (at_us - since) / MINUTE_US


def temper(shop: Shop, marks: str = "ABCDE") -> Interval:
    return shop.press(lambda tx: begin.begin(tx, shop.step("Temper"), shop.pieces(marks)))


@pytest.mark.parametrize("how", ["lost", "set aside", "letters"])
def test_who_is_taken_out_of_a_wait_doesnt_make_the_others_wait_anew(shop: Shop, how: str) -> None:
    began = temper(shop).start_us
    for minutes, mark in ((40, "B"), (30, "D")):
        shop.clock.on(minutes)
        (wait,) = shop.floor.running.values()
        piece, left = shop.piece(mark), tuple(p for p in wait.pieces if p != shop.piece(mark).id)
        if how == "lost":
            shop.press(lambda tx, p=piece: pieces.lose(tx, p, shop.step("Temper"), "cracked"))  # type: ignore[misc]  # bound now
        elif how == "set aside":
            shop.press(lambda tx, p=piece: pieces.set_aside(tx, p))  # type: ignore[misc]  # bound now
        else:
            shop.press(lambda tx, w=wait, p=left: pieces.cover(tx, w, p))  # type: ignore[misc]  # bound now
    assert ready_min(shop, began) == 120
    (wait,) = shop.floor.running.values()
    assert since_us(shop.floor, wait) == began


def test_who_comes_to_a_wait_later_waits_as_long_as_the_others_did(shop: Shop) -> None:
    began = temper(shop, "ABC").start_us
    shop.clock.on(50)
    (wait,) = shop.floor.running.values()
    shop.press(lambda tx: pieces.cover(tx, wait, shop.pieces("ABCD")))
    assert ready_min(shop, began) == 170
    (wait,) = shop.floor.running.values()
    starts = [began_us(shop.floor, wait, shop.piece(mark).id) for mark in "AD"]
    assert starts == [began, began + 50 * MINUTE_US]


def test_what_begins_again_after_a_gap_begins_anew(shop: Shop) -> None:
    began = temper(shop).start_us
    shop.clock.on(60)
    (wait,) = shop.floor.running.values()
    later = shop.press(lambda tx: amend.split_at(tx, wait, began + 30 * MINUTE_US))
    assert ready_min(shop, began) == 120
    shop.press(lambda tx: tx.change(replace(tx.current(later), start_us=began + 45 * MINUTE_US)))
    assert ready_min(shop, began) == 165


def test_at_least_counts_from_when_the_wait_began_for_the_piece(shop: Shop) -> None:
    shop.press(lambda tx: begin.begin(tx, shop.step("Cure"), shop.pieces("AB")))
    shop.clock.on(23 * 60)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Cure"), "dropped"))
    shop.clock.on(60)
    (cure,) = shop.floor.running.values()
    shop.press(lambda tx: finish.out(tx, cure))
    shop.press(lambda tx: begin.begin(tx, shop.step("Sharpen"), shop.pieces("B")))
    assert not any("has not lasted its time" in warning for warning in shop.warnings)


def test_within_counts_from_when_the_work_began_however_often_it_was_split(shop: Shop) -> None:
    (within,) = (r for r, _, _ in rules_of(shop.floor, shop.batch) if r.kind is RuleKind.WITHIN)
    harden = shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    shop.clock.on(10)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Harden"), "cracked"))
    shop.clock.on(10)
    shop.press(begin.stop)
    (runs,) = running_out(shop.floor, shop.clock.now_us)
    assert (runs.rule, runs.since_us) == (within, harden.start_us)
    assert [shop.floor.get(Piece, p).mark for p in runs.pieces] == list("ACDE")


def test_a_memo_is_emptied_by_the_next_change_or_by_the_next_of_its_kinds(shop: Shop) -> None:
    every, of_steps = Memo[int, str](), Memo[int, str](Step)
    shop.floor.memo(every)[1] = shop.floor.memo(of_steps)[1] = "worked out"
    shop.floor.put(shop.piece("A"))
    assert (shop.floor.memo(every), shop.floor.memo(of_steps)) == ({}, {1: "worked out"})
    shop.floor.memo(every)[1] = "worked out"
    shop.floor.put(shop.step("Saw"))
    assert (shop.floor.memo(every), shop.floor.memo(of_steps)) == ({}, {})
    shop.floor.memo(every)[1] = shop.floor.memo(of_steps)[1] = "worked out"
    shop.floor.forget()
    assert (shop.floor.memo(every), shop.floor.memo(of_steps)) == ({}, {1: "worked out"})
