"""How the front sheet looks: calm, in the paper theme's colours, and what several parts of it write alike."""

from typing import Any

from shopclock.exchange.loose_page import LoosePage
from shopclock.exchange.safe_text import text_cell
from shopclock.exchange.xlsx_file import TWO_LINES, Workbook

INK, QUIET, DYE, LINE = "#141A26", "#3D4960", "#1E40C8", "#D5D9E2"
FAINT = {"visible": True, "line": {"color": LINE, "width": 0.75}}


class Looks:
    """The formats of the front sheet's cells, and of its charts."""

    def __init__(self, book: Workbook) -> None:
        look = book.format
        self.small = {"size": 9, "color": QUIET}
        self.title = look(bold=True, font_size=16, font_color=DYE)
        self.quiet, self.bold = look(font_color=QUIET), look(bold=True)
        self.text, self.guarded = look(num_format="@"), look(num_format="@", quote_prefix=True)
        self.count, self.number, self.length = (look(num_format=form) for form in ("0", "0.0", "[h]:mm"))
        self.some = look(num_format='0.0;-0.0;"–"', align="right")
        self.main = look(num_format="0.0", bold=True, font_color=DYE, font_size=12)
        self.day = look(num_format="yyyy-mm-dd", align="right")
        self.chosen = look(bold=True, border=1, border_color=LINE, bg_color="#EEF1FB", num_format="@", indent=1)
        self.choose = look(font_color=QUIET, align="right", indent=1)
        self.gone = look(font_color="#FFFFFF")
        head = {"bold": True, "text_wrap": True, "valign": "top", "bottom": 1}
        self._head, self._label = look(**head, align="right"), look(**head)

    def say(self, page: LoosePage, row: int, place: int, text: str) -> None:
        """Write a name; one that could be taken for a formula is guarded."""
        said, could_run = text_cell(text)
        page.string(row, place, said, self.guarded if could_run else self.text)

    def heads(self, page: LoosePage, row: int, heads: list[str], labels: int = 1) -> None:
        """Write the heads of a table; the first `labels` stand over names."""
        page.high(row, TWO_LINES)
        for place, head in enumerate(heads):
            page.string(row, place, text_cell(head)[0], self._label if place < labels else self._head)

    def batch(self, page: LoosePage, row: int, name: str, started: float) -> None:
        """Write a batch's name and when it was started: formulas of the row find its figures by both."""
        self.say(page, row, 0, name)
        page.number(row, 1, started, self.day)

    def plain(self, chart: Any, size: tuple[int, int]) -> None:
        """Take from a chart all that says nothing: its frame, marks on its axes, a title (a cell above it has it)."""
        chart.set_title({"none": True})
        chart.set_y_axis({"min": 0, "num_format": "0", "num_font": self.small, "major_gridlines": FAINT,
                          "line": {"none": True}, "major_tick_mark": "none"})  # fmt: skip
        chart.set_x_axis({"num_font": self.small, "line": {"color": QUIET}, "major_tick_mark": "none"})
        chart.set_chartarea({"border": {"none": True}})
        chart.set_size({"width": size[0], "height": size[1]})
