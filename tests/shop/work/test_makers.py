"""Two pairs of hands in one shop: each its own clock and labour, no piece in two hands."""

from collections.abc import Callable
from typing import TypeVar

import pytest

from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Bench, Interval, Maker
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work import acts, begin, finish, makers
from tests.shop.sound import assert_sound, labour_us, unions_us
from tests.shop.workshop import MINUTE_US, Shop

T = TypeVar("T")


class Two(Shop):
    """A shop where Ann and Sam work; a press is that of whom it is for."""

    def __init__(self, n: int = 4) -> None:
        super().__init__(n)
        self.bench = next(self.floor.all(Bench))
        self.sam: Maker = self.press(lambda tx: makers.add_maker(tx, "Sam", self.bench, "Ann"))
        self.ann = next(self.floor.all(Maker))

    def start(self, maker: Maker, name: str, marks: str = "") -> Interval | None:
        act = acts.start_act(self.floor, maker.id, self.step(name), self.clock.now_us, self.pieces(marks))
        return self.by(maker, lambda tx: acts.carry_out(tx, act)) if act is not None else None

    def by(self, maker: Maker, rule: Callable[[Transaction], T]) -> T:
        def as_maker(tx: Transaction) -> T:
            tx.maker_id = maker.id
            return rule(tx)

        return self.press(as_maker)

    def in_hands(self) -> dict[str, str]:
        """Who runs what with whom: Ann Bevel ABD."""
        found = sorted(self.floor.running.values(), key=lambda i: i.maker_id)
        return {
            f"{makers.name_of_maker(self.floor, i.maker_id)} {self._named(i)}": "".join(self.floor.marks(i.pieces))
            for i in found
        }


def test_a_second_maker_is_at_the_bench_at_once_and_the_first_gets_a_name() -> None:
    shop = Shop()
    bench = next(shop.floor.all(Bench))
    assert not makers.several(shop.floor)
    shop.press(lambda tx: makers.add_maker(tx, " Sam ", bench, "Ann"))
    assert [maker.name for maker in makers.here(shop.floor, bench)] == ["Ann", "Sam"]
    with pytest.raises(Refusal, match="There is sam already"):
        shop.press(lambda tx: makers.add_maker(tx, "sam", bench))
    third = shop.press(lambda tx: makers.add_maker(tx, "Kit", bench))
    assert [maker.name for maker in makers.here(shop.floor, bench)] == ["Ann", "Sam"]
    with pytest.raises(Refusal, match="2 work at this bench already"):
        shop.press(lambda tx: makers.comes(tx, bench, third))


def test_who_goes_has_stopped_and_the_last_one_stays() -> None:
    shop = Two()
    shop.start(shop.sam, "Scales")
    shop.start(shop.ann, "Saw")
    shop.clock.on(5)
    shop.press(lambda tx: makers.goes(tx, shop.bench, shop.sam))
    assert shop.in_hands() == {"Ann Saw": "ABCD"}
    assert [maker.name for maker in makers.here(shop.floor, shop.bench)] == ["Ann"]
    with pytest.raises(Refusal, match="Nobody else is at this bench"):
        shop.press(lambda tx: makers.goes(tx, shop.bench, shop.ann))
    shop.press(lambda tx: makers.takes_over(tx, shop.bench, shop.ann, shop.sam))
    assert [maker.name for maker in makers.here(shop.floor, shop.bench)] == ["Sam"]
    assert not shop.floor.running


def test_a_maker_at_work_is_not_put_away_nor_the_only_one() -> None:
    shop = Two()
    shop.start(shop.sam, "Saw")
    with pytest.raises(Refusal, match="Sam is at work: stop first"):
        shop.press(lambda tx: makers.put_maker_away(tx, shop.sam))
    shop.by(shop.sam, begin.stop)
    shop.press(lambda tx: makers.put_maker_away(tx, shop.sam))
    assert [maker.name for maker in makers.here(shop.floor, shop.bench)] == ["Ann"]
    assert makers.several(shop.floor)  # Sam's minutes are there, and have a name
    with pytest.raises(Refusal, match="no other maker"):
        shop.press(lambda tx: makers.put_maker_away(tx, shop.ann))


def test_a_maker_does_all_stages_until_one_is_left_out_and_one_at_least() -> None:
    shop = Two()
    saw, bevel = shop.stage("Saw"), shop.stage("Bevel")
    assert makers.does(shop.floor, shop.sam, saw.id)
    shop.press(lambda tx: makers.set_does(tx, shop.sam, saw, wanted=False))
    assert not makers.does(shop.floor, shop.sam, saw.id)
    assert makers.does(shop.floor, shop.sam, bevel.id)
    assert makers.does(shop.floor, shop.ann, saw.id)
    shop.press(lambda tx: makers.set_does(tx, shop.sam, saw, wanted=True))
    assert makers.stages_of(shop.floor, shop.sam) == frozenset()
    others = [
        stage
        for name in ("Saw", "Harden", "Temper", "Scales", "Glue", "Cure", "Sharpen")
        if (stage := shop.stage(name))
    ]
    for stage in others:
        shop.press(lambda tx, stage=stage: makers.set_does(tx, shop.sam, stage, wanted=False))
    with pytest.raises(Refusal, match="Sam would do nothing"):
        shop.press(lambda tx: makers.set_does(tx, shop.sam, bevel, wanted=False))


