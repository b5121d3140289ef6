"""Reads a workbook's cells as its own XML has them: 'inlineStr' and its text, or 'n' and the number.

The front sheet and the table of its bars are of another kind: they are left out here, and only they have formulas.
"""

import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree as ET

from shopclock.exchange.workbook.front_sheet import NAME as FRONT
from shopclock.exchange.workbook.front_sheet import TABLE

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
Cell = tuple[str, str | float]
Row = dict[str, Cell]


def read_workbook(path: Path) -> dict[str, list[Row]]:
    """Return the rows of each sheet, by the heads of its columns; empty cells are left out."""
    with zipfile.ZipFile(path) as book:
        names = [sheet.attrib["name"] for sheet in _tree(book.read("xl/workbook.xml")).iter(_MAIN + "sheet")]
        numbers = [n for n, name in enumerate(names, start=1) if name not in (FRONT, TABLE)]
        pages = [_cells(book.read(f"xl/worksheets/sheet{n}.xml")) for n in numbers]
    found = zip((name for name in names if name not in (FRONT, TABLE)), pages, strict=True)
    return {name: _by_head(page) for name, page in found}


def _tree(data: bytes) -> ET.Element:
    return ET.fromstring(data)  # noqa: S314  # a file that the test itself had written


def _cells(page: bytes) -> list[dict[str, Cell]]:
    return [
        {_letters(cell.attrib["r"]): _cell(cell) for cell in row.iter(_MAIN + "c")}
        for row in _tree(page).iter(_MAIN + "row")
    ]


def _letters(place: str) -> str:
    return re.sub(r"\d", "", place)


def _cell(cell: ET.Element) -> Cell:
    assert cell.find(_MAIN + "f") is None, "a formula"
    if cell.attrib.get("t") == "inlineStr":
        return "inlineStr", "".join(text.text or "" for text in cell.iter(_MAIN + "t"))
    value = cell.find(_MAIN + "v")
    assert value is not None
    return cell.attrib.get("t", "n"), float(value.text or "")


def _by_head(page: list[dict[str, Cell]]) -> list[Row]:
    heads = {place: str(text) for place, (_, text) in page[0].items()}
    return [{heads[place]: cell for place, cell in row.items()} for row in page[1:]]
