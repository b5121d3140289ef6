"""Sheets as a workbook (ECMA-376), row by row in constant memory; plain cells by a quick way of our own."""

from __future__ import annotations

import io
import math
import re
import tempfile
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager
from datetime import timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import CellNumberTuple, CellStringTuple, Worksheet

from shopclock.exchange.workbook.cells import Holds, Sheet
from shopclock.exchange.workbook.safe_text import text_cell
from shopclock.shop.state.wording import shop_time
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from pathlib import Path
    from types import TracebackType
    from zoneinfo import ZoneInfo

    from _typeshed import ReadableBuffer

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


class LooseSheetPage:
    """Keeps the few cells of a sheet that is laid out by hand, and writes them by row when it is finished."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self._cells: list[tuple[int, Callable[[], object]]] = []

    def string(self, row: int, place: int, text: str, form: Any = None) -> None:
        """Write a text; it is one whatever it begins with."""
        self._cells.append((row, lambda: self.page.write_string(row, place, text, form)))

    def number(self, row: int, place: int, value: float, form: Any = None) -> None:
        """Write a number."""
        self._cells.append((row, lambda: self.page.write_number(row, place, value, form)))

    def formula(self, row: int, place: int, formula: str, form: Any, value: Any) -> None:
        """Write a formula with the value that it has, for programs that don't work it out on opening."""
        self._cells.append((row, lambda: self.page.write_formula(row, place, formula, form, value)))

    def wide(self, row: int, place: int, last: int, text: str, form: Any) -> None:
        """Write a text into cells joined up to the last; joining alone would take what looks like a formula for one."""
        self._cells.append((row, lambda: self.page.merge_range(row, place, row, last, "", form)))
        self.string(row, place, text, form)

    def high(self, row: int, points: float) -> None:
        """Make a row so many points high."""
        self._cells.append((row, lambda: self.page.set_row(row, points)))

    def finish(self) -> None:
        """Write the cells."""
        for _, write in sorted(self._cells, key=lambda cell: cell[0]):
            write()


class Target(io.BufferedWriter):
    """A file being written; `heed` is called before each write, and what it raises stops that.

    Once given up nothing reaches the disk any more and nothing complains.
    The writer of a zip archive closes it when it is thrown away, full disk or not, and would say so on the terminal.
    """

    def __init__(self, path: Path, heed: Callable[[], None] = lambda: None) -> None:
        self._given_up = False
        self._heed = heed
        self._place = 0
        super().__init__(io.FileIO(path, "w"))

    def give_up(self) -> None:
        """Let go of the file as it is; from here on only the place is kept."""
        self._given_up = True
        self.raw.close()

    def write(self, data: ReadableBuffer, /) -> int:
        """Write, unless given up."""
        if not self._given_up:
            self._heed()
            return super().write(data)
        size = memoryview(data).nbytes
        self._place += size
        return size

    def seek(self, target: int, whence: int = 0, /) -> int:
        """Go to a place."""
        if not self._given_up:
            return super().seek(target, whence)
        self._place = target
        return target

    def tell(self) -> int:
        """Tell the place."""
        return self._place if self._given_up else super().tell()

    def flush(self) -> None:
        """Hand on what is waiting, unless given up."""
        if not self._given_up:
            super().flush()


R = TypeVar("R")
Put = Callable[[int, int, Any], object]
"""Writes a value into row and column."""

DAY_US = 86_400_000_000
EPOCH_DAY = 25_569
"""The day number of 1 January 1970 where 1 is 1 January 1900 and 29 February 1900 is counted (ECMA-376, 18.17.4)."""
MOST_ROWS = 1_048_576
TWO_LINES = 31
"""The height of the heads, in points: a unit may stand in a second line."""
WIDEST, LETTER_WIDTH = 60, 0.95
"""The widest a column gets, and how wide a letter is on average, in widths of a 0."""
PAGE_WIDTH = 200
"""Widths of a 0 that are legible beside each other on a landscape page."""
PAPERS = {"Letter": 1, "A4": 9}
"""Sizes of paper by number (ECMA-376, 18.3.1.63); without one the printer's own."""
FORMATS = {
    Holds.TEXT: "@",
    Holds.COUNT: "0",
    Holds.MINUTES: "0.0",
    Holds.MONEY: "#,##0.00",
    Holds.LENGTH: "[h]:mm",
    Holds.SHOP_TIME: "yyyy-mm-dd hh:mm",
    Holds.UTC: "yyyy-mm-dd hh:mm:ss",
}
_NUMBERS = (Holds.COUNT, Holds.MINUTES, Holds.LENGTH, Holds.SHOP_TIME, Holds.UTC)


