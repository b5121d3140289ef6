"""It was another step: not with pieces that were in a wait of the same strand then."""

import pytest

from shopclock.shop.recovery import answers
from shopclock.shop.recovery.questions import ask
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import QuestionReason
from shopclock.shop.work import acts, begin, pieces
from tests.shop.workshop import MINUTE_US, Shop


def test_a_piece_that_was_tempered_until_a_moment_ago_was_not_sharpened_before() -> None:
    shop = Shop(3)
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    shop.press(lambda tx: acts.go_on(tx, shop.runs("Harden")))
    scales = shop.press(lambda tx: begin.begin(tx, shop.step("Scales")))
    shop.clock.on(60)
    shop.press(lambda tx: pieces.cover(tx, shop.runs("Temper"), shop.pieces("A")))
    shop.clock.on(60)
    asked = shop.press(lambda tx: ask(tx, QuestionReason.STILL, scales, scales.start_us))
    half_an_hour_in = scales.start_us + 30 * MINUTE_US
    with pytest.raises(Refusal, match="B is at Temper from"):
        shop.press(lambda tx: answers.other_step(tx, asked, shop.step("Sharpen"), half_an_hour_in))
