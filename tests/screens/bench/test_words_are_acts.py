"""What a button says is what it does: whatever is pressed in whatever state of two batches, and both sums hold."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopclock.record.check.check import check
from shopclock.screens.bench.at_bench import AtBench
from shopclock.shop.state import keys
from shopclock.shop.work.makers import add_maker
from tests.plenty import parts, tried
from tests.screens.bench.word_walk import AnyAnswer, press_and_read
from tests.screens.bench.workshop import Workshop
from tests.shop.sound import assert_sound

if TYPE_CHECKING:
    from collections.abc import Sequence

PEDALS, PEDAL_ONE_IN = ("F13", "F14", "F15", "F16", "F17", "F18", "F19"), 9
"""Pedals for the first of the actions, and how often one is pressed instead of a button."""
GAPS_MIN = (0.0, 0.1, 0.3, 4.0, 17.0, 130.0, 900.0)
PRESS = st.tuples(st.integers(0, 4_000), st.sampled_from(GAPS_MIN), st.integers(0, 60))
"""Which of the buttons there are (0: none), how long after the last press, and which answers to what it asks."""
PRESSES = st.lists(PRESS, min_size=1, max_size=40)
EVENING = st.lists(PRESS, min_size=120, max_size=140)
"""As many presses as a long evening has: far along the route, with much to undo. Where one goes wrong, most presses of
what is left of it become none."""


def a_shop(folder: str) -> Workshop:
    shop = Workshop.open(Path(folder) / "shop.shopclock")
    shop.batch("Paring 95", 7)
    shop.batch("Cook's 180", 3, "Kitchen knife")
    for pedal, action in zip(PEDALS, keys.ACTIONS, strict=False):
        shop.record.press("Key", lambda tx, p=pedal, a=action: keys.set_key(tx, a, p), shop.clock.moment())
    return shop


def check_words(presses: Sequence[tuple[int, float, int]]) -> None:
    _check(presses, 1)


def check_words_of_makers(presses: Sequence[tuple[int, float, int]]) -> None:
    _check(presses, 3)


def _check(presses: Sequence[tuple[int, float, int]], makers: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        shop = a_shop(folder)
        at_bench = AtBench(shop.record, dialogs := AnyAnswer(), shop.usual_at, shop.went.append)  # type: ignore[arg-type]  # its number pad has no units
        for name in ("Sam", "Kit")[: makers - 1]:
            shop.record.press("Maker", lambda tx, n=name: add_maker(tx, n, shop.record.bench, "Ann"))
        try:
            for which, gap_min, answer in presses:
                if not which:
                    continue
                shop.clock.go(gap_min)
                dialogs.which = answer
                shop.bench = at_bench.shown[answer % len(at_bench.shown)]
                if which % PEDAL_ONE_IN == 0:
                    shop.key(PEDALS[which // PEDAL_ONE_IN % len(PEDALS)])
                else:
                    press_and_read(shop, which)
                assert_sound(shop.record.floor, shop.record.instant(), full=False)
        finally:
            shop.record.close()
        assert check(Path(folder) / "shop.shopclock") == []


@settings(max_examples=40, deadline=None)
@given(PRESSES)
def test_in_any_state_of_two_batches_each_button_does_what_it_says(presses: list[tuple[int, float, int]]) -> None:
    check_words(presses)


@settings(max_examples=25, deadline=None)
@given(PRESSES)
def test_in_any_state_of_two_makers_each_button_does_what_it_says(presses: list[tuple[int, float, int]]) -> None:
    check_words_of_makers(presses)


@pytest.mark.long
@parts(20, of_ten=0.5)
def test_through_long_evenings_each_button_does_what_it_says(part: int) -> None:
    tried(check_words, EVENING, 20, part)


@pytest.mark.long
@parts(20, of_ten=0.5)
def test_through_long_evenings_of_makers_each_button_does_what_it_says(part: int) -> None:
    tried(check_words_of_makers, EVENING, 20, part)
