"""What is written quickly is what XlsxWriter writes, to the byte."""

import tempfile
import zipfile
from pathlib import Path

import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st
from xlsxwriter.worksheet import Worksheet

from shopclock.exchange.workbook.xlsx_file import QuickSheet, harmless

TEXTS = [
    "26-01", "a&b", "a<b>", "x_x0041_", "_x", " a", "a ", "a  b", "=1+1", "<r><t>x</t></r>", "é", "\U0001f52a", "tab\t",
    "line\nline", "]]>", '"', "'", "a]b", "\x07", "\ufffe", "x" * 40_000, "0", "Cook's 180", "63987f8b-fe3e",
]  # fmt: skip
NUMBERS = [0, 1, -1, 0.1, 1e21, 1e-9, 123456789.123456, 46023.88125, True, 7.0]


def _page(folder: Path, kind: type[Worksheet], texts: list[str], numbers: list[float]) -> bytes:
    path = folder / "book.xlsx"
    book = xlsxwriter.Workbook(path, {"constant_memory": True})
    forms = [book.add_format({"num_format": form}) for form in ("@", "0.0")]
    page = book.add_worksheet("Page", kind)
    page.set_row(0, 31, forms[1])
    page.set_column(3, 3, 12, forms[0])
    for row, text in enumerate(texts):
        page.write_string(row, 0, text, forms[0])
        page.write_string(row, 3, text)
        page.write_formula(row, 4, "=1+1", forms[1], 2)
        page.write_blank(row, 5, None, forms[0])
    for row, number in enumerate(numbers, start=len(texts)):
        page.write_number(row, 1, number, forms[1])
        page.write_number(row, 30, number)
    book.close()
    with zipfile.ZipFile(path) as parts:
        return parts.read("xl/worksheets/sheet1.xml")


def test_both_write_the_same(tmp_path: Path) -> None:
    assert _page(tmp_path, QuickSheet, TEXTS, NUMBERS) == _page(tmp_path, Worksheet, TEXTS, NUMBERS)
    quick = {text for text in TEXTS if harmless(text)}
    assert quick == {"26-01", "a  b", "a]b", "x" * 40_000, "0", "Cook's 180", "63987f8b-fe3e"}


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.text(st.characters(exclude_categories=["Cs"]), max_size=12), min_size=1),
    st.lists(st.floats(allow_nan=False, allow_infinity=False)),
)
def test_both_write_the_same_whatever_it_is(texts: list[str], numbers: list[float]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        assert _page(Path(folder), QuickSheet, texts, numbers) == _page(Path(folder), Worksheet, texts, numbers)
