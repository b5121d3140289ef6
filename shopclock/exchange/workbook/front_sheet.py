"""The workbook's front: sums and charts of the spreadsheet's own, by formulas over the sheets behind it."""

from typing import Any

from shopclock.exchange.workbook.cells import Sheet
from shopclock.exchange.workbook.front_facts import FrontFacts
from shopclock.exchange.workbook.safe_text import text_cell
from shopclock.exchange.workbook.sheets import BATCHES, STAGES, BatchLine
from shopclock.exchange.workbook.xlsx_file import TWO_LINES, LooseSheetPage, Workbook
from shopclock.shop.state.demo_mark import demo_said
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import word


def at(row: int, place: int) -> str:
    """Return a cell's name: $C$12."""
    from xlsxwriter.utility import xl_rowcol_to_cell

    return str(xl_rowcol_to_cell(row, place, row_abs=True, col_abs=True))


def cells(sheet: Sheet[Any], head: str, rows: int) -> str:
    """Return the cells under a head of a sheet with so many rows, as a formula names them."""
    from xlsxwriter.utility import xl_col_to_name

    letters = xl_col_to_name([column.head for column in sheet.columns].index(head))
    return f"'{sheet.name}'!${letters}$2:${letters}${max(rows, 1) + 1}"


def settled(batches: int, *, so_far: bool) -> str:
    """Return 1 for each row of Batches that is closed and timed from the first step; for each row where none is."""
    if so_far:
        return f'({cells(BATCHES, "Batch", batches)}<>"")'
    return f'({cells(BATCHES, "So far", batches)}="")*({cells(BATCHES, "At least", batches)}="")'


def of_batch(row: int, head: str, batches: int) -> str:
    """Return a figure of the batch that a row of the front sheet names in its first column, started as in its second.

    Names may come twice; names and starts together do not.
    """
    name, started = (cells(BATCHES, column, batches) for column in ("Batch", "Started (shop time)"))
    return f"SUMPRODUCT(({name}=$A{row + 1})*({started}=$B{row + 1}),{cells(BATCHES, head, batches)})"


def of_stage(row: int, stage: str, head: str, rows: int) -> str:
    """Return a figure of that batch at the stage which a cell names."""
    columns = ("Batch", "Batch started (shop time)", "Stage")
    batch, started, name = (cells(STAGES, column, rows) for column in columns)
    which = f"({batch}=$A{row + 1})*({started}=$B{row + 1})*({name}={stage})"
    return f"SUMPRODUCT({which},{cells(STAGES, head, rows)})"


INK, QUIET, DYE, LINE = "#141A26", "#3D4960", "#1E40C8", "#D5D9E2"
BATCH_HEADS, NAMES = ("Batch", "Started", "Pattern"), (0, 2)
"""Heads of the first columns of each table; those of them that stand over names."""
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

    def say(self, page: LooseSheetPage, row: int, place: int, text: str) -> None:
        """Write a name; one that could be taken for a formula is guarded."""
        said, could_run = text_cell(text)
        page.string(row, place, said, self.guarded if could_run else self.text)

    def heads(self, page: LooseSheetPage, row: int, heads: list[str]) -> None:
        """Write the heads of a table whose columns begin with those of a batch."""
        page.high(row, TWO_LINES)
        for place, head in enumerate([*BATCH_HEADS, *heads]):
            page.string(row, place, text_cell(head)[0], self._label if place in NAMES else self._head)

    def batch(self, page: LooseSheetPage, row: int, batch: BatchLine, started: float) -> None:
        """Write a batch's name and when it was started, by both of which formulas of the row find it; its pattern."""
        self.say(page, row, 0, batch.row.name)
        page.number(row, 1, started, self.day)
        self.say(page, row, 2, batch.row.pattern)

    def plain(self, chart: Any, size: tuple[int, int]) -> None:
        """Take from a chart all that says nothing: its frame, marks on its axes, a title (a cell above it has it)."""
        chart.set_title({"none": True})
        chart.set_y_axis({"min": 0, "num_format": "0", "num_font": self.small, "major_gridlines": FAINT,
                          "line": {"none": True}, "major_tick_mark": "none"})  # fmt: skip
        chart.set_x_axis({"num_font": self.small, "line": {"color": QUIET}, "major_tick_mark": "none"})
        chart.set_chartarea({"border": {"none": True}})
        chart.set_size({"width": size[0], "height": size[1]})


