"""At all sizes nothing on an alarm is cut, overlaps or is too small to press; questions of the window cover it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from shopclock.screens.alarms.layout import alarm_layout
from shopclock.screens.alarms.screen import AlarmScreen
from shopclock.screens.alarms.state import AlarmVerb
from shopclock.shop.state.keys import set_key
from shopclock.views.dialogs import Choice
from shopclock.views.metrics import Sizes
from shopclock.views.rect import Rect
from shopclock.widgets.frame import Frame
from tests.looks import SCREENS
from tests.screens.alarms import stories
from tests.screens.alarms.stories import STATES, Alarmed

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.widgets.style import Style


def shown(shop: Alarmed, look: Style) -> tuple[Frame, AlarmScreen]:
    frame = Frame(look, [("bench", "Bench")])
    frame.set_page("bench", QWidget())
    frame.show_page("bench")
    frame.resize(look.sizes.width, look.sizes.height)
    screen = AlarmScreen(look, frame, shop.alarms, shop.clock.moment)
    frame.show()
    screen.refresh()
    return frame, screen


@pytest.mark.parametrize("gloves", [False, True])
@pytest.mark.parametrize("size", SCREENS)
@pytest.mark.parametrize("bottom", [(), ("stop", "next", "done")])
def test_nothing_overlaps_and_everything_can_be_pressed(
    size: tuple[int, int], gloves: bool, bottom: tuple[str, ...]
) -> None:
    sizes = Sizes(*size, SCREENS[size], gloves=gloves)
    area = Rect(sizes.margin, sizes.margin, size[0] - 2 * sizes.margin, size[1] - 2 * sizes.margin)
    for answers in range(1, 14):
        for times in (0, 1, 7, 20) if answers <= 4 else (0,):
            layout = alarm_layout(area, sizes, answers, times, True, bottom)
            buttons = [*layout.answers, *layout.times, *layout.bottom]
            places = [layout.plate, *buttons, *([layout.heading] if layout.heading else [])]
            assert all(area.holds(place) for place in places)
            assert not any(one.overlaps(other) for i, one in enumerate(places) for other in places[:i])
            assert all(min(rect.w, rect.h) >= sizes.touch for rect in buttons)
            assert len(layout.answers) >= min(4, answers)
            assert len(layout.times) >= min(times, 4)
            assert layout.plate.h >= 3 * sizes.body_text


@pytest.mark.parametrize("story", STATES)
@pytest.mark.parametrize("gloves", [False, True])
@pytest.mark.parametrize("size", SCREENS)
def test_no_text_is_cut(
    shop: Alarmed, make_look: Callable[..., Style], story: str, size: tuple[int, int], gloves: bool
) -> None:
    STATES[story](shop)
    _, screen = shown(shop, make_look(*size, gloves=gloves))
    buttons = [b for b in (*screen.answers, *screen.times, *screen.bottom) if b.isVisible()]
    assert len(buttons) >= 2
    assert [b.state.title for b in buttons if any(text.text.cut for text in b.texts())] == []
    assert [text.lines for text in screen.written() if text.cut] == []


@pytest.mark.parametrize("gloves", [False, True])
@pytest.mark.parametrize("size", SCREENS)
def test_the_time_left_is_the_largest_thing_and_what_is_to_be_done_the_widest(
    shop: Alarmed, make_look: Callable[..., Style], size: tuple[int, int], gloves: bool
) -> None:
    stories.spoils(shop)
    look = make_look(*size, gloves=gloves)
    _, screen = shown(shop, look)
    figure, *others = screen.written()
    assert figure.lines[0].endswith("left")
    answers = [button for button in screen.answers if button.isVisible()]
    written = [text.text.px for button in answers for text in button.texts()]
    assert figure.px > 1.2 * max([text.px for text in others] + written)
    assert answers[0].state.title.startswith("Start: ")
    assert all(answers[0].width() >= button.width() for button in answers[1:])


@pytest.mark.parametrize("size", SCREENS)
def test_steps_to_choose_from_are_written_alike(
    shop: Alarmed, make_look: Callable[..., Style], size: tuple[int, int]
) -> None:
    """None of them is what is to be done: the first one was half as large again."""
    stories.which_step(shop)
    _, screen = shown(shop, make_look(*size))
    written = {button.texts()[0].text.px for button in screen.answers if button.isVisible()}
    assert len(written) == 1


def test_it_covers_the_whole_window_and_goes_when_it_is_answered(
    shop: Alarmed, make_look: Callable[..., Style]
) -> None:
    stories.still(shop)
    frame, screen = shown(shop, make_look())
    assert screen.geometry() == frame.rect()
    assert frame.childAt(frame.width() // 2, 10) in (screen, *screen.findChildren(QWidget))
    frame.resize(1366, 768)
    assert screen.geometry() == frame.rect()
    first = screen.answers[0]
    QTest.mouseClick(first, Qt.MouseButton.LeftButton)
    assert not screen.isVisible()
    assert shop.running_names() == ["Grind bevels"]


def test_stop_on_it_stops_by_a_real_press(shop: Alarmed, make_look: Callable[..., Style]) -> None:
    stories.still(shop)
    _, screen = shown(shop, make_look())
    stop = next(button for button in screen.bottom if button.state.verb == "stop")
    QTest.mouseClick(stop, Qt.MouseButton.LeftButton)
    assert shop.running_names() == []
    assert screen.state is not None
    assert screen.state.about.startswith("ended")
    shop.answer(AlarmVerb.ENDED_SO)
    screen.refresh()
    assert not screen.isVisible()


def test_a_question_of_the_window_lies_over_it(shop: Alarmed, make_look: Callable[..., Style]) -> None:
    stories.still(shop)
    frame, screen = shown(shop, make_look())
    frame.dialogs.ask("Which", [Choice("a", "A")], lambda _: None)
    over = frame.childAt(frame.width() // 2, frame.height() // 2)
    assert over in (frame.overlay, *frame.overlay.findChildren(QWidget))
    shop.answer(AlarmVerb.STILL)
    screen.refresh()
    shop.tick(51)
    screen.refresh()
    assert screen.isVisible()
    assert frame.childAt(frame.width() // 2, frame.height() // 2) in (
        frame.overlay,
        *frame.overlay.findChildren(QWidget),
    )


def test_a_key_does_here_what_it_does_at_the_bench(shop: Alarmed, make_look: Callable[..., Style]) -> None:
    stories.still(shop)
    shop.record.press("Key", lambda tx: set_key(tx, "stop", "F5"))
    _, screen = shown(shop, make_look())
    QTest.keyClick(screen, Qt.Key.Key_F5)
    screen.refresh()
    assert shop.running_names() == []
    assert screen.state is not None
    assert screen.state.about.startswith("ended")
