"""Face of a button: title, second line, figure, progress, and where each stands."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor

from shopclock.views.fit import LINE_HEIGHT, FittedText, TextBox
from shopclock.views.metrics import LEAST_PX
from shopclock.widgets.drawing import CENTRE, LEFT, RIGHT, cut_size, draw_bar, draw_fitted
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtCore import QSizeF, Qt
    from PySide6.QtGui import QPainter

    from shopclock.views.button import Button
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Surface

ANY_PX = 1000
"""A limit of a title that limits nothing, but has it take two lines before it is written smaller."""
SHRINKS = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3)
"""How much smaller all text of a button is tried, down to LEAST_PX, before any of it is cut."""


GIVES_WAY = 0.8
"""What stands under a title gives way so far to a size that was evened with other buttons'; then both do."""


@dataclass(frozen=True, slots=True)
class PlacedText:
    """A text in its place; `role` is its colour."""

    rect: QRectF
    text: FittedText
    weight: Weight
    role: str
    align: Qt.AlignmentFlag


Row = tuple[str, int, Weight, str]
"""A line of a button: its text, the font size it would like, its weight and colour role."""


def place(state: Button, size: QSizeF, look: Style, title_most: int | None = None) -> list[PlacedText]:
    """Place of each text of `state` on a button of `size`; its title is at most `title_most` px."""
    sizes = look.sizes
    if state.is_tile:
        return _tile(state, size, look, title_most)
    pad = min(sizes.gap, size.width() * 0.08)
    high = size.height() - 2 * min(sizes.gap / 2, size.height() * 0.08)
    share = 0.28 if state.detail else 0.36
    wanted = round(max(sizes.body_text, min(sizes.action_text, size.height() * share)))
    wanted = min(wanted, title_most) if title_most is not None else wanted
    rows = [(state.title, wanted, Weight.SEMIBOLD, "text")]
    if state.detail:
        rows.append((state.detail, sizes.body_text, Weight.MEDIUM, state.detail_role))
    area = QRectF(pad, (size.height() - high) / 2, size.width() - 2 * pad, high)
    return _stack(rows, area, look, CENTRE, title_most)


def draw_face(p: QPainter, placed: list[PlacedText], look: Style, surface: Surface) -> None:
    """Write the texts."""
    for item in placed:
        colour = accent(look.theme, surface, item.role)
        draw_fitted(p, item.rect, item.text, look, item.weight, colour, item.align)


def draw_fraction(p: QPainter, state: Button, size: QSizeF, look: Style, surface: Surface) -> None:
    """The progress line along the bottom of a tile."""
    if state.fraction is not None:
        filled = accent(look.theme, surface, state.figure_role)
        draw_bar(p, _bar_rect(size, look), state.fraction, filled, surface.line)


def draw_edge(p: QPainter, state: Button, rect: QRectF, look: Style) -> None:
    """The coloured edge at the left of a button whose subject runs, or waits."""
    if state.edge:
        gap = look.sizes.gap
        bar = QRectF(rect.left() + gap * 0.5, rect.top() + gap * 0.8, gap * 0.5, rect.height() - gap * 1.6)
        p.fillRect(
            bar.adjusted(0, 0, 0, -cut_size(rect.width(), rect.height()) * 0.5), QColor(getattr(look.theme, state.edge))
        )


def natural_width(state: Button, look: Style, px: int) -> float:
    """Width of the button, px, with its title at font size `px`."""
    title = look.width(state.title, px, Weight.SEMIBOLD)
    detail = look.width(state.detail, look.sizes.body_text, Weight.MEDIUM)
    return max(title, detail) + 3 * look.sizes.gap


