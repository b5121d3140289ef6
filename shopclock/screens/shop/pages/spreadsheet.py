"""Writing a spreadsheet: what is in it, and which kind of file. What it begins with is the whole shop as a workbook."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from shopclock.exchange.workbook.options import ExportOptions, span_of, typed_day
from shopclock.shop.state.wording import counted, word, zone_of
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.day import day_of
from shopclock.views.dialogs import DAY, Choice
from shopclock.views.field import Number, Pick, Text, choose, field
from shopclock.views.page import Page, PageContent, item

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.files.exporting import Exporting
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.field import Asking

MOST = 11
"""So many batches are offered by name; others are typed."""


@dataclass(frozen=True, slots=True)
class FileKind:
    """A kind of file: what it is called, its ending, and for CSV what stands between fields and before decimals."""

    said: str
    detail: str
    ending: str = ".csv"
    separator: str = ","
    decimal: str = "."

    @property
    def name(self) -> str:
        """Name without its signs."""
        return "a workbook" if self.ending == ".xlsx" else "CSV"


KINDS = {
    "book": FileKind("A workbook", "all sheets and charts, .xlsx", ".xlsx"),
    "semicolons": FileKind("CSV, 1,5; 2,5", "semicolons and decimal commas", separator=";", decimal=","),
    "commas": FileKind("CSV, 1.5, 2.5", "commas and decimal points"),
    "tabs": FileKind("CSV with tabs", "tabs and decimal points", separator="\t"),
}


@dataclass(frozen=True, slots=True)
class SheetPart:
    """Part of the record that is written: in words, which batch, which days."""

    said: str
    batch: Batch | None = None
    days: tuple[date, date] | None = None


class SpreadsheetPage(Page):
    """Contents of a spreadsheet, its kind of file, and writing it."""

    def __init__(self, stack: PagedPresenter, exporting: Exporting) -> None:
        self._stack = stack
        self._exporting = exporting
        self._part = SheetPart("the whole shop")
        self._kind = "book"

    def content(self) -> PageContent:
        """The two choices; where it goes, and what a file of one sheet leaves out."""
        now = KINDS[self._kind]
        lines = [f"It goes to {self._exporting.folder}. The record stays as it is."]
        if self._kind != "book":
            lines.append("A CSV file has one sheet: every stretch of work.")
        kinds = Pick("Kind of file", [Choice(k, f.said, f.detail, checked=f is now) for k, f in KINDS.items()])
        return PageContent(
            "A spreadsheet of the record",
            lines,
            [
                field("part", "What is in it", self._part.said, self._ask_part(), self._take_part),
                field("kind", "Kind of file", f"{now.name}: {now.detail}", kinds, self._take_kind),
            ],
            [item("write", "Write it", self._write, role="primary")],
        )

    def _take_kind(self, key: str) -> None:
        self._kind = key
        self._stack.changed()

    def _take_part(self, part: SheetPart) -> None:
        self._part = part
        self._stack.changed()

    def _ask_part(self) -> Asking[SheetPart]:
        floor, today = self._stack.floor, day_of(self._stack.record.instant(), zone_of(self._stack.floor))
        batches = sorted(floor.all(Batch), key=lambda batch: (batch.started_us, batch.id), reverse=True)
        choices = [
            Choice("whole", "The whole shop"),
            *([Choice("batch", f"One {word(floor, 'batch').one}")] if batches else []),
            Choice("year", "This year", str(today.year)),
            Choice("last", "Last year", str(today.year - 1)),
            Choice("days", "From a day to a day"),
        ]
        key = yield from Pick("What is in it", choices)
        if key == "batch":
            batch = yield from _ask_batch(floor, batches)
            return SheetPart(batch.name, batch=batch)
        if key == "days":
            first = yield from Number("From which day", f"{today.year}-01-01", note="Year, month, day", signs=DAY)
            last = yield from Number("To which day", today.isoformat(), signs=DAY)
            days = (typed_day(first), typed_day(last))
            span_of(*days, zone_of(floor), self._stack.record.instant())
            return SheetPart(f"from {days[0]} to {days[1]}", days=days)
        if key == "whole":
            return SheetPart("the whole shop")
        year = today.year - (key == "last")
        return SheetPart(f"the year {year}", days=(date(year, 1, 1), date(year, 12, 31)))

    def _write(self) -> None:
        part, kind, now_us = self._part, KINDS[self._kind], self._stack.record.instant()
        options = ExportOptions(now_us=now_us, separator=kind.separator, decimal=kind.decimal)
        if part.batch is not None:
            options = replace(options, batch_ids=frozenset({part.batch.id}))
        if part.days is not None:
            options = replace(options, span=span_of(*part.days, zone_of(self._stack.floor), now_us))
        self._exporting.write(options, kind.ending)


def _ask_batch(floor: ShopFloor, batches: Sequence[Batch]) -> Asking[Batch]:
    """One of the newest by a press, any other by its name."""
    one = word(floor, "batch").one
    answers: list[tuple[Choice, Batch | None]] = [
        (Choice(str(b.id), b.name, floor.get(Pattern, b.pattern_id).name), b) for b in batches[:MOST]
    ]
    if len(batches) > MOST:
        answers.append((Choice("typed", "Another", counted(floor, "batch", len(batches))), None))
    chosen = yield from choose(f"Which {one}", answers)
    if chosen is not None:
        return chosen
    name = (yield from Text(f"Which {one}")).strip()
    found = next((batch for batch in batches if batch.name.casefold() == name.casefold()), None)
    if found is None:
        raise Refusal(f"There is no {one} {name}.")
    return found
