"""The review of a batch on one page, or two where its days need another: bars, time lines, sentences."""

from collections.abc import Sequence

from shopclock.exchange.paper.page import LEADING, PageDraft, PaperFill, PaperPage, PaperSize, width_mm
from shopclock.exchange.paper.review_facts import ReviewSheet
from shopclock.shop.review.review import Went
from shopclock.shop.review.sentences import LANES
from shopclock.shop.values.kinds import Kind
from shopclock.views.bars_picture import ATTENDED, BarRow, BarsPicture, Fill, LineRow
from shopclock.views.review_pictures import FILLS

PAPER_FILLS: dict[Fill | str, PaperFill] = {
    FILLS[Went.OWN]: PaperFill.SOLID,
    FILLS[Went.SET_UP]: PaperFill.RISING,
    FILLS[Went.REWORK]: PaperFill.CROSS,
    FILLS[Went.LOST]: PaperFill.NONE,
    FILLS[Went.KEPT]: PaperFill.PALE,
    FILLS[Went.CUT_DOWN]: PaperFill.UPRIGHT,
    LANES[Kind.HANDS_ON]: PaperFill.SOLID,
    LANES[Kind.WATCH]: PaperFill.CROSS,
    LANES[Kind.WAIT]: PaperFill.RISING,
    LANES[Kind.AWAY]: PaperFill.NONE,
}
"""What stands on paper for the colours of a bar and for the ways of drawing a stretch of a day."""
NAME_MM, NUMBER_MM, PACE_MM = 44.0, 13.0, 15.0
LEAST_ROW_MM = 3.2
TEXT_MM = 3.2
KEY_MM = 7.0
DAY_MM, HOURS_MM = 24.0, 17.0
HEAD_MM, TICKS_MM = 4.0, 4.5
MOST_ROW_MM = 6.5
DAYS_HEAD_MM = HEAD_MM * LEADING + 6.1 + TICKS_MM
"""Heading, legend and hours."""
GAP_MM = 4.0
BAR_ROWS_MM = (7.5, 5.2)
"""How high the row of a bar may be; the smaller one where all of it fits on one page then."""
MOST_LOSSES = 14
MOST_READINGS = 10
DAYS_LEFT_MM = 60.0
"""What stays free for the days on the second page, whatever was measured."""


def _legend(draft: PageDraft, keys: Sequence[tuple[Fill | str | None, str]]) -> None:
    """Legend of the fillings, side by side, on more lines where one is too short."""
    x, high = draft.left_mm, 4.6
    for key, said in keys:
        wide = KEY_MM + 1.0 + width_mm(said, TEXT_MM) + 5.0
        if x > draft.left_mm and x + wide > draft.right_mm:
            x, draft.y_mm = draft.left_mm, draft.y_mm + high
        if key is None:
            _range(draft, x, x + KEY_MM, draft.y_mm + high / 2)
        else:
            draft.box((x, draft.y_mm + 0.8, KEY_MM, high - 1.6), PAPER_FILLS[key])
        draft.text((x + KEY_MM + 1.0, draft.y_mm, min(wide, draft.right_mm - x) - KEY_MM - 1.0, high), said, TEXT_MM)
        x += wide
    draft.y_mm += high + 1.5


def _bars(draft: PageDraft, picture: BarsPicture, under_mm: float, most_mm: float) -> None:
    """The stages under each other, so that what comes under them keeps its room; those that find none are counted."""
    draft.across(picture.heading, HEAD_MM, bold=True)
    _legend(draft, picture.legend)
    room_mm = draft.room_mm - under_mm - GAP_MM
    n = min(len(picture.rows), int(room_mm / LEAST_ROW_MM))
    left = 0.0
    if n < len(picture.rows):
        n, left = n - 1, LEAST_ROW_MM
    high = min(most_mm, (room_mm - left) / max(1, n))
    for row in picture.rows[:n]:
        _bar(draft, row, high, picture.most)
    if left:
        said = f"{len(picture.rows) - n} more are in the spreadsheet."
        draft.text((draft.left_mm, draft.y_mm, draft.width_mm, LEAST_ROW_MM), said, TEXT_MM)
        draft.y_mm += LEAST_ROW_MM
    draft.y_mm += GAP_MM


