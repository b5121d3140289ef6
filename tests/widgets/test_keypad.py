"""The number pad."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.values.habits import Habits, take_habits
from shopclock.shop.values.measure import Measure
from shopclock.views.dialogs import AMOUNT, BELOW_ZERO, CLOCK, COUNT, MEASURED
from shopclock.widgets.keypad import LONGEST, Keypad, places
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style


@pytest.fixture
def half_days() -> Iterator[None]:
    take_habits(Habits(half_days=True))
    yield
    take_habits(Habits())


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
    for halves in (False, True):
        cells = [
            (row, column)
            for top, left, high, wide in places(signs, halves=halves and signs == CLOCK).values()
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


@pytest.mark.parametrize(
    ("start", "typed", "value"),
    [
        ("", "7:10p", "7:10 PM"),
        ("", "7:10 pm", "7:10 PM"),
        ("8:55 PM", "a", "8:55 AM"),
        ("8:55 PM", "9", "9"),
        ("", "7p5", "75"),
    ],
)
@pytest.mark.usefixtures("half_days")
def test_where_a_clock_has_twelve_hours_its_halves_have_keys(
    qtbot: QtBot, look: Style, start: str, typed: str, value: str
) -> None:
    pad = Keypad(look, CLOCK)
    qtbot.addWidget(pad)
    titles = {button.state.title for button in pad.findChildren(PressButton)}
    assert titles == {*"0123456789:", "AM", "PM", "Delete", "Clear"}
    pad.show()
    pad.set_value(start)
    qtbot.keyClicks(pad, typed)
    assert pad.value == value


@pytest.mark.usefixtures("half_days")
def test_delete_takes_a_half_of_the_day_away_whole_and_no_amount_has_any(qtbot: QtBot, look: Style) -> None:
    pad, amount = Keypad(look, CLOCK), Keypad(look, AMOUNT)
    for one in (pad, amount):
        qtbot.addWidget(one)
    pad.set_value("8:55 PM")
    pad.press("back")
    assert pad.value == "8:55"
    assert not [b for b in amount.findChildren(PressButton) if b.state.title in ("AM", "PM")]


def test_a_point_is_written_as_the_place_writes_it_and_stays_one(qtbot: QtBot, look: Style) -> None:
    take_habits(Habits(decimal=","))
    try:
        pad = Keypad(look, AMOUNT)
        qtbot.addWidget(pad)
        assert [b.state.title for b in pad.findChildren(PressButton) if b.state.title in (".", ",")] == [","]
        pad.show()
        qtbot.keyClicks(pad, "1,5")
        assert (pad.value, pad.shown, Measure("0.094", "in").shown) == ("1.5", "1,5", "0,094")
    finally:
        take_habits(Habits())
