"""Pages onto a PDF or a printer, by Qt. With no window about it makes the application that fonts need."""

from __future__ import annotations

import re
from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QCoreApplication, QLocale, QMarginsF, QTimeZone
from PySide6.QtGui import QFontDatabase, QGuiApplication, QPageLayout, QPageSize, QPainter, QPdfWriter

from shopclock.exchange.paper.page import LETTER, usual_size
from shopclock.exchange.printing.painter import draw
from shopclock.exchange.workbook.beside import written_beside
from shopclock.places import resource
from shopclock.shop.setup.the_shop import Here
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import Manner

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from PySide6.QtGui import QPagedPaintDevice

    from shopclock.exchange.paper.page import PaperPage, PaperSize

CODE = re.compile("[A-Z]{3}")
DOTS_PER_INCH = 1200
MM_PER_INCH = 25.4
FONTS = ("Inter-Medium.otf", "Inter-Bold.otf")

XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>
<xmp:CreatorTool>Shopclock</xmp:CreatorTool>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="w"?>
"""
"""What a PDF tells of itself (ISO 16684-1, XMP), its language too. Tags for a screen reader Qt can't write."""


def to_pdf(pages: Sequence[PaperPage], path: Path, title: str) -> None:
    """Write pages as a PDF; what was there stays until the new one is whole. ShopError says why it can't be."""
    if path.suffix.casefold() != ".pdf":
        raise ShopError(f"{path.name} doesn't end in .pdf. Nothing was written. Name a file that does.")
    running = application()
    with written_beside(path) as part:
        writer = QPdfWriter(str(part))
        writer.setResolution(DOTS_PER_INCH)
        writer.setTitle(title)
        writer.setCreator("Shopclock")
        writer.setDocumentXmpMetadata(QByteArray(XMP.format(title=escape(title)).encode()))
        whole = _paint(pages, writer)
        del writer  # what it holds back goes to the disk
        if not whole or not _ended(part):
            raise ShopError(f"{path} can't be written to its end. Nothing was kept of it. Is there room on the disk?")
    del running


def _ended(path: Path) -> bool:
    """True if a PDF has its last line: on a full disk Qt says nothing."""
    return path.read_bytes()[-32:].rstrip().endswith(b"%%EOF")


def to_printer(pages: Sequence[PaperPage], name: str, title: str) -> None:
    """Send pages to the printer of this name; ShopError where it doesn't take them."""
    from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

    printer = QPrinter(QPrinterInfo.printerInfo(name), QPrinter.PrinterMode.HighResolution)
    printer.setDocName(title)
    printer.setFullPage(True)
    if not printer.isValid() or not _paint(pages, printer):
        raise ShopError(
            f"The printer {name} doesn't take it. Nothing was printed. Is it on? A file can be made instead."
        )


def printers() -> tuple[str, ...]:
    """Return the names of this machine's printers, the usual one first."""
    from PySide6.QtPrintSupport import QPrinterInfo

    usual = QPrinterInfo.defaultPrinterName()
    return tuple(sorted(QPrinterInfo.availablePrinterNames(), key=lambda name: (name != usual, name)))


def size_here() -> PaperSize:
    """Return the size of paper that is usual where this machine stands."""
    return usual_size(QLocale.territoryToCode(QLocale.system().territory()))


def manner_here(place: QLocale | None = None) -> Manner:
    """Return how a place writes money (this computer's, where none is named), by the CLDR that Qt carries.

    A place without rules of its own, or with other digits than the screen has letters for, gets 1,234.50.
    """
    locale = place if place is not None else QLocale.system()
    if locale.language() == QLocale.Language.C or locale.zeroDigit() != "0":
        return Manner()
    told, group = locale.toCurrencyString(1_234_567, "EUR"), locale.groupSeparator()
    return Manner(locale.decimalPoint(), group, before=told.startswith("EUR"), pairs=f"12{group}34" in told)


def here() -> Here:
    """Return what is usual where this machine stands: currency by Qt's CLDR, paper, zone; "" where it doesn't say."""
    locale = QLocale.system()
    zone = bytes(QTimeZone.systemTimeZoneId().data()).decode("ascii", "ignore")
    currency = locale.currencySymbol(QLocale.CurrencySymbolFormat.CurrencyIsoCode)
    return Here(currency if CODE.fullmatch(currency) else "", size_here().name, zone if "/" in zone else "")


def application() -> QCoreApplication:
    """Return the one application there can be: the window's, or one that needs no screen."""
    there = QGuiApplication.instance()
    if there is not None:
        return there
    made = QGuiApplication(["shopclock", "-platform", "offscreen"])
    for name in FONTS:
        QFontDatabase.addApplicationFont(str(resource("fonts", name)))
    return made


def _paint(pages: Sequence[PaperPage], device: QPagedPaintDevice) -> bool:
    """Draw pages one after the other; whether all of them could be begun."""
    device.setPageLayout(_layout(pages[0].size))
    painter = QPainter()
    if not painter.begin(device):
        return False
    whole = True
    for number, page in enumerate(pages):
        whole = whole and (not number or device.newPage())
        draw(painter, page, device.logicalDpiX() / MM_PER_INCH)
    return painter.end() and whole


def _layout(size: PaperSize) -> QPageLayout:
    kind = QPageSize.PageSizeId.Letter if size == LETTER else QPageSize.PageSizeId.A4
    return QPageLayout(QPageSize(kind), QPageLayout.Orientation.Portrait, QMarginsF(0.0, 0.0, 0.0, 0.0))