def _bar(draft: PageDraft, row: BarRow, high: float, longest: float) -> None:
    x = draft.left_mm + NAME_MM
    wide = draft.width_mm - NAME_MM - NUMBER_MM - PACE_MM
    draft.text((draft.left_mm, draft.y_mm, NAME_MM - 2.0, high), row.name, TEXT_MM)
    at, top, thick = x, draft.y_mm + high * 0.16, high * 0.56
    for fill, minutes in row.parts:
        part = wide * minutes / longest
        draft.box((at, top, part, thick), PAPER_FILLS[fill])
        at += part
    if row.low is not None and row.high is not None:
        _range(draft, x + wide * row.low / longest, x + wide * row.high / longest, draft.y_mm + high * 0.87)
    draft.text((x + wide + 1.0, draft.y_mm, NUMBER_MM - 2.0, high), row.number, TEXT_MM, bold=True, across=1.0)
    draft.text((draft.right_mm - PACE_MM + 1.0, draft.y_mm, PACE_MM - 1.0, high), row.word, TEXT_MM)
    draft.y_mm += high


def _range(draft: PageDraft, x: float, to_x: float, y: float) -> None:
    """A line with ends: from where to where it usually lies."""
    draft.line(x, y, to_x, y, 0.3)
    for end in (x, to_x):
        draft.line(end, y - 0.5, end, y + 0.5, 0.3)


def _days_mm(sheet: ReviewSheet) -> float:
    """Return the height that the days take where they have all the room they like; 0 without any."""
    return DAYS_HEAD_MM + len(sheet.days.rows) * MOST_ROW_MM + 4.0 if sheet.days.rows else 0.0


def _days(draft: PageDraft, sheet: ReviewSheet, room_mm: float) -> None:
    """The days under each other within a room; the first of too many are counted."""
    rows, ticks, room_mm = sheet.days.rows, sheet.days.ticks, room_mm - DAYS_HEAD_MM - 4.0
    if not rows:
        return
    fit = int(room_mm / LEAST_ROW_MM)
    shown = rows if len(rows) <= fit else rows[-max(1, fit - 1) :]
    draft.across("The days", HEAD_MM, bold=True)
    _legend(draft, sheet.days.legend)
    _ticks(draft, ticks)
    high = min(MOST_ROW_MM, room_mm / max(1, len(shown)))
    if len(shown) < len(rows):
        said = f"{len(rows) - len(shown)} earlier days are in the spreadsheet."
        draft.text((draft.left_mm, draft.y_mm, draft.width_mm, LEAST_ROW_MM), said, TEXT_MM)
        draft.y_mm, high = draft.y_mm + LEAST_ROW_MM, LEAST_ROW_MM
    for day in shown:
        _day(draft, day, ticks, high)
    draft.y_mm += 4.0


def _ticks(draft: PageDraft, ticks: tuple[tuple[float, str], ...]) -> None:
    """The hours over the lines, only as many as stand apart."""
    wide = draft.width_mm - DAY_MM - HOURS_MM
    free = draft.left_mm + DAY_MM - 5.0
    for place, said in ticks:
        half = width_mm(said, 2.6) / 2 + 0.5
        x = draft.left_mm + DAY_MM + place * wide
        if x - half >= free:
            draft.text((x - half, draft.y_mm, 2 * half, TICKS_MM), said, 2.6, across=0.5)
            free = x + half
    draft.y_mm += TICKS_MM


def _day(draft: PageDraft, day: LineRow, ticks: tuple[tuple[float, str], ...], high: float) -> None:
    x, wide = draft.left_mm + DAY_MM, draft.width_mm - DAY_MM - HOURS_MM
    draft.text((draft.left_mm, draft.y_mm, DAY_MM - 2.0, high), day.name, TEXT_MM)
    for place, _ in ticks:
        draft.line(x + place * wide, draft.y_mm, x + place * wide, draft.y_mm + high, 0.08)
    for span in day.spans:
        top, thick = (0.12, 0.46) if span.kind in ATTENDED else (0.64, 0.26)
        box = (x + span.start * wide, draft.y_mm + top * high, (span.end - span.start) * wide, thick * high)
        draft.box(box, PAPER_FILLS[span.kind], 0.15)
    draft.text((draft.right_mm - HOURS_MM + 1.0, draft.y_mm, HOURS_MM - 1.0, high), day.number, TEXT_MM, across=1.0)
    draft.y_mm += high
    draft.line(draft.left_mm, draft.y_mm, draft.right_mm, draft.y_mm, 0.1)


