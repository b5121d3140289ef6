"""Rules of the look: each measures a window as it stands and says what is against it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from shopclock.screens.paged.rule_body import RuleStrip
from shopclock.screens.trends.tables import Cells
from shopclock.shop.values.kinds import Kind
from shopclock.widgets.bars import ChartRows
from shopclock.widgets.day_line import DayLine
from shopclock.widgets.rule import RuleFace

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.widgets.frame import Frame

DYE_HUE, DYE_SATURATION, DYE_VALUE = 215, 0.6, 0.5
"""Dye blue and its deeper shade have a hue of 227 degrees, from these up to 240; grounds are darker, lines greyer."""


def blue_at_rest(window: Frame, floor: ShopFloor) -> Iterator[str]:
    """Blue means that a clock runs by hand: with none running there is none but in charts."""
    running = any(interval.kind is Kind.HANDS_ON for interval in floor.running.values())
    share = 0.0 if running else dye_share(window)
    if share:
        yield f"{share:.2%} is dye blue with nothing by hand"


RULES = (blue_at_rest,)


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
        drawn = (
            isinstance(widget, ChartRows | DayLine | Cells | RuleFace | RuleStrip) or type(widget).__name__ == "Chart"
        )
        if drawn and widget.isVisible():
            yield widget
