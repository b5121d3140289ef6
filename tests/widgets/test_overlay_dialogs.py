"""Questions go over the whole window, one at a time, and never block."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from shopclock.mistakes import AnswerLost
from shopclock.views.button import Button
from shopclock.views.dialogs import Choice, Dialogs
from shopclock.widgets.frame import Frame
from shopclock.widgets.panels import ChoicePanel, NumberPanel, TellPanel, TextPanel
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.style import BOUNCE_MS, Style
from tests.fake_dialogs import FakeDialogs

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tests.stopwatch import Stopwatch
    from tests.widgets.conftest import Fingers

CHOICES = [Choice("dropped", "Dropped"), Choice("warped", "Warped")]


@pytest.fixture
def frame(qtbot: QtBot, look: Style) -> Frame:
    look.bounce_ms = 0
    frame = Frame(look, [("bench", "Bench")])
    frame.set_page("bench", PressButton(look, Button("Stop")))
    frame.show_page("bench")
    qtbot.addWidget(frame)
    frame.resize(1280, 800)
    frame.show()
    qtbot.waitExposed(frame)
    frame.activateWindow()
    qtbot.waitUntil(frame.isActiveWindow)
    return frame


def press(button: QWidget) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_a_question_says_why_a_press_on_it_was_not_taken_where_its_note_is(frame: Frame) -> None:
    frame.dialogs.number("How thick", "", lambda _: None, note="from 0.5 to 12 mm")
    number = frame.overlay.panel
    assert isinstance(number, NumberPanel)
    number.say("Type it first.")
    assert number.note.text == "Type it first."
    assert number.note.isVisible()
    number.say("")
    assert number.note.text == "from 0.5 to 12 mm"
    press(number.back)
    frame.dialogs.ask("Why", CHOICES, lambda _: None)
    choice = frame.overlay.panel
    assert isinstance(choice, ChoicePanel)
    before = choice.grid.geometry()
    choice.say("Pressed twice: taken once.")
    QApplication.processEvents()
    assert choice.note.geometry().left() > choice.back.geometry().right()
    assert choice.note.geometry().bottom() <= choice.back.geometry().bottom()
    assert choice.grid.geometry() == before, "nothing moves for it"


def test_a_choice_is_answered_by_its_key(frame: Frame) -> None:
    heard: list[str | None] = []
    frame.dialogs.ask("Why", CHOICES, heard.append)
    assert heard == []
    panel = frame.overlay.panel
    assert isinstance(panel, ChoicePanel)
    assert [button.state.title for button in panel.grid.buttons] == ["Dropped", "Warped"]
    press(panel.grid.buttons[1])
    assert heard == ["warped"]
    assert not frame.overlay.isVisible()


def test_back_and_escape_answer_nothing(frame: Frame) -> None:
    heard: list[str | None] = []
    frame.dialogs.ask("Why", CHOICES, heard.append)
    press(frame.overlay.panel.back)
    frame.dialogs.ask("Why", CHOICES, heard.append)
    QTest.keyClick(frame.overlay.panel, Qt.Key.Key_Escape)
    assert heard == [None, None]
    assert not frame.overlay.isVisible()


def test_it_covers_the_whole_window_also_when_that_grows(frame: Frame) -> None:
    frame.dialogs.ask("Why", CHOICES, lambda _: None)
    assert frame.overlay.geometry() == frame.rect()
    frame.resize(1366, 768)
    assert frame.overlay.geometry() == frame.rect()


def test_nothing_under_it_takes_a_press(frame: Frame, fingers: Fingers) -> None:
    heard: list[object] = []
    stop = frame.findChild(PressButton)
    frame.dialogs.tell("Read this.")
    for button in frame.findChildren(PressButton):
        if button.state.title == "Stop":
            button.pressed_at.connect(heard.append)
            stop = button
    fingers.tap(0, stop)
    assert heard == []


def test_the_keyboard_stays_on_the_question(frame: Frame) -> None:
    frame.dialogs.ask("Why", CHOICES, lambda _: None)
    for _ in range(5):
        QTest.keyClick(QApplication.focusWidget() or frame.overlay.panel, Qt.Key.Key_Tab)
        assert frame.overlay.isAncestorOf(QApplication.focusWidget())


def test_a_second_question_waits_for_the_answer_to_the_first(frame: Frame) -> None:
    heard: list[str | None] = []
    frame.dialogs.ask("First", CHOICES, heard.append)
    frame.dialogs.ask("Second", CHOICES, heard.append)
    assert frame.overlay.panel.question.text == "First"
    press(frame.overlay.panel.grid.buttons[0])
    assert frame.overlay.panel.question.text == "Second"
    press(frame.overlay.panel.grid.buttons[1])
    assert heard == ["dropped", "warped"]


def test_an_answer_may_ask_the_next_question(frame: Frame) -> None:
    heard: list[str | None] = []
    frame.dialogs.ask("First", CHOICES, lambda _: frame.dialogs.ask("Then", CHOICES, heard.append))
    press(frame.overlay.panel.grid.buttons[0])
    assert frame.overlay.panel.question.text == "Then"
    press(frame.overlay.panel.grid.buttons[0])
    assert heard == ["dropped"]


def test_a_sentence_is_read_and_put_away(frame: Frame) -> None:
    read: list[str] = []
    frame.dialogs.tell("The disk is full.", lambda: read.append("read"))
    assert isinstance(frame.overlay.panel, TellPanel)
    press(frame.overlay.panel.back)
    assert read == ["read"]


def test_a_name_is_typed_and_stripped(frame: Frame) -> None:
    heard: list[str | None] = []
    frame.dialogs.text("Name", "Paring", heard.append)
    panel = frame.overlay.panel
    assert isinstance(panel, TextPanel)
    assert panel.entry.field.hasFocus()
    panel.entry.field.setText("  Oyster, sh\u00e9ll  ")
    QTest.keyClick(panel.entry.field, Qt.Key.Key_Return)
    assert heard == ["Oyster, sh\u00e9ll"]


def test_an_empty_name_is_no_answer(frame: Frame) -> None:
    heard: list[str | None] = []
    frame.dialogs.text("Name", "", heard.append)
    QTest.keyClick(frame.overlay.panel.entry.field, Qt.Key.Key_Return)
    assert heard == []
    assert frame.overlay.isVisible()


def test_a_figure_comes_from_pad_or_keyboard(frame: Frame) -> None:
    heard: list[str | None] = []
    frame.dialogs.number("Hardness", "61.5", heard.append)
    panel = frame.overlay.panel
    assert isinstance(panel, NumberPanel)
    assert panel.value.text == "61.5"
    QTest.keyClicks(panel.pad, "62")
    QTest.keyClick(panel.pad, Qt.Key.Key_Return)
    assert heard == ["62"]


def test_a_bounce_of_the_press_that_asked_answers_nothing(
    qtbot: QtBot, look: Style, stopwatch: type[Stopwatch]
) -> None:
    frame = Frame(look, [])
    qtbot.addWidget(frame)
    frame.resize(1280, 800)
    frame.show()
    heard: list[str | None] = []
    frame.dialogs.ask("Why", CHOICES, heard.append)
    press(frame.overlay.panel.grid.buttons[0])
    assert heard == []
    stopwatch.on(BOUNCE_MS)
    press(frame.overlay.panel.grid.buttons[0])
    assert heard == ["dropped"]


def test_the_fake_records_and_answers() -> None:
    fake = FakeDialogs(["warped", None, "12"])
    used: Dialogs = fake
    heard: list[str | None] = []
    used.ask("Why", CHOICES, heard.append)
    used.text("Name", "", heard.append)
    used.number("How many", "7", heard.append)
    used.tell("Done.")
    used.ask("Again", CHOICES, heard.append)
    assert heard == ["warped", None, "12"]
    assert [(asked.kind, asked.words) for asked in fake.asked] == [
        ("ask", "Why"), ("text", "Name"), ("number", "How many"), ("tell", "Done."), ("ask", "Again"),
    ]  # fmt: skip


def test_the_fake_refuses_an_answer_that_was_not_offered() -> None:
    with pytest.raises(ValueError, match="bent"):
        FakeDialogs(["bent"]).ask("Why", CHOICES, lambda _: None)


def settle() -> None:
    """What is to be deleted is deleted, as the program's loop does between two presses."""
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_each_answer_of_a_chain_arrives_where_nothing_held_the_keyboard_at_first(frame: Frame) -> None:
    heard: list[str | None] = []

    def asked(first: str | None) -> None:
        heard.append(first)
        frame.dialogs.number("How many", "", counted)

    def counted(second: str | None) -> None:
        heard.append(second)
        frame.dialogs.ask("Why", CHOICES, heard.append)

    if (holding := frame.focusWidget()) is not None:
        holding.clearFocus()
    assert frame.focusWidget() is None
    frame.dialogs.ask("Which", CHOICES, asked)
    press(frame.overlay.panel.grid.buttons[0])
    settle()
    QTest.keyClicks(frame.overlay.panel.pad, "7")
    press(frame.overlay.panel.ok)
    settle()
    press(frame.overlay.panel.grid.buttons[1])
    assert heard == ["dropped", "7", "warped"]


