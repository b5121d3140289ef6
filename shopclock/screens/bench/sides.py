"""The Bench of all who work at it: one on the whole screen, or two on a half each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from shopclock.screens.bench.screen import BenchScreen
from shopclock.screens.shell.shell import Screen

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent

    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.views.button import Now
    from shopclock.widgets.style import Style


class BenchSides(Screen):
    """A Bench for each maker who is here, side by side; each is made when its maker first comes.

    `far_changed` says that the far view wants the whole window, or gives it back: where all are far.
    """

    far_changed = Signal(bool)

    def __init__(self, look: Style, at_bench: AtBench, now: Now) -> None:
        super().__init__()
        self._look = look
        self._at_bench = at_bench
        self._now = now
        self._sides: dict[int, BenchScreen] = {}
        self._bare = False
        self._place()
        at_bench.on_change(self._place)

    @property
    def shown(self) -> tuple[BenchScreen, ...]:
        """The sides in sight, from left to right."""
        return tuple(self._side(presenter.maker_id) for presenter in self._at_bench.shown)

    @property
    def first(self) -> BenchScreen:
        """The side on the left, or the only one."""
        return self.shown[0]

    def refresh(self) -> None:
        """Draw again what the record says now, whoever is here."""
        self._place()
        for side in self.shown:
            side.refresh()

    def tick(self) -> None:
        """Let the clocks go on."""
        for side in self.shown:
            side.tick()

    def until_tick_ms(self) -> int:
        """Time until one of the running clocks shows the next second, in ms."""
        return min(side.until_tick_ms() for side in self.shown)

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Lay everything anew."""
        self._place()

    def _side(self, maker_id: int) -> BenchScreen:
        if maker_id not in self._sides:
            side = BenchScreen(self._look, self._at_bench.of(maker_id), self._now)
            side.setParent(self)
            side.far_changed.connect(self._tell_far)
            self._sides[maker_id] = side
        return self._sides[maker_id]

    def _place(self) -> None:
        """Give each who is here a part of the width, from left to right; who has gone is not shown."""
        shown = self.shown
        for side in self._sides.values():
            if side not in shown:
                side.hide()
        edges = [round(self.width() * n / len(shown)) for n in range(len(shown) + 1)]
        for number, side in enumerate(shown):
            side.setGeometry(edges[number], 0, edges[number + 1] - edges[number], self.height())
            side.show()
        self._tell_far()

    def _tell_far(self, _far: bool = False) -> None:  # of one side; what counts is whether all are
        bare = all(side.far.isVisibleTo(side) for side in self.shown)
        if bare != self._bare:
            self._bare = bare
            self.far_changed.emit(bare)
