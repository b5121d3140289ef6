"""Trends: the stages, and the page of the one that was chosen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout

from shopclock.screens.shell.shell import Screen
from shopclock.screens.trends.stage_page import TrendStagePage
from shopclock.screens.trends.stages_page import TrendStagesPage
from shopclock.screens.trends.state import StagesState, View

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.screens.trends.presenter import TrendsPresenter
    from shopclock.widgets.style import Style


class TrendsScreen(Screen):
    """Shows what its presenter says. A stage takes a moment: what is usual stands there until the rest has come."""

    def __init__(self, look: Style, presenter: TrendsPresenter, folder: Path) -> None:
        """Charts are saved in `folder`."""
        super().__init__()
        self._look = look
        self._folder = folder
        self.presenter = presenter
        self.stages = TrendStagesPage(look)
        self.stage = TrendStagePage(look)
        self._stack = QStackedWidget()
        for page in (self.stages, self.stage):
            self._stack.addWidget(page)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._stack)
        self._connect()

    def refresh(self) -> None:
        """Read the record anew and draw it."""
        self.presenter.refresh()
        self._render()

    def back(self) -> bool:
        """Go back to the stages; tells whether there was a page to leave."""
        left = self.presenter.press_back()
        self._render()
        return left

    def _connect(self) -> None:
        self.stages.stage_pressed.connect(self._open)
        self.stages.bench_pressed.connect(self.presenter.press_bench)
        self.stage.back_pressed.connect(self.back)
        self.stage.view_pressed.connect(self._view)
        self.stage.option_pressed.connect(self._option)
        self.stage.point_pressed.connect(self._point)
        self.stage.review_pressed.connect(self.presenter.press_review)
        self.stage.save_pressed.connect(self._save)
        self.presenter.on_change(self._render)

    def _open(self, key: str) -> None:
        self.presenter.press_stage(key)
        self._render()

    def _view(self, view: str) -> None:
        self.presenter.press_view(View(view))
        self._render()

    def _option(self, key: str) -> None:
        self.presenter.press_option(key)
        self._render()

    def _point(self, key: str) -> None:
        self.presenter.press_point(key)
        self._render()

    def _save(self) -> None:
        """Save the chart in sight, under its sentence."""
        from shopclock.screens.files.saving import save_both

        name = self.presenter.chart_name
        sentence = self.stage.sentence.text
        said = save_both(self.stage.chart, self._look, sentence, self._folder, name)
        self.presenter.dialogs.tell(said)

    def _render(self) -> None:
        state = self.presenter.state()
        if isinstance(state, StagesState):
            self.stages.render_state(state)
            self._stack.setCurrentWidget(self.stages)
        else:
            self.stage.render_state(state, self.presenter.back_words)
            self._stack.setCurrentWidget(self.stage)
