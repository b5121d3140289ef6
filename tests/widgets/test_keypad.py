"""The number pad."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.widgets.keypad import LONGEST, Keypad
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from shopclock.widgets.look import Look


@pytest.mark.parametrize(
    ("start", "keys", "value"),
    [
        ("", ["6", "1", ".", "5"], "61.5"),
        ("", ["3", "/", "3", "2"], "3/32"),
        ("", ["-", "4", "0"], "-40"),
        ("61.5", ["6", "2"], "62"),
        ("61.5", ["back"], "61."),
        ("61.5", ["back", "7"], "61.7"),
        ("61.5", ["clear"], ""),
        ("", ["back"], ""),
        ("", ["1"] * 20, "1" * LONGEST),
    ],
)
def test_keys_make_the_value(qtbot: QtBot, look: Look, start: str, keys: list[str], value: str) -> None:
    pad = Keypad(look)
    qtbot.addWidget(pad)
    pad.set_value(start)
    for key in keys:
        pad.press(key)
    assert pad.value == value


def test_signs_that_are_not_wanted_have_no_key(qtbot: QtBot, look: Look) -> None:
    pad = Keypad(look, signs=".")
    qtbot.addWidget(pad)
    titles = {button.state.title for button in pad.findChildren(PressButton)}
    assert titles == set("0123456789.") | {"Delete", "Clear"}
