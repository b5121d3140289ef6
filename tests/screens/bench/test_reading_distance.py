"""Reading distance: what is read at the bench, and from afar, is as large as its distance asks, on each screen.

The height of a character that takes up an angle: 6.283 · distance · minutes / 21600 (NUREG-0700 rev. 2, 1.3.1-4).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.bench.layout import CLOCK_WIDE
from shopclock.screens.bench.screen import BenchScreen
from shopclock.screens.bench.state import Verb
from shopclock.views.metrics import CAP_SHARE
from shopclock.widgets.clock_face import ClockFace
from shopclock.widgets.style import Weight
from tests.looks import SCREENS
from tests.screens.bench.stories import STATES

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style
    from tests.screens.bench.workshop import Workshop


def minutes(px: float, px_mm: float, metres: float) -> float:
    """Minutes of arc that the capitals of a font size take up."""
    return px * CAP_SHARE / px_mm * 21600 / (6.283 * metres * 1000)


def drawn(shop: Workshop, look: Style, qtbot: QtBot, taken: int) -> BenchScreen:
    screen = BenchScreen(look, shop.bench, shop.clock.moment)
    screen.showEvent = lambda _event: None  # whoever measures has not come to the Bench
    qtbot.addWidget(screen)
    screen.resize(look.sizes.width, look.sizes.height - taken)
    screen.show()
    screen.refresh()
    return screen


@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("gloves", [False, True])
def test_stage_batch_and_done_read_at_three_metres_in_the_far_view(
    shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot, size: tuple[int, int], gloves: bool
) -> None:
    STATES["far"](shop)
    look = make_look(*size, gloves=gloves)
    far = drawn(shop, look, qtbot, 0).far
    assert far.isVisible()
    done = next(button for button in far.buttons if button.state.verb == Verb.DONE)
    sizes = {name: text.px for name, text in far.written().items()} | {"Done": done.texts()[0].text.px}
    assert {name for name in sizes if minutes(sizes[name], SCREENS[size], 3.0) < 20.0} == set()
    assert far.clock.digit_height() >= 17.5 * SCREENS[size]


@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("gloves", [False, True])
def test_a_stage_of_any_length_is_as_large_as_it_can_be_from_afar(
    shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot, size: tuple[int, int], gloves: bool
) -> None:
    batch = shop.batch("Tide mug", 6, "Mugs, thrown and fired twice")
    shop.start("Dry through", batch)
    shop.start("Throw", batch)
    shop.clock.go(25)
    look = make_look(*size, gloves=gloves)
    far = drawn(shop, look, qtbot, 0).far
    for text in far.written().values():
        wide = look.width(text.lines[0], text.px, Weight.BOLD)
        assert minutes(text.px, SCREENS[size], 3.0) >= 20.0 or wide > 0.9 * (far.plate().w - 4 * look.sizes.gap)
        assert not text.cut


@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("gloves", [False, True])
def test_stage_and_done_read_at_two_metres_at_the_bench(
    shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot, size: tuple[int, int], gloves: bool
) -> None:
    STATES["bevels"](shop)
    look = make_look(*size, gloves=gloves)
    screen = drawn(shop, look, qtbot, look.sizes.header)
    done = next(b for b in screen.bottom if b.isVisible() and b.state.verb == Verb.DONE)
    sizes = {"stage": screen.plate.name.fitted().px, "Done": done.texts()[0].text.px}
    assert {name for name in sizes if minutes(sizes[name], SCREENS[size], 2.0) < 12.0} == set()


@pytest.mark.parametrize("size", SCREENS)
def test_the_clock_is_no_wider_than_its_layout_takes_it_to_be(
    make_look: Callable[..., Style], qtbot: QtBot, size: tuple[int, int]
) -> None:
    clock = ClockFace(make_look(*size))
    qtbot.addWidget(clock)
    clock.set_text("0:00:00")
    clock.resize(round(CLOCK_WIDE * 100), 1000)
    assert clock.font_px() >= 100
    clock.resize(round((CLOCK_WIDE - 0.02) * 100), 1000)
    assert clock.font_px() < 100
