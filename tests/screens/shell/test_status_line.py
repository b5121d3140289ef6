"""Several speakers share the line beside the date."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.screens.shell.shell import StatusLine
from shopclock.widgets.press_button import PressButton
from tests.walks.walk import at_the_window, new_record

if TYPE_CHECKING:
    from pathlib import Path


def test_what_is_wrong_with_copies_and_server_waits_until_no_alarm_has_anything_to_say() -> None:
    shown: list[str] = []
    strip = StatusLine(shown.append)
    strip.alarm("Temper ended 14 min ago")
    strip.copies("There was no copy")
    strip.server("This bench's clock is 4 min behind")
    strip.alarm("")
    strip.copies("")
    strip.server("")
    assert shown == [
        *3 * ["Temper ended 14 min ago"], "There was no copy", "This bench's clock is 4 min behind", ""
    ]  # fmt: skip


def test_a_press_on_a_dashed_button_says_beside_the_date_why_it_does_nothing(tmp_path: Path) -> None:
    with at_the_window(new_record(tmp_path / "shop.shopclock")) as hand:
        hand.open("bench")
        hand.see()
        buttons = [b for b in hand.frame.findChildren(PressButton) if b.isVisible() and not b.isEnabled()]
        assert {b.state.title for b in buttons} >= {"Stop", "Next", "Put back"}
        for button in buttons:
            QTest.mouseClick(button, Qt.MouseButton.LeftButton)
            assert hand.frame.header.note == button.state.why_not != ""
