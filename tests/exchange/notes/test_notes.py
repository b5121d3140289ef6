"""A notebook typed into a spreadsheet, from file to record: guessed, previewed, brought in, taken back."""

from __future__ import annotations

import tempfile
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopclock.exchange.notes.columns import What, guess, letter
from shopclock.exchange.notes.file import table_of
from shopclock.exchange.notes.match import match
from shopclock.exchange.notes.notes import NotesAnswers, draft_notes
from shopclock.exchange.notes.notes_in import here_in, take_in
from shopclock.exchange.notes.rows import RowQuestions
from shopclock.exchange.notes.text import draft_lines, troubles_stop
from shopclock.exchange.notes.time import DateOrder, LengthUnit
from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.shop.recovery import timeline
from shopclock.shop.setup import patterns
from shopclock.shop.values.entities import (
    ENTITIES,
    Batch,
    ImportFile,
    ImportRow,
    Interval,
    Pattern,
    Piece,
    Stage,
    Step,
    Tally,
)
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, Outcome, StepState
from shopclock.shop.work import amend
from tests.shop.workshop import ROUTE, ToyClock

if TYPE_CHECKING:
    from shopclock.exchange.notes.notes import NotesDraft

NOTES = """\
Date;Batch;Design;What I did;Time;Qty;How;Remarks
Sat 7.3.26;K1;Oyster knife;Sawing out;1:20;6;hacksaw;
;;;bevels;1h20;6;;new belt
8.3.26;;;Harden;19:10–20:35;6;;
8.3.26;;;Temper;20:40-23:40;6;;
9.3.26;;;Sweping;20 min;;;
10.3.26;K2;Spreader;saw;1,3 h;4;;
"""


def drafted(record: Record, text: str, said: NotesAnswers | None = None, name: str = "notes.csv") -> NotesDraft:
    file = record.path.with_name(name)
    file.write_text(text, encoding="utf-8")
    return draft_notes(record, file, said or NotesAnswers(), here_in(record))


def brought(record: Record, text: str, said: NotesAnswers | None = None) -> ImportFile:
    made = drafted(record, text, said)
    assert made.troubles == ()
    file = take_in(record, made)
    record.load_since(0)
    return file


def troubles(record: Record, text: str, said: NotesAnswers | None = None) -> list[tuple[int, str, str]]:
    return [(one.row, one.column, one.why) for one in drafted(record, text, said).troubles]


def stands(record: Record) -> dict[type, dict[int, object]]:
    return {kind: {thing.id: thing for thing in record.floor.all(kind)} for kind in ENTITIES}


def test_the_columns_are_guessed_from_heads() -> None:
    found = guess(table_of("notes", NOTES.encode()))
    assert [found.places[what] for what in (What.DATE, What.BATCH, What.PATTERN, What.STAGE)] == [0, 1, 2, 3]
    assert [found.places[what] for what in (What.LENGTH, What.PIECES, What.METHOD, What.NOTE)] == [4, 5, 6, 7]
    assert found.first_line == 1


def test_the_columns_are_guessed_from_contents_where_there_are_no_heads() -> None:
    found = guess(table_of("notes", b"7.3.26,Sawing,1:20\n8.3.26,Filing,0:45\n"))
    assert dict(found.places) == {What.DATE: 0, What.STAGE: 1, What.LENGTH: 2}
    assert [found.head(what) for what in (What.DATE, What.LENGTH)] == ["A", "C"]


def test_a_title_above_the_heads_is_passed_over() -> None:
    found = guess(table_of("notes", b"My year,,\n,,\nDay,Task,Start,End\n7.3.26,Saw,19:10,20:00\n"))
    assert found.first_line == 2
    assert found.places[What.END] == 3


def test_a_time_column_with_times_of_the_evening_is_when_work_started() -> None:
    found = guess(table_of("notes", b"Date,Task,Time,Min\n7.3.26,Saw,19:10,40\n8.3.26,Saw,20:10,35\n"))
    assert found.places[What.START] == 2


