"""The second press of a tab goes to the front of its screen, however deep one is in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.demo.shop import demo_shop
from shopclock.demo.write import default_end_us
from shopclock.widgets.style import BOUNCE_MS
from tests.walks.walk import at_the_window

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.stopwatch import Stopwatch


@pytest.mark.parametrize(
    ("tab", "way", "deep", "front"),
    [
        ("Plan", ("Costs", "Paring 95"), "Price", "Promise or order"),
        ("Trends", ("Grind bevels",), "by date", "The whole knife"),
        ("Shop", ("Patterns", "Paring 95"), "Order rules", "Stages"),
    ],
)
def test_the_second_press_of_a_tab_goes_to_its_front(
    copied_demo: Callable[..., Path], stopwatch: type[Stopwatch], tab: str, way: tuple[str, ...], deep: str, front: str
) -> None:
    with at_the_window(copied_demo(), default_end_us(demo_shop())) as hand:
        hand.press(tab)
        for words in way:
            hand.seek(words)
        assert any(title.startswith(deep) for title in hand.reach)
        hand.press("Bench")
        stopwatch.on(BOUNCE_MS)  # sooner it is a bounce of the press before
        hand.press(tab)
        assert any(title.startswith(deep) for title in hand.reach)
        stopwatch.on(BOUNCE_MS)
        hand.press(tab)
        assert any(title.startswith(front) for title in hand.reach)
        assert not any(title.startswith(deep) for title in hand.reach)
