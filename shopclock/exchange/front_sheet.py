"""The front of the workbook: sums, and charts of the spreadsheet's own, all by formulas over the sheets behind it."""

from dataclasses import dataclass
from typing import Any

from shopclock.exchange.batch_sheet import BATCHES
from shopclock.exchange.front_cells import at, cells, of_batch, of_stage, settled
from shopclock.exchange.front_facts import FrontBatch, FrontFacts
from shopclock.exchange.front_looks import Looks
from shopclock.exchange.front_trend import Trend
from shopclock.exchange.loose_page import LoosePage
from shopclock.exchange.xlsx_file import Workbook
from shopclock.shop.floor import Floor
from shopclock.shop.wording import word

NAME = "Figures"
OTHERS = "Other stages"
COLOURS = ("#1E40C8", "#9DB1F2", "#15308F", "#E0A672", "#7A4320", "#F2D58C", "#0B5D32", "#8FCBA6")
"""Of the paper theme, dark beside light, so that neighbours differ in black and white too."""
REST = "#C4C9D4"
SUMS, CHARTS, HIGH = 3, 11, 20
"""Rows: where the sums begin, where the charts do, how many they take; the tables of the charts follow."""
FEW = 6
"""Fewer bars stand further apart, so that none is wider than it is worth."""
WIDE = 13
"""Columns: a batch, when it started, eight stages, the others, all; one more for air."""
LEFT_PX, HIGH_PX = 630, 400


@dataclass(frozen=True, slots=True)
class Words:
    """The shop's own words."""

    piece: str
    finished: str
    finished_many: str
    batches: str


def words_of(floor: Floor) -> Words:
    """Return the words of a shop."""
    finished = word(floor, "finished")
    return Words(word(floor, "piece").one, finished.one, finished.many, word(floor, "batch").many)


class Front:
    """The front sheet: made first, so that it lies in front, and filled when the sheets that it reads are written."""

    def __init__(self, book: Workbook, words: Words) -> None:
        self._book, self._words = book, words
        self._looks = Looks(book)
        self._page = LoosePage(book.front(NAME, 24, WIDE))

    def fill(self, facts: FrontFacts, told: str, stage_rows: int) -> None:
        """Write it; `told` says what is in the book, `stage_rows` how many rows the sheet of stages has."""
        self._page.string(0, 0, f"Minutes per finished {self._words.finished}", self._looks.title)
        self._page.string(1, 0, told, self._looks.quiet)
        if facts.stages:
            self._tell(facts, stage_rows)
        elif facts.every.batches:
            self._sums(facts)
        else:
            self._page.string(SUMS, 0, f"There are no {self._words.batches} in it.")
        self._page.finish()

    def _tell(self, facts: FrontFacts, stage_rows: int) -> None:
        self._sums(facts)
        table = CHARTS + HIGH + 1
        end = self._by_stage(facts, table, stage_rows)
        Trend(self._book, self._page, self._looks, NAME, self._words.piece).fill(facts, stage_rows, CHARTS, end + 2)
        self._page.page.set_h_pagebreaks([end + 1])

    def _sums(self, facts: FrontFacts) -> None:
        """The main figures, each by a formula over the rows of Batches."""
        sums, which = facts.sums, settled(facts.every.batches, so_far=facts.so_far)

        def summed(head: str) -> str:
            return f"SUMPRODUCT({which},{cells(BATCHES, head, facts.every.batches)})"

        words, looks, per = self._words, self._looks, sums.spent_us / 60e6
        begun, made = ("so far", "finished or in work") if facts.so_far else ("closed", "finished")
        spent, finished = summed("Spent (min)"), summed("Finished (pieces)")
        lines = (
            (f"{words.batches.capitalize()}, {begun}", f"SUMPRODUCT({which}*1)", looks.count, sums.batches),
            (f"{words.finished_many.capitalize()}, {made}", finished, looks.count, sums.finished),
            ("Lost", summed("Lost (pieces)"), looks.count, sums.lost),
            ("Work on them (h:mm)", f"{spent}/1440", looks.length, per / 1440),
            ("Work on them (min)", spent, looks.number, per),
            (f"Minutes per finished {words.finished}", f"IF({at(SUMS + 1, 1)}=0,0,{at(SUMS + 4, 1)}/{at(SUMS + 1, 1)})",
             looks.main, per / sums.finished if sums.finished else 0),
        )  # fmt: skip
        for row, (label, formula, form, value) in enumerate(lines, start=SUMS):
            self._page.string(row, 0, label, looks.bold)
            self._page.formula(row, 1, f"={formula}", form, value)

    def _by_stage(self, facts: FrontFacts, top: int, stage_rows: int) -> int:
        """A row for each of the newest batches, a column for each stage, and their chart; the row after the last."""
        stages, batches = facts.shown, facts.stacked
        self._page.string(top, 0, f"Minutes per finished {self._words.finished}, by stage", self._looks.bold)
        more = [OTHERS] if facts.others else []
        self._looks.heads(self._page, top + 1, ["Batch", "Started", *stages, *more, "All"])
        for row, batch in enumerate(batches, start=top + 2):
            self._looks.batch(self._page, row, batch.name, self._book.shop_day(batch.started_us))
            self._stages(row, top + 1, batch, stages, stage_rows)
            self._whole(row, batch, stages, facts.every.batches, others=bool(more))
        if batches and stages:
            self._chart(top + 1, len(batches), [*COLOURS[: len(stages)], *([REST] if more else [])])
        return top + 2 + len(batches)

    def _stages(self, row: int, heads: int, batch: FrontBatch, stages: list[str], stage_rows: int) -> None:
        for place, stage in enumerate(stages, start=2):
            formula = of_stage(row, at(heads, place), "Per finished piece (min)", stage_rows)
            value = batch.finished_min.get(stage, 0.0)
            self._page.formula(row, place, f"={formula}", self._looks.some, value)

    def _whole(self, row: int, batch: FrontBatch, stages: list[str], batches: int, *, others: bool) -> None:
        """Everything spent on the batch, and what of it is none of the stages shown, to a millionth of a minute."""
        last, whole = 2 + len(stages), batch.whole_min or 0.0
        if others:
            rest = whole - sum(batch.finished_min.get(stage, 0.0) for stage in stages)
            formula = f"=ROUND({at(row, last + 1)}-SUM({at(row, 2)}:{at(row, last - 1)}),6)"
            self._page.formula(row, last, formula, self._looks.number, round(rest, 6))
        formula = of_batch(row, "Per finished piece (min)", batches)
        self._page.formula(row, last + others, f"={formula}", self._looks.number, whole)

    def _chart(self, heads: int, batches: int, colours: list[str]) -> None:
        """The bars: a batch each, its stages on top of each other in the order of the work."""
        chart: Any = self._book.chart(type="column", subtype="stacked")
        first, last = heads + 1, heads + batches
        for place, colour in enumerate(colours, start=2):
            chart.add_series({
                "name": [NAME, heads, place], "categories": [NAME, first, 0, last, 0],
                "values": [NAME, first, place, last, place], "gap": 45 + 75 * max(0, FEW - batches),
                "fill": {"color": colour}, "border": {"color": "#FFFFFF", "width": 0.75},
            })  # fmt: skip
        self._looks.plain(chart, (LEFT_PX, HIGH_PX))
        chart.set_legend({"position": "right", "font": self._looks.small})
        self._page.string(CHARTS - 1, 0, f"Minutes per finished {self._words.finished}, by stage",
                                self._looks.bold)  # fmt: skip
        self._page.page.insert_chart(CHARTS, 0, chart)
