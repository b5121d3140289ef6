"""Opens a workbook in LibreOffice without a window, has every formula worked out anew, and reads its cells."""

import re
import subprocess
import zipfile
from collections.abc import Iterator
from itertools import repeat
from pathlib import Path
from xml.etree import ElementTree as ET

Cell = tuple[str, str]
"""The kind of a cell (string, float, date, time) and its value."""
Sheets = dict[str, list[list[Cell]]]

ALWAYS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item></oor:items>
"""
"""Has formulas worked out on opening, whatever value the file brings."""
MOST = 2000
_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_PARTS = {f"{_TABLE}{name}" for name in ("table-header-rows", "table-rows", "table-row-group")}
_VALUES = {"float": "value", "date": "date-value", "time": "time-value"}


def opened(book: Path) -> Sheets:
    """Return each sheet's rows as LibreOffice has them; what is repeated stands there as often as it is."""
    profile = book.parent / "profile"
    (profile / "user").mkdir(parents=True, exist_ok=True)
    (profile / "user" / "registrymodifications.xcu").write_text(ALWAYS, encoding="utf-8")
    command = ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", "fods"]
    done = subprocess.run(
        [*command, "--outdir", book.parent, book], capture_output=True, text=True, timeout=600, check=True
    )
    assert "error" not in (done.stdout + done.stderr).lower()
    tree = ET.parse(book.with_suffix(".fods"))  # noqa: S314  # written by the line before
    tables = tree.iterfind(f".//{_OFFICE}spreadsheet/{_TABLE}table")  # charts have tables of their own, deeper
    return {str(table.get(_TABLE + "name")): list(_rows(table)) for table in tables}


def _rows(table: ET.Element) -> Iterator[list[Cell]]:
    for row in table:
        if row.tag in _PARTS:
            yield from _rows(row)
        if row.tag != _TABLE + "table-row":
            continue
        yield from repeat(list(_cells(row)), min(int(row.get(_TABLE + "number-rows-repeated", "1")), MOST))


def _cells(row: ET.Element) -> Iterator[Cell]:
    for cell in row:
        kind = cell.get(_OFFICE + "value-type", "")
        said = "\n".join("".join(line.itertext()) for line in cell.iter(_TEXT + "p"))
        value = cell.get(_OFFICE + _VALUES[kind], "") if kind in _VALUES else said
        yield from repeat((kind, value), min(int(cell.get(_TABLE + "number-columns-repeated", "1")), MOST))


def changed(book: Path, to: Path, **texts: str) -> Path:
    """Write the workbook anew with other texts in cells of its first sheet, and without any formula's value."""
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(to, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                data = _first_sheet(data.decode(), texts).encode()
            new.writestr(name, data)
    return to


def _first_sheet(page: str, texts: dict[str, str]) -> str:
    page, values = re.subn(r"</f><v>[^<]*</v>", "</f>", page)
    assert values
    for place, text in texts.items():
        page, found = re.subn(rf'(<c r="{place}"[^>]*><is><t[^>]*>)[^<]*', rf"\g<1>{text}", page)
        assert found == 1
    return page
