"""The front of the workbook: sums, and charts of the spreadsheet's own, all by formulas over the sheets behind it."""

from typing import Any

from shopclock.exchange.batch_sheet import BATCHES
from shopclock.exchange.cells import Sheet
from shopclock.exchange.figure_sheets import STAGES
from shopclock.exchange.front_facts import STAGES_SHOWN, FrontBatch, FrontFacts
from shopclock.exchange.safe_text import cell_text, risky
from shopclock.exchange.xlsx_file import Workbook

NAME = "Figures"
OTHERS = "Other stages"
COLOURS = ("#1E3FC8", "#9DB1F2", "#10204F", "#E2B04A", "#5E7FA8", "#C9D6EA", "#7A5C1E", "#F0DDB0", "#B9B9B9")
"""Dark beside light, so that neighbours differ in black and white too; the last is for the other stages."""
TABLE, CHARTS, HIGH = 10, 25, 21
"""Rows: where the heads of the table by stage stand, where the charts begin, how many they take."""
WIDE = 11
"""Columns after the batch's name: when it started, the stages, the others, all."""
CHART_PX = (560, 420)
NOT_THERE = "#N/A"


class Front:
    """Lays the front sheet out; `passed` and `finished` are the rows on the sheets it reads."""

    def __init__(self, book: Workbook, words: tuple[str, str]) -> None:
        self._book, (self._piece, self._finished) = book, words
        self._page = book.front(NAME)
        self._bold = book.format(bold=True)
        self._head = book.format(bold=True, text_wrap=True, valign="top", align="right", bottom=1)
        self._label = book.format(bold=True, text_wrap=True, valign="top", bottom=1)
        self._number, self._count = book.format(num_format="0.0"), book.format(num_format="0")
        self._length, self._day = book.format(num_format="[h]:mm"), book.format(num_format="yyyy-mm-dd", align="right")
        self._text, self._guarded = book.format(num_format="@"), book.format(num_format="@", quote_prefix=True)
        self._chosen = book.format(bold=True, border=1, bg_color="#FFF6DD", num_format="@")
        self._page.set_column(0, 0, 24)
        self._page.set_column(1, WIDE, 11)
        self._page.set_landscape()
        self._page.fit_to_pages(1, 0)
        self._page.hide_gridlines(2)

    def fill(self, facts: FrontFacts, told: str, stage_rows: int) -> None:
        """Write it, when all other sheets are: `told` says what is in the book."""
        self._page.write_string(
            0, 0, f"Minutes per finished {self._finished}", self._book.format(bold=True, font_size=16)
        )
        self._page.write_string(1, 0, told)
        if not facts.batches:
            self._page.write_string(3, 0, "There is no batch in it.")
            return
        self._sums(facts)
        reach = _Reach(stage_rows)
        self._by_stage(facts, reach)
        self._one_stage(facts, reach)
        self._page.set_h_pagebreaks([CHARTS + HIGH])

    def _sums(self, facts: FrontFacts) -> None:
        spent = facts.spent_us / 60e6
        lines = (
            ("Batches", f"=ROWS({_cells(BATCHES, 'Batch', facts.batches)})", self._count, facts.batches),
            ("Finished", _sum("Finished (pieces)", facts.batches), self._count, facts.finished),
            ("Lost", _sum("Lost (pieces)", facts.batches), self._count, facts.lost),
            ("Work on all (h:mm)", _sum("Spent (min)", facts.batches) + "/1440", self._length, spent / 1440),
            (f"Minutes per finished {self._finished}", "=IF(B5=0,0,B7*1440/B5)", self._number,
             spent / facts.finished if facts.finished else 0),
        )  # fmt: skip
        for row, (label, formula, form, value) in enumerate(lines, start=3):
            self._page.write_string(row, 0, label, self._bold)
            self._page.write_formula(row, 1, formula, form, value)

    def _by_stage(self, facts: FrontFacts, reach: "_Reach") -> None:
        """A row for each of the newest batches, a column for each stage; then their chart."""
        stages = facts.stages[:STAGES_SHOWN]
        self._page.write_string(TABLE - 1, 0, f"Minutes per finished {self._finished}, by stage", self._bold)
        self._heads(TABLE, ["Batch", "Started", *stages, OTHERS, "All"])
        for row, batch in enumerate(facts.stacked, start=TABLE + 1):
            self._batch(row, batch)
            shown = [batch.finished_min.get(stage, 0.0) for stage in stages]
            for place, value in enumerate(shown, start=2):
                self._page.write_formula(
                    row, place, reach.of(row, place, TABLE, "Per finished piece (min)"), self._number, value
                )
            last = 2 + len(stages)
            whole, first, end = batch.whole_min or 0.0, _at(row, 2), _at(row, last - 1)
            self._page.write_formula(
                row, last, f"={_at(row, last + 1)}-SUM({first}:{end})", self._number, whole - sum(shown)
            )
            self._page.write_formula(row, last + 1, self._whole(row, facts.batches), self._number, whole)
        self._stack_chart(len(facts.stacked), [*stages, OTHERS])

    def _heads(self, row: int, heads: list[str]) -> None:
        self._page.set_row(row, 31)
        for place, head in enumerate(heads):
            self._page.write_string(row, place, cell_text(head), self._head if place else self._label)

    def _batch(self, row: int, batch: FrontBatch) -> None:
        self._page.write_string(row, 0, cell_text(batch.name), self._guarded if risky(batch.name) else self._text)
        self._page.write_number(row, 1, self._book.shop_day(batch.started_us), self._day)

    @staticmethod
    def _whole(row: int, batches: int) -> str:
        name, started = (_cells(BATCHES, head, batches) for head in ("Batch", "Started (shop time)"))
        minutes = _cells(BATCHES, "Per finished piece (min)", batches)
        return f"=SUMPRODUCT(({name}=$A{row + 1})*({started}=$B{row + 1}),{minutes})"

    def _stack_chart(self, batches: int, stages: list[str]) -> None:
        if not batches:
            return
        chart = self._book.chart(type="column", subtype="stacked")
        first, last = TABLE + 1, TABLE + batches
        for place, (colour, _) in enumerate(
            zip(COLOURS[: len(stages) - 1] + COLOURS[-1:], stages, strict=True), start=2
        ):
            chart.add_series({
                "name": [NAME, TABLE, place], "categories": [NAME, first, 0, last, 0],
                "values": [NAME, first, place, last, place], "fill": {"color": colour}, "gap": 60,
            })  # fmt: skip
        self._place(chart, f"Minutes per finished {self._finished}", CHARTS, 0)
        chart.set_legend({"position": "right"})

    def _one_stage(self, facts: FrontFacts, reach: "_Reach") -> None:
        """The chosen stage, batch after batch; choosing another makes the formulas and the chart follow."""
        below = CHARTS + HIGH
        chooser, stage = _at(CHARTS - 1, 8), facts.stages[0]
        self._page.write_string(CHARTS - 1, 7, "Stage", self._bold)
        self._page.merge_range(CHARTS - 1, 8, CHARTS - 1, 10, cell_text(stage), self._chosen)
        stages = f"=$E${below + 3}:$E${below + 2 + len(facts.stages)}"
        self._page.data_validation(CHARTS - 1, 8, CHARTS - 1, 8, {"validate": "list", "source": stages})
        title = f'={chooser}&", minutes a {self._piece}"'
        self._page.write_formula(below, 0, title, self._bold, f"{stage}, minutes a {self._piece}")
        self._heads(below + 1, ["Batch", "Started", f"Minutes a {self._piece}", "", "Stages"])
        newest = list(facts.newest)
        for n in range(max(len(newest), len(facts.stages))):
            if n < len(newest):
                self._followed(below + 2 + n, newest[n], stage, reach, chooser)
            if n < len(facts.stages):
                self._page.write_string(below + 2 + n, 4, cell_text(facts.stages[n]), self._text)
        self._follow_chart(below, len(newest))

    def _followed(self, row: int, batch: FrontBatch, stage: str, reach: "_Reach", chooser: str) -> None:
        self._batch(row, batch)
        passed, minutes = (reach.named(row, chooser, head) for head in ("Passed (pieces)", "Run per piece (min)"))
        value: Any = batch.passed_min.get(stage, NOT_THERE)
        self._page.write_formula(row, 2, f"=IF({passed}=0,NA(),{minutes})", self._number, value)

    def _follow_chart(self, below: int, batches: int) -> None:
        first, last = below + 2, below + 1 + batches
        gone = self._book.format(font_color="#FFFFFF")
        self._page.conditional_format(first, 2, last, 2, {"type": "errors", "format": gone})
        chart = self._book.chart(type="line")
        chart.add_series({
            "categories": [NAME, first, 0, last, 0], "values": [NAME, first, 2, last, 2],
            "line": {"color": COLOURS[0], "width": 2},
            "marker": {"type": "circle", "size": 6, "fill": {"color": COLOURS[0]}, "border": {"color": COLOURS[0]}},
        })  # fmt: skip
        chart.show_na_as_empty_cell()
        chart.set_legend({"none": True})
        self._place(chart, f"={NAME}!$A${below + 1}", CHARTS, 6)

    def _place(self, chart: Any, title: str, row: int, column: int) -> None:
        font = {"size": 12, "bold": True}
        chart.set_title({"name": title, "name_font": font, "overlay": False})
        chart.set_y_axis(
            {"min": 0, "num_format": "0", "major_gridlines": {"visible": True, "line": {"color": "#D9D9D9"}}}
        )
        chart.set_x_axis({"num_font": {"rotation": -45}})
        chart.set_size({"width": CHART_PX[0], "height": CHART_PX[1]})
        self._page.insert_chart(row, column, chart)


