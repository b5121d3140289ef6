"""Sheets as a workbook (ECMA-376), row by row in constant memory."""

import math
import tempfile
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager
from datetime import timedelta
from pathlib import Path
from types import TracebackType
from typing import Any, Generic, TypeVar
from zoneinfo import ZoneInfo

from shopclock.exchange.cells import Column, Holds, Sheet
from shopclock.exchange.safe_text import text_cell
from shopclock.exchange.target import Target
from shopclock.shop.errors import ShopError
from shopclock.shop.wording import shop_time

R = TypeVar("R")
Put = Callable[[int, int, Any], object]
"""Writes a value into row and column."""

DAY_US = 86_400_000_000
EPOCH_DAY = 25_569
"""The day number of 1 January 1970 where 1 is 1 January 1900 and 29 February 1900 is counted (ECMA-376, 18.17.4)."""
MOST_ROWS = 1_048_576
TWO_LINES = 31
"""The height of the heads, in points: a unit may stand in a second line."""
FORMATS = {
    Holds.TEXT: "@",
    Holds.COUNT: "0",
    Holds.MINUTES: "0.0",
    Holds.MONEY: "#,##0.00",
    Holds.LENGTH: "[h]:mm:ss",
    Holds.SHOP_TIME: "yyyy-mm-dd hh:mm:ss",
    Holds.UTC: "yyyy-mm-dd hh:mm:ss",
}
_NUMBERS = (Holds.COUNT, Holds.MINUTES, Holds.MONEY, Holds.LENGTH, Holds.SHOP_TIME, Holds.UTC)


class Workbook(AbstractContextManager["Workbook"]):
    """A workbook that is being written; leaving the block writes it out, an error leaves it unfinished."""

    def __init__(self, path: Path, zone: ZoneInfo) -> None:
        import xlsxwriter

        self._clock = ShopClock(zone)
        self._scratch = tempfile.TemporaryDirectory(prefix="shopclock-", ignore_cleanup_errors=True)
        options = {"constant_memory": True, "tmpdir": self._scratch.name}
        self._target = Target(path)
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

    def front(self, name: str) -> Any:
        """Return the empty page of a sheet that is laid out by hand."""
        return self._book.add_worksheet(name)

    def shop_day(self, at_us: int) -> float:
        """Return an instant as the day number of what the shop's clock said then."""
        return self._clock.day_number(at_us)

    def chart(self, **kind: str) -> Any:
        """Return a chart of the spreadsheet's own that stands nowhere yet."""
        return self._book.add_chart(kind)

    def format(self, **properties: Any) -> Any:
        """Return how a cell looks."""
        return self._book.add_format(properties)

    def page(self, sheet: Sheet[R]) -> "Page[R]":
        """Return a sheet with its heads, to which rows are added; heads stay in sight and are filters."""
        page = self._book.add_worksheet(sheet.name)
        page.freeze_panes(1, 1)
        page.set_row(0, TWO_LINES)
        page.repeat_rows(0)
        page.set_landscape()
        page.fit_to_pages(1, 0)
        page.set_footer("&L&A&RPage &P of &N")
        for place, column in enumerate(sheet.columns):
            page.set_column(place, place, column.width, self._formats[column.holds])
            head = self._text_head if column.holds is Holds.TEXT else self._number_head
            page.write_string(0, place, column.head, head)
        return Page(page, sheet.columns, self._puts(page))

    def write(self, sheet: Sheet[R], rows: Iterable[R]) -> int:
        """Write one sheet whole, row by row as they come, and return how many there were."""
        page = self.page(sheet)
        for row in rows:
            page.add(row)
        return page.end()

    def _puts(self, page: Any) -> dict[Holds, Put]:
        """Return how each kind of value is written on a page."""
        string, number, day = page.write_string, page.write_number, self._clock.day_number
        plain, guarded = self._formats[Holds.TEXT], self._guarded
        count, minutes, money, length, shop, utc = (self._formats[holds] for holds in _NUMBERS)

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


class Page(Generic[R]):
    """A sheet that is being written: rows are added, then it is ended."""

    def __init__(self, page: Any, columns: tuple[Column[R], ...], puts: dict[Holds, Put]) -> None:
        self._page, self._columns = page, len(columns)
        self._cells = [(place, column.of, puts[column.holds]) for place, column in enumerate(columns)]
        self.rows = 0

    def add(self, row: R) -> None:
        """Write the next row."""
        self.rows += 1
        if self.rows >= MOST_ROWS:
            raise ShopError(f"A sheet holds {MOST_ROWS} rows and this one has more. Write .csv, or one batch.")
        for place, of, put in self._cells:
            value = of(row)
            if value is not None and value != "":
                put(self.rows, place, value)

    def end(self) -> int:
        """Let its heads filter the rows, and return how many there are."""
        self._page.autofilter(0, 0, self.rows, self._columns - 1)
        return self.rows


def day_number(at_us: int) -> float:
    """Return an instant as the day number that spreadsheets count with, to within a microsecond."""
    return (at_us + EPOCH_DAY * DAY_US) / DAY_US


class ShopClock:
    """What the shop's clock said, as day numbers; looked up once for each day on which it isn't put forward or back."""

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
