"""Taking in what the other screens are made of, a little at a time, while nothing else is to be done."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

if TYPE_CHECKING:
    from collections.abc import Iterator

PAUSE_MS = 100
PARTS = (
    "shopclock.screens.today.presenter",
    "shopclock.screens.today.screen",
    "shopclock.screens.paged.text_body",
    "shopclock.screens.paged.screen",
    "shopclock.exchange.printing.output",
    "shopclock.screens.files.on_paper",
    "shopclock.screens.batches.pages.batch",
    "shopclock.screens.batches.presenter",
    "shopclock.screens.review.presenter",
    "shopclock.screens.review.screen",
    "shopclock.screens.trends.presenter",
    "shopclock.screens.trends.screen",
    "shopclock.shop.planning.orders",
    "shopclock.analysis.forecast.history",
    "shopclock.analysis.forecast.forecast",
    "shopclock.analysis.money.cost",
    "shopclock.analysis.plan.plan",
    "shopclock.analysis.plan.promise",
    "shopclock.screens.plan.pages.orders",
    "shopclock.screens.plan.presenter",
    "shopclock.screens.files.to_calendar",
    "shopclock.screens.shop.presenter",
    "shopclock.screens.shop.screen",
)
"""Each takes a few milliseconds once those before it are there: no press waits for more. None takes NumPy in."""


class TabsAhead(QObject):
    """Imports one part after the other, with pauses; a screen that is opened before needs no part of this."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._left: Iterator[str] = iter(PARTS)
        self._timer = QTimer(self)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self._next)
        self._timer.start()

    def stop(self) -> None:
        """Import no more."""
        self._timer.stop()

    def _next(self) -> None:
        part = next(self._left, None)
        if part is None:
            self._timer.stop()
        else:
            import_module(part)
