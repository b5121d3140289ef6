"""The Bench on the screen. It draws what the presenter says and sends it what is pressed; it decides nothing."""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from shopclock.screens.bench.far_view import FarView
from shopclock.screens.bench.half_layout import half_layout, with_use
from shopclock.screens.bench.large_button import ActionButton
from shopclock.screens.bench.layout import Tiles, bench_layout, with_room
from shopclock.screens.bench.plate_view import PlateView
from shopclock.screens.bench.side_view import SideView
from shopclock.screens.bench.state import BenchPage, Verb
from shopclock.screens.bench.subpages import PieceSheet, RouteSheet
from shopclock.screens.shell.shell import Screen
from shopclock.views.rect import Rect
from shopclock.widgets.press_button import KeyButton, PressButton, even_titles

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent, QShowEvent

    from shopclock.screens.bench.layout import BenchLayout
    from shopclock.screens.bench.presenter import BenchPresenter
    from shopclock.screens.bench.state import BenchState, PlateState, SideState
    from shopclock.views.button import Button, Now
    from shopclock.widgets.style import Style

    Laid = tuple[tuple[Button, ...], BenchLayout]
    """The buttons along the bottom, and the places of all."""

TOP_MOST = 6
"""Buttons at the top but shop work, at most."""
BOTTOM_SLOTS = (
    {Verb.STOP, Verb.CARRY_ON}, {Verb.NEXT}, {Verb.DONE}, {Verb.THROUGH}, {Verb.NOT_RIGHT}, {Verb.UNDO},
    {Verb.PUT_BACK}, {Verb.PIECES_PAGE},
)  # fmt: skip
"""Which buttons share a place at the bottom: a second press there within half a second is a bounce."""
PIECES = (BenchPage.PIECES, BenchPage.LETTERS)
LARGE = {Verb.STOP, Verb.NEXT, Verb.DONE}
"""Those that are read from the bench."""


def tiles_of(side: SideState) -> Tiles:
    """Return what wants a place at the side."""
    corners = tuple(n for n, corner in enumerate(side.corners) if corner is not None)
    return Tiles(len(side.tiles), corners, side.asked)


