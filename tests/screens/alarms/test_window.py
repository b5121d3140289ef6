"""In the whole window: alarms come up by themselves over any screen, and leave a strip that the Bench has room for."""

from __future__ import annotations

from contextlib import nullcontext
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.app import TABS, build
from shopclock.screens.alarms.screen import AlarmScreen
from shopclock.shop.state import settings
from shopclock.shop.state.keys import set_key
from shopclock.views.button import NO_PUT_BACK
from shopclock.widgets.frame import Frame
from shopclock.widgets.labels import Label
from tests.looks import SCREENS
from tests.screens.alarms import stories

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from pytestqt.qtbot import QtBot

    from shopclock.record.press.record import Record
    from shopclock.screens.shell.shell import Shell
    from shopclock.widgets.style import Style
    from tests.screens.alarms.stories import Alarmed, Machine


class NoWork:
    """Nobody works in the background here: what is asked of it is never answered."""

    def run(self, *_: object) -> None:
        """Leave it."""

    one_moment = nullcontext


@pytest.fixture
def windows(make_look: Callable[..., Style]) -> Iterator[Callable[..., tuple[Frame, Shell]]]:
    """Opens windows on a record; all ticking is done by the tests."""
    shells: list[Shell] = []

    def opened(record: Record, *size: int, gloves: bool = False, key: str = "bench") -> tuple[Frame, Shell]:
        look = make_look(*size, gloves=gloves)
        frame = Frame(look, TABS)
        frame.resize(look.sizes.width, look.sizes.height)
        shell = build(frame, look, record, frame.dialogs, NoWork())  # type: ignore[arg-type]  # never asked to work
        shells.append(shell)
        fingers = "gloves" if gloves else "hands"
        record.press("Size", lambda tx: settings.set_value(tx, settings.SIZE, fingers))
        frame.show()
        shell.start(key)
        shell.stop()
        shell.tick()
        return frame, shell

    yield opened
    for shell in shells:
        shell.stop()


def alarm(frame: Frame) -> AlarmScreen:
    (found,) = frame.findChildren(AlarmScreen)
    return found


def wait(machine: Machine, shell: Shell, minutes: float) -> None:
    for _ in range(round(minutes * 2)):
        machine.go(0.5)
        shell.tick()


@pytest.mark.parametrize("key", ["bench", "batches", "shop"])
def test_a_forgotten_stop_comes_up_by_itself_over_any_screen(
    shop: Alarmed, windows: Callable[..., tuple[Frame, Shell]], key: str
) -> None:
    batch = shop.batch("Paring 95", 7)
    shop.start("Grind bevels", batch)
    frame, shell = windows(shop.record, 1280, 800, key=key)
    wait(shop.clock, shell, 20)  # type: ignore[arg-type]  # a machine here
    assert not alarm(frame).isVisible()
    wait(shop.clock, shell, 40)  # type: ignore[arg-type]  # a machine here
    assert alarm(frame).isVisible()
    QTest.mouseClick(alarm(frame).times[0], Qt.MouseButton.LeftButton)
    assert shop.running_names() == []
    assert not alarm(frame).isVisible()


def test_a_forgotten_stop_comes_up_while_nobody_sees_the_window_and_the_bench_rests(
    shop: Alarmed, windows: Callable[..., tuple[Frame, Shell]], qtbot: QtBot
) -> None:
    batch = shop.batch("Paring 95", 7)
    shop.start("Grind bevels", batch)
    frame, shell = windows(shop.record, 1280, 800)
    shown = shell.screen("bench").first.plate.clock  # type: ignore[attr-defined]  # the Bench has a clock
    wait(shop.clock, shell, 1)  # type: ignore[arg-type]  # a machine here
    before = shown.text
    frame.showMinimized()
    qtbot.waitUntil(frame.isMinimized)
    wait(shop.clock, shell, 59)  # type: ignore[arg-type]  # a machine here
    assert shown.text == before
    assert alarm(frame).state is not None
    frame.showNormal()
    qtbot.waitUntil(lambda: not frame.isMinimized())
    wait(shop.clock, shell, 1)  # type: ignore[arg-type]  # a machine here
    assert shown.text == "1:01:00"
    assert alarm(frame).isVisible()


def test_after_a_kill_the_window_opens_with_the_question(
    shop: Alarmed, windows: Callable[..., tuple[Frame, Shell]]
) -> None:
    stories.power(shop)
    frame, _ = windows(shop.record, 1280, 800)
    assert alarm(frame).isVisible()
    QTest.mouseClick(alarm(frame).answers[0], Qt.MouseButton.LeftButton)
    assert not alarm(frame).isVisible()
    assert shop.running_names() == ["Grind bevels"]


@pytest.mark.parametrize("gloves", [False, True])
@pytest.mark.parametrize("size", SCREENS)
def test_the_strip_after_seen_leaves_the_bench_room(
    shop: Alarmed, windows: Callable[..., tuple[Frame, Shell]], size: tuple[int, int], gloves: bool
) -> None:
    stories.ready(shop)
    frame, shell = windows(shop.record, *size, gloves=gloves)
    QTest.mouseClick(alarm(frame).answers[0], Qt.MouseButton.LeftButton)
    wait(shop.clock, shell, 13)  # type: ignore[arg-type]  # a machine here
    shell.screen("bench").first.far.left.emit()  # type: ignore[attr-defined]  # the Bench has a far view
    assert frame.header.note == "Temper 1 of 26-01 ended 14 min ago"
    (note,) = (label for label in frame.header.findChildren(Label) if label.text == frame.header.note)
    assert note.isVisible()
    assert not note.fitted().cut


def test_a_pedal_whose_button_takes_no_press_says_why_on_the_alarm_that_covers_the_header(
    shop: Alarmed, windows: Callable[..., tuple[Frame, Shell]], qtbot: QtBot
) -> None:
    stories.still(shop)
    shop.record.press("Key", lambda tx: set_key(tx, "put_back", "F5"))
    frame, _ = windows(shop.record, 1024, 600)
    found = alarm(frame)
    assert found.isVisible()
    before = [text.lines for text in found.written()]
    frame.activateWindow()
    qtbot.waitUntil(frame.isActiveWindow)
    QTest.keyClick(frame, Qt.Key.Key_F5)
    assert [text.lines for text in found.written()] == [*before[:-1], (NO_PUT_BACK,)]
    found.say("")
    assert [text.lines for text in found.written()] == before
