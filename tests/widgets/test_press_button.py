"""The big button: each finger for itself, no bounce, the time of the finger that came down."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QAccessible, QKeyEvent, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QHBoxLayout, QWidget

from shopclock.views.button import Button
from shopclock.widgets.press_button import PressButton, even_titles

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QPaintEvent
    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style
    from tests.stopwatch import Stopwatch
    from tests.widgets.conftest import Fingers, Hours

LEFT = Qt.MouseButton.LeftButton


class Pair(QWidget):
    """Two buttons in a window, and what came of them."""

    def __init__(self, look: Style, now: Callable[[], object], bounce_ms: int) -> None:
        super().__init__()
        self.heard: list[tuple[str, object]] = []
        self.stop = self._add(look, "Stop", now, bounce_ms)
        self.done = self._add(look, "Done", now, bounce_ms)
        row = QHBoxLayout(self)
        row.addWidget(self.stop)
        row.addWidget(self.done)
        self.resize(600, 200)

    def _add(self, look: Style, title: str, now: Callable[[], object], bounce_ms: int) -> PressButton:
        button = PressButton(look, Button(title), now, bounce_ms=bounce_ms)
        button.pressed_at.connect(lambda at: self.heard.append((title, at)))
        return button


@pytest.fixture
def pair(qtbot: QtBot, look: Style, hours: Hours) -> Pair:
    return shown(qtbot, Pair(look, hours, 0))


@pytest.fixture
def guarded(qtbot: QtBot, look: Style, hours: Hours, stopwatch: type[Stopwatch]) -> Pair:
    return shown(qtbot, Pair(look, hours, 500))


def shown(qtbot: QtBot, pair: Pair) -> Pair:
    qtbot.addWidget(pair)
    pair.show()
    qtbot.waitExposed(pair)
    pair.activateWindow()
    return pair


def test_a_tap_is_one_press(pair: Pair, fingers: Fingers) -> None:
    fingers.tap(0, pair.stop)
    assert pair.heard == [("Stop", 1)]


def test_nothing_happens_before_the_finger_is_lifted(pair: Pair, fingers: Fingers) -> None:
    fingers.down(0, pair.stop)
    assert pair.heard == []
    fingers.up(0, pair)
    assert len(pair.heard) == 1


def test_a_palm_on_one_button_does_not_swallow_a_press_on_another(pair: Pair, fingers: Fingers) -> None:
    fingers.down(0, pair.stop)
    fingers.tap(1, pair.done)
    assert pair.heard == [("Done", 2)]
    fingers.up(0, pair)
    assert pair.heard == [("Done", 2), ("Stop", 1)]


def test_two_fingers_on_two_buttons_are_two_presses_each_with_its_own_time(pair: Pair, fingers: Fingers) -> None:
    fingers.down(0, pair.stop)
    fingers.down(1, pair.done)
    fingers.up(0, pair)
    fingers.up(1, pair)
    assert pair.heard == [("Stop", 1), ("Done", 2)]


def test_palm_and_finger_on_the_same_button_are_one_press(pair: Pair, fingers: Fingers) -> None:
    fingers.down(0, pair.stop)
    fingers.tap(1, pair.stop)
    fingers.up(0, pair)
    assert pair.heard == [("Stop", 2)]


def test_a_finger_that_slides_off_has_pressed_nothing(pair: Pair, fingers: Fingers) -> None:
    fingers.down(0, pair.stop)
    fingers.slide(0, pair, QPoint(0, 400))
    fingers.up(0, pair)
    assert pair.heard == []


def test_a_finger_that_slides_onto_the_neighbour_presses_neither(pair: Pair, fingers: Fingers) -> None:
    fingers.down(0, pair.stop)
    fingers.slide(0, pair, QPoint(300, 0))
    fingers.up(0, pair)
    assert pair.heard == []


def test_a_second_press_of_the_same_control_within_half_a_second_is_a_bounce(
    guarded: Pair, fingers: Fingers, stopwatch: type[Stopwatch]
) -> None:
    fingers.tap(0, guarded.stop)
    stopwatch.on(499)
    fingers.tap(0, guarded.stop)
    QTest.mouseClick(guarded.stop, LEFT)
    guarded.stop.click()
    assert guarded.heard == [("Stop", 1)]


def test_another_control_is_no_bounce(guarded: Pair, fingers: Fingers) -> None:
    fingers.tap(0, guarded.stop)
    fingers.tap(0, guarded.done)
    assert [name for name, _ in guarded.heard] == ["Stop", "Done"]


def test_after_half_a_second_it_can_be_pressed_again(
    guarded: Pair, fingers: Fingers, stopwatch: type[Stopwatch]
) -> None:
    fingers.tap(0, guarded.stop)
    stopwatch.on(500)
    fingers.tap(0, guarded.stop)
    assert len(guarded.heard) == 2


def test_a_button_that_came_up_under_a_finger_ignores_its_bounce(guarded: Pair, fingers: Fingers) -> None:
    guarded.stop.hold_off()
    fingers.tap(0, guarded.stop)
    assert guarded.heard == []


def test_a_press_that_is_refused_is_seen_at_once_and_told(guarded: Pair, fingers: Fingers, qtbot: QtBot) -> None:
    before = guarded.stop.grab().toImage()
    guarded.stop.hold_off()
    with qtbot.waitSignal(guarded.stop._look.refused):
        fingers.tap(0, guarded.stop)
    assert guarded.stop.grab().toImage() != before
    qtbot.waitUntil(lambda: guarded.stop.grab().toImage() == before)
    assert guarded.heard == []


def test_a_second_press_within_half_a_second_is_seen_to_be_none_and_told(
    guarded: Pair, fingers: Fingers, stopwatch: type[Stopwatch], qtbot: QtBot
) -> None:
    fingers.tap(0, guarded.stop)
    before = guarded.stop.grab().toImage()
    stopwatch.on(300)
    with qtbot.waitSignal(guarded.stop._look.bounced):
        fingers.tap(0, guarded.stop)
    assert guarded.stop.grab().toImage() != before
    qtbot.waitUntil(lambda: guarded.stop.grab().toImage() == before)
    assert guarded.heard == [("Stop", 1)]


def test_a_contact_that_chatters_is_no_second_press(
    guarded: Pair, fingers: Fingers, stopwatch: type[Stopwatch], qtbot: QtBot
) -> None:
    fingers.tap(0, guarded.stop)
    stopwatch.on(30)
    with qtbot.assertNotEmitted(guarded.stop._look.bounced):
        fingers.tap(0, guarded.stop)
    assert guarded.heard == [("Stop", 1)]


def test_the_mouse_presses_it_at_the_time_of_the_press(pair: Pair, hours: Hours) -> None:
    QTest.mousePress(pair.stop, LEFT)
    hours()
    QTest.mouseRelease(pair.stop, LEFT)
    assert pair.heard == [("Stop", 1)]


def test_a_mouse_let_go_outside_has_pressed_nothing(pair: Pair) -> None:
    QTest.mousePress(pair.stop, LEFT)
    QTest.mouseMove(pair.stop, QPoint(-50, -50))
    QTest.mouseRelease(pair.stop, LEFT, pos=QPoint(-50, -50))
    assert pair.heard == []


def test_a_quick_press_is_seen_before_it_acts(qtbot: QtBot, look: Style) -> None:
    seen: list[str] = []

    class Seen(PressButton):
        def paintEvent(self, event: QPaintEvent) -> None:
            seen.append("filled" if self.apply_style() == self._look.surface("plate").inverted() else "plain")
            super().paintEvent(event)

    button = Seen(look, Button("Stop"), bounce_ms=0)
    button.pressed_at.connect(lambda _at: seen.append("acts"))
    button.resize(200, 100)
    qtbot.addWidget(button)
    button.show()
    qtbot.waitExposed(button)
    qtbot.waitUntil(lambda: "plain" in seen)
    at, none = QPointF(button.rect().center()), Qt.KeyboardModifier.NoModifier
    where = QPointF(button.mapToGlobal(at))
    mouse = (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonRelease)
    for events in (
        [QMouseEvent(kind, at, where, LEFT, LEFT, none) for kind in mouse],
        [QKeyEvent(kind, Qt.Key.Key_Space, none) for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease)],
    ):
        seen.clear()
        for event in events:
            QApplication.sendEvent(button, event)
        assert set(seen[: seen.index("acts")]) == {"filled"}
        seen.clear()
        button.repaint()
        assert seen == ["plain"]


def test_a_button_stays_filled_while_it_acts(pair: Pair, fingers: Fingers) -> None:
    surfaces = []
    pair.stop.pressed_at.connect(lambda _at: surfaces.append(pair.stop.apply_style()))
    before = pair.stop.apply_style()
    QTest.mouseClick(pair.stop, LEFT)
    fingers.tap(0, pair.stop)
    QTest.keyClick(pair.stop, Qt.Key.Key_Space)
    assert surfaces == [before.inverted()] * 3
    assert pair.stop.apply_style() == before


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter])
def test_space_and_enter_press_it(pair: Pair, hours: Hours, key: Qt.Key) -> None:
    pair.stop.setFocus()
    QTest.keyPress(pair.stop, key)
    hours()
    QTest.keyRelease(pair.stop, key)
    assert pair.heard == [("Stop", 1)]


def test_a_held_key_does_not_repeat(pair: Pair) -> None:
    none = Qt.KeyboardModifier.NoModifier
    QTest.keyPress(pair.stop, Qt.Key.Key_Space)
    for kind in (QKeyEvent.Type.KeyRelease, QKeyEvent.Type.KeyPress) * 5:
        QApplication.sendEvent(pair.stop, QKeyEvent(kind, Qt.Key.Key_Space, none, " ", True))
    assert pair.heard == []
    QTest.keyRelease(pair.stop, Qt.Key.Key_Space)
    assert len(pair.heard) == 1


def test_a_press_by_a_screen_reader_counts(pair: Pair, qtbot: QtBot) -> None:
    found = QAccessible.queryAccessibleInterface(pair.stop)
    assert found.role() == QAccessible.Role.Button
    found.actionInterface().doAction("Press")
    qtbot.waitUntil(lambda: [name for name, _ in pair.heard] == ["Stop"])


def test_a_disabled_button_takes_no_press_and_gives_it_to_nobody(pair: Pair, fingers: Fingers) -> None:
    pair.stop.show_state(Button("Stop", why_not="Nothing runs by hand."))
    fingers.tap(0, pair.stop)
    QTest.mouseClick(pair.stop, LEFT)
    pair.stop.show_state(Button("Stop"))
    fingers.tap(0, pair.stop)
    assert [name for name, _ in pair.heard] == ["Stop"]


def test_a_press_on_what_can_not_be_pressed_is_answered_with_why(pair: Pair, fingers: Fingers, look: Style) -> None:
    """It was drawn dashed and said nothing: who presses in vain wonders whether the screen has felt it."""
    said: list[str] = []
    look.unable.connect(said.append)
    pair.stop.show_state(Button("Stop", why_not="Nothing runs by hand."))
    at_rest = pair.stop.grab().toImage()
    fingers.tap(0, pair.stop)
    assert pair.stop.grab().toImage() != at_rest
    QTest.mouseClick(pair.stop, LEFT)
    assert said == ["Nothing runs by hand."] * 2
    assert pair.heard == []


def test_a_screen_reader_hears_all_its_text(pair: Pair) -> None:
    pair.stop.show_state(Button("Drill tangs", "26-13 Oyster", figure="28 min"))
    assert QAccessible.queryAccessibleInterface(pair.stop).text(QAccessible.Text.Name) == (
        "Drill tangs, 26-13 Oyster, 28 min"
    )


def test_it_is_drawn_again_only_when_its_state_has_changed(qtbot: QtBot, look: Style) -> None:
    class Counted(PressButton):
        painted = 0

        def paintEvent(self, event: QPaintEvent) -> None:
            self.painted += 1
            super().paintEvent(event)

    button = Counted(look, Button("Done: C", role="green"))
    qtbot.addWidget(button)
    button.show()
    qtbot.waitExposed(button)
    qtbot.waitUntil(lambda: button.painted > 0)
    before = button.painted
    for _ in range(5):
        button.show_state(Button("Done: C", role="green"))
        QTest.qWait(5)
    assert button.painted == before
    button.show_state(Button("Done: D", role="green"))
    qtbot.waitUntil(lambda: button.painted == before + 1)


def test_the_ring_shows_to_who_moves_by_keyboard(pair: Pair, qtbot: QtBot) -> None:
    qtbot.waitUntil(pair.isActiveWindow)
    without = pair.done.grab().toImage()
    pair.stop.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(pair.stop, Qt.Key.Key_Tab)
    assert pair.done.hasFocus()
    assert pair.done.grab().toImage() != without


def test_no_ring_shows_where_the_focus_went_by_itself_after_a_press(pair: Pair, qtbot: QtBot) -> None:
    qtbot.waitUntil(pair.isActiveWindow)
    without = pair.done.grab().toImage()
    pair.stop.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.mouseClick(pair.stop, LEFT)
    pair.stop.hide()
    pair.stop.show()
    pair.done.setFocus(Qt.FocusReason.TabFocusReason)
    assert pair.done.grab().toImage() == without


def test_titles_side_by_side_are_written_in_the_size_that_fits_them_all(pair: Pair) -> None:
    pair.done.show_state(Button("To a spreadsheet of everything"))
    before = [button.texts()[0].text.px for button in (pair.stop, pair.done)]
    even_titles((pair.stop, pair.done))
    assert before[0] > before[1]
    assert [button.texts()[0].text.px for button in (pair.stop, pair.done)] == [before[1]] * 2
    pair.done.show_state(Button("Done"))
    even_titles((pair.stop, pair.done))
    assert pair.stop.texts()[0].text.px == before[0]


def test_a_title_of_two_words_takes_two_lines_rather_than_a_smaller_size_than_its_neighbours(pair: Pair) -> None:
    pair.stop.resize(135, 118)
    pair.done.resize(135, 118)
    pair.stop.show_state(Button("To the bench"))
    pair.done.show_state(Button("Amend all times"))
    even_titles((pair.stop, pair.done))
    written = [button.texts()[0].text for button in (pair.stop, pair.done)]
    assert written[0].px == written[1].px
    assert written[0].lines == ("To the", "bench")