class _Reach:
    """Formulas that find the row of a batch and a stage on the sheet of stages."""

    def __init__(self, rows: int) -> None:
        self._rows = max(rows, 1)

    def of(self, row: int, place: int, heads: int, column: str) -> str:
        """The value for the batch in this row and the stage in the head of this column."""
        return f"={self.named(row, _at(heads, place), column)}"

    def named(self, row: int, stage: str, column: str) -> str:
        """The value for the batch in this row and the stage that a cell names."""
        batch, started, name = (
            _cells(STAGES, head, self._rows) for head in ("Batch", "Batch started (shop time)", "Stage")
        )
        which = f"({batch}=$A{row + 1})*({started}=$B{row + 1})*({name}={stage})"
        return f"SUMPRODUCT({which},{_cells(STAGES, column, self._rows)})"


def _cells(sheet: Sheet[Any], head: str, rows: int) -> str:
    """Return the cells under a head, as a formula names them."""
    from xlsxwriter.utility import xl_col_to_name

    letters = xl_col_to_name([column.head for column in sheet.columns].index(head))
    return f"'{sheet.name}'!${letters}$2:${letters}${rows + 1}"


def _sum(head: str, rows: int) -> str:
    return f"=SUM({_cells(BATCHES, head, rows)})"


def _at(row: int, place: int) -> str:
    from xlsxwriter.utility import xl_rowcol_to_cell

    return str(xl_rowcol_to_cell(row, place, row_abs=True, col_abs=True))