class BenchScreen(Screen):
    """Top row, plate, side, bottom row; two pages behind them; the far view over all.

    `far_changed` says that the far view wants the whole window, or gives it back.
    """

    far_changed = Signal(bool)

    def __init__(self, look: Style, presenter: BenchPresenter, now: Now) -> None:
        super().__init__()
        self._look = look
        self._now = now
        self.presenter = presenter
        self._state: BenchState | None = None
        self._drawn: BenchState | None = None
        self.front = QWidget(self)
        self.top = [KeyButton(look, presenter.press, now, self.front) for _ in range(TOP_MOST + 1)]
        self.plate = PlateView(look, presenter.press, now, self.front)
        self.side = SideView(look, presenter.press, now, self.front)
        self.bottom = [
            (ActionButton if slot & LARGE else KeyButton)(look, presenter.press, now, self.front)
            for slot in BOTTOM_SLOTS
        ]
        self.route = RouteSheet(look, presenter.press, now, self)
        self.pieces = PieceSheet(look, presenter.press, now, self)
        self.far = FarView(look, presenter.press, now, self)
        self.far.left.connect(self._wake)
        presenter.on_change(self._changed)
        look.changed.connect(self._draw)

    def _changed(self) -> None:
        """Draw what is in sight; another screen's is drawn when it comes in sight."""
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Draw again what the record says now; in the midst of a press there is nothing to be drawn yet."""
        if self.presenter.pressing:
            return
        now_us = self.presenter.instant()
        state = self.presenter.state(now_us)
        before, self._state = self._state, state
        if state != before:
            self._turn_far(state, far_before=before is not None and before.far)
            if self._drawn is not state:
                self._draw()
            self._turn_page(before, state)
        self._set_clock(self.presenter.clock(now_us))

    def tick(self) -> None:
        """Let the clock go on; more is drawn only when it may have changed."""
        if not self.isVisible():
            return
        now_us = self.presenter.instant()
        if self.presenter.is_stale(now_us):
            self.refresh()
        else:
            self._set_clock(self.presenter.clock(now_us))

    def until_tick_ms(self) -> int:
        """Time until the running clock shows the next second, in ms."""
        return self.presenter.until_second_ms()

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Lay everything anew."""
        for page in (self.front, self.route, self.pieces, self.far):
            page.setGeometry(self.rect())
        self._draw()

    def showEvent(self, _event: QShowEvent) -> None:
        """Somebody has come to the Bench."""
        self.presenter.wake(self._now())

    def _wake(self) -> None:
        self.presenter.wake(self._now())
        self.refresh()

    def _set_clock(self, text: str) -> None:
        """Only the clock in sight is drawn."""
        far = self._state is not None and self._state.far
        (self.far.clock if far else self.plate.clock).set_text(text)

    def _draw(self) -> None:
        state = self._drawn = self._state
        if state is None:
            return
        self.front.setVisible(state.page is BenchPage.BENCH)
        self.route.setVisible(state.page is BenchPage.ROUTE and state.route_page is not None)
        self.pieces.setVisible(state.page in PIECES)
        if state.far:
            self.far.show_far(state)
        if state.page in PIECES:
            self.pieces.show_page(state.plate, state.back, in_stead=state.page is BenchPage.LETTERS)
        elif state.route_page is not None:
            self.route.show_page(state.route_page, state.back)
        else:
            self._draw_front(state)

    def _draw_front(self, state: BenchState) -> None:
        sizes = self._look.sizes
        margin = sizes.margin
        area = Rect(margin, 0, self.width() - 2 * margin, self.height() - margin)
        plate, (bottom, layout) = self._lettered(state, area)
        self.plate.show_plate(plate, layout.on_plate, layout.plate)
        self.side.setVisible(state.side is not None)
        if state.side is not None and layout.side is not None:
            self.side.show_side(state.side, layout.side)
        for button, shown, rect in zip_longest(self.top, state.top, layout.top):
            button.show_button(shown, rect)
        for button, slot in zip(self.bottom, BOTTOM_SLOTS, strict=True):
            found = zip(bottom, layout.bottom, strict=True)
            button.show_button(*next((pair for pair in found if pair[0].verb in slot), (None, None)))
        even_titles([button for button in self.top if button.isVisibleTo(self.front)])
        even_titles([b for b in self.bottom if b.isVisibleTo(self.front) and not isinstance(b, ActionButton)])

    def _lettered(self, state: BenchState, area: Rect) -> tuple[PlateState, Laid]:
        """Return the plate and its places: with all letters, with those through as one, else with none."""
        whole = self._laid(state, area)
        fewer = replace(state.plate, letters=state.plate.shrunk)
        if whole[1].on_plate.letters is None and len(fewer.letters) < len(state.plate.letters):
            shrunk = self._laid(replace(state, plate=fewer), area)
            if shrunk[1].on_plate.letters is not None:
                return fewer, shrunk
        return state.plate, whole

    def _laid(self, state: BenchState, area: Rect) -> Laid:
        """Return the buttons along the bottom and the places of all; on a half the way to the pieces stands there."""
        sizes, content = self._look.sizes, self.plate.content(state.plate)
        tiles = tiles_of(state.side) if state.side is not None else None
        if not self.presenter.half:
            bottom = with_room(state.bottom, area.w, sizes)
            verbs = tuple(button.verb for button in bottom)
            return bottom, bench_layout(area, sizes, content, len(state.top) - 1, tiles, verbs)
        bottom = with_use(state.bottom)
        layout = half_layout(area, sizes, content, len(state.top), tiles, tuple(button.verb for button in bottom))
        if layout.on_plate.letters is None and state.plate.pieces is not None:
            bottom, content = (*bottom, state.plate.pieces), replace(content, letters=0)
            verbs = tuple(button.verb for button in bottom)
            layout = half_layout(area, sizes, content, len(state.top), tiles, verbs)
        return bottom, layout

    def _turn_far(self, state: BenchState, *, far_before: bool) -> None:
        """Give the far view the whole window, or take it back, before all is laid in what room there is then."""
        self.far.setVisible(state.far)
        if state.far != far_before:
            self.far_changed.emit(state.far)

    def _turn_page(self, before: BenchState | None, state: BenchState) -> None:
        """Turn to the page in sight; one that has just come up under a finger waits for the bounce."""
        if before is None or before.page is not state.page or (before.far and not state.far):
            behind = self.pieces if state.page in PIECES else self.route
            page = self.front if state.page is BenchPage.BENCH else behind
            for button in page.findChildren(PressButton):
                button.hold_off()