ALL = "All patterns"
NOT_THERE = "#N/A"
CHOICE, BESIDE = 8, 7
"""Columns: where the choices are made, and where the chart beside that of all stages begins."""
SIZE_PX = (560, 400)
AIR_DAYS, DATES, MONTH_DAYS = 15, 6, 31
STAGES_LIST, PATTERNS_LIST = 5, 8
"""Columns of the lists that the choices are made from."""


class Trend:
    """Writes the choices above the chart, and its table below."""

    def __init__(self, book: Workbook, page: LooseSheetPage, looks: Looks, sheet: str, piece: str) -> None:
        self._book, self._page, self._looks, self._sheet, self._piece = book, page, looks, sheet, piece

    def fill(self, facts: FrontFacts, stage_rows: int, chart_row: int, top: int) -> None:
        """Write it: the chart at one row, its table from another on."""
        self._stage, self._pattern = facts.first_choice()
        self._chooser, self._from = at(chart_row - 2, CHOICE), at(chart_row - 1, CHOICE)
        self._choices(facts, chart_row, top)
        title = f'={self._chooser}&", minutes a {self._piece}, "&{self._from}'
        self._page.formula(top, 0, title, self._looks.bold, f"{self._stage}, minutes a {self._piece}, {self._pattern}")
        self._looks.heads(self._page, top + 1, [f"Minutes a {self._piece}"])
        for row, batch in enumerate(facts.newest, start=top + 2):
            self._batch(row, batch, stage_rows)
        self._chart(chart_row, top + 2, facts.newest)

    def _choices(self, facts: FrontFacts, chart_row: int, top: int) -> None:
        """The two cells with their lists; the lists stand beside the table, in the order of the work."""
        patterns = sorted({batch.row.pattern for batch in facts.newest})
        listed = ((chart_row - 2, f"Minutes a {self._piece} at", self._stage, STAGES_LIST, facts.stages, "Stages"),
                  (chart_row - 1, "of", self._pattern, PATTERNS_LIST, [ALL, *patterns], "Patterns"))  # fmt: skip
        for row, label, chosen, place, names, head in listed:
            self._page.string(row, CHOICE - 1, label, self._looks.choose)
            self._page.wide(row, CHOICE, CHOICE + 2, text_cell(chosen)[0], self._looks.chosen)
            self._page.string(top + 1, place, head, self._looks.bold)
            for n, name in enumerate(names, start=top + 2):
                self._looks.say(self._page, n, place, name)
            source = f"={at(top + 2, place)}:{at(top + 1 + len(names), place)}"
            self._page.page.data_validation(row, CHOICE, row, CHOICE, {"validate": "list", "source": source})

    def _batch(self, row: int, batch: BatchLine, stage_rows: int) -> None:
        self._looks.batch(self._page, row, batch, self._book.shop_day(batch.row.started_us))
        passed, minutes = (
            of_stage(row, self._chooser, head, stage_rows) for head in ("Passed (pieces)", "Run per piece (min)")
        )
        other = f'AND({self._from}<>"{ALL}",{self._from}<>{at(row, 2)})'
        value = batch.per_piece_min(self._stage) if batch.row.pattern == self._pattern else None
        shown = NOT_THERE if value is None else value
        self._page.formula(row, 3, f"=IF({other},NA(),IF({passed}=0,NA(),{minutes}))", self._looks.number, shown)

    def _chart(self, chart_row: int, first: int, batches: list[BatchLine]) -> None:
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
        days = [self._book.shop_day(batch.row.started_us) for batch in (batches[0], batches[-1])]
        chart.set_x_axis(_days(*days) | {"num_font": self._looks.small})
        self._page.page.insert_chart(chart_row, BESIDE, chart)


