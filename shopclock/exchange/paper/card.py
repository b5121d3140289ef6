"""The card of a batch on the wall: a box for each piece at each step, for a pencil when the computer is off."""

from collections.abc import Sequence
from dataclasses import dataclass

from shopclock.exchange.paper.card_facts import Card, Cell, Row
from shopclock.exchange.paper.page import LEADING, PageDraft, PaperFill, PaperPage, PaperSize, width_mm, wrapped

MOST_PIECES = 14
"""Letters side by side; more go on another page."""
LEAST_ROW_MM, MOST_ROW_MM = 5.0, 9.5
HEAD_MM = 7.0
CELL_MM = (5.9, 9.0)
TIMES_MM = 27.0
SMALL_MM, NOTE_MM = 2.5, 2.9
HINT = (
    "Tick a box when the piece is through, write the time beside it. Ticked: through when this was printed. "
    "Hatched: lost, kept or cut down. Type the times in later with Amend times."
)
LAST_WORD = "Makers of equipment and materials, local codes and licensed practice have the last word."


@dataclass(frozen=True, slots=True)
class _Columns:
    """Places of the columns, in millimetres: names, notes, the boxes of so many pieces, times."""

    name_mm: float
    notes_mm: float
    cells_mm: float
    cell_mm: float
    times_mm: float
    names_to_mm: float


def card_pages(card: Card, size: PaperSize) -> tuple[PaperPage, ...]:
    """Lay a card out on one page; on more where it has more letters or lines than one can hold."""
    pages = []
    for first in range(0, max(1, len(card.marks)), MOST_PIECES):
        pieces, row = slice(first, first + MOST_PIECES), 0
        while row < len(card.rows) or not row:
            draft = PageDraft(size)
            row += _page(draft, card, pieces, card.rows[row:])
            pages.append(draft.page())
            if not card.rows:
                break
    return tuple(pages)


def _page(draft: PageDraft, card: Card, pieces: slice, rows: Sequence[Row]) -> int:
    """Draw one page; return how many of the rows found room on it."""
    _head(draft, card)
    room = draft.room_mm - HEAD_MM - _foot_mm(draft, card)
    n = max(1, min(len(rows), int(room / LEAST_ROW_MM)))
    height = min(MOST_ROW_MM, room / n)
    columns = _columns(draft, len(card.marks[pieces]))
    _letters(draft, card, pieces, columns)
    for row in rows[:n]:
        _row(draft, row, row.cells[pieces], columns, height)
    _foot(draft, card)
    return n


def _head(draft: PageDraft, card: Card) -> None:
    """The batch in letters for arm's length, then what it is."""
    draft.text((draft.left_mm, draft.y_mm, 70.0, 13.0), card.batch, 10.5, bold=True)
    right = draft.left_mm + 72.0
    wide = draft.right_mm - right
    draft.text((right, draft.y_mm, wide, 7.5), card.about, 6.0, bold=True, across=1.0)
    draft.text((right, draft.y_mm + 7.7, wide, 4.5), card.shop, 3.2, across=1.0)
    draft.y_mm += 13.5
    said = f"{card.as_of} {card.whose[:1].upper()}{card.whose[1:]}{'.' if card.whose else ''}"
    draft.paragraph(said, 3.0, gap_mm=1.0)
    if card.next_time:
        draft.paragraph(card.next_time, NEXT_MM, bold=True, gap_mm=1.0)


def _columns(draft: PageDraft, n: int) -> _Columns:
    least, most = CELL_MM
    wide = min(most, max(least, (draft.width_mm * 0.45) / max(1, n)))
    rest = draft.width_mm - TIMES_MM - wide * n
    notes = rest * 0.46
    return _Columns(
        name_mm=draft.left_mm,
        notes_mm=draft.left_mm + rest - notes,
        cells_mm=draft.left_mm + rest,
        cell_mm=wide,
        times_mm=draft.right_mm - TIMES_MM,
        names_to_mm=rest - notes - 1.0,
    )


def _letters(draft: PageDraft, card: Card, pieces: slice, at: _Columns) -> None:
    """The letters over their boxes; those that are gone are struck out."""
    y = draft.y_mm
    for n, (mark, gone) in enumerate(zip(card.marks[pieces], card.gone[pieces], strict=True)):
        x = at.cells_mm + n * at.cell_mm
        draft.text((x, y, at.cell_mm, HEAD_MM), mark, 5.0, bold=True, across=0.5)
        if gone:
            draft.line(x + 1.0, y + HEAD_MM / 2, x + at.cell_mm - 1.0, y + HEAD_MM / 2, 0.5)
    if card.last:
        draft.text((at.notes_mm, y, at.cells_mm - at.notes_mm - 1.0, HEAD_MM), card.last, SMALL_MM)
    draft.text((at.times_mm + 1.0, y, TIMES_MM - 1.0, HEAD_MM), "day, from – to", SMALL_MM, across=0.5)
    draft.y_mm += HEAD_MM
    draft.line(draft.left_mm, draft.y_mm, draft.right_mm, draft.y_mm, 0.5)


