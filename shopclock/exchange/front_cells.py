"""Formulas over the other sheets' cells, and how a cell of the front sheet is named."""

from typing import Any

from shopclock.exchange.batch_sheet import BATCHES
from shopclock.exchange.cells import Sheet
from shopclock.exchange.figure_sheets import STAGES


def at(row: int, place: int) -> str:
    """Return a cell's name: $C$12."""
    from xlsxwriter.utility import xl_rowcol_to_cell

    return str(xl_rowcol_to_cell(row, place, row_abs=True, col_abs=True))


def cells(sheet: Sheet[Any], head: str, rows: int) -> str:
    """Return the cells under a head of a sheet with so many rows, as a formula names them."""
    from xlsxwriter.utility import xl_col_to_name

    letters = xl_col_to_name([column.head for column in sheet.columns].index(head))
    return f"'{sheet.name}'!${letters}$2:${letters}${max(rows, 1) + 1}"


def settled(batches: int, *, so_far: bool) -> str:
    """Return 1 for each row of Batches that is closed and timed from the first step; for each row where none is."""
    if so_far:
        return f'({cells(BATCHES, "Batch", batches)}<>"")'
    return f'({cells(BATCHES, "So far", batches)}="")*({cells(BATCHES, "At least", batches)}="")'


def of_batch(row: int, head: str, batches: int) -> str:
    """Return a figure of the batch that a row of the front sheet names in its first column, started as in its second.

    Names may come twice; names and starts together do not.
    """
    name, started = (cells(BATCHES, column, batches) for column in ("Batch", "Started (shop time)"))
    return f"SUMPRODUCT(({name}=$A{row + 1})*({started}=$B{row + 1}),{cells(BATCHES, head, batches)})"


def of_stage(row: int, stage: str, head: str, rows: int) -> str:
    """Return a figure of that batch at the stage which a cell names."""
    columns = ("Batch", "Batch started (shop time)", "Stage")
    batch, started, name = (cells(STAGES, column, rows) for column in columns)
    which = f"({batch}=$A{row + 1})*({started}=$B{row + 1})*({name}={stage})"
    return f"SUMPRODUCT({which},{cells(STAGES, head, rows)})"