def _days(first: float, last: float) -> dict[str, Any]:
    """Return an axis from half a month before the first day to half a month after the last, six dates along it."""
    low, high = int(first) - AIR_DAYS, int(last) + AIR_DAYS
    bare = {"major_gridlines": {"visible": False}, "major_tick_mark": "outside"}
    step = max(1, round((high - low) / DATES))
    form = "yyyy-mm" if step > MONTH_DAYS else "yyyy-mm-dd"
    return {"min": low, "max": high, "major_unit": step, "num_format": form, **bare}


NAME, TABLE = "Front", "Figures"
"""The front itself; the sheet behind it that is one table, heads in its first row, as programs read it."""
OTHERS = "Other stages"
COLOURS = ("#1E40C8", "#9DB1F2", "#15308F", "#E0A672", "#7A4320", "#F2D58C", "#0B5D32", "#8FCBA6")
"""Of the paper theme, dark beside light, so that neighbours differ in black and white too."""
REST = "#C4C9D4"
SUMS, CHARTS, HIGH = 3, 11, 20
"""Rows: where the sums begin, where the charts do, how many they take; the table of the second chart follows."""
FIRST = len(BATCH_HEADS)
"""The column of the first stage."""
FEW = 6
"""Fewer bars stand further apart, so that none is wider than it is worth."""
WIDE = 13
"""Columns: of a batch three, eight stages, the others, all."""
LEFT_PX, HIGH_PX = 630, 400