def review_pages(sheet: ReviewSheet, size: PaperSize) -> tuple[PaperPage, ...]:
    """Lay a review out: sentence, bars, losses, next time; then days and readings, on another page if need be."""
    told = _few(_measured(sheet), MOST_READINGS)
    for most_mm in BAR_ROWS_MM:
        first = _first(sheet, size, most_mm)
        if _days_mm(sheet) + _listed_mm(first, told) <= first.room_mm:
            _rest(first, sheet, told)
            return (first.page(),)
    second = PageDraft(size)
    _head(second, sheet)
    _rest(second, sheet, _fitting(second, _measured(sheet), DAYS_LEFT_MM if sheet.days.rows else 0.0))
    return _first(sheet, size, BAR_ROWS_MM[0]).page(), second.page()


def _first(sheet: ReviewSheet, size: PaperSize, most_mm: float) -> PageDraft:
    """The first page without days and readings, its bars no higher than `most_mm` each."""
    draft = PageDraft(size)
    _head(draft, sheet)
    draft.paragraph(sheet.answer, 5.0, bold=True, gap_mm=1.5)
    draft.paragraph(sheet.more, TEXT_MM, gap_mm=GAP_MM)
    if sheet.bars.rows:
        under = _listed_mm(draft, _few(sheet.losses, MOST_LOSSES)) + _listed_mm(draft, [sheet.next_time])
        _bars(draft, sheet.bars, under, most_mm)
    _listed(draft, "What did not finish", _few(sheet.losses, MOST_LOSSES))
    if sheet.next_time:
        _listed(draft, "Next time", [sheet.next_time])
    return draft


def _head(draft: PageDraft, sheet: ReviewSheet) -> None:
    """Head of the page: which batch, whose shop, which day."""
    wide = draft.width_mm * 0.6
    draft.text((draft.left_mm, draft.y_mm, wide, 9.0), sheet.title, 7.0, bold=True)
    right = (draft.left_mm + wide, draft.y_mm, draft.width_mm - wide)
    draft.text((*right, 4.5), sheet.shop, TEXT_MM, across=1.0)
    draft.text((right[0], right[1] + 4.5, right[2], 4.5), sheet.as_of, TEXT_MM, across=1.0)
    draft.y_mm += 11.0


def _rest(draft: PageDraft, sheet: ReviewSheet, told: Sequence[str]) -> None:
    _days(draft, sheet, draft.room_mm - _listed_mm(draft, told))
    _listed(draft, "Readings", told)


def _measured(sheet: ReviewSheet) -> list[str]:
    return [f"{name}: {values}." for name, values in sheet.readings]


def _fitting(draft: PageDraft, told: Sequence[str], left_mm: float) -> list[str]:
    """Paragraphs, as many as find room when so much stays free; the others are counted."""
    fits = (n for n in range(len(told), 0, -1) if _listed_mm(draft, _few(told, n)) <= draft.room_mm - left_mm)
    return _few(told, next(fits, 0))


def _few(told: Sequence[str], most: int) -> list[str]:
    left = len(told) - most
    return list(told) if left <= 0 else [*told[:most], f"{left} more are in the spreadsheet."]


def _listed(draft: PageDraft, head: str, told: Sequence[str]) -> None:
    """A head, and a paragraph for each; nothing where there is nothing to say."""
    if not told:
        return
    draft.across(head, HEAD_MM, bold=True)
    for text in told:
        draft.paragraph(text, TEXT_MM)
    draft.y_mm += GAP_MM


def _listed_mm(draft: PageDraft, told: Sequence[str]) -> float:
    said = [text for text in told if text]
    return HEAD_MM * LEADING + draft.height_of(said, TEXT_MM) + GAP_MM if said else 0.0
