"""Taking in what the other screens are made of, a little at a time, while nothing else is to be done."""

from __future__ import annotations

from functools import partial
from importlib import import_module
from types import MappingProxyType
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

PAUSE_MS = 100
AWAKE, BENCH, WORKER = "shopclock.screens.shell.awake", "shopclock.screens.bench.sides", "multiprocessing.spawn"
PARTS = (
    "shopclock.record.press.undo_import",
    "shopclock.screens.bench.plate_view",
    "shopclock.screens.bench.side_view",
    "shopclock.screens.bench.subpages",
    BENCH,
    AWAKE,
    "shopclock.shop.work.day",
    "shopclock.shop.work.acts",
    "shopclock.shop.planning.today",
    "shopclock.screens.today.presenter",
    "shopclock.screens.today.screen",
    "shopclock.shop.setup.reading_kinds",
    "shopclock.record.read.rows",
    "shopclock.screens.paged.bodies",
    "shopclock.views.bars_picture",
    "shopclock.screens.paged.chart_body",
    "shopclock.screens.paged.rule_body",
    "shopclock.screens.paged.text_body",
    "shopclock.screens.paged.screen",
    "shopclock.screens.amend.pages.interval",
    "shopclock.screens.amend.pages.day",
    "shopclock.shop.planning.orders",
    "shopclock.screens.batches.pages.piece",
    "shopclock.screens.batches.pages.closing",
    "shopclock.screens.batches.pages.batch",
    "shopclock.screens.batches.presenter",
    "multiprocessing.connection",
    WORKER,
    "shopclock.exchange.paper.page",
    "shopclock.exchange.printing.output",
    "shopclock.screens.files.on_paper",
    "shopclock.screens.review.presenter",
    "shopclock.screens.review.screen",
    "shopclock.screens.trends.presenter",
    "shopclock.screens.trends.screen",
    "shopclock.analysis.forecast.history",
    "shopclock.analysis.forecast.forecast",
    "shopclock.analysis.money.cost",
    "shopclock.analysis.plan.plan",
    "shopclock.analysis.plan.to_come",
    "shopclock.analysis.plan.promise",
    "shopclock.screens.plan.pages.orders",
    "shopclock.screens.plan.presenter",
    "shopclock.screens.files.to_calendar",
    "shopclock.screens.shell.at_login",
    "shopclock.shop.routes.route_file",
    "shopclock.screens.shop.presenter",
    "shopclock.screens.shop.screen",
)
"""Each takes some milliseconds once those before it are there: no press waits for more. None takes NumPy in."""


class TabsAhead(QObject):
    """Imports one part after the other, with pauses; a screen that is opened before needs no part of this.

    `made` is done once a part is there, a turn later: what else a first press of it would wait for.
    """

    def __init__(self, parent: QObject, made: Mapping[str, Callable[[], object]] = MappingProxyType({})) -> None:
        super().__init__(parent)
        steps = ((partial(import_module, part), made.get(part)) for part in PARTS)
        self._left = (step for pair in steps for step in pair if step is not None)
        self._timer = QTimer(self)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self._next)
        self._timer.start()

    def stop(self) -> None:
        """Import no more."""
        self._timer.stop()

    def _next(self) -> None:
        step = next(self._left, None)
        if step is None:
            self._timer.stop()
        else:
            step()
