"""Pages as a PDF: whole, sharp, readable, or refused with a sentence."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtGui import QColor, QFontDatabase, QImage, QPainter

from shopclock.exchange.paper.card import card_pages
from shopclock.exchange.paper.page import (
    A4,
    LETTER,
    MARGIN_MM,
    Box,
    PaperFill,
    PaperPage,
    PaperSize,
    Text,
    usual_size,
    width_mm,
)
from shopclock.exchange.printing.output import FONTS, manner_here, printers, to_pdf, to_printer
from shopclock.exchange.printing.painter import draw
from shopclock.places import resource
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import money_text
from tests.exchange.paper.test_card import made

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

TOP = Path(__file__).resolve().parents[3]
DOTS_MM = 4.0

pytestmark = pytest.mark.usefixtures("fonts")


@pytest.fixture(scope="module")
def fonts(qapp: QApplication) -> None:
    assert qapp is not None
    for name in FONTS:
        assert QFontDatabase.addApplicationFont(str(resource("fonts", name))) >= 0


@pytest.mark.parametrize(("size", "points"), [(A4, (595, 842)), (LETTER, (612, 792))])
def test_a_pdf_has_the_pages_and_their_size(tmp_path: Path, size: PaperSize, points: tuple[int, int]) -> None:
    pages = card_pages(made(40, 30), size)
    to_pdf(pages, tmp_path / "card.pdf", "Card 26-10")
    written = (tmp_path / "card.pdf").read_bytes()
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", written)
    assert len(boxes) == len(pages)
    assert {tuple(round(float(side)) for side in box) for box in boxes} == {points}
    assert b"/Subtype /Image" not in written


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext (poppler-utils) is not installed")
def test_the_words_of_a_page_can_be_found_in_its_pdf(tmp_path: Path) -> None:
    pages = card_pages(made(12, 25), A4)
    to_pdf(pages, tmp_path / "card.pdf", "Card")
    done = subprocess.run(["pdftotext", "-raw", str(tmp_path / "card.pdf"), "-"], capture_output=True, check=True)
    found = "".join(done.stdout.decode().split())
    assert [text for text in pages[0].texts if "".join(text.split()) not in found] == []


@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_nothing_is_drawn_where_printers_dont_reach(size: PaperSize) -> None:
    (page,) = card_pages(made(12, 25), size)
    image = drawn(page)
    edge = round((MARGIN_MM - 0.5) * DOTS_MM)
    inner = image.copy(edge, edge, image.width() - 2 * edge, image.height() - 2 * edge)
    assert darkness(inner) > 0
    assert darkness(image) == darkness(inner)


def drawn(page: PaperPage) -> QImage:
    image = QImage(
        round(page.size.width_mm * DOTS_MM), round(page.size.height_mm * DOTS_MM), QImage.Format.Format_Grayscale8
    )
    image.fill(QColor("white"))
    painter = QPainter(image)
    draw(painter, page, DOTS_MM)
    painter.end()
    return image


def darkness(image: QImage) -> int:
    """How many dots are not white."""
    rows = (bytes(image.constScanLine(y))[: image.width()] for y in range(image.height()))
    return sum(len(row) - row.count(255) for row in rows)


def test_every_filling_is_told_from_the_others_without_colour() -> None:
    shades = {}
    for fill in PaperFill:
        image = drawn(PaperPage(A4, (Box(20, 20, 30, 30, fill, 0.0),)))
        shades[fill] = bytes(image.copy(90, 90, 90, 90).constBits())
    assert len(set(shades.values())) == len(PaperFill)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", ["Grind bevels", "26-10, 14.6 min each", "WWW", "Öl 1–2 × ½ ß œ", "iiii lll", "刃物"])
def test_no_text_is_wider_than_was_reckoned(text: str, bold: bool) -> None:
    image = drawn(PaperPage(A4, (Text(20, 20, 150, 12, text, 8.0, bold),)))
    right = round((20 + width_mm(text, 8.0)) * DOTS_MM) + 2
    assert darkness(image) > 0
    assert darkness(image.copy(right, 0, image.width() - right, image.height())) == 0


def test_a_text_of_an_unknown_width_is_pressed_into_its_place() -> None:
    image = drawn(PaperPage(A4, (Text(20, 20, 40, 12, "far too wide for where it has to stand", 8.0),)))
    right = round(60.5 * DOTS_MM)
    assert darkness(image.copy(right, 0, image.width() - right, image.height())) == 0


@pytest.mark.parametrize(
    ("place", "said"), [("card.txt", "doesn't end in .pdf"), ("there/card.pdf", "There is no folder")]
)
def test_what_cant_be_written_is_refused_with_a_sentence(tmp_path: Path, place: str, said: str) -> None:
    with pytest.raises(ShopError, match=said):
        to_pdf(card_pages(made(3, 3), A4), tmp_path / place, "Card")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a disk that is always full")
def test_a_full_disk_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from shopclock.exchange.printing import output

    there = tmp_path / "card.pdf"
    there.write_text("the old one")
    monkeypatch.setattr(output, "QPdfWriter", lambda _path: _on_full())
    with pytest.raises(ShopError, match="can't be written to its end"):
        to_pdf(card_pages(made(3, 3), A4), there, "Card")
    assert there.read_text() == "the old one"
    assert list(tmp_path.iterdir()) == [there]


def _on_full() -> object:
    """A writer whose disk is full from the first byte on."""
    from PySide6.QtGui import QPdfWriter

    return QPdfWriter("/dev/full")


def test_a_printer_that_isnt_there_is_refused_with_a_sentence() -> None:
    assert "No such printer" not in printers()
    with pytest.raises(ShopError, match="No such printer doesn't take it"):
        to_printer(card_pages(made(3, 3), A4), "No such printer", "Card")


@pytest.mark.parametrize(
    ("territory", "name"),
    [("US", "Letter"), ("ca", "Letter"), ("MX", "Letter"), ("AT", "A4"), ("JP", "A4"), ("", "A4")],
)
def test_the_usual_paper_is_that_of_the_place(territory: str, name: str) -> None:
    """Unicode Technical Standard 35, part 6, paperSize."""
    assert usual_size(territory).name == name


@pytest.mark.parametrize(
    ("place", "currency", "told"),
    [
        ("en_IE", "EUR", "EUR 1,234,567.50"),
        ("de_DE", "EUR", "1.234.567,50 EUR"),
        ("de_CH", "CHF", "CHF 1'234'567.50"),
        ("nl_NL", "EUR", "EUR 1.234.567,50"),
        ("ja_JP", "JPY", "JPY 1,234,568"),
        ("en_US", "KWD", "KWD 1,234,567.500"),
        ("en_IN", "INR", "INR 12,34,567.50"),
        ("ar_EG", "KWD", "KWD 1,234,567.500"),
        ("C", "EUR", "EUR 1,234,567.50"),
    ],
)
def test_money_is_written_as_the_place_does(place: str, currency: str, told: str) -> None:
    """Unicode CLDR, by the copy of it that Qt carries; digits after the point by ISO 4217."""
    said = money_text(Decimal("1234567.5"), currency, manner_here(QLocale(place)))
    assert said.replace("\u00a0", " ").replace("\u2019", "'") == told


def test_a_command_needs_no_screen_and_no_window(tmp_path: Path) -> None:
    script = (
        "from pathlib import Path; from shopclock.exchange.printing.output import to_pdf;"
        "from shopclock.exchange.paper.card import card_pages; from shopclock.exchange.paper.page import A4;"
        "from tests.exchange.paper.test_card import made;"
        f"to_pdf(card_pages(made(5, 5), A4), Path({str(tmp_path / 'card.pdf')!r}), 'Card')"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=TOP, capture_output=True, check=False, env={"PATH": ""})
    assert (done.returncode, done.stderr) == (0, b"")
    assert (tmp_path / "card.pdf").stat().st_size > 1000


def test_a_pdf_names_its_language_and_its_title_whatever_signs_that_has(qapp: QApplication, tmp_path: Path) -> None:
    to_pdf(card_pages(made(12, 25), A4), tmp_path / "a.pdf", 'Card <"Bolsters" & more>')
    data = (tmp_path / "a.pdf").read_bytes()
    begin, end = data.index(b"<x:xmpmeta"), data.index(b"</x:xmpmeta>") + 12
    told = ET.fromstring(data[begin:end])  # noqa: S314  # our own
    (title,) = told.iter("{http://purl.org/dc/elements/1.1/}title")
    (language,) = told.iter("{http://purl.org/dc/elements/1.1/}language")
    assert "".join(title.itertext()).strip() == 'Card <"Bolsters" & more>'
    assert "".join(language.itertext()).strip() == "en"
