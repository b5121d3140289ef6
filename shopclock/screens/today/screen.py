"""Today on the screen. It draws what the presenter says and sends it what is pressed."""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from shopclock.screens.shell.shell import Screen
from shopclock.screens.today.layout import TilePages, quiet_row, today_layout
from shopclock.screens.today.state import Section, TodayVerb, Turn
from shopclock.views.button import NO_UNDO, Button, Press
from shopclock.views.fit import LINE_HEIGHT
from shopclock.views.rect import Rect
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate
from shopclock.widgets.press_button import KeyButton

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.today.layout import Layout, TileColumn
    from shopclock.screens.today.presenter import TodayPresenter
    from shopclock.screens.today.state import SpoilBand, TodayState
    from shopclock.shop.values.clock import Moment
    from shopclock.views.button import Now, Send
    from shopclock.widgets.style import Style


class BandView(Plate):
    """Band of what spoils, in red, with the button that starts what it needs."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, "red", parent)
        self.title = Label(look, "sentence", parent=self, lines=2)
        self.detail = Label(look, "body", parent=self, lines=2)
        self.button = KeyButton(look, send, now, self)
        for part in (self.title, self.detail, self.button):
            self.carry(part)

    def show_band(self, band: SpoilBand, rect: Rect) -> None:
        """Show this at this place."""
        self.title.set_text(band.title)
        self.detail.set_text(band.detail)
        self.button.show_state(band.button)
        self.setGeometry(rect.x, rect.y, rect.w, rect.h)
        self._arrange()
        self.setVisible(True)

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Words and button have their places."""
        self._arrange()

    def _arrange(self) -> None:
        """Words at the left, the button at the right; long names take a third line where there is one."""
        self._place(2)
        if self.detail.fitted().cut:
            self._place(3)

    def _place(self, lines: int) -> None:
        sizes = self._look.sizes
        wide, inset = min(2 * sizes.touch, self.width() // 4), sizes.gap // 2
        pad = round(1.6 * sizes.gap)
        self.button.setGeometry(self.width() - wide - inset, inset, wide, self.height() - 2 * inset)
        room, inner = self.button.x() - 2 * pad, self.height() - sizes.gap
        title = min(round(inner * 0.5), round(sizes.sentence_text * LINE_HEIGHT) + 2)
        detail = min(inner - title, round(sizes.body_text * LINE_HEIGHT * lines) + 2)
        top = (self.height() - title - detail) // 2
        self.title.setGeometry(pad, top, room, title)
        self.detail.setGeometry(pad, top + title, room, detail)


class ColumnView:
    """Shows the sections of a column at the places of a layout."""

    def __init__(self, screen: TodayScreen, turn: Turn) -> None:
        self._screen = screen
        self._turn = turn
        self._headings: list[Label] = []
        self._tiles: list[KeyButton] = []
        self.more = screen.make_tile()

    @property
    def parts(self) -> list[QWidget]:
        """All that stands in it."""
        return [*self._headings, *self._tiles, self.more]

    def show(self, sections: Sequence[Section], layout: TileColumn | None) -> None:
        """Show these sections, or nothing."""
        headings = layout.headings if layout is not None else ()
        tiles = layout.tiles if layout is not None else ()
        while len(self._headings) < len(headings):
            self._headings.append(self._screen.make_heading())
        while len(self._tiles) < len(tiles):
            self._tiles.append(self._screen.make_tile())
        for label in self._headings[len(headings) :]:
            label.hide()
        for spare in self._tiles[len(tiles) :]:
            spare.hide()
        for label, (rect, section) in zip(self._headings, headings, strict=False):
            label.set_text(sections[section].heading)
            label.setGeometry(rect.x, rect.y, rect.w, rect.h)
            label.show()
        for tile, (rect, section, number) in zip(self._tiles, tiles, strict=False):
            tile.show_button(sections[section].tiles[number], rect)
        if layout is None:
            self.more.hide()
        else:
            self.more.show_button(more_tile(self._turn, layout.page, layout.pages), layout.more)


def more_tile(turn: Turn, page: int, pages: int) -> Button:
    """The button that turns the page, after the last one back to the first."""
    title = "More" if page + 1 < pages else "To page 1"
    return Button(title, f"page {page + 1} of {pages}", role="raised", key=Press(turn))


class TodayScreen(Screen):
    """The times, what spoils, what is ready, what cooks."""

    def __init__(self, look: Style, presenter: TodayPresenter, now: Now) -> None:
        super().__init__()
        self._look = look
        self._now = now
        self.presenter = presenter
        self._state: TodayState | None = None
        self._pages = TilePages()
        self._have = Label(look, "heading", parent=self, lines=2)
        self._bands: list[BandView] = []
        self._times: list[KeyButton] = []
        self._more_bands = self.make_tile()
        self._sentence = Label(look, "sentence", parent=self, lines=2)
        self._way = self.make_tile()
        self._offered: list[KeyButton] = []
        self._quiet = Label(look, "body", parent=self, lines=2)
        self._answers: list[KeyButton] = []
        self._ready = ColumnView(self, Turn.READY)
        self._cooking = ColumnView(self, Turn.COOKING)
        self.undo = KeyButton(look, self._take_back, now, self)
        look.changed.connect(self._draw)

    def make_tile(self) -> KeyButton:
        """A tile on this screen, not yet in sight."""
        tile = KeyButton(self._look, self._press, self._now, self)
        tile.hide()
        return tile

    def make_heading(self) -> Label:
        """A heading on this screen."""
        return Label(self._look, "section", parent=self)

    def reader_order(self, shown: list[QWidget]) -> list[QWidget]:
        """Parts above the columns first, then one column after the other, then what is below."""
        columns: list[list[QWidget]] = [self._ready.parts, self._cooking.parts, [self.undo]]
        order = {id(part): number for number, parts in enumerate(columns, 1) for part in parts}
        return sorted(super().reader_order(shown), key=lambda one: order.get(id(one), 0))

    def refresh(self) -> None:
        """Draw again what the record says now."""
        state = self.presenter.state(self.presenter.instant())
        if state != self._state:
            self._state = state
            self._draw()

    def tick(self) -> None:
        """Minutes run out and waits end by themselves."""
        if self.isVisible() and self.presenter.is_stale(self.presenter.instant()):
            self.refresh()

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Lay everything anew."""
        self._draw()

    def _take_back(self, _press: object, moment: Moment | None) -> None:
        self.presenter.press_undo(moment)
        self.refresh()

    def _press(self, press: Press, moment: Moment | None) -> None:
        if isinstance(press.verb, Turn):
            self._pages = replace(self._pages, **{press.verb: getattr(self._pages, press.verb) + 1})
            self._draw()
            return
        if press.verb in (TodayVerb.HAVE, TodayVerb.LESS, TodayVerb.MORE):
            self._pages = TilePages()
        self.presenter.press(press, moment)
        self.refresh()

    def _draw(self) -> None:
        state = self._state
        if state is None or self.width() < self._look.sizes.touch:
            return
        margin = self._look.sizes.margin
        area = Rect(margin, 0, self.width() - 2 * margin, self.height() - margin)
        area = self._draw_quiet(state, area)
        counts = [len(section.tiles) for section in state.ready]
        cooking = len(state.cooking.tiles) if state.cooking is not None else 0
        layout = today_layout(area, self._look.sizes, len(state.bands), counts, cooking, self._pages, len(state.times))
        self._draw_times(state, layout)
        self._draw_bands(state, layout)
        self._ready.show(state.ready, layout.ready if state.way is None else None)
        self._cooking.show([state.cooking] if state.cooking is not None else [], layout.cooking)
        self._draw_way(state, layout)
        undo = Button("Undo", state.undo, role="raised", why_not="" if state.undo else NO_UNDO, key="undo")
        self.undo.show_button(undo, layout.undo)

    def _draw_quiet(self, state: TodayState, area: Rect) -> Rect:
        """Draw the question about quiet weeks at the bottom, and return what is left above it."""
        answers = state.quiet.answers if state.quiet is not None else ()
        while len(self._answers) < len(answers):
            self._answers.append(self.make_tile())
        for spare in self._answers[len(answers) :]:
            spare.hide()
        self._quiet.setVisible(state.quiet is not None)
        if state.quiet is None:
            return area
        rest, label, places = quiet_row(area, self._look.sizes, len(answers))
        self._quiet.set_text(state.quiet.question)
        self._quiet.setGeometry(label.x, label.y, label.w, label.h)
        for button, answer, place in zip(self._answers, answers, places, strict=True):
            button.show_button(answer, place)
        return rest

    def _draw_times(self, state: TodayState, layout: Layout) -> None:
        self._have.set_text(state.have)
        rect = layout.have
        self._have.setGeometry(rect.x, rect.y, rect.w, rect.h)
        while len(self._times) < len(state.times):
            self._times.append(self.make_tile())
        for button, tile, place in zip_longest(self._times, state.times, layout.times):
            button.show_button(tile, place)

    def _draw_bands(self, state: TodayState, layout: Layout) -> None:
        while len(self._bands) < len(layout.bands):
            self._bands.append(BandView(self._look, self._press, self._now, self))
        for spare in self._bands[len(layout.bands) :]:
            spare.hide()
        shown = state.bands[layout.first_band :]
        for view, band, rect in zip(self._bands, shown, layout.bands, strict=False):
            view.show_band(band, rect)
        more = more_tile(Turn.BANDS, self._pages.bands % layout.band_pages, layout.band_pages)
        self._more_bands.show_button(more, layout.more_bands)

    def _draw_way(self, state: TodayState, layout: Layout) -> None:
        """Draw a sentence where there is nothing to do, and under it where to go."""
        self._way.setVisible(state.way is not None)
        self._sentence.setVisible(state.way is not None)
        if state.way is not None:
            sizes, left = self._look.sizes, layout.have.x
            top = layout.times[0].bottom + 2 * sizes.gap
            high = round(sizes.sentence_text * LINE_HEIGHT * 2) + 2
            self._sentence.set_text(state.ready[0].heading)
            self._sentence.setGeometry(left, top, layout.times[-1].right - left, high)
            self._way.show_button(state.way, Rect(left, top + high + sizes.gap, 3 * sizes.touch, sizes.touch))
        self._draw_offered(state, layout.undo)

    def _draw_offered(self, state: TodayState, undo: Rect) -> None:
        """Draw beneath the way what a new shop can say of itself, where there is room; no press needs it."""
        while len(self._offered) < len(state.offered):
            self._offered.append(self.make_tile())
        sizes, under = self._look.sizes, self._way.geometry()
        top, room = under.bottom() + 3 * sizes.gap, self.width() - 2 * sizes.margin
        if top + sizes.touch + sizes.gap > undo.y:
            room = undo.x - sizes.gap - sizes.margin
        wide = min(3 * sizes.touch, (room - 2 * sizes.gap) // max(1, len(state.offered)))
        fits = state.way is not None and top + sizes.touch <= self.height() - sizes.margin
        for n, (tile, shown) in enumerate(zip_longest(self._offered, state.offered)):
            rect = Rect(sizes.margin + n * (wide + sizes.gap), top, wide, sizes.touch)
            tile.show_button(shown if fits else None, rect if fits else None)