class Workbook(AbstractContextManager["Workbook"]):
    """A workbook that is being written; leaving the block writes it out, an error leaves it unfinished."""

    def __init__(self, path: Path, zone: ZoneInfo, paper: str = "", heed: Callable[[], None] = lambda: None) -> None:
        import xlsxwriter

        self._sheet = QuickSheet
        self._clock, self._paper = ShopClock(zone), PAPERS.get(paper)
        self._scratch = tempfile.TemporaryDirectory(prefix="shopclock-", ignore_cleanup_errors=True)
        options = {"constant_memory": True, "tmpdir": self._scratch.name}
        self._target = Target(path, heed)
        self._book = xlsxwriter.Workbook(self._target, options)
        text = {"num_format": FORMATS[Holds.TEXT], "indent": 1}
        self._formats = {holds: self._book.add_format({"num_format": form}) for holds, form in FORMATS.items()}
        self._formats[Holds.TEXT] = self._book.add_format(text)
        self._guarded = self._book.add_format(text | {"quote_prefix": True})
        head = {"bold": True, "text_wrap": True, "valign": "top", "bottom": 1}
        self._text_head = self._book.add_format(head | {"align": "left", "indent": 1})
        self._number_head = self._book.add_format(head | {"align": "right"})

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Write the file out, or let go of what was written so far."""
        try:
            if error is None:
                self._finish()
        finally:
            self._target.give_up()
            for sheet in self._book.worksheets():
                sheet._opt_close()  # noqa: SLF001  # XlsxWriter has no public way to give up
            self._book.fileclosed = True
            self._scratch.cleanup()

    def _finish(self) -> None:
        from xlsxwriter.exceptions import FileCreateError

        try:
            self._book.close()
        except FileCreateError as error:
            raise error.args[0] from error  # the OSError that it wraps
        self._target.close()

    def front(self, name: str, label_width: int, columns: int, width: int = 12) -> Any:
        """Return the empty page of a sheet that is laid out by hand: a column for labels, then so many of a width."""
        page = self._book.add_worksheet(name)
        page.set_column(0, 0, label_width)
        page.set_column(1, columns - 1, width)
        page.hide_gridlines(2)
        self._on_paper(page, 1)
        return page

    def _on_paper(self, page: Any, pages_wide: int) -> None:
        """Have a sheet printed on landscape pages with their numbers."""
        page.set_landscape()
        if self._paper is not None:
            page.set_paper(self._paper)
        page.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
        page.fit_to_pages(pages_wide, 0)
        page.set_footer("&L&A&RPage &P of &N")

    def shop_day(self, at_us: int) -> float:
        """Return an instant as the day number of what the shop's clock said then."""
        return self._clock.day_number(at_us)

    def chart(self, **kind: str) -> Any:
        """Return a chart of the spreadsheet's own that stands nowhere yet."""
        return self._book.add_chart(kind)

    def format(self, **properties: Any) -> Any:
        """Return how a cell looks."""
        return self._book.add_format(properties)

    def page(self, sheet: Sheet[R]) -> SheetPage[R]:
        """Return a sheet with its heads, to which rows are added; heads stay in sight and are filters."""
        page = self._book.add_worksheet(sheet.name, self._sheet)
        page.freeze_panes(1, 1)
        page.set_row(0, TWO_LINES)
        page.repeat_rows(0)
        page.repeat_columns(0)
        for place, column in enumerate(sheet.columns):
            head = self._text_head if column.holds is Holds.TEXT else self._number_head
            page.write_string(0, place, column.head, head)
        return SheetPage(page, sheet, self._puts(page, sheet.places), self._end)

    def _end(self, page: Any, sheet: Sheet[R], widths: list[float], rows: int) -> None:
        """Make the columns as wide as what stands in them, the filters as long as the rows, and lay it on paper."""
        for place, (column, width) in enumerate(zip(sheet.columns, widths, strict=True)):
            page.set_column(place, place, width, self._formats[column.holds])
        page.autofilter(0, 0, rows, len(sheet.columns) - 1)
        printed = widths[: sheet.printed]
        if sheet.printed is not None:
            page.print_area(0, 0, rows, sheet.printed - 1)
        self._on_paper(page, math.ceil(sum(printed) / PAGE_WIDTH))

    def write(self, sheet: Sheet[R], rows: Iterable[R]) -> int:
        """Write one sheet whole, row by row as they come, and return how many there were."""
        page = self.page(sheet)
        for row in rows:
            page.add(row)
        return page.end()

    def _puts(self, page: Any, places: int) -> dict[Holds, Put]:
        """Return how each kind of value is written on a page; money with so many digits after its point."""
        string, number, day = page.write_string, page.write_number, self._clock.day_number
        plain, guarded = self._formats[Holds.TEXT], self._guarded
        count, minutes, length, shop, utc = (self._formats[holds] for holds in _NUMBERS)
        money = self._book.add_format({"num_format": f"#,##0.{'0' * places}".rstrip(".")})

        def text(row: int, place: int, value: str) -> None:
            said, could_run = text_cell(value)
            string(row, place, said, guarded if could_run else plain)

        return {
            Holds.TEXT: text,
            Holds.COUNT: lambda row, place, value: number(row, place, value, count),
            Holds.MINUTES: lambda row, place, value: number(row, place, _finite(value), minutes),
            Holds.MONEY: lambda row, place, value: number(row, place, float(value), money),
            Holds.LENGTH: lambda row, place, value: number(row, place, value / DAY_US, length),
            Holds.SHOP_TIME: lambda row, place, value: number(row, place, day(value), shop),
            Holds.UTC: lambda row, place, value: number(row, place, day_number(value), utc),
        }


