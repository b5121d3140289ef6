"""The Bench as widgets: real presses on a file record."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget

from shopclock.screens.bench.at_bench import AtBench
from shopclock.screens.bench.pedals import Pedals
from shopclock.screens.bench.screen import BenchScreen
from shopclock.screens.bench.state import Verb
from shopclock.shop.state import keys
from shopclock.views.button import Press
from shopclock.widgets.overlay import Overlay
from shopclock.widgets.panels import TellPanel
from tests.fake_dialogs import FakeDialogs

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.screens.bench.state import BenchState
    from shopclock.widgets.press_button import KeyButton
    from shopclock.widgets.style import Style
    from tests.screens.bench.workshop import Workshop


class Painted(QObject):
    """Counts which widgets are painted."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.names: list[str] = []
        for widget in parent.findChildren(QWidget):
            widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.names.append(type(watched).__name__)
        return False


@pytest.fixture
def screen(shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot) -> BenchScreen:
    shop.batch("Paring 95", 7)
    made = BenchScreen(make_look(), shop.bench, shop.clock.moment)
    qtbot.addWidget(made)
    made.resize(1280, 729)
    made.show()
    qtbot.waitExposed(made)
    made.refresh()
    return made


def button(screen: BenchScreen, verb: str) -> KeyButton:
    """The button in sight whose press does this."""
    shown = [*screen.top, *screen.bottom, *screen.plate.buttons, *screen.side.tiles, screen.side.route]
    pages = [*screen.route.row, *screen.pieces.row, *screen.far.buttons, screen.plate.big]
    return next(b for b in (*shown, *pages) if b.isVisible() and b.state.verb == verb)


def click(screen: BenchScreen, verb: str) -> None:
    QTest.mouseClick(button(screen, verb), Qt.MouseButton.LeftButton)


def test_presses_on_the_screen_time_a_step(shop: Workshop, screen: BenchScreen) -> None:
    QTest.mouseClick(screen.plate.big, Qt.MouseButton.LeftButton)
    assert shop.running_names() == ["Saw out"]
    assert screen.plate.role == "dye"
    shop.clock.go(1.5)
    screen.tick()
    assert screen.plate.clock.text == "0:01:30"
    click(screen, Verb.DONE)
    assert shop.letters().startswith("A done, B in")
    click(screen, Verb.NEXT)
    assert screen.plate.name.text == "Profile"
    click(screen, Verb.STOP)
    assert screen.plate.role == "dark"
    shop.clock.go(0.1)
    screen.tick()
    click(screen, Verb.CARRY_ON)
    assert shop.running_names() == ["Profile"]
    click(screen, Verb.UNDO)
    assert shop.running == []


def test_a_press_carries_the_moment_the_finger_came_down(shop: Workshop, screen: BenchScreen) -> None:
    big = screen.plate.big
    down_us = shop.clock.now_us
    QTest.mousePress(big, Qt.MouseButton.LeftButton)
    shop.clock.go(1)
    QTest.mouseRelease(big, Qt.MouseButton.LeftButton)
    assert shop.running[0].start_us == down_us


def test_a_press_does_what_the_button_said_when_the_finger_came_down(shop: Workshop, screen: BenchScreen) -> None:
    QTest.mouseClick(screen.plate.big, Qt.MouseButton.LeftButton)
    stop = button(screen, Verb.STOP)
    QTest.mousePress(stop, Qt.MouseButton.LeftButton)
    shop.bench.press(Press(Verb.STOP), shop.clock.moment())
    assert stop.state.title == "Stopped"
    QTest.mouseRelease(stop, Qt.MouseButton.LeftButton)
    assert shop.running == []


def test_a_letter_on_the_plate_is_pressed(shop: Workshop, screen: BenchScreen) -> None:
    QTest.mouseClick(screen.plate.big, Qt.MouseButton.LeftButton)
    QTest.mouseClick(screen.plate.letters.tiles[2], Qt.MouseButton.LeftButton)
    assert shop.letters().startswith("A in, B in, C done, D in")


def test_the_whole_route_is_a_page_and_starts_a_step(shop: Workshop, screen: BenchScreen) -> None:
    click(screen, Verb.ROUTE_PAGE)
    assert screen.route.isVisible()
    assert not screen.front.isVisible()
    tile = next(b for b in screen.route.grid.buttons if b.state.title == "Saw scales")
    QTest.mouseClick(tile, Qt.MouseButton.LeftButton)
    assert shop.running_names() == ["Saw scales"]
    assert screen.front.isVisible()


def test_a_press_elsewhere_in_the_far_view_only_brings_the_bench_back(
    shop: Workshop, screen: BenchScreen, qtbot: QtBot
) -> None:
    QTest.mouseClick(screen.plate.big, Qt.MouseButton.LeftButton)
    shop.clock.go(5)
    with qtbot.waitSignal(screen.far_changed) as told:
        screen.tick()
    assert told.args == [True]
    assert screen.far.isVisible()
    undo = shop.bottom()[Verb.UNDO].detail
    QTest.mouseClick(screen.far, Qt.MouseButton.LeftButton, pos=screen.far.clock.geometry().center())
    assert not screen.far.isVisible()
    assert shop.bottom()[Verb.UNDO].detail == undo


