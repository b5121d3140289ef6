"""Limits of a file of old notes, and what is said where one is met: what is refused costs little, however it is made.

Measured by tests/exchange/notes/test_notes_limits.py: 5 s of processor and 500 MB for whatever is refused.
"""

LARGEST = 40_000_000
"""Bytes of a file; a hundred thousand rows have a quarter of it."""
MOST_ROWS = 120_000
MOST_COLUMNS = 200
MOST_CELLS = 800_000
"""Cells between the first and the last that says something: a reader of workbooks makes room for all of them."""
LONGEST_CELL = 32_767
"""Letters of a cell, as spreadsheet programs have it."""
LONGEST_LINE = 400_000
"""Letters of a line of text, which is held whole before its fields are told apart."""
UNPACKED = 150_000_000
"""Bytes that a workbook unpacks to."""
MOST_ENTRIES = 2_000
"""Files in a workbook."""
MOST_ELEMENTS = 3_500_000
"""Elements in a workbook: each cell has up to three, and its formats some."""
DEEPEST = 100
"""Elements within each other; a spreadsheet program's stand a dozen deep."""


class NoTable(Exception):
    """Fault of a file that can't be taken, to be put into a sentence: what is wrong, and what to do about it."""


def too_many_rows() -> NoTable:
    """Return what is said of a table that is too long."""
    return NoTable(f"it has more than {MOST_ROWS:,} rows; split it, and bring in one part after the other")


def too_many_columns() -> NoTable:
    """Return what is said of a table that is too wide."""
    return NoTable(f"it has more than {MOST_COLUMNS} columns; take out those that notes don't need")


def too_many_cells() -> NoTable:
    """Return what is said of a table that is long and wide."""
    return NoTable(f"its rows and columns make more than {MOST_CELLS:,} cells; take out columns, or split it")


def too_long_cell() -> NoTable:
    """Return what is said of a table with a cell that no spreadsheet holds."""
    return NoTable(f"a cell of it is longer than {LONGEST_CELL:,} letters; shorten it")


def not_whole() -> NoTable:
    """Return what is said of a workbook that can't be read."""
    return NoTable("it is no whole workbook; open it in a spreadsheet program and save it again, or as .csv")


class CellCount:
    """Rows and columns of a table while it is read; NoTable as soon as there are too many."""

    def __init__(self) -> None:
        self.rows = 0
        self.columns = 0

    def reach(self, rows: int, columns: int) -> None:
        """Note that the table reaches to here at least."""
        self.rows, self.columns = max(self.rows, rows), max(self.columns, columns)
        if self.rows > MOST_ROWS:
            raise too_many_rows()
        if self.columns > MOST_COLUMNS:
            raise too_many_columns()
        if self.rows * self.columns > MOST_CELLS:
            raise too_many_cells()
