"""One stage from batch to batch on the front sheet: two cells choose stage and pattern, formulas and chart follow."""

from typing import Any

from shopclock.exchange.front_cells import at, of_stage
from shopclock.exchange.front_facts import FrontBatch, FrontFacts
from shopclock.exchange.front_looks import DYE, Looks
from shopclock.exchange.loose_page import LoosePage
from shopclock.exchange.safe_text import text_cell
from shopclock.exchange.xlsx_file import Workbook

ALL = "All patterns"
NOT_THERE = "#N/A"
CHOICE, BESIDE = 8, 7
"""Columns: where the choices are made, and where the chart beside that of all stages begins."""
SIZE_PX = (560, 400)
AIR_DAYS, DATES, MONTH_DAYS = 15, 6, 31
STAGES, PATTERNS = 5, 8
"""Columns of the lists that the choices are made from."""


class Trend:
    """Writes the choices above the chart, and its table below."""

    def __init__(self, book: Workbook, page: LoosePage, looks: Looks, sheet: str, piece: str) -> None:
        self._book, self._page, self._looks, self._sheet, self._piece = book, page, looks, sheet, piece

    def fill(self, facts: FrontFacts, stage_rows: int, chart_row: int, top: int) -> None:
        """Write it: the chart at one row, its table from another on."""
        self._stage, self._pattern = facts.first_choice()
        self._chooser, self._from = at(chart_row - 2, CHOICE), at(chart_row - 1, CHOICE)
        self._choices(facts, chart_row, top)
        title = f'={self._chooser}&", minutes a {self._piece}, "&{self._from}'
        self._page.formula(top, 0, title, self._looks.bold, f"{self._stage}, minutes a {self._piece}, {self._pattern}")
        self._looks.heads(self._page, top + 1, ["Batch", "Started", "Pattern", f"Minutes a {self._piece}"])
        for row, batch in enumerate(facts.newest, start=top + 2):
            self._batch(row, batch, stage_rows)
        self._chart(chart_row, top + 2, list(facts.newest))

    def _choices(self, facts: FrontFacts, chart_row: int, top: int) -> None:
        """The two cells with their lists; the lists stand beside the table, in the order of the work."""
        listed = ((chart_row - 2, f"Minutes a {self._piece} at", self._stage, STAGES, facts.stages, "Stages"),
                  (chart_row - 1, "of", self._pattern, PATTERNS, [ALL, *facts.patterns], "Patterns"))  # fmt: skip
        for row, label, chosen, place, names, head in listed:
            self._page.string(row, CHOICE - 1, label, self._looks.choose)
            self._page.wide(row, CHOICE, CHOICE + 2, text_cell(chosen)[0], self._looks.chosen)
            self._page.string(top + 1, place, head, self._looks.bold)
            for n, name in enumerate(names, start=top + 2):
                self._looks.say(self._page, n, place, name)
            source = f"={at(top + 2, place)}:{at(top + 1 + len(names), place)}"
            self._page.page.data_validation(row, CHOICE, row, CHOICE, {"validate": "list", "source": source})

    def _batch(self, row: int, batch: FrontBatch, stage_rows: int) -> None:
        self._looks.batch(self._page, row, batch.name, self._book.shop_day(batch.started_us))
        self._looks.say(self._page, row, 2, batch.pattern)
        passed, minutes = (
            of_stage(row, self._chooser, head, stage_rows) for head in ("Passed (pieces)", "Run per piece (min)")
        )
        other = f'AND({self._from}<>"{ALL}",{self._from}<>{at(row, 2)})'
        value = batch.passed_min.get(self._stage, NOT_THERE) if batch.pattern == self._pattern else NOT_THERE
        self._page.formula(row, 3, f"=IF({other},NA(),IF({passed}=0,NA(),{minutes}))", self._looks.number, value)

    def _chart(self, chart_row: int, first: int, batches: list[FrontBatch]) -> None:
        """Points by the day on which the batch was started; what has no figure has no point."""
        last = first + len(batches) - 1
        self._page.page.conditional_format(first, 3, last, 3, {"type": "errors", "format": self._looks.gone})
        chart: Any = self._book.chart(type="scatter", subtype="straight_with_markers")
        chart.add_series({
            "categories": [self._sheet, first, 1, last, 1], "values": [self._sheet, first, 3, last, 3],
            "line": {"color": DYE, "width": 1.5},
            "marker": {"type": "circle", "size": 7, "fill": {"color": DYE}, "border": {"color": DYE}},
        })  # fmt: skip
        self._looks.plain(chart, SIZE_PX)
        chart.set_legend({"none": True})
        chart.show_blanks_as("span")
        days = [self._book.shop_day(batch.started_us) for batch in (batches[0], batches[-1])]
        chart.set_x_axis(_days(*days) | {"num_font": self._looks.small})
        self._page.page.insert_chart(chart_row, BESIDE, chart)


def _days(first: float, last: float) -> dict[str, Any]:
    """Return an axis from half a month before the first day to half a month after the last, six dates along it."""
    low, high = int(first) - AIR_DAYS, int(last) + AIR_DAYS
    bare = {"major_gridlines": {"visible": False}, "major_tick_mark": "outside"}
    step = max(1, round((high - low) / DATES))
    form = "yyyy-mm" if step > MONTH_DAYS else "yyyy-mm-dd"
    return {"min": low, "max": high, "major_unit": step, "num_format": form, **bare}
