"""A sheet as CSV (RFC 4180): UTF-8 with a byte order mark, separator and decimal sign as asked for.

Shop time is written as 2026-03-07 19:10:05, which spreadsheets take for a date; UTC as 2026-03-07T18:10:05.250000Z
(ISO 8601, RFC 3339), exact to the microsecond.
"""

import csv
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from shopclock.exchange.workbook.cells import Holds, Sheet, Value
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.safe_text import csv_text
from shopclock.shop.state.wording import shop_time

R = TypeVar("R")
Say = Callable[[Any], str]
"""Writes a value of its column's kind."""
_UTC = ZoneInfo("UTC")
SECOND_US = 1_000_000


def write_csv(path: Path, sheet: Sheet[R], rows: Iterable[R], zone: ZoneInfo, options: ExportOptions) -> None:
    """Write one sheet; rows are taken one at a time."""
    fields = _fields(zone, options.decimal)
    columns = [(column.of, fields[column.holds]) for column in sheet.columns]
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file, delimiter=options.separator)
        writer.writerow([column.head for column in sheet.columns])
        for row in rows:
            writer.writerow([_field(of(row), say) for of, say in columns])


def _field(value: Value, say: Say) -> str:
    return "" if value is None else say(value)


def _fields(zone: ZoneInfo, decimal: str) -> dict[Holds, Say]:
    """Return how each kind of value is written."""
    return {
        Holds.TEXT: csv_text,
        Holds.COUNT: str,
        Holds.MINUTES: lambda value: repr(float(value)).replace(".", decimal),
        Holds.MONEY: lambda value: str(value).replace(".", decimal),
        Holds.LENGTH: _hours_text,
        Holds.SHOP_TIME: lambda value: shop_time(value, zone).strftime("%Y-%m-%d %H:%M:%S"),
        Holds.UTC: lambda value: shop_time(value, _UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ"),
    }


def _hours_text(length_us: int) -> str:
    """Say a length in hours, minutes and seconds, to the second: 1:20:05; the decimal minutes beside it are exact."""
    seconds = (length_us + SECOND_US // 2) // SECOND_US
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
