"""Places on the Bench, computed: nothing overlaps, nothing is too small, what gives way does so in order."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import pytest

from shopclock.screens.bench.layout import (
    LOW,
    METHODS,
    BenchLayout,
    Content,
    Slot,
    SlotKind,
    Tiles,
    bench_layout,
    share_row,
)
from shopclock.views.metrics import CLOCK_DIGIT_MM, Sizes
from shopclock.views.rect import Rect
from tests.looks import SCREENS, sizes_of

BOTTOM = ("stop", "next", "done", "not-right", "undo")
SETTINGS = tuple(product(SCREENS, (False, True)))
CONTENTS = tuple(
    Content(letters, picks, 2, clock=True, caution=caution)
    for letters, picks, caution in product((1, 4, 7, 8, 12, 23), (0, 2, 5), (0, 75))
)


def made(screen: tuple[int, int], gloves: bool, content: Content) -> tuple[Sizes, Rect, BenchLayout]:
    sizes = Sizes(*screen, SCREENS[screen], gloves=gloves)
    return sizes, *laid(sizes, content)


def laid(sizes: Sizes, content: Content) -> tuple[Rect, BenchLayout]:
    area = Rect(sizes.margin, 0, sizes.width - 2 * sizes.margin, sizes.height - sizes.header - sizes.margin)
    return area, bench_layout(area, sizes, content, 3, Tiles(4), BOTTOM)


def everything(layout: BenchLayout) -> list[Rect]:
    side = layout.side
    assert side is not None
    heading = [side.heading] if side.heading is not None else []
    return [*layout.top, *layout.on_plate.rects, *heading, *side.tiles, side.route, *layout.bottom]


@pytest.mark.parametrize(("screen", "gloves"), SETTINGS)
def test_no_two_things_share_a_pixel_and_all_lie_within_the_bench(screen: tuple[int, int], gloves: bool) -> None:
    for content in CONTENTS:
        _, area, layout = made(screen, gloves, content)
        for one, other in combinations(everything(layout), 2):
            assert not one.overlaps(other)
        assert all(area.holds(rect) and rect.w > 0 and rect.h > 0 for rect in everything(layout))
        assert all(layout.plate.holds(rect) for rect in layout.on_plate.rects)


@pytest.mark.parametrize(("screen", "gloves"), SETTINGS)
def test_the_clock_reads_at_three_metres_whatever_else_there_is(screen: tuple[int, int], gloves: bool) -> None:
    for content in CONTENTS:
        sizes, _, layout = made(screen, gloves, content)
        assert layout.on_plate.digits >= CLOCK_DIGIT_MM * sizes.px_mm


@pytest.mark.parametrize(("screen", "gloves"), SETTINGS)
def test_what_is_pressed_while_working_is_a_touch_target(screen: tuple[int, int], gloves: bool) -> None:
    for content in CONTENTS:
        sizes, _, layout = made(screen, gloves, content)
        assert layout.side is not None
        buttons = [rect for slot, rect in layout.on_plate.buttons if slot != LOW]
        assert all(rect.h >= 12 * sizes.px_mm - 1 for slot, rect in layout.on_plate.buttons if slot == LOW)
        for rect in (
            *layout.top,
            *buttons,
            *layout.on_plate.groups,
            *layout.side.tiles,
            layout.side.route,
            *layout.bottom,
        ):
            assert rect.w >= sizes.touch
            assert rect.h >= sizes.touch


@pytest.mark.parametrize(("screen", "gloves"), SETTINGS)
def test_what_is_not_in_sight_is_behind_a_button(screen: tuple[int, int], gloves: bool) -> None:
    for content in CONTENTS:
        _, _, layout = made(screen, gloves, content)
        slots = {slot for slot, _ in layout.on_plate.buttons}
        assert Slot(SlotKind.TOOL, 1) in slots  # Adjust: methods, set-up and times
        assert Slot(SlotKind.PIECES) in slots or layout.on_plate.groups
        assert layout.on_plate.letters is not None or Slot(SlotKind.PIECES) in slots


@pytest.mark.parametrize(("screen", "gloves"), SETTINGS)
def test_the_method_never_gives_way(screen: tuple[int, int], gloves: bool) -> None:
    for content in CONTENTS:
        _, _, layout = made(screen, gloves, content)
        slots = {slot for slot, _ in layout.on_plate.buttons}
        picks = {Slot(SlotKind.PICK, n) for n in range(content.picks)}
        assert picks <= slots or {METHODS, LOW} & slots


@pytest.mark.parametrize("screen", SCREENS)
def test_seven_letters_are_in_sight_on_every_screen_with_bare_hands(screen: tuple[int, int]) -> None:
    _, _, layout = made(screen, False, Content(7, 2, 2, clock=True, caution=75))
    assert layout.on_plate.letters is not None


@pytest.mark.parametrize("screen", SCREENS)
def test_with_bare_hands_other_work_is_in_sight_beside_the_plate(screen: tuple[int, int]) -> None:
    _, _, layout = made(screen, False, Content(7, 2, 2))
    assert layout.side is not None
    assert len(layout.side.tiles) >= 2


def test_a_row_is_shared_by_weight_as_long_as_nothing_is_too_narrow() -> None:
    assert [r.w for r in share_row(Rect(0, 0, 310, 50), (2, 1), 10, 50)] == [200, 100]
    assert [r.w for r in share_row(Rect(0, 0, 310, 50), (5, 1), 10, 100)] == [200, 100]


def test_set_up_is_in_sight_on_the_tablet_and_moves_no_other_button() -> None:
    """Note, Reading, Set-up, Adjust: with all that is behind Adjust, or with Set-up at the left of the two methods."""
    _, _, layout = made((1280, 800), False, Content(7, 2, 4))
    _, _, fewer = made((1280, 800), False, Content(7, 2, 1))
    shown, before = dict(layout.on_plate.buttons), dict(fewer.on_plate.buttons)
    set_up, adjust, only = Slot(SlotKind.TOOL, 2), Slot(SlotKind.TOOL, 3), Slot(SlotKind.TOOL)
    assert shown.pop(set_up).right < min(rect.x for rect in shown.values())
    assert {slot if slot != adjust else only: rect for slot, rect in shown.items()} == before
    assert layout.on_plate.letters == fewer.on_plate.letters
    assert layout.on_plate.digits == fewer.on_plate.digits


@pytest.mark.parametrize("screen", [(1280, 800), (1366, 768), (1920, 1080)])
@pytest.mark.parametrize("letters", [7, 9])
def test_the_clock_that_runs_is_no_smaller_than_the_one_that_stopped(screen: tuple[int, int], letters: int) -> None:
    """Its methods are buttons as well: they stand in a row and a column where a block left the clock less room."""
    stopped = Content(letters, picks=0, tools=3, groups=False)
    running = replace(stopped, picks=2, caution=29)
    digits = [laid(sizes_of(*screen), content)[1].on_plate.digits for content in (running, stopped)]
    assert digits[0] >= digits[1]


def test_the_room_under_the_tools_belongs_to_the_clock() -> None:
    """On the television all six are in sight, and the clock reaches up to those that stand in the column."""
    sizes = sizes_of(1920, 1080)
    layout = laid(sizes, Content(7, picks=2, tools=3, caution=29, groups=False))[1].on_plate
    tools = [rect for _, rect in layout.buttons]
    assert len(tools) == 6
    assert layout.digits >= 0.2 * sizes.height
    assert all(layout.clock.right <= tool.x for tool in tools if tool.bottom > layout.clock.y)