def _tile(state: Button, size: QSizeF, look: Style, title_most: int | None) -> list[PlacedText]:
    """Texts of a tile: left title, detail and note; at the right the figure, and the aside where there is room."""
    sizes = look.sizes
    pad = min(1.6 * sizes.gap, size.width() * 0.08)
    if state.edge:  # its bar ends a gap from the left
        pad = max(pad, 1.4 * sizes.gap)
    high = _bar_rect(size, look).top() if state.fraction is not None else size.height()
    area = QRectF(pad, high * 0.06, size.width() - 2 * pad, high * 0.88)
    title_px = min(sizes.title_text, title_most or ANY_PX)
    rows: list[Row] = [(state.title, title_px, Weight.SEMIBOLD, "text")]
    if state.detail or state.aside:
        rows.append((state.detail, sizes.body_text, Weight.MEDIUM, state.detail_role))
    if state.note:
        rows.append((state.note, round(sizes.body_text * 1.1), Weight.SEMIBOLD, state.note_role))
    beside: list[PlacedText] = []
    if state.figure:
        small = sizes.least_text
        box = TextBox(area.width() * 0.4, area.height(), round(sizes.title_text * 1.12), small, small, lines=1)
        text = look.fitted(state.figure, box, Weight.BOLD)
        wide = min(box.width, look.width(text.lines[0], text.px, Weight.BOLD) + 1)
        place = QRectF(area.right() - wide, area.top(), wide, area.height())
        beside.append(PlacedText(place, text, Weight.BOLD, state.figure_role, RIGHT))
        area = area.adjusted(0, 0, -(wide + sizes.gap), 0)
    placed = _stack(rows, area, look, LEFT, title_most)
    if state.aside:
        detail = placed[1]
        used, needed = (look.width(line, detail.text.px, Weight.MEDIUM) for line in (state.detail, state.aside))
        if len(detail.text.lines) == 1 and used + needed + sizes.gap <= detail.rect.width():
            aside = FittedText((state.aside,), detail.text.px)
            beside.append(PlacedText(detail.rect, aside, Weight.MEDIUM, "quiet", RIGHT))
    return placed + beside


def _bar_rect(size: QSizeF, look: Style) -> QRectF:
    pad = min(1.6 * look.sizes.gap, size.width() * 0.08)
    thick = max(4.0, 5 * look.sizes.unit)
    return QRectF(pad, size.height() - max(thick * 2.6, look.sizes.gap * 1.1), size.width() - 2 * pad, thick)


def _stack(
    rows: list[Row], area: QRectF, look: Style, align: Qt.AlignmentFlag, title_most: int | None
) -> list[PlacedText]:
    """The rows one under the other in the middle of `area`, all smaller when otherwise something would be cut.

    A title whose size was evened with other buttons' keeps it as long as the others can give way.
    """
    room, (title, *others) = area.height() / LINE_HEIGHT, [px for _, px, _, _ in rows]
    whole = min(1.0, room / (title + sum(others)))
    rest = min(1.0, (room - title) / max(1, sum(others)))
    whole_title = 1.0 if rest >= GIVES_WAY * whole else whole
    kept = (True, False) if title_most is not None and title_most < ANY_PX else (False,)
    fitted: list[FittedText] = []
    for keep, share in product(kept, SHRINKS):
        under = (rest if keep and whole_title == 1.0 else whole) * share
        factors = [whole_title if keep else whole * share, *[under] * len(others)]
        fitted = _fit_rows(rows, factors, area, look, evened=title_most is not None)
        if not any(text.cut for text in fitted):
            break
    highs = [text.px * LINE_HEIGHT * len(text.lines) for text in fitted]
    between = min(8.0, max(0.0, area.height() - sum(highs)) / 4) if len(rows) > 1 else 0.0
    top = area.center().y() - (sum(highs) + between * (len(rows) - 1)) / 2
    placed = []
    for (_, _, weight, role), text, high in zip(rows, fitted, highs, strict=True):
        placed.append(PlacedText(QRectF(area.left(), top, area.width(), high), text, weight, role, align))
        top += high + between
    return placed


def _fit_rows(rows: list[Row], factors: list[float], area: QRectF, look: Style, *, evened: bool) -> list[FittedText]:
    """Each row at its factor of its size; the first that needs a second line has the height that is left over.

    What stands under the title is no larger than that came out.

    Where the size was evened with other buttons', a row takes a second line rather than a smaller size.
    """
    sizes = [max(min(px, LEAST_PX), int(px * factor)) for (_, px, _, _), factor in zip(rows, factors, strict=True)]
    spare = max(0.0, area.height() - sum(sizes) * LINE_HEIGHT)
    fitted: list[FittedText] = []
    for (text, _, weight, _), size in zip(rows, sizes, strict=True):
        px = min(size, fitted[0].px) if fitted else size
        spare += (size - px) * LINE_HEIGHT
        least = min(px, look.sizes.least_text)
        floor = px if evened else max(least, round(px * 0.88))
        box = TextBox(area.width(), px * LINE_HEIGHT + spare, px, floor, least)
        fitted.append(look.fitted(text, box, weight))
        spare -= max(0.0, (len(fitted[-1].lines) * fitted[-1].px - px) * LINE_HEIGHT)
    return fitted