class SheetPage(Generic[R]):
    """A sheet that is being written: rows are added, then it is ended."""

    def __init__(
        self, page: Any, sheet: Sheet[R], puts: dict[Holds, Put], end: Callable[[Any, Sheet[R], list[float], int], None]
    ) -> None:
        self._page, self._sheet, self._end = page, sheet, end
        self._cells = [(place, column.of, puts[column.holds]) for place, column in enumerate(sheet.columns)]
        self._longest = [0] * len(sheet.columns)
        self.rows = 0

    def add(self, row: R) -> None:
        """Write the next row."""
        self.rows += 1
        if self.rows >= MOST_ROWS:
            raise ShopError(f"A sheet holds {MOST_ROWS} rows and this one has more. Write .csv, or one batch.")
        longest = self._longest
        for place, of, put in self._cells:
            value = of(row)
            if value is not None and value != "":
                put(self.rows, place, value)
                if value.__class__ is str and len(value) > longest[place]:
                    longest[place] = len(value)

    def end(self) -> int:
        """Let columns fit and heads filter what was written, and return how many rows there are."""
        found = zip(self._sheet.columns, self._longest, strict=True)
        widths = [float(min(max(column.width, n * LETTER_WIDTH + 3), WIDEST)) for column, n in found]
        self._end(self._page, self._sheet, widths, self.rows)
        return self.rows


def day_number(at_us: int) -> float:
    """Return an instant as the day number that spreadsheets count with, to within a microsecond."""
    return (at_us + EPOCH_DAY * DAY_US) / DAY_US


class ShopClock:
    """The shop's clock as day numbers; looked up once for each day on which it isn't put forward or back."""

    def __init__(self, zone: ZoneInfo) -> None:
        self._zone = zone
        self._offsets: dict[int, int | None] = {}

    def day_number(self, at_us: int) -> float:
        """Return an instant as the day number of what the shop's clock said then."""
        day = at_us // DAY_US
        if day not in self._offsets:
            ends = {self._offset_us(day * DAY_US), self._offset_us((day + 1) * DAY_US)}
            self._offsets[day] = ends.pop() if len(ends) == 1 else None
        offset_us = self._offsets[day]
        return day_number(at_us + (self._offset_us(at_us) if offset_us is None else offset_us))

    def _offset_us(self, at_us: int) -> int:
        offset = shop_time(at_us, self._zone).utcoffset() or timedelta()
        return offset // timedelta(microseconds=1)


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a figure")
    return value
