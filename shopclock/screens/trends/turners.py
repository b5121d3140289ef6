"""The two buttons that turn pages, wherever the screen has room for them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from shopclock.screens.trends.row import ButtonRow
from shopclock.views.button import Button

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style


class Turners(ButtonRow):
    """Before and More; `turned` says by how many pages. Out of sight where there is but one page."""

    turned = Signal(int)

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, ("before", "more"), parent)
        self.pressed.connect(lambda key: self.turned.emit(1 if key == "more" else -1))

    def show_page(self, page: int, pages: int) -> None:
        """Show which page of how many is in sight, counted from 0."""
        both = {
            "before": Button("Before", enabled=page > 0),
            "more": Button("More", f"page {page + 1} of {pages}", enabled=page < pages - 1),
        }
        self.show_states(both if pages > 1 else {})
