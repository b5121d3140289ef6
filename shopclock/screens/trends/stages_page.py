"""The stages to choose from, as large tiles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shopclock.screens.trends.heading import Heading
from shopclock.widgets.button_face import ButtonState
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.tile_grid import TileGrid

if TYPE_CHECKING:
    from shopclock.screens.trends.state import StagesState, StageTile
    from shopclock.widgets.look import Look


class StagesPage(QWidget):
    """Says which stage was pressed, or that the maker wants to the Bench."""

    stage_pressed = Signal(str)
    bench_pressed = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.sentence = Heading(look, "sentence")
        self.tiles = TileGrid(look, wish_mm=62.0)
        self.bench = PressButton(look, ButtonState("To the Bench", role="primary"))
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.sentence)
        self._column.addWidget(self.tiles, 1)
        self._column.addWidget(self.bench, 0, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self.tiles.pressed.connect(lambda key, _came_down: self.stage_pressed.emit(key))
        self.bench.pressed_at.connect(lambda _came_down: self.bench_pressed.emit())
        look.changed.connect(self._redress)
        self._redress()

    def render_state(self, state: StagesState) -> None:
        """Draw this."""
        self.sentence.set_text(state.sentence)
        self.tiles.show_tiles([(tile.key, tile_face(tile)) for tile in state.tiles])
        self.tiles.setVisible(not state.to_bench)
        self.bench.setVisible(state.to_bench)

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap)
        self.bench.setFixedSize(3 * sizes.touch, sizes.touch)


def tile_face(tile: StageTile) -> ButtonState:
    """Return what a stage's tile says: its name, usual, the last and the method that is meant."""
    detail, note = (tile.usual, tile.last) if tile.usual else (tile.last, "")
    return ButtonState(tile.name, detail, note=note, note_role="text", tile=True)
