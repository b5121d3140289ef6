"""It was another step: not with pieces that were in a wait of the same strand then."""

import pytest

from shopclock.shop import answers, begin, finish, pieces
from shopclock.shop.errors import Refusal
from shopclock.shop.kinds import Why
from shopclock.shop.questions import ask
from tests.shop.workshop import MINUTE_US, Shop


def test_a_piece_that_was_tempered_until_a_moment_ago_was_not_sharpened_before() -> None:
    shop = Shop(3)
    shop.press(lambda turn: begin.begin(turn, shop.step("Harden")))
    shop.press(lambda turn: finish.go_on(turn, shop.runs("Harden")))
    scales = shop.press(lambda turn: begin.begin(turn, shop.step("Scales")))
    shop.clock.on(60)
    shop.press(lambda turn: pieces.cover(turn, shop.runs("Temper"), shop.pieces("A")))
    shop.clock.on(60)
    asked = shop.press(lambda turn: ask(turn, Why.STILL, scales, scales.start_us))
    half_an_hour_in = scales.start_us + 30 * MINUTE_US
    with pytest.raises(Refusal, match="B is at Temper from"):
        shop.press(lambda turn: answers.other_step(turn, asked, shop.step("Sharpen"), half_an_hour_in))
