"""A sheet as CSV: what its lengths say."""

import csv
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from shopclock.exchange.workbook.cells import Holds, Sheet
from shopclock.exchange.workbook.csv_file import write_csv
from shopclock.exchange.workbook.options import ExportOptions


@pytest.mark.parametrize(
    ("seconds", "said"), [(0, "0:00:00"), (4805, "1:20:05"), (59.6, "0:01:00"), (360_000, "100:00:00"), (None, "")]
)
def test_a_length_keeps_its_seconds(tmp_path: Path, seconds: float | None, said: str) -> None:
    sheet: Sheet[float | None] = Sheet(
        "Lengths", (Holds.LENGTH("Length", 9, lambda s: None if s is None else round(s * 1_000_000), "How long."),)
    )
    write_csv(tmp_path / "x.csv", sheet, [seconds], ZoneInfo("UTC"), ExportOptions(now_us=0))
    with (tmp_path / "x.csv").open(encoding="utf-8-sig", newline="") as file:
        assert list(csv.reader(file)) == [["Length"], [said]]
