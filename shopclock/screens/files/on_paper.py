"""Something on paper by one press: to one of the machine's printers, or as a file in the maker's own documents."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from shopclock.exchange.paper.page import stamped
from shopclock.exchange.paper.source import size_for
from shopclock.screens.files.exporting import free_place
from shopclock.shop.state.demo_mark import demo_said
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, ask

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from shopclock.exchange.paper.page import PaperPage, PaperSize
    from shopclock.record.press.record import Record
    from shopclock.screens.paged.paper import Make
    from shopclock.views.dialogs import Dialogs
    from shopclock.views.field import Asking

FILE = "file"
PRINTER = "printer "


class Output(Protocol):
    """Drawer of pages: `exchange.printing.output`, or a test's own."""

    def to_pdf(self, pages: Sequence[PaperPage], path: Path, title: str) -> None:
        """Write a file."""

    def to_printer(self, pages: Sequence[PaperPage], name: str, title: str) -> None:
        """Print."""

    def printers(self) -> tuple[str, ...]:
        """Name the printers."""

    def size_here(self) -> PaperSize:
        """Tell the usual paper."""


class OnPaper:
    """Asks where to where there is a choice, and tells what came of it."""

    def __init__(self, record: Record, dialogs: Dialogs, output: Output, folder: Path) -> None:
        self._record = record
        self._dialogs = dialogs
        self._output = output
        self._folder = folder

    def put(self, name: str, make: Make) -> None:
        """Put on paper what `make` lays out; `name` is that of the file, and what a printer shows."""
        ask(self._dialogs, self._put(name, make), self._dialogs.tell)

    def _put(self, name: str, make: Make) -> Asking[str]:
        """Ask where to, where there is a choice, and say what came of it."""
        where, printers = FILE, self._output.printers()
        if printers:
            choices = [Choice(PRINTER + one, one) for one in printers]
            where = yield from Pick("Where to", [*choices, Choice(FILE, "A file", "PDF, in your documents")])
        floor = self._record.floor
        pages = stamped(make(size_for(floor, self._output.size_here())), demo_said(floor))
        if where == FILE:
            path = free_place(self._folder, name, ".pdf")
            self._output.to_pdf(pages, path, name)
            return f"Saved as {path.name}, in {path.parent}."
        printer = where.removeprefix(PRINTER)
        self._output.to_printer(pages, printer, name)
        return f"Sent to {printer}: {name}."
