"""What two benches changed apart is listed until somebody who knows of both has changed it."""

import random
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.shop.state.transaction import Rule, Transaction
from shopclock.shop.values.entities import Batch, Piece
from tests.record.joining.several import OneBench, Shop, story
from tests.record.machine import MINUTE_US


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path, 2, 3, makers=2)
    yield made
    made.close()


def number(text: str) -> Rule:
    return lambda tx: tx.change(replace(tx.floor.get(Piece, 1), number=text))


def listed(bench: OneBench) -> list[tuple[str, str, int, int]]:
    found = bench.record.changed_apart(0)
    return [(one.now.number, one.other.number, one.now_bench, one.other_bench) for one in found]


def apart(shop: Shop) -> None:
    one, other = shop.benches
    one.press(number("7"))
    shop.on(MINUTE_US)
    other.press(number("8"))
    shop.level()


def test_the_later_stands_and_both_are_listed_alike(shop: Shop) -> None:
    apart(shop)
    first, second = (bench.record.bench.id for bench in shop.benches)
    assert [listed(bench) for bench in shop.benches] == [[("8", "7", second, first)]] * 2


def test_what_was_changed_knowing_of_the_other_is_not(shop: Shop) -> None:
    one, other = shop.benches
    one.press(number("7"))
    shop.level()
    other.press(number("8"))
    shop.level()
    assert [listed(bench) for bench in shop.benches] == [[], []]


def test_one_press_picks_the_other(shop: Shop) -> None:
    apart(shop)
    one = shop.benches[0]
    (found,) = one.record.changed_apart(0)
    one.record.pick(found)
    shop.level()
    assert [listed(bench) for bench in shop.benches] == [[], []]
    assert [bench.record.floor.get(Piece, 1).number for bench in shop.benches] == ["7", "7"]
    one.undo()
    assert listed(one)[0][:2] == ("8", "7")


def test_one_press_keeps_the_later_and_the_list_is_done_with_it_at_every_bench(shop: Shop) -> None:
    apart(shop)
    for bench in shop.benches:
        (found,) = bench.record.changed_apart(0)
        bench.record.pick(found, later=True)
        shop.level()
        assert [listed(other) for other in shop.benches] == [[], []]
        assert [other.record.floor.get(Piece, 1).number for other in shop.benches] == ["8", "8"]
        assert [check(other.path) for other in shop.benches] == [[], []]
        bench.undo()
        shop.level()
        assert [len(listed(other)) for other in shop.benches] == [1, 1], "who takes the pick back is asked again"


@pytest.mark.parametrize("seed", [4, 24, 35])
def test_stories_in_which_either_is_picked_end_equal(tmp_path: Path, seed: int) -> None:
    """Everybody gives the same piece numbers all evening, and picks now and then what came apart."""
    rng, picks = random.Random(seed), 0  # noqa: S311 - no secret

    def pick(_number: int, bench: OneBench) -> None:
        nonlocal picks
        if found := bench.record.changed_apart(0):
            bench.record.pick(rng.choice(found), later=picks % 2 == 0)
            picks += 1
        else:
            bench.press(number(str(rng.randrange(9))))

    with closing(story(tmp_path, seed, presses=80, after=pick)) as shop:
        assert picks > 10, "it is about picks"
        shop.level()
        shop.assert_equal()
        assert [check(bench.path) for bench in shop.benches] == [[]] * 3


def test_different_fields_of_one_thing_go_together(shop: Shop) -> None:
    one, other = shop.benches
    one.press(number("7"))
    shop.on(MINUTE_US)
    other.press(lambda tx: tx.change(replace(tx.floor.get(Piece, 1), second=True)))
    shop.level()
    piece = one.record.floor.get(Piece, 1)
    assert (piece.number, piece.second) == ("7", True)
    assert listed(one) == []


def test_the_same_said_at_both_is_nothing_to_pick(shop: Shop) -> None:
    one, other = shop.benches
    for bench in (one, other):
        bench.press(number("7"))
    shop.level()
    assert listed(one) == []


def test_it_is_a_matter_of_batches_too(shop: Shop) -> None:
    def named(text: str) -> Rule:
        def rule(tx: Transaction) -> object:
            return tx.change(replace(tx.floor.get(Batch, 1), next_time=text))

        return rule

    one, other = shop.benches
    one.press(named("new belt"))
    shop.on(MINUTE_US)
    other.press(named("slower"))
    shop.level()
    (found,) = other.record.changed_apart(0)
    assert isinstance(found.other, Batch)
    assert found.other.next_time == "new belt"