def _row(draft: PageDraft, row: Row, cells: Sequence[Cell], at: _Columns, height: float) -> None:
    """A name, its two notes one over the other, the boxes, a line to write on."""
    y = draft.y_mm
    draft.text((at.name_mm, y, at.names_to_mm, height), row.name, min(3.9, height * 0.52), bold=True)
    _notes(draft, row.notes, at, height)
    for n, cell in enumerate(cells):
        _cell(draft, (at.cells_mm + n * at.cell_mm, y, at.cell_mm, height), cell)
    draft.y_mm += height
    draft.line(draft.left_mm, draft.y_mm, draft.right_mm, draft.y_mm, 0.15)


def _notes(draft: PageDraft, notes: tuple[str, str], at: _Columns, height: float) -> None:
    wide = at.cells_mm - at.notes_mm - 1.0
    told = [note for note in notes if note]
    if len(told) == 1:
        told = _in_two(told[0], wide)
    for n, note in enumerate(told):
        part = (height - 0.4) / len(told)
        size = min(NOTE_MM, part / 1.25)
        draft.text((at.notes_mm, draft.y_mm + 0.2 + n * part, wide, part), note, size)


def _in_two(note: str, wide: float) -> list[str]:
    """Break a note that is too wide for one line after a comma: a number keeps its unit."""
    first, *rest = note.split(", ")
    while rest and width_mm(f"{first}, {rest[0]},", NOTE_MM) <= wide:
        first = f"{first}, {rest.pop(0)}"
    return [f"{first},", ", ".join(rest)] if rest else [note]


def _cell(draft: PageDraft, place: tuple[float, float, float, float], cell: Cell) -> None:
    x, y, width, height = place
    draft.box(place, PaperFill.RISING if cell.gone else PaperFill.NONE, 0.25)
    if cell.text:
        draft.text((x + 0.3, y, width - 0.6, height), cell.text, 3.0, across=0.5)
    if cell.done:
        low = (x + width * 0.42, y + height * 0.76)
        draft.line(x + width * 0.22, y + height * 0.52, *low, 0.55)
        draft.line(*low, x + width * 0.80, y + height * 0.22, 0.55)


WRITE_MM = 8.0
"""The line that is left to be written on."""
NEXT_MM = 3.8
SMALLEST_MM = 2.2
GUTTER_MM = 5.0


def _foot_mm(draft: PageDraft, card: Card) -> float:
    one = draft.height_of([HINT, LAST_WORD], SMALLEST_MM)
    return WRITE_MM + 2.0 + max(map(len, _cautions(draft, card))) * SMALL_MM * LEADING + one


def _foot(draft: PageDraft, card: Card) -> None:
    """A line to write on for the next time, the cautions, how to use it."""
    draft.y_mm += 2.0
    line = draft.y_mm + WRITE_MM - 2.0
    draft.text((draft.left_mm, draft.y_mm, 50.0, WRITE_MM - 1.0), "To remember the next time:", 3.2, bold=True)
    draft.line(draft.left_mm + 50.0, line, draft.right_mm, line, 0.2)
    draft.y_mm += WRITE_MM
    top, wide = draft.y_mm, _half_mm(draft)
    columns = _cautions(draft, card)
    for n, column in enumerate(columns):
        for row, said in enumerate(column):
            y = top + row * SMALL_MM * LEADING
            place = (draft.left_mm + n * (wide + GUTTER_MM), y, wide, SMALL_MM * LEADING)
            draft.text(place, said, SMALL_MM)
    draft.y_mm = top + max(map(len, columns)) * SMALL_MM * LEADING
    draft.paragraph(LAST_WORD, SMALLEST_MM)
    draft.paragraph(HINT, SMALLEST_MM)


def _half_mm(draft: PageDraft) -> float:
    return (draft.width_mm - GUTTER_MM) / 2


def _cautions(draft: PageDraft, card: Card) -> tuple[list[str], list[str]]:
    """The lines of all cautions in two columns, none torn between them."""
    wide = _half_mm(draft)
    told = [wrapped(caution, SMALL_MM, wide) for caution in card.cautions]
    left: list[str] = []
    half = (sum(map(len, told)) + 1) // 2
    while told and len(left) < half:
        left += told.pop(0)
    return left, [line for lines in told for line in lines]
