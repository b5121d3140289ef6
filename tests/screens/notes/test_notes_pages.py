"""Old notes in the window: what is asked, what would be made, what a press brings in, and what stopping leaves."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

import pytest

from shopclock.record.check.check import check
from shopclock.record.file.opening import file_for_parcel
from shopclock.record.read.parcel import SPOILT
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.notes.bringing import Bringing
from shopclock.screens.notes.pages.files import FilesPage
from shopclock.screens.paged.paged_presenter import PagedPresenter
from shopclock.shop.values.entities import Batch, ImportFile, Interval, Pattern, Stage
from shopclock.shop.values.kinds import Certainty
from shopclock.shop.values.progress import Stopped, Unwatched
from tests.exchange.spreader import spreader_shop
from tests.fake_dialogs import FakeDialogs
from tests.screens.batches.reading import press, said, tile, titles

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.record.press.record import Record
    from shopclock.screens.long_work.runner import Failed, Task, Then

PLAIN = "Date;Batch;Pattern;Task;Time;Qty\n7.3.26;K1;Spreader;Saw;20 min;6\n8.3.26;K1;Spreader;bevels;1h20;6\n"


class Cancelled(Unwatched):
    """Work that the maker cancels when it has said so often how far it is."""

    def __init__(self, after: int) -> None:
        self._left = after

    def at(self, _done: int, _of: int, _words: str) -> None:
        self._left -= 1
        if self._left < 0:
            raise Stopped


class Cancelling(AtOnce):
    """Work beside the window that the maker cancels."""

    def __init__(self, after: int) -> None:
        self.after = after

    def run_long(self, _words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        self.run(partial(task, *arguments, progress=Cancelled(self.after)), (), then, failed)


class Pages(PagedPresenter):
    """The stack with a file chosen."""

    def __init__(self, record: Record, work: AtOnce | None = None) -> None:
        self.went: list[str] = []
        super().__init__(record, FakeDialogs(), lambda tab, *_: self.went.append(tab))
        self.answers = self.dialogs.answers  # type: ignore[attr-defined]  # they are fake
        self.asked = self.dialogs.asked  # type: ignore[attr-defined]  # a fake's
        self._bringing = Bringing(record, work or AtOnce())

    def choose(self, text: str, *answers: str | None, name: str = "notes.csv") -> None:
        """Write a file and press it among the files."""
        folder = self.record.path.parent / "documents"
        folder.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
        self.answers.extend(answers)
        self.open(FilesPage(self, self._bringing, lambda: [folder]))
        press(self, name)

    @property
    def title(self) -> str:
        """The sentence at the top."""
        return self.state().title


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    with closing(spreader_shop(tmp_path)) as opened:
        yield opened


@pytest.fixture
def pages(record: Record) -> Pages:
    return Pages(record)


def test_a_file_is_told_then_brought_in_by_one_press_and_taken_back_by_one_undo(pages: Pages) -> None:
    pages.choose(PLAIN)
    assert pages.title == "1 batch to make, 6 blades, 2 stretches of work, 1 h 40 in all."
    assert (
        said(pages)
        == "2 are laid into their day or were guessed, and count as estimated: in hours and costs, in no trend."
    )
    press(pages, "Bring all in")
    assert pages.title == "notes.csv is in the record."
    press(pages, "To Trends")
    press(pages, "To Batches")
    assert pages.went == ["trends", "batches"]
    assert [batch.name for batch in pages.floor.all(Batch)] == ["K1"]
    assert check(pages.record.path) == []
    assert pages.undo_names == "Old notes"
    pages.answers.append("undo")
    pages.press_undo()
    assert pages.title.startswith("1 batch to make")
    assert list(pages.floor.all(Batch)) == []
    assert check(pages.record.path) == []


def test_the_same_file_adds_nothing_and_says_so(pages: Pages) -> None:
    pages.choose(PLAIN)
    press(pages, "Bring all in")
    pages.choose(PLAIN, name="copy.csv")
    assert pages.title == "copy.csv was brought in already. Nothing was changed."
    assert pages.state().actions == ()


def test_a_longer_file_of_nothing_new_says_so(pages: Pages) -> None:
    pages.choose(PLAIN)
    press(pages, "Bring all in")
    pages.choose(PLAIN.replace("Task", "Task "), name="again.csv")
    assert pages.title == "All 2 rows of again.csv are in the record already: there is nothing to add."
    assert not tile(pages, "Bring all in").enabled


def test_numbers_that_would_be_days_of_hours_are_minutes_without_a_question(pages: Pages) -> None:
    pages.choose("Date,Batch,Task,Time,Qty\n15/3/26,K1,Saw,80,3\n16/3/26,K1,Saw,20,3\n")
    assert pages.asked == []
    assert "1 h 40 in all" in pages.title


def test_dates_and_bare_numbers_are_asked_about_once(pages: Pages) -> None:
    pages.choose("Date,Batch,Task,Time,Qty\n7/3/26,K1,Saw,8,3\n8/3/26,K1,Saw,20,3\n", "day first", "minutes")
    assert [one.words for one in pages.asked] == ["Which day is 7/3/26 in notes.csv", "What is 8 in notes.csv"]
    assert [choice.label for choice in pages.asked[0].choices] == ["Sat 7 Mar 2026", "Fri 3 Jul 2026"]
    assert pages.title == "1 batch to make, 3 blades, 2 stretches of work, 28 min in all."
    press(pages, "Bring all in")
    assert min(i.start_us for i in _stretches(pages)) // 86_400_000_000 == 20_519


def test_a_question_that_was_put_off_stays_on_the_page(pages: Pages) -> None:
    pages.choose("Date,Batch,Task,Time,Qty\n7/3/26,K1,Saw,80 min,3\n", None)
    assert pages.title == "notes.csv: first answer what is asked"
    assert pages.state().actions == ()
    pages.answers.append("month first")
    pages.press(tile(pages, "Dates").key)
    assert tile(pages, "Dates").detail == "month first"


def test_a_column_that_is_missing_is_chosen_by_pressing_its_head(pages: Pages) -> None:
    pages.choose("Date;Batch;Foo;Time;Qty\n7.3.26;K1;17;20 min;3\n")
    assert pages.title == "notes.csv: which column is the stage?"
    press(pages, "Columns")
    assert pages.state().rows == (("Date", "Batch", "Foo", "Time", "Qty"), ("7.3.26", "K1", "17", "20 min", "3"))
    pages.answers.append("stage")
    pages.press("column 2")
    assert [one.title for one in pages.state().tiles] == ["Date", "Batch", "Stage", "Length", "Pieces"]
    pages.answers.append("nothing")
    pages.press("column 4")
    assert [one.title for one in pages.state().tiles][-1] == "Nothing"
    pages.back()
    assert tile(pages, "Blades").detail == "no row says how many"


def test_a_likely_stage_is_offered_first_and_another_can_be_chosen(pages: Pages) -> None:
    pages.choose(PLAIN)
    press(pages, "Stages")
    first = pages.state().tiles[0]
    assert (first.title, first.detail) == ("bevels", "likely Bevel")
    press(pages, "bevels")
    assert titles(pages)[0] == "Bevel"
    assert titles(pages)[-1] == "bevels"
    press(pages, "Harden")
    assert tile(pages, "bevels").detail == "Harden"
    pages.back()
    press(pages, "Bring all in")
    assert {stage.name for stage in pages.floor.all(Stage)}.isdisjoint({"bevels"})


def test_what_no_row_says_can_be_said(pages: Pages) -> None:
    pages.choose("Date;Task;Min\n7.3.26;Saw;20\n", "Spreader")
    assert pages.title == "Nothing of notes.csv can be brought in as it is."
    pages.press(tile(pages, "Pattern").key)
    pages.answers.append("61")
    pages.press(tile(pages, "Blades").key)
    assert pages.asked[-1].words == "That is no number from 1 to 60. Nothing was changed."
    pages.answers.append("4")
    pages.press(tile(pages, "Blades").key)
    assert tile(pages, "Lengths").detail == "count as estimated"
    pages.answers.append("timed")
    press(pages, "Lengths")
    assert [choice.detail for choice in pages.asked[-1].choices] == [
        "they count in hours, costs and trends, marked from notes",
        "they count in hours and costs, in no trend",
    ]
    assert tile(pages, "Lengths").detail == "were timed"
    press(pages, "Bring all in")
    batch = next(pages.floor.all(Batch))
    assert pages.floor.get(Pattern, batch.pattern_id).name == "Spreader"
    assert {i.start_sure for i in _stretches(pages)} == {Certainty.AMENDED}


def test_rows_that_cannot_be_taken_are_listed_and_left_out_only_by_a_press_that_says_so(pages: Pages) -> None:
    pages.choose(PLAIN + "Total;;;;20 h;\n")
    assert "1 row can't be taken: see Left out." in said(pages)
    press(pages, "Left out")
    assert [(t.title, t.detail) for t in pages.state().tiles] == [
        ("Row 4, Date", "Total is no date with day, month and year")
    ]
    pages.back()
    press(pages, "Bring in the rest")
    assert len(_stretches(pages)) == 2


def test_a_refused_row_is_put_right_in_the_window(pages: Pages) -> None:
    pages.choose(PLAIN + "9.3.2x;K1;Spreader;Saw;30 min;6\n")
    press(pages, "Left out")
    pages.answers.append("9.3.26")
    press(pages, "Row 4, Date")
    assert pages.asked[-1].start == "9.3.2x"
    assert pages.title == "Nothing is left out"
    pages.back()
    press(pages, "Bring all in")
    assert len(_stretches(pages)) == 3


def test_rows_with_the_same_fault_are_put_right_together_or_alone(pages: Pages) -> None:
    pages.choose(PLAIN + "9.3.26;K1;Spreader;Saw;1/2;6\n10.3.26;K1;Spreader;Saw;1/2;6\n")
    press(pages, "Left out")
    pages.answers += ["30 min", "one"]
    press(pages, "Row 4, Time")
    assert [t.title for t in pages.state().tiles] == ["Row 5, Time"]
    pages.choose(PLAIN + "9.3.26;K1;Spreader;Saw;1/2;6\n10.3.26;K1;Spreader;Saw;1/2;6\n", name="again.csv")
    press(pages, "Left out")
    pages.answers += ["30 min", "all"]
    press(pages, "Row 4, Time")
    assert pages.title == "Nothing is left out"


def test_the_method_in_a_name_can_be_said_otherwise(pages: Pages) -> None:
    pages.choose(PLAIN.replace("bevels", "bevels free hand"))
    press(pages, "Stages")
    found = tile(pages, "bevels free hand")
    assert found.detail.endswith(", freehand")
    press(pages, "bevels free hand")
    pages.answers.append("")
    press(pages, "Method")
    assert tile(pages, "Method").detail == "none"


def test_a_batch_that_is_still_in_work_stays_open(pages: Pages) -> None:
    pages.choose(PLAIN)
    press(pages, "Still in work", "K1")
    assert tile(pages, "K1").detail == "in work"
    pages.back()
    press(pages, "Bring all in")
    assert [batch.name for batch in pages.floor.open_batches()] == ["K1"]


@pytest.mark.parametrize("after", [0, 3, 7])
def test_cancelling_leaves_nothing(record: Record, after: int) -> None:
    """In the middle of reading, of making batches, of writing them beside the record."""
    work = Cancelling(after)
    pages = Pages(record, work)
    pages.choose(PLAIN)
    assert pages.title == "Stopped. Nothing was changed. Go back and choose the file again."
    assert pages.state().actions == ()
    assert not file_for_parcel(record.path).exists()
    work.after = 8
    pages.choose(PLAIN)
    press(pages, "Bring all in")
    assert len(_stretches(pages)) == 2
    assert check(record.path) == []
    assert not file_for_parcel(record.path).exists()


def test_a_press_that_spoils_the_notes_has_them_worked_out_anew(pages: Pages) -> None:
    record = pages.record
    pages.choose(PLAIN)
    saw = next(stage for stage in record.floor.all(Stage) if stage.name == "Saw")
    record.press("Name", lambda tx: tx.change(replace(tx.current(saw), name="Cut")))
    press(pages, "Bring all in")
    assert pages.asked[-1].words == SPOILT
    assert list(record.floor.all(ImportFile)) == []
    press(pages, "Bring all in")
    assert len(_stretches(pages)) == 2
    assert check(record.path) == []


def test_a_file_that_is_none_is_a_sentence(pages: Pages) -> None:
    pages.choose("", name="empty.csv")
    assert pages.title == "empty.csv can't be taken: there is nothing in it. Nothing was changed."


def _stretches(pages: Pages) -> list[Interval]:
    return list(pages.record.load_since(0).all(Interval))