class Front:
    """The front sheet, and the table of its bars behind it: made first, filled when what they read is written."""

    def __init__(self, book: Workbook, floor: ShopFloor) -> None:
        self._book, self._looks = book, Looks(book)
        self._piece, self._finished, self._batch = (word(floor, kind) for kind in ("piece", "finished", "batch"))
        said = demo_said(floor)
        self._invented = f"{said[:1].upper()}{said[1:]}. " if said else ""
        self._page = LooseSheetPage(book.front(NAME, 24, WIDE))
        table = book.front(TABLE, 24, WIDE)
        table.freeze_panes(1, 1)
        self._table = LooseSheetPage(table)

    def fill(self, facts: FrontFacts, told: str, stage_rows: int) -> None:
        """Write it; `told` says what is in the book, `stage_rows` how many rows the sheet of stages has."""
        self._page.string(0, 0, f"Minutes per finished {self._finished.one}", self._looks.title)
        self._page.string(1, 0, f"{self._invented}{told}", self._looks.quiet)
        if facts.every:
            self._sums(facts)
        else:
            self._page.string(SUMS, 0, f"There are no {self._batch.many} in it.")
        self._by_stage(facts, stage_rows)
        if facts.stages:
            trend = Trend(self._book, self._page, self._looks, NAME, self._piece.one)
            trend.fill(facts, stage_rows, CHARTS, CHARTS + HIGH + 1)
            self._page.page.set_h_pagebreaks([CHARTS + HIGH])
        self._page.finish()
        self._table.finish()

    def _sums(self, facts: FrontFacts) -> None:
        """The main figures, each by a formula over the rows of Batches."""
        which, summed_up = settled(len(facts.every), so_far=facts.so_far), facts.summed
        made_n, lost_n = (sum(n) for n in zip(*((b.figures.finished, b.row.scrapped) for b in summed_up), strict=True))

        def summed(head: str) -> str:
            return f"SUMPRODUCT({which},{cells(BATCHES, head, len(facts.every))})"

        looks, per = self._looks, sum(line.figures.whole.all_us for line in summed_up) / 60e6
        begun, made = ("so far", "finished or in work") if facts.so_far else ("closed", "finished")
        spent, finished = summed("Spent (min)"), summed("Finished (pieces)")
        lines = (
            (f"{self._batch.many.capitalize()}, {begun}", f"SUMPRODUCT({which}*1)", looks.count, len(summed_up)),
            (f"{self._finished.many.capitalize()}, {made}", finished, looks.count, made_n),
            ("Lost", summed("Lost (pieces)"), looks.count, lost_n),
            ("Work on them (h:mm)", f"{spent}/1440", looks.length, per / 1440),
            ("Work on them (min)", spent, looks.number, per),
            (f"Minutes per finished {self._finished.one}",
             f"IF({at(SUMS + 1, 1)}=0,0,{at(SUMS + 4, 1)}/{at(SUMS + 1, 1)})",
             looks.main, per / made_n if made_n else 0),
        )  # fmt: skip
        for row, (label, formula, form, value) in enumerate(lines, start=SUMS):
            self._page.string(row, 0, label, looks.bold)
            self._page.formula(row, 1, f"={formula}", form, value)

    def _by_stage(self, facts: FrontFacts, stage_rows: int) -> None:
        """A row for each of the newest batches, a column for each stage, and their chart on the front."""
        stages, batches = facts.shown, facts.stacked
        more = [OTHERS] if facts.others else []
        self._looks.heads(self._table, 0, [*stages, *more, "All"])
        for row, batch in enumerate(batches, start=1):
            self._looks.batch(self._table, row, batch, self._book.shop_day(batch.row.started_us))
            self._stages(row, batch, stages, stage_rows)
            self._whole(row, batch, stages, len(facts.every), others=bool(more))
        if batches and stages:
            self._chart(len(batches), [*COLOURS[: len(stages)], *([REST] if more else [])])

    def _stages(self, row: int, batch: BatchLine, stages: list[str], stage_rows: int) -> None:
        for place, stage in enumerate(stages, start=FIRST):
            formula = of_stage(row, at(0, place), "Per finished piece (min)", stage_rows)
            value = batch.per_finished_min(stage)
            self._table.formula(row, place, f"={formula}", self._looks.some, value)

    def _whole(self, row: int, batch: BatchLine, stages: list[str], batches: int, *, others: bool) -> None:
        """Everything spent on the batch, and what of it is none of the stages shown, to a millionth of a minute."""
        last, whole = FIRST + len(stages), batch.figures.whole.per_finished_min or 0.0
        if others:
            rest = whole - sum(batch.per_finished_min(stage) for stage in stages)
            formula = f"=ROUND({at(row, last + 1)}-SUM({at(row, FIRST)}:{at(row, last - 1)}),6)"
            self._table.formula(row, last, formula, self._looks.number, round(rest, 6))
        formula = of_batch(row, "Per finished piece (min)", batches)
        self._table.formula(row, last + others, f"={formula}", self._looks.number, whole)

    def _chart(self, batches: int, colours: list[str]) -> None:
        """The bars: a batch each, its stages on top of each other in the order of the work."""
        chart: Any = self._book.chart(type="column", subtype="stacked")
        for place, colour in enumerate(colours, start=FIRST):
            chart.add_series({
                "name": [TABLE, 0, place], "categories": [TABLE, 1, 0, batches, 0],
                "values": [TABLE, 1, place, batches, place], "gap": 45 + 75 * max(0, FEW - batches),
                "fill": {"color": colour}, "border": {"color": "#FFFFFF", "width": 0.75},
            })  # fmt: skip
        self._looks.plain(chart, (LEFT_PX, HIGH_PX))
        chart.set_legend({"position": "right", "font": self._looks.small})
        self._page.string(CHARTS - 1, 0, f"Minutes per finished {self._finished.one}, by stage",
                                self._looks.bold)  # fmt: skip
        self._page.page.insert_chart(CHARTS, 0, chart)
