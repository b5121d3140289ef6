"""The number pad."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.views.dialogs import AMOUNT, BELOW_ZERO, CLOCK, COUNT, MEASURED
from shopclock.widgets.keypad import LONGEST, Keypad, places
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style


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
def test_keys_make_the_value(qtbot: QtBot, look: Style, start: str, keys: list[str], value: str) -> None:
    pad = Keypad(look, MEASURED)
    qtbot.addWidget(pad)
    pad.set_value(start)
    for key in keys:
        pad.press(key)
    assert pad.value == value


@pytest.mark.parametrize("signs", [COUNT, AMOUNT, BELOW_ZERO, MEASURED, CLOCK])
def test_signs_that_are_not_wanted_have_no_key(qtbot: QtBot, look: Style, signs: str) -> None:
    pad = Keypad(look, signs)
    qtbot.addWidget(pad)
    titles = [button.state.title for button in pad.findChildren(PressButton)]
    assert sorted(titles) == sorted([*"0123456789", *signs, "Delete", "Clear"])


@pytest.mark.parametrize("signs", [COUNT, AMOUNT, BELOW_ZERO, MEASURED, CLOCK])
def test_the_keys_cover_the_pad_and_none_lies_over_another(signs: str) -> None:
    cells = [
        (row, column)
        for top, left, high, wide in places(signs).values()
        for row in range(top, top + high)
        for column in range(left, left + wide)
    ]
    assert len(cells) == len(set(cells))
    assert set(cells) >= {(row, column) for row in range(4) for column in range(4)} - {(3, 3)}


@pytest.mark.parametrize(
    ("signs", "typed", "value"),
    [
        (CLOCK, "19.1", "19:1"),
        (CLOCK, "7,5", "7:5"),
        (AMOUNT, "1,5", "1.5"),
        (COUNT, "1,5", "15"),
        (AMOUNT, "3/32", "332"),
    ],
)
def test_a_keyboard_s_sign_stands_for_the_one_that_is_asked_for(
    qtbot: QtBot, look: Style, signs: str, typed: str, value: str
) -> None:
    pad = Keypad(look, signs)
    qtbot.addWidget(pad)
    pad.show()
    qtbot.keyClicks(pad, typed)
    assert pad.value == value
