"""Writes the cells that most cells are more quickly than XlsxWriter by itself, and just as it would.

Nearly all cells of a large record are numbers and plain names with a format. XlsxWriter looks in each for what has to
be escaped; these need nothing. Whatever else there is goes its usual way, and so would all if XlsxWriter came to call
its own method by another name. A test holds both to the same bytes. Imported when a workbook is written.
"""

import re
from functools import lru_cache
from typing import Any

from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import CellNumberTuple, CellStringTuple, Worksheet

_HARMLESS = re.compile(r"[0-9A-Za-z](?:[ -%'-;=?-^`-~]*[!-%'-;=?-^`-~])?")
"""Nothing that XML or a spreadsheet takes for more than a letter: no & < > or _, no space at an end."""


@lru_cache(maxsize=4096)
def harmless(text: str) -> bool:
    """Tell whether a text can stand in a cell as it is."""
    return _HARMLESS.fullmatch(text) is not None


class QuickSheet(Worksheet):  # type: ignore[misc]  # XlsxWriter ships no types
    """A worksheet in constant memory whose plain cells are written at once."""

    def __init__(self) -> None:
        super().__init__()
        self._names: dict[int, str] = {}
        self._looks: dict[int, str] = {}

    def _write_cell(self, row: int, col: int, cell: Any) -> None:
        kind = cell.__class__
        look = self._looks.get(id(cell.format)) or self._look(cell.format)
        name = self._names.get(col) or self._name(col)
        if look and kind is CellNumberTuple:
            self.fh.write(f'<c r="{name}{row + 1}"{look}><v>{cell.number:.16G}</v></c>')
        elif look and kind is CellStringTuple and self.constant_memory and harmless(cell.string):
            self.fh.write(f'<c r="{name}{row + 1}"{look} t="inlineStr"><is><t>{cell.string}</t></is></c>')
        else:
            super()._write_cell(row, col, cell)

    def _look(self, form: Any) -> str:
        """Return how a format is named in a cell, "" for none; formats live as long as the workbook."""
        if not form:
            return ""
        look = self._looks[id(form)] = f' s="{form._get_xf_index()}"'  # noqa: SLF001  # as XlsxWriter itself asks
        return look

    def _name(self, col: int) -> str:
        name = self._names[col] = str(xl_col_to_name(col))
        return name
