"""Today on the screen. It draws what the presenter says and sends it what is pressed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.screens.shell.shell import Screen
from shopclock.screens.today.layout import TilePages, today_layout
from shopclock.screens.today.parts import BandView, KeyTile
from shopclock.screens.today.state import Section, TodayTile
from shopclock.views.fit import LINE_HEIGHT
from shopclock.views.rect import Rect
from shopclock.widgets.labels import Label

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QResizeEvent

    from shopclock.screens.bench.key_button import Now
    from shopclock.screens.today.layout import Layout, TileColumn
    from shopclock.screens.today.presenter import TodayPresenter
    from shopclock.screens.today.state import TodayState
    from shopclock.shop.values.clock import Moment
    from shopclock.widgets.style import Style


class ColumnView:
    """Shows the sections of a column at the places of a layout."""

    def __init__(self, screen: TodayScreen, name: str) -> None:
        self._screen = screen
        self._name = name
        self._headings: list[Label] = []
        self._tiles: list[KeyTile] = []
        self.more = screen.make_tile()

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
            spare.show_tile(None)
        for label, (rect, section) in zip(self._headings, headings, strict=False):
            label.set_text(sections[section].heading)
            label.setGeometry(rect.x, rect.y, rect.w, rect.h)
            label.show()
        for tile, (rect, section, number) in zip(self._tiles, tiles, strict=False):
            tile.show_tile(sections[section].tiles[number])
            tile.put(rect)
        self._show_more(layout)

    def _show_more(self, layout: TileColumn | None) -> None:
        place = layout.more if layout is not None else None
        if layout is not None and place is not None:
            self.more.show_tile(more_tile(self._name, layout.page, layout.pages))
        self.more.put(place)


def more_tile(name: str, page: int, pages: int) -> TodayTile:
    """The button that turns the page, after the last one back to the first."""
    title = "More" if page + 1 < pages else "Back"
    return TodayTile(f"page:{name}", title, f"{page + 1} of {pages}", role="raised", written_left=False)


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
        self._times: list[KeyTile] = []
        self._more_bands = self.make_tile()
        self._sentence = Label(look, "sentence", parent=self, lines=2)
        self._way = self.make_tile()
        self._ready = ColumnView(self, "ready")
        self._cooking = ColumnView(self, "cooking")
        look.changed.connect(self._draw)

    def make_tile(self) -> KeyTile:
        """A tile on this screen, not yet in sight."""
        tile = KeyTile(self._look, self._press, self._now, self)
        tile.hide()
        return tile

    def make_heading(self) -> Label:
        """A heading on this screen."""
        return Label(self._look, "section", parent=self)

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

    def _press(self, key: str, moment: Moment | None) -> None:
        if key.startswith("page:"):
            name = key.partition(":")[2]
            self._pages = replace(self._pages, **{name: getattr(self._pages, name) + 1})
            self._draw()
            return
        if key.partition(":")[0] in ("have", "less", "more"):
            self._pages = TilePages()
        self.presenter.press(key, moment)
        self.refresh()

    def _draw(self) -> None:
        state = self._state
        if state is None or self.width() < self._look.sizes.touch:
            return
        margin = self._look.sizes.margin
        area = Rect(margin, 0, self.width() - 2 * margin, self.height() - margin)
        counts = [len(section.tiles) for section in state.ready]
        cooking = len(state.cooking.tiles) if state.cooking is not None else 0
        layout = today_layout(area, self._look.sizes, len(state.bands), counts, cooking, self._pages)
        self._draw_times(state, layout)
        self._draw_bands(state, layout)
        self._ready.show(state.ready, layout.ready if state.way is None else None)
        self._cooking.show([state.cooking] if state.cooking is not None else [], layout.cooking)
        self._draw_way(state, layout)

    def _draw_times(self, state: TodayState, layout: Layout) -> None:
        self._have.set_text(state.have)
        rect = layout.have
        self._have.setGeometry(rect.x, rect.y, rect.w, rect.h)
        while len(self._times) < len(state.times):
            self._times.append(self.make_tile())
        for button, tile, place in zip(self._times, state.times, layout.times, strict=True):
            button.show_tile(tile)
            button.put(place)

    def _draw_bands(self, state: TodayState, layout: Layout) -> None:
        while len(self._bands) < len(layout.bands):
            self._bands.append(BandView(self._look, self._press, self._now, self))
        for spare in self._bands[len(layout.bands) :]:
            spare.hide()
        shown = state.bands[layout.first_band :]
        for view, band, rect in zip(self._bands, shown, layout.bands, strict=False):
            view.show_band(band, rect)
        if layout.more_bands is not None:
            self._more_bands.show_tile(more_tile("bands", self._pages.bands % layout.band_pages, layout.band_pages))
        self._more_bands.put(layout.more_bands)

    def _draw_way(self, state: TodayState, layout: Layout) -> None:
        """Where there is nothing to do, a sentence, and under it where to go."""
        self._way.show_tile(state.way)
        self._sentence.setVisible(state.way is not None)
        if state.way is not None:
            sizes, left = self._look.sizes, layout.have.x
            top = layout.times[0].bottom + 2 * sizes.gap
            high = round(sizes.sentence_text * LINE_HEIGHT * 2) + 2
            self._sentence.set_text(state.ready[0].heading)
            self._sentence.setGeometry(left, top, layout.times[-1].right - left, high)
            self._way.put(Rect(left, top + high + sizes.gap, 3 * sizes.touch, sizes.touch))
