"""Writing a spreadsheet: what is in it, and which kind of file. What it begins with is the whole shop as a workbook."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from shopclock.exchange.workbook.options import ExportOptions, span_of, typed_day
from shopclock.shop.state.wording import counted, word, zone_of
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work.day import day_of
from shopclock.views.dialogs import DAY, Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.files.exporting import Exporting
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

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
        """What it is called without its signs."""
        return "a workbook" if self.ending == ".xlsx" else "CSV"


KINDS = {
    "book": FileKind("A workbook", "all sheets and charts, .xlsx", ".xlsx"),
    "semicolons": FileKind("CSV, 1,5; 2,5", "semicolons and decimal commas", separator=";", decimal=","),
    "commas": FileKind("CSV, 1.5, 2.5", "commas and decimal points"),
    "tabs": FileKind("CSV with tabs", "tabs and decimal points", separator="\t"),
}


@dataclass(frozen=True, slots=True)
class SheetPart:
    """What of the record is written: in words, which batch, which days."""

    said: str
    batch: Batch | None = None
    days: tuple[date, date] | None = None


class SpreadsheetPage(Page):
    """What is in it, which kind of file, and writing it."""

    def __init__(self, stack: PagedPresenter, exporting: Exporting) -> None:
        self._stack = stack
        self._exporting = exporting
        self._part = SheetPart("the whole shop")
        self._kind = "book"

    def title(self) -> str:
        """What it is."""
        return "A spreadsheet of the record"

    def lines(self) -> Sequence[TextLine]:
        """Where it goes, and what a file of one sheet leaves out."""
        where = TextLine(f"It goes to {self._exporting.folder}. The record stays as it is.")
        rows = TextLine("A CSV file has one sheet: every stretch of work.") if self._kind != "book" else None
        return (where, rows) if rows is not None else (where,)

    def offers(self) -> Sequence[Action]:
        """The two choices."""
        kind = KINDS[self._kind]
        return [
            action("part", "What is in it", calling(self._ask_part), detail=self._part.said),
            action("kind", "Kind of file", calling(self._ask_kind), detail=f"{kind.name}: {kind.detail}"),
        ]

    def actions(self) -> Sequence[Action]:
        """Write it."""
        return [action("write", "Write it", calling(self._write), role="primary")]

    def _ask_kind(self) -> None:
        choices = [Choice(key, kind.said, kind.detail, checked=key == self._kind) for key, kind in KINDS.items()]
        self._stack.dialogs.ask("Kind of file", choices, on_answer(self._take_kind))

    def _take_kind(self, key: str) -> None:
        self._kind = key
        self._stack.changed()

    def _ask_part(self) -> None:
        year, batch = self._today().year, word(self._stack.floor, "batch").one
        choices = [
            Choice("whole", "The whole shop"),
            *([Choice("batch", f"One {batch}")] if self._batches() else []),
            Choice("year", "This year", str(year)),
            Choice("last", "Last year", str(year - 1)),
            Choice("days", "From a day to a day"),
        ]
        self._stack.dialogs.ask("What is in it", choices, on_answer(self._take_part))

    def _take_part(self, key: str) -> None:
        year = self._today().year - (key == "last")
        if key == "batch":
            self._ask_batch()
        elif key == "days":
            self._ask_days()
        elif key == "whole":
            self._set(SheetPart("the whole shop"))
        else:
            self._set(SheetPart(f"the year {year}", days=(date(year, 1, 1), date(year, 12, 31))))

    def _ask_batch(self) -> None:
        batches = self._batches()
        choices = [Choice(str(b.id), b.name, self._stack.floor.get(Pattern, b.pattern_id).name) for b in batches[:MOST]]
        if len(batches) > MOST:
            choices.append(Choice("typed", "Another", counted(self._stack.floor, "batch", len(batches))))
        question = f"Which {word(self._stack.floor, 'batch').one}"

        def take(key: str) -> None:
            if key == "typed":
                self._stack.dialogs.text(question, "", on_answer(self._typed))
            else:
                self._take_batch(self._stack.floor.get(Batch, int(key)))

        self._stack.dialogs.ask(question, choices, on_answer(take))

    def _typed(self, name: str) -> None:
        found = next((batch for batch in self._batches() if batch.name.casefold() == name.strip().casefold()), None)
        if found is None:
            self._stack.dialogs.tell(f"There is no {word(self._stack.floor, 'batch').one} {name.strip()}.")
        else:
            self._take_batch(found)

    def _take_batch(self, batch: Batch) -> None:
        self._set(SheetPart(batch.name, batch=batch))

    def _ask_days(self) -> None:
        today = self._today()
        start, end = f"{today.year}-01-01", today.isoformat()

        def to(first: str) -> None:
            self._stack.dialogs.number("To which day", end, on_answer(lambda last: self._days(first, last)), signs=DAY)

        self._stack.dialogs.number("From which day", start, on_answer(to), note="Year, month, day", signs=DAY)

    def _days(self, first: str, last: str) -> None:
        try:
            days = (typed_day(first), typed_day(last))
            span_of(*days, zone_of(self._stack.floor), self._stack.record.instant())
        except ShopError as error:
            self._stack.dialogs.tell(str(error))
            return
        self._set(SheetPart(f"from {days[0]} to {days[1]}", days=days))

    def _set(self, part: SheetPart) -> None:
        self._part = part
        self._stack.changed()

    def _batches(self) -> list[Batch]:
        """All batches, the newest first."""
        return sorted(self._stack.floor.all(Batch), key=lambda batch: (batch.started_us, batch.id), reverse=True)

    def _today(self) -> date:
        return day_of(self._stack.record.instant(), zone_of(self._stack.floor))

    def _write(self) -> None:
        part, kind, now_us = self._part, KINDS[self._kind], self._stack.record.instant()
        options = ExportOptions(now_us=now_us, separator=kind.separator, decimal=kind.decimal)
        if part.batch is not None:
            options = replace(options, batch_ids=frozenset({part.batch.id}))
        if part.days is not None:
            options = replace(options, span=span_of(*part.days, zone_of(self._stack.floor), now_us))
        self._exporting.write(options, kind.ending)
