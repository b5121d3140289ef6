"""The review of a batch on one page, or two where its days need another."""

from collections.abc import Sequence

from shopclock.exchange.paper.draft import LEADING, Draft
from shopclock.exchange.paper.page import Page, Size
from shopclock.exchange.paper.review_bars import bars, legend
from shopclock.exchange.paper.review_days import days, days_mm
from shopclock.exchange.paper.review_facts import ReviewSheet

TEXT_MM = 3.2
HEAD_MM = 4.0
GAP_MM = 4.0
BAR_ROWS_MM = (7.5, 5.2)
"""How high the row of a bar may be; the smaller one where all of it fits on one page then."""
MOST_LOSSES = 14
MOST_READINGS = 10
DAYS_LEFT_MM = 60.0
"""What stays free for the days on the second page, whatever was measured."""


def review_pages(sheet: ReviewSheet, size: Size) -> tuple[Page, ...]:
    """Lay a review out: sentence, bars, losses, next time; then days and readings, on another page if need be."""
    told = _few(_measured(sheet), MOST_READINGS)
    for most_mm in BAR_ROWS_MM:
        first = _first(sheet, size, most_mm)
        if days_mm(sheet) + _listed_mm(first, told) <= first.room_mm:
            _rest(first, sheet, told)
            return (first.page(),)
    second = Draft(size)
    _head(second, sheet)
    _rest(second, sheet, _fitting(second, _measured(sheet), DAYS_LEFT_MM if sheet.days else 0.0))
    return _first(sheet, size, BAR_ROWS_MM[0]).page(), second.page()


def _first(sheet: ReviewSheet, size: Size, most_mm: float) -> Draft:
    """The first page without days and readings, its bars no higher than `most_mm` each."""
    draft = Draft(size)
    _head(draft, sheet)
    draft.paragraph(sheet.answer, 5.0, bold=True, gap_mm=1.5)
    draft.paragraph(sheet.more, TEXT_MM, gap_mm=GAP_MM)
    _bars(draft, sheet, most_mm)
    _listed(draft, "What did not finish", _few(sheet.losses, MOST_LOSSES))
    if sheet.next_time:
        _listed(draft, "Next time", [sheet.next_time])
    return draft


def _head(draft: Draft, sheet: ReviewSheet) -> None:
    """Which batch, whose shop, which day."""
    wide = draft.width_mm * 0.6
    draft.text((draft.left_mm, draft.y_mm, wide, 9.0), sheet.title, 7.0, bold=True)
    right = (draft.left_mm + wide, draft.y_mm, draft.width_mm - wide)
    draft.text((*right, 4.5), sheet.shop, TEXT_MM, across=1.0)
    draft.text((right[0], right[1] + 4.5, right[2], 4.5), sheet.as_of, TEXT_MM, across=1.0)
    draft.y_mm += 11.0


def _bars(draft: Draft, sheet: ReviewSheet, most_mm: float) -> None:
    """The stages as bars; what comes under them keeps its room."""
    if not sheet.bars:
        return
    draft.across(sheet.heading, HEAD_MM, bold=True)
    legend(draft, sheet.legend)
    under = _listed_mm(draft, _few(sheet.losses, MOST_LOSSES)) + _listed_mm(draft, [sheet.next_time])
    bars(draft, sheet.bars, draft.room_mm - under - GAP_MM, most_mm)
    draft.y_mm += GAP_MM


def _rest(draft: Draft, sheet: ReviewSheet, told: Sequence[str]) -> None:
    days(draft, sheet, draft.room_mm - _listed_mm(draft, told))
    _listed(draft, "Readings", told)


def _measured(sheet: ReviewSheet) -> list[str]:
    return [f"{name}: {values}." for name, values in sheet.readings]


def _fitting(draft: Draft, told: Sequence[str], left_mm: float) -> list[str]:
    """As many paragraphs as find room when so much stays free; the others are counted."""
    fits = (n for n in range(len(told), 0, -1) if _listed_mm(draft, _few(told, n)) <= draft.room_mm - left_mm)
    return _few(told, next(fits, 0))


def _few(told: Sequence[str], most: int) -> list[str]:
    left = len(told) - most
    return list(told) if left <= 0 else [*told[:most], f"{left} more are in the spreadsheet."]


def _listed(draft: Draft, head: str, told: Sequence[str]) -> None:
    """A head, and a paragraph for each; nothing where there is nothing to say."""
    if not told:
        return
    draft.across(head, HEAD_MM, bold=True)
    for text in told:
        draft.paragraph(text, TEXT_MM)
    draft.y_mm += GAP_MM


def _listed_mm(draft: Draft, told: Sequence[str]) -> float:
    said = [text for text in told if text]
    return HEAD_MM * LEADING + draft.height_of(said, TEXT_MM) + GAP_MM if said else 0.0
