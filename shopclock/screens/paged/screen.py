"""A screen made of pages: title, tiles, and along the bottom Back, what the page offers, and Undo."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSizePolicy, QSpacerItem, QStackedWidget, QVBoxLayout, QWidget

from shopclock.screens.paged.bodies import LEAST, WISH_MM, DayBody, KeyBody, RouteBody, RulerBody, TileBody, TrioBody
from shopclock.screens.paged.chart_body import ChartBody
from shopclock.screens.paged.rule_body import RuleBody, RuledBody
from shopclock.screens.paged.table_body import TableBody
from shopclock.screens.paged.text_body import TextBody
from shopclock.screens.shell.shell import Screen
from shopclock.views.button import NO_UNDO, Button
from shopclock.views.fit import LINE_HEIGHT
from shopclock.views.page import Body
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton, even_titles
from shopclock.widgets.route_outline import RouteOutline

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QKeyEvent, QResizeEvent

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.clock import Moment
    from shopclock.views.page import PageState, TextLine
    from shopclock.widgets.style import Style

NEW_PAGE_MS = 250
"""A page that came up under the finger takes no press for so long. Common practice, no source."""
BACK, UNDO, PUT_BACK = "«back", "«undo", "«put back"
ROUTE_SHARE = 0.14
"""How much of the height the outline has where there is room."""
ONE_LINE = 95
"""Letters that fit on one line at the smallest window."""
TITLE_LINE = 0.8
"""A title shrinks to so much of its size before it takes a second line."""


_TILED: dict[Body, type[TileBody]] = {Body.ROUTES: RouteBody, Body.TRIOS: TrioBody}
_WHOLE: dict[Body, type[RulerBody | DayBody | ChartBody | TextBody | TableBody | RuleBody | RuledBody]] = {
    Body.RULER: RulerBody,
    Body.DAY: DayBody,
    Body.CHART: ChartBody,
    Body.TEXT: TextBody,
    Body.TABLE: TableBody,
    Body.RULE: RuleBody,
    Body.RULED: RuledBody,
}
AnyBody = TileBody | DayBody | RulerBody | ChartBody | TextBody | TableBody | RuleBody | RuledBody | KeyBody
"""What the middle of a page is made of, where it is not plain tiles."""


class BottomRow(QWidget):
    """Back, the actions of the page, Undo."""

    pressed = Signal(object, object)

    def __init__(self, look: Style, now: Callable[[], object]) -> None:
        super().__init__()
        self._look = look
        self._now = now
        self._shown: tuple[Button, ...] = ()
        self.buttons: list[PressButton] = []

    def show_page(self, state: PageState) -> None:
        """Show the buttons of a page."""
        shown = self._shown = _bottom(state)
        while len(self.buttons) < len(shown):
            self._add()
        for number, button in enumerate(self.buttons):
            button.setVisible(number < len(shown))
            if number < len(shown):
                button.show_state(shown[number])
        self.setFixedHeight(self._look.sizes.touch)
        self._arrange()

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Lay the buttons anew."""
        self._arrange()

    def _arrange(self) -> None:
        """Back at the left and Undo at the right are always in the same place; the actions share what is between."""
        gap, high = self._look.sizes.gap, self.height()
        side = min(round(self._look.sizes.touch * 1.5), self.width() // 6)
        left, right, taken = 0, self.width() - side, 0
        actions = []
        for shown, button in zip(self._shown, self.buttons, strict=False):
            if shown.key == BACK:
                button.setGeometry(0, 0, side, high)
                left = side + gap
            elif shown.key == UNDO:
                button.setGeometry(right, 0, side, high)
            elif shown.key == PUT_BACK:
                button.setGeometry(right - gap - side, 0, side, high)
                taken = side + gap
            else:
                actions.append(button)
        wide = (right - taken - left) / max(1, len(actions))
        for number, button in enumerate(actions):
            at = round(left + number * wide)
            button.setGeometry(at, 0, round(left + (number + 1) * wide) - gap - at, high)
        even_titles(self.buttons[: len(self._shown)])

    def _add(self) -> None:
        button = PressButton(self._look, Button(""), self._now, parent=self)
        button.key_pressed.connect(self.pressed)  # what it was when the finger came down
        self.buttons.append(button)


def _bottom(state: PageState) -> tuple[Button, ...]:
    back = (Button("Back", role="raised", key=BACK),) if len(state.trail) > 1 else ()
    again = (Button("Put back", state.put_back, role="raised", key=PUT_BACK),) if state.put_back else ()
    undo = Button("Undo", state.undo, role="raised", why_not="" if state.undo else NO_UNDO, key=UNDO)
    return (*back, *state.actions, *again, undo)


class PagedScreen(Screen):
    """Shows the page on top of a presenter's pages."""

    def __init__(self, look: Style, presenter: PagedPresenter, now: Callable[[], Moment]) -> None:
        super().__init__()
        self.presenter = presenter
        self._look = look
        self._now = now
        self._shown: PageState | None = None
        self._lines: list[Label] = []
        self._bodies: dict[tuple[int, Body], QWidget] = {}
        self._title = Label(look, "sentence", one_line=TITLE_LINE)
        self._route = RouteOutline(look)
        self._middle = QStackedWidget()
        self.bottom = BottomRow(look, now)
        self.bottom.pressed.connect(self._pressed)
        self._lay_out()
        presenter.on_change(self._changed)
        look.changed.connect(self._redress)
        self._redress()

    @property
    def body(self) -> QWidget | None:
        """The middle of the page in sight."""
        return self._middle.currentWidget()

    def _changed(self) -> None:
        """Draw what is in sight; another screen's is drawn when it comes in sight."""
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Draw the page in sight as the record is now; in the midst of a press there is nothing to be drawn yet."""
        if self.presenter.pressing:
            return
        state = self.presenter.state()
        if state == self._shown:
            return
        opened = self._shown is None or state.trail != self._shown.trail
        self._shown = state
        self._draw(state)
        for button in self.findChildren(PressButton) if opened else ():
            button.hold_off(NEW_PAGE_MS)

    def go_to_front(self) -> None:
        """Leave all pages but the first."""
        self.presenter.home()

    def back(self) -> bool:
        """Leave the page on top; tells whether there was one to leave."""
        return self.presenter.back()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape goes back."""
        if event.key() != Qt.Key.Key_Escape or not self.back():
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The outline gives way before the tiles do."""
        super().resizeEvent(event)
        if self._shown is not None:
            self._draw(self._shown)

    def _draw(self, state: PageState) -> None:
        self._title.set_text(state.title)
        self._title.take_lines(self.width() - 2 * self._look.sizes.margin)
        self._say(state.lines)
        self._keep_room(state.room)
        self._route.setVisible(state.route is not None and self._has_room())
        if state.route is not None:
            self._route.setFixedHeight(max(self._route.sizeHint().height(), round(self.height() * ROUTE_SHARE)))
            self._route.show_state(state.route)
        self.bottom.show_page(state)
        body = self._body_of(state)
        body.setAccessibleName(state.title)
        self._middle.setCurrentWidget(body)
        body.show_page(state)

    def _has_room(self) -> bool:
        return self.height() > 5 * self._look.sizes.touch

    def _say(self, lines: Sequence[TextLine]) -> None:
        """Show these lines under the title; a long one takes two."""
        while self._lines:
            label = self._lines.pop()
            self._column.removeWidget(label)
            label.hide()
            label.deleteLater()
        for number, line in enumerate(lines):
            label = Label(self._look, "body", lines=1 + (len(line.text) > ONE_LINE))
            label.set_text(line.text, line.role)
            self._lines.append(label)
            self._column.insertWidget(1 + number, label)
            label.show()  # Qt would give it its room a turn later

    def _keep_room(self, lines: int) -> None:
        """Keep the height of a title of one line over so many lines, as far as what is said doesn't take it."""
        sizes, said = self._look.sizes, (self._title, *self._lines)
        title, line = (round(px * LINE_HEIGHT) + 2 for px in (sizes.sentence_text, sizes.body_text))
        taken = sum(label.sizeHint().height() for label in said) + (len(said) - 1) * sizes.gap
        self._spare.changeSize(0, max(0, title + lines * (line + sizes.gap) - taken) if lines else 0)
        self._column.invalidate()

    def _body_of(self, state: PageState) -> AnyBody:
        shown = state.trail[-1], state.body
        for one in [n for n in self._bodies if n[0] not in state.trail or (n[0] == shown[0] and n != shown)]:
            left = self._bodies.pop(one)
            self._middle.removeWidget(left)
            left.deleteLater()
        if shown not in self._bodies:
            self._bodies[shown] = self._new_body(state.body)
            self._middle.addWidget(self._bodies[shown])
        return self._bodies[shown]  # type: ignore[return-value]  # only made below

    def _new_body(self, kind: Body) -> AnyBody:
        if kind is Body.KEY:
            waiting = KeyBody(self._look)
            waiting.heard.connect(self.presenter.key_pressed)
            return waiting
        body = _WHOLE[kind](self._look, self._now) if kind in _WHOLE else self._new_tiles(kind)
        body.pressed.connect(self._pressed)
        return body

    def _new_tiles(self, kind: Body) -> TileBody:
        return _TILED.get(kind, TileBody)(self._look, self._now, WISH_MM[kind], LEAST.get(kind, 1.0))

    def _pressed(self, key: str, came_down: Moment | None) -> None:
        if key == BACK:
            self.back()
        elif key == UNDO:
            self.presenter.press_undo(came_down)
        elif key == PUT_BACK:
            self.presenter.press_put_back(came_down)
        else:
            self.presenter.press(key, came_down)

    def _lay_out(self) -> None:
        self._column = QVBoxLayout(self)
        self._spare = QSpacerItem(0, 0, QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        self._column.addWidget(self._title)
        self._column.addItem(self._spare)
        for widget, stretch in ((self._route, 0), (self._middle, 1), (self.bottom, 0)):
            self._column.addWidget(widget, stretch)

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, sizes.gap // 2, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap)
        if self._shown is not None:
            self._draw(self._shown)
