"""A year's notebook, typed into a spreadsheet by somebody else's habits, is in the record in under five minutes."""

from __future__ import annotations

import shutil
from collections import Counter
from contextlib import closing
from typing import TYPE_CHECKING

from shopclock.demo.notes import NAME, write_notebook
from shopclock.record.check.check import check
from shopclock.record.press import record as record_module
from shopclock.record.press.record import Record
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.trends.screen import TrendsScreen
from shopclock.screens.trends.state import StageState
from shopclock.shop.values.entities import Batch, Interval
from shopclock.shop.values.progress import Unwatched
from shopclock.tour.window import StoppedClock
from tests.exchange.notes.test_notebooks import DIARY as DIARY_FILE
from tests.walks.walk import START_US, at_the_window, lines, new_record, walk

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

NOTES = f"""
    open shop
    seek In and out
    press Old notes
    press Another file
    type {NAME}
    press Stages
    press Profile, hacksaw
    seek Profile
    press Back
    press Bring in the rest
"""
A_PRESS_S = 20
"""So much for each press: it is read before, with gloves on. Common practice, no source."""


def presses(story: str) -> int:
    return sum(not line.startswith("open") for line in lines(story)) + 1


def test_a_years_notebook_is_in_the_record_in_nine_presses_and_out_again_in_one(tmp_path: Path) -> None:
    record = new_record(tmp_path / "shop.shopclock")
    write_notebook(tmp_path)
    with at_the_window(record) as hand:
        walk(hand, NOTES)
        assert f"{NAME} is in the record." in hand.read
        assert presses(NOTES) * A_PRESS_S < 5 * 60
        assert len(list(hand.record.floor.all(Batch))) == 14
        assert check(record) == []
        hand.press("Undo")
        hand.press("Undo")  # batches are taken away: it asks first
        assert list(hand.record.floor.all(Batch)) == []
        assert check(record) == []
        hand.press("Bring in the rest")
    with closing(Record.open(record, StoppedClock(START_US))) as again:
        again.load_since(0)
        assert len(list(again.floor.all(Interval))) == 252
        assert again.next_undo is not None
        assert again.next_undo.what == "Old notes"


def test_the_same_notebook_a_second_time_adds_nothing(tmp_path: Path) -> None:
    record = new_record(tmp_path / "shop.shopclock")
    write_notebook(tmp_path)
    with at_the_window(record) as hand:
        walk(hand, NOTES)
        walk(hand, f"open shop\npress Back\npress Another file\ntype {NAME}")
        assert f"{NAME} was brought in already. Nothing was changed." in hand.read
        assert "Bring all in" not in hand.reach


def test_what_keeps_the_next_press_waiting_says_so_in_the_window(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The notebook taken for a large one, brought in and taken back: the window's bar is told each time."""
    waited: list[str] = []
    monkeypatch.setattr(record_module, "LARGE", 100)
    monkeypatch.setattr(AtOnce, "one_moment", lambda _: closing(Told(waited)))
    record = new_record(tmp_path / "shop.shopclock")
    write_notebook(tmp_path)
    with at_the_window(record) as hand:
        walk(hand, NOTES)
        assert waited == ["over"]
        hand.press("Undo")
        hand.press("Undo")  # batches are taken away: it asks first
        assert waited == ["over", "over"]


class Told(Unwatched):
    """One moment that is noted when it is over."""

    def __init__(self, waited: list[str]) -> None:
        self._waited = waited

    def close(self) -> None:
        self._waited.append("over")


DIARY_IN = """
    seek In and out
    press Old notes
    seek bench diary.csv
    press Lengths
    press Timed by a clock
    press Left out
    press Row 26
    type 20 Apr
    press Row 41
    type 12 Aug
    press Back
    press Bring all in
"""
DIARY = f"open shop\n{DIARY_IN}open trends\npress bevels\n"


def test_a_messy_diary_of_a_year_is_in_and_shows_in_trends_by_method(tmp_path: Path) -> None:
    """Twelve presses, those of the tabs among them, and two words typed to put right what nobody can read."""
    record = new_record(tmp_path / "shop.shopclock")
    shutil.copy(DIARY_FILE, tmp_path)
    with at_the_window(record) as hand:
        walk(hand, DIARY)
        assert any("8 batches are from notes." in said for said in hand.read)
        hand.press("as a table")
        state = hand.frame.findChildren(TrendsScreen)[0].presenter.state()
        assert isinstance(state, StageState)
        names = [column.head for column in state.table.columns]
        method, whence = names.index("Method"), names.index("From")
        told = Counter((row.cells[method], row.cells[whence]) for row in state.table.rows)
        assert told == {("free hand", "notes"): 5, ("jig", "notes"): 3}
    assert check(record) == []
