"""How long a hundred thousand intervals take to a workbook, beside XlsxWriter alone with the same cells in memory.

Each run has a process of its own, so that its memory is its own; they take turns. The times are the processor's, which
other work on the machine hardly changes.
"""

from __future__ import annotations

import gc
import pickle
import re
import time
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any
from unittest.mock import patch
from zoneinfo import ZoneInfo

import pytest

from shopclock.exchange.workbook.export import export_record
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.record.read.read_only import ReadOnlyRecord
from tests.speed.large import INTERVALS, kept_record
from tests.speed.report import say

if TYPE_CHECKING:
    from collections.abc import Callable

pytestmark = pytest.mark.speed

TIMES = 3
MORE_MB = 16
"""What ten times the intervals may take in memory beyond: that of batches, which are told as a whole."""
Cells = dict[str, list[tuple[int, int, Any, tuple[str, int]]]]


def _export(record: Path, path: Path) -> None:
    with ReadOnlyRecord.open(record) as reading:
        export_record(reading, path, ZoneInfo("Europe/Vienna"), ExportOptions(now_us=reading.newest_us))


def exported(record: Path, path: Path) -> tuple[float, float]:
    """Write the workbook of a record; the seconds and the megabytes it took."""
    began = time.process_time()
    _export(record, path)
    return time.process_time() - began, _most_mb()


def _most_mb() -> float:
    """The most memory that this process had; getrusage would tell what its parent had when it began."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(re.findall(r"VmHWM:\s+(\d+) kB", status)[0]) / 1000


def kept_cells(record: Path, kept: Path) -> int:
    """Keep the cells that the workbook of a record has, with how each looks; their number."""
    cells: Cells = defaultdict(list)

    def put(page: Any, row: int, column: int, value: Any, form: Any = None) -> None:
        look = (str(form.num_format), form.indent) if form is not None else ("General", 0)
        cells[page.name].append((row, column, value, look))

    page = "xlsxwriter.worksheet.Worksheet"
    with patch(f"{page}.write_string", put), patch(f"{page}.write_number", put):
        _export(record, kept.with_suffix(".xlsx"))
    kept.write_bytes(pickle.dumps(cells))
    return sum(map(len, cells.values()))


def alone(kept: Path, path: Path) -> tuple[float, float]:
    """Write the same cells with XlsxWriter, from memory; the seconds."""
    import xlsxwriter

    cells: Cells = pickle.loads(kept.read_bytes())  # noqa: S301  # written by kept_cells
    gc.collect()
    gc.freeze()
    began = time.process_time()
    book = xlsxwriter.Workbook(path, {"constant_memory": True})
    forms: dict[tuple[str, int], Any] = {}
    for name, found in cells.items():
        page = book.add_worksheet(name)
        for row, column, value, look in found:
            form = forms.get(look) or forms.setdefault(look, book.add_format(dict(zip(_LOOK, look, strict=True))))
            if isinstance(value, str):
                page.write_string(row, column, value, form)
            else:
                page.write_number(row, column, value, form)
    book.close()
    return time.process_time() - began, 0.0


_LOOK = ("num_format", "indent")


def _apart(task: Callable[..., Any], *arguments: object) -> Any:
    with ProcessPoolExecutor(1, get_context("spawn")) as pool:
        return pool.submit(task, *arguments).result()


def test_a_workbook_against_its_cells_alone(tmp_path: Path) -> None:
    record, kept = kept_record(INTERVALS), tmp_path / "cells"
    cells = _apart(kept_cells, record, kept)
    pairs = [(_apart(exported, record, tmp_path / "a.xlsx"), _apart(alone, kept, tmp_path / "b.xlsx"))
             for _ in range(TIMES)]  # fmt: skip
    ours, theirs = (median(one[which][0] for one in pairs) for which in (0, 1))
    ratio = median(ours[0] / theirs[0] for ours, theirs in pairs)
    say(f"{INTERVALS} intervals, {cells} cells: {ours:.1f} s, XlsxWriter alone {theirs:.1f} s")
    say(f"{ratio:.2f} times (goal: at most 1.5)")
    assert cells > INTERVALS


def test_ten_times_the_intervals_take_no_more_memory(tmp_path: Path) -> None:
    small, large = (
        _apart(exported, kept_record(intervals), tmp_path / "a.xlsx")[1] for intervals in (INTERVALS // 10, INTERVALS)
    )
    say(f"memory at most: {small:.0f} MB for {INTERVALS // 10} intervals, {large:.0f} MB for {INTERVALS}")
    assert large - small < MORE_MB
