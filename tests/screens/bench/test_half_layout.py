"""Places on half a Bench, computed: nothing overlaps, the clock reads, what is pressed most is a touch target."""

from __future__ import annotations

from itertools import combinations, product

import pytest

from shopclock.screens.bench.half_layout import half_layout
from shopclock.screens.bench.layout import LOW, BenchLayout, Content, Tiles
from shopclock.views.metrics import CLOCK_DIGIT_MM, Sizes
from shopclock.views.rect import Rect
from tests.looks import SCREENS

SETTINGS = tuple(product(SCREENS, (False, True)))
BOTTOMS = (
    ("stop", "next", "done", "not-right", "undo"),
    ("stop", "next", "not-right", "undo", "put-back", "pieces-page"),
    ("carry-on", "next", "done", "through", "not-right", "undo"),
)
CONTENTS = tuple(
    Content(letters, picks, tools, clock=clock, caution=caution)
    for letters, picks, tools, clock, caution in product((0, 1, 4, 7, 12), (0, 2, 5), (0, 3), (True, False), (0, 75))
    if clock or not caution  # before a start a caution stands in place of the line
)


def made(
    screen: tuple[int, int], gloves: bool, content: Content, bottom: tuple[str, ...]
) -> tuple[Sizes, Rect, BenchLayout]:
    sizes = Sizes(*screen, SCREENS[screen], gloves=gloves)
    high = sizes.height - sizes.tab - sizes.margin
    area = Rect(sizes.margin, 0, sizes.width // 2 - 2 * sizes.margin, high)
    return sizes, area, half_layout(area, sizes, content, 3, Tiles(3, (1,)), bottom)


def everything(layout: BenchLayout) -> list[Rect]:
    side = layout.side
    assert side is not None
    corners = [place for _, place in side.corners]
    return [*layout.top, *layout.on_plate.rects, *side.tiles, *corners, side.route, *layout.bottom]


@pytest.mark.parametrize(("screen", "gloves"), SETTINGS)
def test_no_two_things_share_a_pixel_and_all_lie_within_the_half(screen: tuple[int, int], gloves: bool) -> None:
    for content, bottom in product(CONTENTS, BOTTOMS):
        _, area, layout = made(screen, gloves, content, bottom)
        for one, other in combinations(everything(layout), 2):
            assert not one.overlaps(other), (content, bottom)
        assert all(area.holds(rect) and rect.w > 0 and rect.h > 0 for rect in everything(layout)), (content, bottom)
        assert all(layout.plate.holds(rect) for rect in layout.on_plate.rects)


@pytest.mark.parametrize("screen", SCREENS)
def test_the_clock_is_as_large_as_it_must_be_for_bare_hands(screen: tuple[int, int]) -> None:
    for content, bottom in product(CONTENTS, BOTTOMS):
        sizes, _, layout = made(screen, False, content, bottom)
        if content.clock:
            assert layout.on_plate.digits >= CLOCK_DIGIT_MM * sizes.px_mm, (content, bottom)


@pytest.mark.parametrize(("screen", "gloves"), SETTINGS)
def test_what_is_pressed_most_is_as_high_as_a_touch_target(screen: tuple[int, int], gloves: bool) -> None:
    for content, bottom in product(CONTENTS, BOTTOMS):
        sizes, _, layout = made(screen, gloves, content, bottom)
        assert layout.side is not None
        buttons = [rect for slot, rect in layout.on_plate.buttons if slot != LOW]
        for rect in (*buttons, *layout.side.tiles, layout.side.route, *layout.bottom):
            assert rect.h >= sizes.touch
        assert all(rect.h >= 12 * sizes.px_mm - 1 for rect in layout.top)


@pytest.mark.parametrize("screen", SCREENS)
def test_stop_next_and_done_are_touch_targets_in_both_directions(screen: tuple[int, int]) -> None:
    for content in CONTENTS:
        sizes, _, layout = made(screen, False, content, BOTTOMS[0])
        assert all(rect.w >= sizes.touch for rect in layout.bottom[:3])