def test_the_keyboard_goes_back_to_where_it_was_before_the_first_of_a_chain(frame: Frame) -> None:
    stop = next(b for b in frame.findChildren(PressButton) if b.state.title == "Stop" and b.isVisible())
    stop.setFocus()
    frame.dialogs.ask("First", CHOICES, lambda _: frame.dialogs.ask("Then", CHOICES, lambda _: None))
    for _ in range(2):
        press(frame.overlay.panel.grid.buttons[0])
        settle()
    assert frame.focusWidget() is stop


def test_an_answer_that_takes_the_keyboard_keeps_it(frame: Frame) -> None:
    stop = next(b for b in frame.findChildren(PressButton) if b.state.title == "Stop" and b.isVisible())
    tab = next(button for button in frame.findChildren(PressButton) if button.state.title == "Bench")
    stop.setFocus()
    frame.dialogs.ask("First", CHOICES, lambda _: tab.setFocus())
    press(frame.overlay.panel.grid.buttons[0])
    assert frame.focusWidget() is tab


def test_a_widget_that_is_gone_by_then_costs_no_answer(frame: Frame) -> None:
    heard: list[str | None] = []
    going = next(button for button in frame.findChildren(PressButton) if button.state.title == "Stop")
    going.setFocus()
    frame.dialogs.ask("First", CHOICES, heard.append)
    going.deleteLater()
    settle()
    press(frame.overlay.panel.grid.buttons[0])
    assert heard == ["dropped"]
    assert not frame.overlay.isVisible()


def test_a_lost_answer_is_raised_as_one_and_the_next_question_is_put(frame: Frame, qtbot: QtBot) -> None:
    def lose(_answer: str | None) -> None:
        raise ZeroDivisionError

    frame.dialogs.ask("First", CHOICES, lose)
    frame.dialogs.ask("Second", CHOICES, lambda _: None)
    with qtbot.captureExceptions() as caught:
        press(frame.overlay.panel.grid.buttons[0])
    (lost,) = [error for _, error, _ in caught]
    assert isinstance(lost, AnswerLost)
    assert isinstance(lost.__cause__, ZeroDivisionError)
    assert frame.overlay.panel.question.text == "Second"
