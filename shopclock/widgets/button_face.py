"""What is written on a button, and where: title, second line, figure, progress."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF

from shopclock.views.fit import LINE_HEIGHT, FittedText, TextBox
from shopclock.widgets.drawing import CENTRE, LEFT, RIGHT, draw_bar, draw_fitted, fit_text, measure
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtCore import QSizeF, Qt
    from PySide6.QtGui import QPainter

    from shopclock.views.button import Button
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Surface


SHRINKS = (1.0, 0.9, 0.8, 0.7, 0.6)
"""How much smaller all text of a button is tried before any of it is cut."""


@dataclass(frozen=True, slots=True)
class PlacedText:
    """A text in its place; `role` is its colour."""

    rect: QRectF
    text: FittedText
    weight: Weight
    role: str
    align: Qt.AlignmentFlag


def place(state: Button, size: QSizeF, look: Style, title_most: int | None = None) -> list[PlacedText]:
    """Where each text of `state` stands on a button of `size`; a title in the middle is at most `title_most` px."""
    return _tile(state, size, look) if state.is_tile else _middle(state, size, look, title_most)


def draw_face(p: QPainter, placed: list[PlacedText], look: Style, surface: Surface) -> None:
    """Write the texts."""
    for item in placed:
        draw_fitted(p, item.rect, item.text, look, item.weight, accent_of(look, surface, item.role), item.align)


def accent_of(look: Style, surface: Surface, role: str) -> str:
    """The colour of a text role on this surface."""
    return surface.text if role == "text" else accent(look.theme, surface, role)


def draw_fraction(p: QPainter, state: Button, size: QSizeF, look: Style, surface: Surface) -> None:
    """The progress line along the bottom of a tile."""
    if state.fraction is not None:
        draw_bar(p, _bar_rect(size, look), state.fraction, accent_of(look, surface, state.figure_role), surface.line)


def natural_width(state: Button, look: Style, px: int) -> float:
    """How wide the button would like to be, px, with its title at font size `px`."""
    title = measure(look, Weight.SEMIBOLD)(state.title, px)
    detail = measure(look, Weight.MEDIUM)(state.detail, look.sizes.body_text)
    return max(title, detail) + 3 * look.sizes.gap


def _middle(state: Button, size: QSizeF, look: Style, title_most: int | None) -> list[PlacedText]:
    pad = min(look.sizes.gap, size.width() * 0.08)
    high = size.height() - 2 * min(look.sizes.gap / 2, size.height() * 0.08)
    share = 0.28 if state.detail else 0.36
    wanted = round(max(look.sizes.body_text, min(look.sizes.action_text, size.height() * share)))
    wanted = min(wanted, title_most) if title_most is not None else wanted
    rows = [(state.title, wanted, Weight.SEMIBOLD, "text")]
    if state.detail:
        rows.append((state.detail, look.sizes.body_text, Weight.MEDIUM, state.detail_role))
    area = QRectF(pad, (size.height() - high) / 2, size.width() - 2 * pad, high)
    return _stack(rows, area, look, CENTRE, evened=title_most is not None)


Row = tuple[str, int, Weight, str]


def _tile(state: Button, size: QSizeF, look: Style) -> list[PlacedText]:
    area = _tile_area(state, size, look)
    rows: list[Row] = [(state.title, look.sizes.title_text, Weight.SEMIBOLD, "text")]
    if state.detail or state.aside:
        rows.append((state.detail, look.sizes.body_text, Weight.MEDIUM, state.detail_role))
    if state.note:
        rows.append((state.note, round(look.sizes.body_text * 1.1), Weight.SEMIBOLD, state.note_role))
    figure = _figure(state, area, look)
    if figure:
        area = area.adjusted(0, 0, -(figure.rect.width() + look.sizes.gap), 0)
    placed = _stack(rows, area, look, LEFT)
    return [*placed, *([figure] if figure else []), *_aside(state, placed, look)]


def _tile_area(state: Button, size: QSizeF, look: Style) -> QRectF:
    pad = min(1.6 * look.sizes.gap, size.width() * 0.08)
    bottom = size.height() - _bar_rect(size, look).top() if state.fraction is not None else 0.0
    rest = (size.height() - bottom) * 0.06
    return QRectF(pad, rest, size.width() - 2 * pad, size.height() - bottom - 2 * rest)


def _bar_rect(size: QSizeF, look: Style) -> QRectF:
    pad = min(1.6 * look.sizes.gap, size.width() * 0.08)
    thick = max(4.0, 5 * look.sizes.unit)
    return QRectF(pad, size.height() - max(thick * 2.6, look.sizes.gap * 1.1), size.width() - 2 * pad, thick)


def _figure(state: Button, area: QRectF, look: Style) -> PlacedText | None:
    if not state.figure:
        return None
    box = TextBox(
        area.width() * 0.4,
        area.height(),
        round(look.sizes.title_text * 1.12),
        look.sizes.small_text,
        look.sizes.small_text,
        lines=1,
    )
    text = fit_text(look, state.figure, box, Weight.BOLD)
    wide = min(box.width, measure(look, Weight.BOLD)(text.lines[0], text.px) + 1)
    return PlacedText(
        QRectF(area.right() - wide, area.top(), wide, area.height()), text, Weight.BOLD, state.figure_role, RIGHT
    )


def _aside(state: Button, placed: list[PlacedText], look: Style) -> list[PlacedText]:
    if not state.aside:
        return []
    detail = placed[1]
    wide = measure(look, Weight.MEDIUM)
    used = max((wide(line, detail.text.px) for line in detail.text.lines), default=0.0)
    needed = wide(state.aside, detail.text.px)
    if len(detail.text.lines) > 1 or used + needed + look.sizes.gap > detail.rect.width():
        return []
    return [PlacedText(detail.rect, FittedText((state.aside,), detail.text.px), Weight.MEDIUM, "quiet", RIGHT)]


def _stack(
    rows: list[Row], area: QRectF, look: Style, align: Qt.AlignmentFlag, *, evened: bool = False
) -> list[PlacedText]:
    """The rows one under the other in the middle of `area`, all smaller when otherwise something would be cut."""
    whole = min(1.0, area.height() / (sum(px for _, px, _, _ in rows) * LINE_HEIGHT))
    fitted: list[FittedText] = []
    for share in SHRINKS:
        fitted = _fit_rows(rows, whole * share, area, look, evened=evened)
        if not any(text.cut for text in fitted):
            break
    return _placed(rows, fitted, area, align)


def _fit_rows(rows: list[Row], factor: float, area: QRectF, look: Style, *, evened: bool) -> list[FittedText]:
    """Each row at `factor` of its size; the first that needs a second line has the height that is left over.

    Where the size was evened with other buttons', a row takes a second line rather than a smaller size.
    """
    sizes = [max(1, int(px * factor)) for _, px, _, _ in rows]
    spare = max(0.0, area.height() - sum(sizes) * LINE_HEIGHT)
    fitted = []
    for (text, _, weight, _), px in zip(rows, sizes, strict=True):
        least = min(px, look.sizes.small_text)
        floor = px if evened else max(least, round(px * 0.88))
        box = TextBox(area.width(), px * LINE_HEIGHT + spare, px, floor, least)
        fitted.append(fit_text(look, text, box, weight))
        spare -= max(0.0, (len(fitted[-1].lines) * fitted[-1].px - px) * LINE_HEIGHT)
    return fitted


def _placed(rows: list[Row], fitted: list[FittedText], area: QRectF, align: Qt.AlignmentFlag) -> list[PlacedText]:
    highs = [text.px * LINE_HEIGHT * len(text.lines) for text in fitted]
    between = min(8.0, max(0.0, area.height() - sum(highs)) / 4) if len(rows) > 1 else 0.0
    top = area.center().y() - (sum(highs) + between * (len(rows) - 1)) / 2
    placed = []
    for (_, _, weight, role), text, high in zip(rows, fitted, highs, strict=True):
        placed.append(PlacedText(QRectF(area.left(), top, area.width(), high), text, weight, role, align))
        top += high + between
    return placed