def test_done_is_live_in_the_far_view_at_the_first_press(shop: Workshop, screen: BenchScreen) -> None:
    QTest.mouseClick(screen.plate.big, Qt.MouseButton.LeftButton)
    shop.clock.go(5)
    screen.tick()
    done = next(b for b in screen.far.buttons if b.state.verb == Verb.DONE)
    QTest.mouseClick(done, Qt.MouseButton.LeftButton)
    assert shop.letters().startswith("A done, B in")


def test_letters_are_live_in_the_far_view_and_the_batch_and_what_runs_too_are_named(
    shop: Workshop, screen: BenchScreen
) -> None:
    QTest.mouseClick(screen.plate.big, Qt.MouseButton.LeftButton)
    shop.press(Press(Verb.START_BOTH, shop.step("Saw scales").id))
    shop.clock.go(5)
    screen.tick()
    state = shop.bench.state(shop.record.instant())
    assert state.far
    assert (state.far_name, state.far_batch) == ("Saw scales", "26-01  ·  0 of 7")
    assert state.far_beside == "Saw out 26-01 runs too"
    shop.bench.wake()
    shop.press(Press(Verb.SHOW, shop.step("Saw out").id))
    shop.clock.go(5)
    screen.tick()
    QTest.mouseClick(screen.far.letters.tiles[1], Qt.MouseButton.LeftButton)
    assert shop.letters().startswith("A in, B done")


def test_a_second_passing_draws_the_clock_alone(shop: Workshop, screen: BenchScreen, qtbot: QtBot) -> None:
    QTest.mouseClick(screen.plate.big, Qt.MouseButton.LeftButton)
    QTest.qWait(50)
    painted = Painted(screen)
    for times in range(1, 4):
        shop.clock.go(1 / 60)
        screen.tick()
        qtbot.waitUntil(lambda times=times: len(painted.names) >= times)
    assert painted.names == ["ClockFace"] * 3


def at_bench(shop: Workshop) -> AtBench:
    return AtBench(shop.record, shop.dialogs, shop.usual_at, shop.go)


def test_a_pedal_presses_under_a_question_too_and_never_while_text_is_typed(
    shop: Workshop, screen: BenchScreen, make_look: Callable[..., Style]
) -> None:
    shop.record.press("Key", lambda tx: keys.set_key(tx, "stop", "F13"), shop.clock.moment())
    Pedals(screen, make_look(), at_bench(shop), shop.clock.moment).refresh()
    QTest.mouseClick(screen.plate.big, Qt.MouseButton.LeftButton)
    screen.activateWindow()
    field = QLineEdit(screen)
    field.show()
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_F13)
    assert shop.running_names() == ["Saw out"]
    field.hide()
    overlay = Overlay(make_look(), screen)
    overlay.open(TellPanel(make_look(), "It cooks."))
    QTest.keyClick(screen, Qt.Key.Key_F13)
    assert shop.running == []


def test_a_pedal_that_chatters_counts_once_however_long_it_does(
    shop: Workshop, screen: BenchScreen, make_look: Callable[..., Style]
) -> None:
    shop.record.press("Key", lambda tx: keys.set_key(tx, "next", "F13"), shop.clock.moment())
    look = make_look()
    look.bounce_ms = 10_000
    Pedals(screen, look, at_bench(shop), shop.clock.moment).refresh()
    screen.activateWindow()
    for _ in range(5):
        QTest.keyClick(screen, Qt.Key.Key_F13)
    assert shop.running_names() == ["Saw out"]


def test_questions_go_through_the_dialogs(shop: Workshop, screen: BenchScreen) -> None:
    assert isinstance(shop.dialogs, FakeDialogs)
    shop.dialogs.answers = ["B", "lost", "warped"]
    click(screen, Verb.NOT_RIGHT)
    assert not shop.piece("B").living
    assert screen.plate.letters.tiles[1].state.detail == "lost"


@pytest.mark.parametrize(
    "verbs",
    [
        (Verb.ROUTE_PAGE, Verb.BACK),
        (Verb.START, Verb.STOP, Verb.CARRY_ON, Verb.NEXT, Verb.UNDO),
        (Verb.ALL, Verb.ADJUST, Verb.NOT_RIGHT),
    ],
)
def test_a_press_is_drawn_once_when_all_of_it_is_done(
    shop: Workshop, screen: BenchScreen, monkeypatch: pytest.MonkeyPatch, verbs: tuple[Verb, ...]
) -> None:
    shop.record.on_change(screen.refresh)  # as the shell does
    made: list[int] = []
    state = shop.bench.state

    def counted(now_us: int) -> BenchState:
        made.append(now_us)
        return state(now_us)

    monkeypatch.setattr(shop.bench, "state", counted)
    saw = shop.step("Saw out").id
    for verb in verbs:
        shop.dialogs.answers = [None]
        del made[:]
        shop.bench.press(Press(verb, saw if verb is Verb.START else 0), shop.clock.moment())
        assert len(made) == 1, verb
        assert screen._state == state(shop.record.instant()), verb
