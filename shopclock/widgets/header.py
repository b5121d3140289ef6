"""The top of the window: what time or what it is, and the way to the other screens."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QSizePolicy, QWidget

from shopclock.views.button import Button
from shopclock.views.fit import TextBox
from shopclock.widgets.accessible import Accessible, Role
from shopclock.widgets.drawing import CENTRE, draw_fitted
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton, no_time
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QAccessible, QPainter, QResizeEvent

    from shopclock.widgets.style import Style


RUNNING_SHARE, EACH_SHARE = 0.34, 0.22
"""What runs takes no more of the header's width than this; of several makers each."""
APART_MM = 10.0
"""So far a tab is from Stop, at least."""
EDGE_MM = 1.0
"""So far Stop is from the window's edge; from what is below it is as far as any button then."""
RING = 4
"""So far the ring around a tab that has the keyboard reaches beyond it, px."""
MARK_SHARE = 0.38
"""Share of the header's height that the line under the title takes, where there is one."""


class Tab(PressButton):
    """A screen's name, underlined; the screen in sight is bright."""

    def minimumSizeHint(self) -> QSize:
        """Width of its name in bold, as high as the header."""
        sizes = self._look.sizes
        wide = self._look.width(self._state.title, sizes.body_text, Weight.SEMIBOLD)
        return QSize(max(round(wide + sizes.gap), sizes.header_tab), sizes.header_tab)

    def reader_role(self) -> Role:
        """A tab; *Menu* is a button."""
        return Role.Button if self._state.checked is None else Role.PageTab

    def reader_state(self, state: QAccessible.State) -> None:
        """Tell whether its screen is in sight."""
        state.selectable, state.selected = self._state.checked is not None, bool(self._state.checked)

    def draw(self, p: QPainter, rect: QRectF) -> None:
        """Draw name and line."""
        surface = self._look.surface("ground")
        here = self._state.checked or self._held()
        weight = Weight.SEMIBOLD if here else Weight.MEDIUM
        colour = surface.text if here else surface.quiet
        px = self._look.sizes.body_text
        box = TextBox(rect.width(), rect.height(), px, px // 2, px // 2, lines=1)
        draw_fitted(p, rect, self._look.fitted(self._state.title, box, weight), self._look, weight, colour, CENTRE)
        thick = 3.0 if here else 1.0
        line = QRectF(rect.left(), rect.center().y() + px, rect.width(), thick)
        p.fillRect(line, QColor(surface.text if here else surface.line))
        self.draw_ring(p, rect.adjusted(-4, 0, 4, 0), surface)


class TabRow(Accessible, QWidget):
    """A row of tabs."""

    def reader_role(self) -> Role:
        """A list of tabs."""
        return Role.PageTabList


class Header(Accessible, QWidget):
    """Title and a note at the left, tabs at the right; tabs go behind *Menu* when there is no room, or when told."""

    tab_pressed = Signal(str)
    menu_pressed = Signal()
    help_pressed = Signal()
    stop_pressed = Signal(object, object)

    def __init__(self, look: Style, tabs: Sequence[tuple[str, str]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._compact = self._alone = False
        self._title = Label(look, "quiet", parent=self)
        self._note = Label(look, "section", parent=self)
        self._mark = Label(look, "small", parent=self)
        self._marks = ("", "")
        self._row = TabRow(self)
        self._row.setAccessibleName("Screens")
        self._tabs = {key: self._tab(key, label) for key, label in tabs}
        self._menu = Tab(look, Button("Menu"), parent=self._row)
        self._menu.pressed_at.connect(self._open_menu)
        self._help = Tab(look, Button("?", "Manual of this screen"), parent=self._row)
        self._help.pressed_at.connect(lambda _: self.help_pressed.emit())
        self._wide = (self._menu, self._help)
        self._bar: QWidget | None = None
        self.now: Callable[[], object] = no_time
        self._running: list[tuple[PressButton, Label]] = []
        self._label_wides: dict[int, int] = {}
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look.changed.connect(self._redress)

    def set_title(self, title: str, role: str = "quiet") -> None:
        """Date and time, or what the screen shows (role "text")."""
        changed = title != self._title.text
        self._title.set_text(title, role)
        if changed and self._note.text:
            self._arrange()

    @property
    def note(self) -> str:
        """Note beside the title."""
        return self._note.text

    def set_note(self, note: str) -> None:
        """Say something beside the title that takes no room from the screen; the tabs give way to it."""
        if note != self._note.text:
            self._note.set_text(note, "straw")
            self._arrange()

    def set_mark(self, mark: str, short: str) -> None:
        """Say under the title what holds for all that is shown (it is invented), in short where room is scarce."""
        self._marks = (mark, short)
        self._arrange()

    def set_bar(self, bar: QWidget | None) -> None:
        """Have the bar of long work between title and *Menu* while there is some; note and tabs give way to it."""
        if bar is not self._bar:
            self._bar = bar
            if bar is not None:
                bar.setParent(self)
                bar.show()
            self._arrange()

    @property
    def running(self) -> str:
        """Text of what runs, beside Stop; empty where it isn't said."""
        return "  ".join(label.text for _, label in self._in_sight())

    def set_running(self, shown: Sequence[tuple[Button, str] | None]) -> None:
        """Have a Stop at the far left for each maker, and what runs beside it.

        Who has nothing running keeps the place: another's Stop never comes to where one's own was.
        """
        if not any(shown):
            shown, self._label_wides = (), {}
        arranged = [len(label.text) for _, label in self._in_sight()]
        while len(self._running) < len(shown):
            stop = PressButton(self._look, Button("Stop"), self._came_down, parent=self)
            stop.key_pressed.connect(self.stop_pressed)
            self._running.append((stop, Label(self._look, "section", lines=2, parent=self)))
        for number, (stop, label) in enumerate(self._running):
            told = shown[number] if number < len(shown) else None
            if told is not None:
                stop.show_state(told[0])
                label.set_text(told[1], "text")
            stop.setVisible(told is not None)
            label.setVisible(told is not None)
        if arranged != [len(label.text) for _, label in self._in_sight()]:
            self._arrange()

    def _in_sight(self) -> list[tuple[PressButton, Label]]:
        return [pair for pair in self._running if pair[0].isVisibleTo(self)]

    def set_current(self, key: str) -> None:
        """Mark the tab of the screen in sight."""
        for name, tab in self._tabs.items():
            tab.show_state(Button(tab.state.title, checked=name == key))

    def set_compact(self, compact: bool) -> None:  # one plain switch
        """Put the tabs behind *Menu*, even if there is room."""
        self._compact = compact
        self._arrange()

    def set_alone(self, alone: bool) -> None:  # one plain switch
        """Have no way to another screen: something is asked that covers them."""
        self._alone = alone
        self._row.setVisible(not alone)
        self._arrange()

    @property
    def collapsed(self) -> bool:
        """True if the tabs are behind *Menu*."""
        return self._menu.isVisibleTo(self)

    def sizeHint(self) -> QSize:
        """Height of a tab, and what keeps it from what is below."""
        return QSize(self._look.sizes.touch * 4, self._look.sizes.header)

    def minimumSizeHint(self) -> QSize:
        """Height of a tab, and what keeps it from what is below."""
        return QSize(self._look.sizes.touch, self._look.sizes.header)

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Place title and tabs."""
        self._arrange()

    def _came_down(self) -> object:
        return self.now()

    def _tab(self, key: str, label: str) -> Tab:
        tab = Tab(self._look, Button(label, checked=False), parent=self._row)
        tab.pressed_at.connect(partial(self._press, key))
        return tab

    def _press(self, key: str, _came_down: object) -> None:
        self.tab_pressed.emit(key)

    def _open_menu(self, _came_down: object) -> None:
        self.menu_pressed.emit()

    def _redress(self) -> None:
        self.updateGeometry()
        self._arrange()

    def _arrange(self) -> None:
        sizes = self._look.sizes
        high = sizes.header_tab
        room = self.width() - 2 * sizes.margin
        first = self._place_running()
        wide = sum(tab.minimumSizeHint().width() + sizes.gap for tab in self._tabs.values())
        title = self._title.sizeHint().width() + 2 * sizes.gap
        note = self._note.sizeHint().width() + 2 * sizes.gap if self._note.text or self._bar is not None else 0
        beside = bool(note) or first > sizes.margin
        collapsed = (
            self._compact
            or self._bar is not None
            or wide > room * 0.72
            or (beside and first + title + note + wide > self.width() - sizes.margin)
        )
        self._menu.setVisible(collapsed)
        shown = [self._menu] if collapsed else list(self._tabs.values())
        helps = (
            not collapsed and first + title + note + wide + sizes.header_tab + sizes.gap <= self.width() - sizes.margin
        )
        self._help.setVisible(helps)  # behind Menu it is one of its choices
        if helps:
            shown.append(self._help)
        for tab in self._tabs.values():
            tab.setVisible(not collapsed)
        left = self._place_from_right(shown)
        if self._alone:
            left = self.width() - sizes.margin
        for_title = min(title, max(1, (left - first) // 2)) if note else left - first - sizes.gap
        under = round(high * MARK_SHARE) if self._marks[0] else 0
        self._mark.set_text(self._marks[0])
        if self._mark.sizeHint().width() > for_title:
            self._mark.set_text(self._marks[1])
        self._title.setGeometry(first, 0, max(1, for_title), high - under)
        self._mark.setGeometry(first, high - under, max(1, for_title), under)
        self._mark.setVisible(bool(under))
        begins = first + for_title
        place = (begins, 0, max(1, left - begins - sizes.gap), high)
        self._note.setGeometry(*place)
        self._note.setVisible(bool(note) and self._bar is None)
        if self._bar is not None:
            self._bar.setGeometry(*place)

    def _place_running(self) -> int:
        """Place each Stop, a touch target wide, and what runs; return where the rest begins, 10 mm from it or more."""
        sizes, left = self._look.sizes, self._look.sizes.margin
        last = max((n for n, (stop, _) in enumerate(self._running) if stop.isVisibleTo(self)), default=-1)
        share = RUNNING_SHARE if last < 1 else EACH_SHARE
        for number, (stop, label) in enumerate(self._running[: last + 1]):
            stop.setGeometry(left, round(EDGE_MM * sizes.px_mm), sizes.touch, sizes.header_tab)
            begins = left + sizes.touch + sizes.gap
            wide = label.sizeHint().width() if label.isVisibleTo(self) else 0
            if last > 0:
                wide = self._label_wides[number] = max(wide, self._label_wides.get(number, 0))
            wide = min(wide, max(1, round(self.width() * share)))
            label.setGeometry(begins, 0, wide, sizes.header_tab)
            left = max(begins + wide + 2 * sizes.gap, round(left + sizes.touch + APART_MM * sizes.px_mm))
        return left

    def _place_from_right(self, tabs: list[Tab]) -> int:
        gap, right = self._look.sizes.gap, self.width() - self._look.sizes.margin
        high = self._look.sizes.header_tab
        wides = [max(tab.minimumSizeHint().width(), high if tab in self._wide else 0) for tab in tabs]
        left = right - sum(wides) - gap * (len(tabs) - 1)
        self._row.setGeometry(left - RING, 0, right - left + 2 * RING, high)
        begins = RING
        for tab, wide in zip(tabs, wides, strict=True):
            tab.setGeometry(begins, 0, wide, high)
            begins += wide + gap
        return left - gap
