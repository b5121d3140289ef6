"""Texts about old notes before and after they are brought in."""

from collections.abc import Iterator

from shopclock.exchange.notes.columns import What, letter
from shopclock.exchange.notes.counts import Counts, counts
from shopclock.exchange.notes.notes import NotesDraft
from shopclock.exchange.notes.years import YearFrom
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import counted, length_text

SHOWN = 20
"""So many rows that can't be taken are listed; the rest are counted."""


def draft_lines(floor: ShopFloor, drafted: NotesDraft) -> Iterator[str]:
    """Say what would be made: the columns, the names, batches and stretches, the rows that can't be taken."""
    if drafted.others:
        yield f"{drafted.notes.file}. The other sheets: {', '.join(drafted.others)}."
    yield columns_text(drafted)
    yield from names_lines(drafted)
    yield from batch_lines(floor, drafted)
    if drafted.known:
        yield f"{drafted.known} rows are in the record already."
    yield from trouble_lines(drafted)


def columns_text(drafted: NotesDraft) -> str:
    """Say which column was taken for what."""
    places = sorted(drafted.columns.places.items(), key=lambda item: item[1])
    return "Columns: " + ", ".join(f"{letter(place)} {what.value}" for what, place in places) + "."


def names_lines(drafted: NotesDraft) -> Iterator[str]:
    """Say which names of stages are taken for another, and which are new."""
    for one in drafted.stages:
        if one.likely or one.method:
            yield f"{one.written} is taken for {one.name}{', ' * bool(one.method)}{one.method}."
    new = [one.name for one in drafted.stages if not one.known]
    if new:
        yield f"New among the stages: {', '.join(dict.fromkeys(new))}."


def batch_lines(floor: ShopFloor, drafted: NotesDraft) -> Iterator[str]:
    """Say how many batches and stretches, how long, and how much of it is estimated."""
    made = counts(floor, drafted)
    yield made_text(floor, made)
    if made.estimated:
        yield estimated_text(made)
    if drafted.yearless:
        yield years_text(drafted.yearless, drafted.year_from)
    if What.BATCH not in drafted.columns.places and made.new + made.gone_on:
        yield "No column names the batch: all rows of a pattern are one."


def made_text(floor: ShopFloor, made: Counts) -> str:
    """Say how many batches and stretches would be made, and how much work that is."""
    new = f"{counted(floor, 'batch', made.new)} to make" if made.new or not made.gone_on else ""
    pieces = f", {counted(floor, 'piece', made.pieces)}" if made.new else ""
    going_on = f"{counted(floor, 'batch', made.gone_on)} gone on with" if made.gone_on else ""
    batches = ", ".join(part for part in (f"{new}{pieces}", going_on) if part)
    intervals = "1 stretch" if made.intervals == 1 else f"{made.intervals} stretches"
    return f"{batches}, {intervals} of work, {length_text(made.work_us)} in all."


def estimated_text(made: Counts) -> str:
    """Say which lengths count as estimated, and what follows from it."""
    return (
        f"{made.estimated} are laid into their day or were guessed, and count as estimated: in hours and costs, "
        "in no trend."
    )


def years_text(yearless: int, year_from: YearFrom) -> str:
    """Say how many rows have no year, and where theirs is from; nothing where all have one."""
    if not yearless:
        return ""
    rows = "1 row says no year: it is" if yearless == 1 else f"{yearless} rows say no year: it is"
    return f"{rows} taken from {year_from.value}."


def trouble_lines(drafted: NotesDraft) -> Iterator[str]:
    """List the rows that can't be taken: row, column, why."""
    for one in drafted.troubles[:SHOWN]:
        yield f"Row {one.row}, {one.column}: {one.why}."
    if len(drafted.troubles) > SHOWN:
        yield f"{len(drafted.troubles) - SHOWN} more rows can't be taken."


def troubles_stop(drafted: NotesDraft) -> str:
    """Say that nothing was made because of rows that can't be taken, and what to do."""
    n = len(drafted.troubles)
    rows = "1 row can't be taken" if n == 1 else f"{n} rows can't be taken"
    return f"{rows}. Nothing was changed. Put them right, or bring in the rest with --leave-out."


def brought_text(drafted: NotesDraft) -> str:
    """Say what was brought in, and how it is taken back."""
    left = len(drafted.troubles)
    out = f" Left out: {left} of its rows." if left else ""
    return f"{drafted.notes.file} is in the record.{out} Undo in the window takes all of it back."
