"""The intervals as JSON (RFC 8259), for scripts: the columns of the sheet, under keys made of their heads.

Minutes are decimal; an instant by the shop's clock says its offset, one in UTC ends in Z; what isn't there is null.
"""

import json
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

from shopclock.exchange.workbook.cells import Holds, Sheet, SheetColumn, Value
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.shop.state.wording import shop_time

R = TypeVar("R")
FORMAT = 1
"""The version of the keys."""
_UTC = ZoneInfo("UTC")


def key_of(head: str) -> str:
    """Return the key of a column: Length (min) is length_min."""
    return re.sub(r"[^a-z0-9]+", "_", head.lower()).strip("_")


def json_columns(sheet: Sheet[R]) -> Iterator[tuple[str, SheetColumn[R]]]:
    """Yield the columns with their keys; lengths in hours and minutes stand beside their minutes and are left out."""
    return ((key_of(column.head), column) for column in sheet.columns if column.holds is not Holds.LENGTH)


def write_json(path: Path, sheet: Sheet[R], rows: Iterable[R], zone: ZoneInfo, options: ExportOptions) -> None:
    """Write one sheet, a row a line; rows are taken one at a time."""
    columns = list(json_columns(sheet))
    head = {"format": FORMAT, "now": _told(options.now_us, Holds.UTC, zone), "zone": zone.key}
    with path.open("w", encoding="utf-8") as file:
        file.write(f"{json.dumps(head, ensure_ascii=False)[:-1]}, {json.dumps(key_of(sheet.name))}: [")
        for number, row in enumerate(rows):
            values = {key: _told(column.of(row), column.holds, zone) for key, column in columns}
            file.write(f"{',' if number else ''}\n{json.dumps(values, ensure_ascii=False, allow_nan=False)}")
        file.write("\n]}\n")


def _told(value: Value, holds: Holds, zone: ZoneInfo) -> Value:
    if value is None or holds in (Holds.TEXT, Holds.COUNT):
        return value
    if holds is Holds.SHOP_TIME:
        return shop_time(int(value), zone).isoformat(timespec="microseconds")
    if holds is Holds.UTC:
        return shop_time(int(value), _UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    return float(value) if holds is Holds.MINUTES else str(value)