@pytest.mark.parametrize(("place", "name"), [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA")])
def test_columns_are_lettered_as_spreadsheets_do(place: int, name: str) -> None:
    assert letter(place) == name


def test_a_name_is_matched_to_the_same_else_to_the_likely_one_else_it_is_new() -> None:
    found = match(["BEVEL", "Bevels", "harden it", "Mopping", "grind"], ["Bevel", "Harden"], {"grind": "Bevel"})
    assert [(one.name, one.known, one.likely) for one in found] == [
        ("Bevel", True, False), ("Bevel", True, True), ("Harden", True, True), ("Mopping", False, False),
        ("Bevel", True, False),
    ]  # fmt: skip


def test_what_would_be_made_is_said_before_anything_is(record: Record) -> None:
    before = stands(record)
    lines = list(draft_lines(record.floor, drafted(record, NOTES)))
    assert lines == [
        "Columns: A date, B batch, C pattern, D stage, E length, F pieces, G method, H note.",
        "bevels is taken for Bevel.",
        "Sweping is taken for Sweeping.",
        "New among the stages: Sawing out.",
        "2 batches to make, 10 blades, 6 stretches of work, 5 h 43 in all.",
        "4 are laid into their day or were guessed, and count as estimated: in hours and costs, in no trend.",
    ]
    assert stands(record) == before


def test_a_notebook_becomes_batches_pieces_and_stretches_that_check_finds_sound(record: Record) -> None:
    brought(record, NOTES)
    floor = record.floor
    first, second = sorted(floor.all(Batch), key=lambda batch: batch.name)
    assert [(b.name, floor.get(Pattern, b.pattern_id).name) for b in (first, second)] == [
        ("K1", "Oyster knife"),
        ("K2", "Spreader"),
    ]
    assert [len(floor.pieces(b.id)) for b in (first, second)] == [6, 4]
    assert {piece.outcome for piece in floor.all(Piece)} == {Outcome.FINISHED}
    assert first.closed_us == max(i.end_us or 0 for i in floor.of_batch(Interval, first.id))
    assert sorted(i.end_us - i.start_us for i in floor.all(Interval) if i.end_us) == sorted(
        round(minutes * 60e6) for minutes in (80, 80, 85, 180, 20, 78)
    )
    assert check(record.path) == []


def test_rows_say_that_they_were_imported_and_from_where(record: Record) -> None:
    file = brought(record, NOTES)
    rows = sorted(record.floor.all(ImportRow), key=lambda row: row.row)
    assert [row.row for row in rows] == [2, 3, 4, 5, 6, 7]
    assert {row.import_file_id for row in rows} == {file.id}
    assert rows[1].note == "new belt"
    assert {row.interval_id for row in rows} == {i.id for i in record.floor.all(Interval)}


def test_each_stretch_names_its_file_and_row_where_it_is_read(record: Record) -> None:
    record.load_since(0)
    record.press("Add", lambda tx: amend.add_shop_work(tx, tx.floor.stage_by_name("Post"), 0, 60_000_000))
    brought(record, NOTES)
    assert [row.notes for row in record.reads.intervals()] == ["", *(f"notes.csv, row {n}" for n in (2, 3, 4, 5, 6, 7))]


def test_a_stretch_joined_of_two_rows_is_one_and_names_the_first(record: Record) -> None:
    brought(record, HEAD + "7.3.26;K1;Saw;9:00–10:00;3\n7.3.26;K1;Saw;10:00–11:00;3\n")
    first = min(record.floor.all(Interval), key=lambda interval: interval.start_us)
    record.press("Join", lambda tx: amend.join_next(tx, first))
    assert [row.notes for row in record.reads.intervals()] == ["notes.csv, row 2"]
    assert check(record.path) == []


def test_lengths_without_a_time_of_day_are_estimated_the_others_are_as_they_say(record: Record) -> None:
    brought(record, NOTES)
    found = {record.floor.get(Stage, i.stage_id).name: i for i in record.floor.all(Interval)}
    assert found["Harden"].start_us == datetime(2026, 3, 8, 18, 10, tzinfo=UTC).timestamp() * 1e6
    assert (found["Harden"].start_sure, found["Harden"].kind) == (Certainty.AMENDED, Kind.WATCH)
    assert found["Bevel"].start_sure is found["Bevel"].end_sure is Certainty.ESTIMATED


def test_a_start_and_a_length_last_as_long_over_the_change_of_clocks(record: Record) -> None:
    brought(record, "Date;Batch;Task;Start;Time;Qty\n28.3.26;K1;Cure;20:00;12 h;3\n")
    (interval,) = record.floor.all(Interval)
    assert interval.end_us == interval.start_us + 12 * 3_600_000_000


def test_from_and_to_are_clock_times_and_the_night_of_the_change_is_shorter(record: Record) -> None:
    brought(record, "Date;Batch;Task;Start;End;Qty\n28.3.26;K1;Cure;20:00;8:00;3\n")
    (interval,) = record.floor.all(Interval)
    assert interval.end_us == interval.start_us + 11 * 3_600_000_000


def test_lengths_count_as_timed_where_the_maker_says_so(record: Record) -> None:
    brought(record, NOTES, NotesAnswers(measured=True))
    assert {i.start_sure for i in record.floor.all(Interval)} == {Certainty.AMENDED}


def test_what_was_laid_into_its_day_stays_estimated_when_the_clock_is_put_right(record: Record) -> None:
    brought(record, NOTES)
    record.press("Right", lambda tx: timeline.no_longer_guessed(tx, 0))
    assert {i.start_sure for i in record.floor.all(Interval)} == {Certainty.AMENDED, Certainty.ESTIMATED}


def test_steps_that_the_notes_do_not_speak_of_are_not_timed(record: Record) -> None:
    brought(record, NOTES)
    batch = next(b for b in record.floor.all(Batch) if b.name == "K2")
    states = {step.name: step.state for step in record.floor.steps(batch.id)}
    assert states.pop("Saw") is StepState.TIMED
    assert set(states.values()) == {StepState.NOT_TIMED}


def test_one_undo_takes_all_of_it_back_after_a_restart_too(record: Record) -> None:
    before = stands(record)
    brought(record, NOTES)
    record.close()
    with closing(Record.open(record.path, record.clock)) as again:
        assert again.undo() == "Old notes"
        after = stands(again)
        assert {kind: things for kind, things in after.items() if things} == {
            kind: things for kind, things in before.items() if things
        }
        assert again.reads.imported_rows() == frozenset()
    assert check(record.path) == []


def test_the_same_file_again_adds_nothing(record: Record) -> None:
    brought(record, NOTES)
    held = stands(record)
    with pytest.raises(Refusal, match=r"notes\.csv was brought in already\. Nothing was changed\."):
        drafted(record, NOTES)
    with pytest.raises(Refusal, match="was brought in already"):
        drafted(record, NOTES, name="renamed.csv")
    assert stands(record) == held


def test_a_longer_copy_of_the_file_adds_what_is_new_and_goes_on_with_its_batches(record: Record) -> None:
    brought(record, NOTES)
    made = drafted(record, NOTES + "11.3.26;K1;;Filing;50 min;6;;\n")
    assert (made.known, len(made.notes.placed), made.troubles) == (6, 1, ())
    take_in(record, made)
    batches = list(record.floor.all(Batch))
    first = next(b for b in batches if b.name == "K1")
    assert len(batches) == 2
    assert first.closed_us == max(i.end_us or 0 for i in record.floor.of_batch(Interval, first.id))
    assert [s.name for s in record.floor.steps(first.id)][-1] == "Filing"
    assert check(record.path) == []


def test_two_rows_that_say_the_same_are_two(record: Record) -> None:
    row = "7.3.26;K1;Saw;20 min;3\n"
    brought(record, f"Date;Batch;Task;Time;Qty\n{row}{row}")
    assert len(list(record.floor.all(Interval))) == 2
    assert check(record.path) == []


def test_a_batch_that_is_still_in_work_stays_open(record: Record) -> None:
    brought(record, NOTES, NotesAnswers(open_batches=("k2",)))
    assert {b.name: b.closed_us is None for b in record.floor.all(Batch)} == {"K1": False, "K2": True}
    assert {p.outcome for p in record.floor.living(record.floor.open_batches()[0].id)} == {None}


HEAD = "Date;Batch;Task;Time;Qty\n"


@pytest.mark.parametrize(
    ("row", "trouble"),
    [
        ("31.2.26;K1;Saw;20;3", (2, "Date", "31.2.26 is no day of the calendar")),
        ("30.12.1899;K1;Saw;20;3", (2, "Date", "30.12.1899 is before 1990")),
        ("7.3.27;K1;Saw;20;3", (2, "Date", "7.3.27 is later than now")),
        (";K1;Saw;20;3", (2, "Date", "is empty")),
        ("7.3.26;K1;;20;3", (2, "Task", "is empty")),
        ("7.3.26;K1;Saw;-20;3", (2, "Time", "-20 is less than nothing")),
        ("7.3.26;K1;Saw;30:00;3", (2, "Time", "is longer than a day")),
        ("7.3.26;K1;Saw;;3", (2, "Time", "is empty, and so is the time of day")),
        ("7.3.26;K1;Saw;a while;3", (2, "Time", "a while is no length of time")),
        ("7.3.26;K1;Saw;20;many", (2, "Qty", "many is no number from 1 to 60")),
        ("7.3.26;K1;Saw;20;61", (2, "Qty", "61 is no number from 1 to 60")),
        ("7.3.26;K1;Saw;20;", (2, "Qty", "no row of its batch says how many")),
        (f"7.3.26;K1;{'Saw' * 20};20;3", (2, "Task", f"{('Saw' * 20)[:40]} is longer than 40 letters")),
    ],
)
def test_a_row_that_cannot_be_taken_is_listed_with_column_and_why(
    record: Record, row: str, trouble: tuple[int, str, str]
) -> None:
    assert troubles(record, HEAD + row) == [trouble]


def test_rows_at_the_same_time_are_listed_the_first_is_kept(record: Record) -> None:
    rows = "7.3.26;K1;Saw;19:00–20:00;3\n7.3.26;K2;Saw;19:30–20:30;3\n"
    assert troubles(record, HEAD + rows) == [
        (3, "Time", "is at the same time as other work, which lasts until 20:00 on Sat 7 Mar")
    ]


def test_what_is_in_the_record_already_is_not_overlapped(record: Record) -> None:
    brought(record, HEAD + "7.3.26;K1;Saw;9:00–20:00;3\n")
    brought(record, HEAD + "7.3.26;K2;Saw;5 h;3\n")
    assert troubles(record, HEAD + "7.3.26;K3;Saw;12 h;3\n") == [(2, "Time", "has no room in its day beside the rest")]
    assert check(record.path) == []


def test_a_row_left_out_is_said_and_the_others_are_taken(record: Record) -> None:
    made = drafted(record, HEAD + "7.3.26;K1;Saw;20;3\nTotal;;;20;\n")
    assert troubles_stop(made) == (
        "1 row can't be taken. Nothing was changed. Put them right, or bring in the rest with --leave-out."
    )
    take_in(record, made)
    assert len(list(record.floor.all(Interval))) == 1


def test_the_maker_is_asked_once_what_slashes_mean(record: Record) -> None:
    text = HEAD + "7/3/26;K1;Saw;20;3\n8/3/26;K1;Bevel;20;3\n"
    with pytest.raises(Refusal, match="7/3/26 may be day or month first"):
        drafted(record, text)
    brought(record, text, NotesAnswers(asked=RowQuestions(order=DateOrder.DAY_FIRST)))
    assert {i.start_us // 86_400_000_000 for i in record.floor.all(Interval)} == {20_519, 20_520}


def test_the_maker_can_say_what_the_file_does_not(record: Record) -> None:
    said = NotesAnswers(
        asked=RowQuestions(unit=LengthUnit.HOURS), stages={"rough work": "bevel"}, pattern="Spreader", pieces=5
    )
    brought(record, "Date;Task;Time\n7.3.26;Rough work;2\n", said)
    (interval,) = record.floor.all(Interval)
    assert interval.end_us == interval.start_us + 2 * 3_600_000_000
    assert len(interval.pieces) == 5
    step = record.floor.get(Step, interval.step_id or 0)
    assert step.name == "Bevel"
    assert {t.piece_id for t in record.floor.tallies_of(step)} == set(interval.pieces)


def test_a_file_without_dates_or_stages_says_what_is_missing(record: Record) -> None:
    with pytest.raises(Refusal, match="has no date and no length or start among its columns"):
        drafted(record, "Task\nSawing\nFiling\n")


def test_a_stretch_taken_away_takes_its_row_along(record: Record) -> None:
    brought(record, NOTES)
    interval = next(record.floor.all(Interval))
    record.press("Take away", lambda tx: amend.remove(tx, interval))
    assert len(list(record.floor.all(ImportRow))) == 5
    assert check(record.path) == []


def test_pieces_are_through_a_step_when_its_last_row_ended(record: Record) -> None:
    brought(record, HEAD + "7.3.26;K1;Saw;20;3\n8.3.26;K1;Saw;20;2\n")
    ends = {i.end_us for i in record.floor.all(Interval)}
    assert {tally.at_us for tally in record.floor.all(Tally)} <= ends


LENGTHS = st.integers(1, 700).map(lambda m: f"{m} min")
SPANS = st.tuples(st.integers(0, 1439), st.integers(1, 700)).map(
    lambda s: f"{s[0] // 60}:{s[0] % 60:02d}–{(s[0] + s[1]) % 1440 // 60}:{(s[0] + s[1]) % 60:02d}"
)
TASKS = st.sampled_from(["Saw", "Bevel", "Harden", "Temper", "Scales", "Cure", "Sweeping", "Polish"])
ROW = st.tuples(st.integers(1, 9), st.sampled_from("KL"), TASKS, LENGTHS | SPANS, st.integers(1, 4))


def test_another_batch_does_not_repeat_the_pattern_above(record: Record) -> None:
    head, first = "Date;Batch;Pattern;Task;Time;Qty\n", "7.3.26;K1;Spreader;Saw;20;3\n"
    brought(record, f"{head}{first}8.3.26;K2;;Saw;20;3\n;;;Bevel;20;\n")
    names = {b.name: record.floor.get(Pattern, b.pattern_id).name for b in record.floor.all(Batch)}
    assert names == {"K1": "Spreader", "K2": "Old notes"}


@settings(max_examples=4)
@given(st.lists(ROW, min_size=1, max_size=14))
def test_whatever_fits_is_taken_and_sound_and_undone_to_the_last_row(
    rows: list[tuple[int, str, str, str, int]],
) -> None:
    text = HEAD + "".join(f"{day}.3.26;{batch};{task};{time};{n}\n" for day, batch, task, time, n in rows)
    with tempfile.TemporaryDirectory() as folder:
        opened = Record.open(Path(folder) / "r.shopclock", ToyClock(), make=True, zone="Europe/Vienna")
        with closing(opened):
            opened.press("Route", lambda tx: patterns.copy_route(tx, ROUTE, "Spreader"))
            before = stands(opened)
            made = drafted(opened, text, NotesAnswers(pattern="Spreader"))
            assert len(made.notes.placed) + len(made.troubles) == len(rows)
            if made.notes.placed:
                take_in(opened, made)
                assert check(opened.path) == []
                opened.undo()
            assert stands(opened) == before
            assert check(opened.path) == []
