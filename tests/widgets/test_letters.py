"""The letters of a batch: each large enough, or none in sight."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QAccessible

from shopclock.views.letter import WORDS, Letter
from shopclock.widgets.letters import LetterRow

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style
    from tests.widgets.conftest import Fingers, Hours


def letters(count: int, state: str = "in") -> tuple[Letter, ...]:
    return tuple(Letter(chr(ord("A") + number), state, key=f"piece {number}") for number in range(count))


@pytest.fixture
def sent() -> list[tuple[object, ...]]:
    """The keys that were sent, each with the time."""
    return []


@pytest.fixture
def make_row(qtbot: QtBot, look: Style, hours: Hours, sent: list[tuple[object, ...]]) -> Callable[..., LetterRow]:
    def make(count: int, width: int, height: int) -> LetterRow:
        row = LetterRow(look, lambda *press: sent.append(press), hours)
        qtbot.addWidget(row)
        row.resize(width, height)
        row.show_letters(letters(count))
        row.show()
        qtbot.waitExposed(row)
        return row

    return make


@pytest.mark.parametrize(("count", "width", "height"), [(6, 790, 119), (12, 790, 260), (24, 1200, 400), (1, 200, 130)])
def test_each_letter_has_a_tile_of_at_least_20_millimetres(
    make_row: Callable[..., LetterRow], look: Style, count: int, width: int, height: int
) -> None:
    row = make_row(count, width, height)
    assert not row.collapsed
    assert len(row.tiles) == count
    for tile in row.tiles:
        assert tile.isVisible()
        assert min(tile.width(), tile.height()) >= look.sizes.touch - 1
        assert row.rect().contains(tile.geometry())


def test_tiles_do_not_overlap(make_row: Callable[..., LetterRow]) -> None:
    row = make_row(12, 790, 260)
    for number, tile in enumerate(row.tiles):
        assert not any(tile.geometry().intersects(other.geometry()) for other in row.tiles[number + 1 :])


def test_without_room_for_all_none_is_there_and_they_come_back(make_row: Callable[..., LetterRow]) -> None:
    row = make_row(12, 500, 119)
    assert row.collapsed
    assert not any(tile.isVisible() for tile in row.tiles)
    row.resize(790, 260)
    assert not row.collapsed
    assert all(tile.isVisible() for tile in row.tiles)


def test_a_press_says_which_letter_and_when(
    make_row: Callable[..., LetterRow], fingers: Fingers, sent: list[tuple[object, ...]]
) -> None:
    row = make_row(6, 790, 119)
    fingers.tap(0, row.tiles[2])
    assert sent == [("piece 2", 1)]


def test_several_letters_down_at_once_are_a_sleeve_that_takes_nothing_and_says_so(
    make_row: Callable[..., LetterRow], fingers: Fingers, sent: list[tuple[object, ...]]
) -> None:
    row, said = make_row(6, 790, 119), []
    row.sleeve.connect(lambda: said.append("sleeve"))
    fingers.down(0, row.tiles[2])
    fingers.down(1, row.tiles[3])
    fingers.up(0, row.window())
    fingers.down(2, row.tiles[4])
    fingers.up(1, row.window())
    assert (sent, said) == ([], [])
    fingers.up(2, row.window())
    assert (sent, said) == ([], ["sleeve"])
    fingers.tap(0, row.tiles[5])
    assert (sent, said) == ([("piece 5", 2)], ["sleeve"])


def test_fewer_letters_leave_no_tile_behind(make_row: Callable[..., LetterRow]) -> None:
    row = make_row(6, 790, 119)
    row.show_letters(letters(4))
    assert [tile.state.title for tile in row.tiles] == ["A", "B", "C", "D"]
    assert len([tile for tile in row.findChildren(type(row.tiles[0])) if tile.isVisible()]) == 4


@pytest.mark.parametrize("on", ["dye", "straw", "dark", "red", "ground"])
@pytest.mark.parametrize("theme", ["dark", "paper"])
def test_no_two_states_look_alike(qtbot: QtBot, make_look: Callable[..., Style], on: str, theme: str) -> None:
    row = LetterRow(make_look(theme=theme), lambda *_: None, lambda: None)
    qtbot.addWidget(row)
    row.set_surface(on)
    row.resize(140, 119)
    seen = []
    for state in WORDS:
        row.show_letters((Letter("A", state),))
        seen.append(row.tiles[0].grab().toImage())
    assert all(a != b for number, a in enumerate(seen) for b in seen[number + 1 :])


@pytest.mark.parametrize("state", WORDS)
def test_every_state_has_its_word(make_row: Callable[..., LetterRow], state: str) -> None:
    row = make_row(1, 200, 130)
    row.show_letters((Letter("A", state),))
    name = QAccessible.queryAccessibleInterface(row.tiles[0]).text(QAccessible.Text.Name)
    assert name == f"A, {WORDS[state]}"


def test_a_word_of_its_own_wins(make_row: Callable[..., LetterRow]) -> None:
    row = make_row(1, 200, 130)
    row.show_letters((Letter("A", "away", "in oven"),))
    assert row.tiles[0].state.detail == "in oven"


def test_a_word_that_has_no_room_gives_way_to_a_shorter_one_and_is_still_said(
    make_row: Callable[..., LetterRow],
) -> None:
    row, tool = make_row(6, 790, 119), "in the wärmebehandlungsofen by the long window"
    row.show_letters(tuple(Letter("A", word=word, brief="in") for word in ("in the oven", tool, *4 * ["to go"])))
    assert [" ".join(tile.texts()[1].text.lines) for tile in row.tiles[:2]] == ["in the oven", "in"]
    assert tool in QAccessible.queryAccessibleInterface(row.tiles[1]).text(QAccessible.Text.Name)