def test_two_makers_at_once_each_get_all_of_their_own_time() -> None:
    """Ann saws four blades for 20 min; Sam saws scales from the 5th minute on for 10: 20 and 10, not 25 shared."""
    shop = Two()
    shop.start(shop.ann, "Saw")
    shop.clock.on(5)
    shop.start(shop.sam, "Scales")
    shop.clock.on(10)
    shop.by(shop.sam, begin.stop)
    shop.clock.on(5)
    shop.by(shop.ann, begin.stop)
    assert labour_us(shop.floor, shop.floor.labour) == {shop.ann.id: 20 * MINUTE_US, shop.sam.id: 10 * MINUTE_US}
    assert unions_us(shop.floor, shop.clock.now_us) == {shop.ann.id: 20 * MINUTE_US, shop.sam.id: 10 * MINUTE_US}


def test_a_start_takes_nothing_out_of_another_makers_hands() -> None:
    shop = Two()
    shop.start(shop.ann, "Bevel", "AB")
    shop.clock.on(5)
    shop.start(shop.sam, "Bevel")
    assert shop.in_hands() == {"Ann Bevel": "AB", "Sam Bevel": "CD"}
    shop.by(shop.sam, begin.stop)
    shop.by(shop.ann, begin.stop)
    shop.start(shop.ann, "Bevel")
    assert shop.in_hands() == {"Ann Bevel": "ABCD"}
    assert shop.start(shop.sam, "Bevel") is None


def test_pieces_that_are_chosen_come_out_of_another_makers_hands() -> None:
    shop = Two()
    shop.start(shop.ann, "Bevel")
    shop.clock.on(6)
    shop.start(shop.sam, "Bevel", "CD")
    assert shop.in_hands() == {"Ann Bevel": "AB", "Sam Bevel": "CD"}
    shop.clock.on(4)
    shop.start(shop.sam, "Bevel", "AB")
    assert shop.in_hands() == {"Sam Bevel": "AB"}
    assert_sound(shop.floor, shop.clock.now_us)


def test_next_brings_along_what_another_is_through_with_and_leaves_what_is_in_hand() -> None:
    shop = Two()
    ann = shop.start(shop.ann, "Bevel")
    shop.clock.on(15)
    shop.by(shop.ann, lambda tx: finish.one_done(tx, ann))
    shop.start(shop.sam, "Harden")
    assert shop.in_hands() == {"Ann Bevel": "BCD", "Sam Harden": "A"}
    shop.clock.on(15)
    shop.by(shop.ann, lambda tx: finish.one_done(tx, shop.runs("Bevel")))
    act = acts.next_act(shop.floor, shop.sam.id, shop.runs("Harden"), shop.clock.now_us)
    assert act is not None
    assert act.passing == shop.pieces("A")


def test_stop_next_and_carry_on_are_those_of_one_maker() -> None:
    shop = Two()
    shop.start(shop.ann, "Bevel", "AB")
    shop.start(shop.sam, "Bevel", "CD")
    shop.clock.on(5)
    shop.by(shop.sam, begin.stop)
    assert shop.in_hands() == {"Ann Bevel": "AB"}
    shop.by(shop.sam, acts.carry_on)
    assert shop.in_hands() == {"Ann Bevel": "AB", "Sam Bevel": "CD"}
    shop.clock.on(5)
    shop.by(shop.ann, begin.stop)
    shop.start(shop.sam, "Bevel", "ABCD")
    assert begin.last_stopped(shop.floor, shop.ann.id) == []  # what Ann stopped is in Sam's hands now


def test_each_makers_minutes_are_those_of_the_pieces_in_hand() -> None:
    """Ann bevels A, B (10 and 14 min), Sam C, D at the same time (20 and 4): each by its own maker's marks."""
    shop = Two()
    ann, sam = shop.start(shop.ann, "Bevel", "AB"), shop.start(shop.sam, "Bevel", "CD")
    shop.clock.on(10)
    shop.by(shop.ann, lambda tx: finish.one_done(tx, ann))
    shop.clock.on(10)
    shop.by(shop.sam, lambda tx: finish.one_done(tx, sam))
    shop.clock.on(4)
    shop.by(shop.ann, lambda tx: finish.one_done(tx, ann))
    shop.by(shop.sam, lambda tx: finish.one_done(tx, sam))
    shop.by(shop.ann, begin.stop)
    shop.by(shop.sam, begin.stop)
    rows = piece_labour(shop.floor, shop.batch.id, shop.clock.now_us)
    minutes = {shop.floor.marks([row.piece_id])[0]: row.us / MINUTE_US for row in rows}
    assert minutes == {"A": 10, "B": 14, "C": 20, "D": 4}
