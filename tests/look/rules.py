"""Rules of the look: each measures a window as it stands and says what is against it."""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from shopclock.screens.paged.rule_body import RuledTile, RuleStrip
from shopclock.screens.paged.screen import BottomRow
from shopclock.screens.trends.tables import Cells
from shopclock.shop.values.kinds import Kind
from shopclock.widgets.bars import ChartRows
from shopclock.widgets.day_line import DayLine
from shopclock.widgets.drawing import RIGHT
from shopclock.widgets.header import Tab
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.rule import RuleFace
from shopclock.widgets.tile_grid import TileGrid

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.widgets.frame import Frame

DRAWN = (ChartRows, DayLine, Cells, RuleFace, RuleStrip, RuledTile)
"""Charts, rules of dates and prices, and tables in the colours of a chart's lines; Chart is made when it is needed."""
TURNERS = ("Before", "More")
DYE_HUE, DYE_SATURATION, DYE_VALUE = 215, 0.6, 0.5
"""Dye blue and its deeper shade have a hue of 227 degrees, from these up to 240; grounds are darker, lines greyer."""


def blue_at_rest(window: Frame, floor: ShopFloor) -> Iterator[str]:
    """Blue means that a clock runs by hand: with none running there is none but in charts."""
    running = any(interval.kind is Kind.HANDS_ON for interval in floor.running.values())
    share = 0.0 if running else dye_share(window)
    if share:
        yield f"{share:.2%} is dye blue with nothing by hand"


def far_enough_apart(window: Frame, _floor: ShopFloor) -> Iterator[str]:
    """What is pressed is 2 mm from what else is pressed, a tab 3 mm from what is below."""
    mm = window._look.sizes.px_mm
    shown = [(button, place(button, window)) for button in pressable(window)]
    for (one, a), (other, b) in combinations(shown, 2):
        across = _between(a.left(), a.right(), b.left(), b.right())
        down = _between(a.top(), a.bottom(), b.top(), b.bottom())
        tabs = isinstance(one, Tab) + isinstance(other, Tab)
        least = (3 if tabs == 1 and down > 0 else 2) * mm - 1
        if max(across, down) < least:
            yield f"{_said(one)} and {_said(other)} are {max(across, down) / mm:.1f} mm apart"


def large_enough(window: Frame, _floor: ShopFloor) -> Iterator[str]:
    """Nothing that is pressed is less than 12 mm wide or high."""
    mm = window._look.sizes.px_mm
    for button in pressable(window):
        if min(button.width(), button.height()) < 12 * mm - 1:
            yield f"{_said(button)} is {button.width() / mm:.1f} × {button.height() / mm:.1f} mm"


def one_size(window: Frame, _floor: ShopFloor) -> Iterator[str]:
    """Titles side by side in a row of tiles, or along the bottom, have one size; one in five may be too long."""
    rows: dict[tuple[int, int, int], list[PressButton]] = defaultdict(list)
    for button in pressable(window):
        together = isinstance(button.parentWidget(), TileGrid | BottomRow) and button.state.title not in TURNERS
        if together and button.texts():
            rows[id(button.parentWidget()), button.y(), button.height()].append(button)
    for row in rows.values():
        sizes = [button.texts()[0].text.px for button in row]
        if sum(px < max(sizes) for px in sizes) > len(row) // 5:
            yield f"{', '.join(f'{_said(b)} {b.texts()[0].text.px} px' for b in row)}"


def titles_first(window: Frame, _floor: ShopFloor) -> Iterator[str]:
    """No title is smaller than what stands under it."""
    for button in in_sight(window, PressButton):
        if isinstance(button, PressButton) and len(texts := button.texts()) > 1:
            under = max((text.text.px for text in texts[1:] if text.align != RIGHT), default=0)
            if texts[0].text.px < under:
                yield f"{_said(button)} {texts[0].text.px} px over {under} px"


def nothing_cut(window: Frame, _floor: ShopFloor) -> Iterator[str]:
    """No text is cut, on buttons and labels."""
    for button in in_sight(window, PressButton):
        if isinstance(button, PressButton) and not isinstance(button, Tab):  # a tab is as wide as its own words
            yield from (f"cut: {' '.join(text.text.lines)}" for text in button.texts() if text.text.cut)
    for label in in_sight(window, Label):
        if isinstance(label, Label) and label.text and label.fitted().cut:
            yield f"cut: {' '.join(label.fitted().lines)}"


RULES = (blue_at_rest, far_enough_apart, large_enough, one_size, titles_first, nothing_cut)


def _between(low: int, high: int, other_low: int, other_high: int) -> int:
    """Room between two stretches; nothing or less where they overlap."""
    return max(other_low - high, low - other_high) - 1


def _said(button: PressButton) -> str:
    return button.state.title or type(button).__name__


def pressable(window: QWidget) -> list[PressButton]:
    """Buttons that a finger reaches."""
    found = in_sight(window, PressButton)
    return [button for button in found if isinstance(button, PressButton) and button.isEnabled()]


def faults(window: Frame, floor: ShopFloor) -> list[str]:
    """Everything that is against a rule, in words."""
    return [fault for rule in RULES for fault in rule(window, floor)]


def place(widget: QWidget, window: QWidget) -> QRect:
    """Where a widget stands in its window, px."""
    return QRect(widget.mapTo(window, widget.rect().topLeft()), widget.size())


def in_sight(window: QWidget, kinds: type | tuple[type, ...]) -> list[QWidget]:
    """Widgets of these kinds whose middle nothing covers."""
    found = []
    for widget in window.findChildren(QWidget):
        if isinstance(widget, kinds) and widget.isVisible():
            at = window.childAt(widget.mapTo(window, widget.rect().center()))
            if at is widget or (at is not None and widget.isAncestorOf(at)):
                found.append(widget)
    return found


def dye_share(window: QWidget) -> float:
    """Share of the window in dye blue, 0 to 1, without its charts."""
    image = QWidget.grab(window).toImage().convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine() // 4, 4)
    blue, green, red = (pixels[:, : image.width(), n].astype(np.int16) for n in range(3))
    dyed = (blue > DYE_VALUE * 255) & (red <= green) & (red < (1 - DYE_SATURATION) * blue)
    dyed &= 60 * (green - red) < (240 - DYE_HUE) * (blue - red)
    for chart in charts(window):
        rect = place(chart, window)
        dyed[max(0, rect.top()) : rect.bottom() + 1, max(0, rect.left()) : rect.right() + 1] = False
    return float(dyed.mean())


def charts(window: QWidget) -> Iterator[QWidget]:
    """What keeps its blue: charts, and the tables that are a chart's figures in the colours of its lines."""
    for widget in window.findChildren(QWidget):
        drawn = isinstance(widget, DRAWN) or type(widget).__name__ == "Chart"
        if drawn and widget.isVisible():
            yield widget
