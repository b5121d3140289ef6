"""A page of text to read: large, turned a screen at a time by two buttons."""

from __future__ import annotations

from functools import partial
from math import ceil, floor
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QTextBlockFormat, QTextCursor, QTextTable
from PySide6.QtWidgets import QHBoxLayout, QTextBrowser, QVBoxLayout, QWidget

from shopclock.views.button import FIRST_PAGE, LAST_PAGE, Button
from shopclock.widgets.accessible import Accessible
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from PySide6.QtGui import QResizeEvent, QTextBlock, QTextDocument

    from shopclock.views.page import PageState
    from shopclock.widgets.style import Style

KEPT_LINES = 2
"""How many lines of the last screen stay in sight on the next, so that the eye finds its place."""


WIDEST_EM = 48
"""A line is no wider than so many font sizes, about ninety letters: the eye finds the next one."""
LINE_SHARE = 115.0
"""Height of a line, percent of the font's own."""


def in_table(block: QTextBlock) -> bool:
    """Tell whether a paragraph stands in a table."""
    return QTextCursor(block).currentTable() is not None


def lines_of(document: QTextDocument) -> Iterator[tuple[float, float]]:
    """Yield where each line of a text begins and ends, in pixels from its top."""
    layout, block = document.documentLayout(), document.begin()
    while block.isValid():
        top, own = layout.blockBoundingRect(block).top(), block.layout()
        for number in range(own.lineCount()):
            line = own.lineAt(number)
            yield top + line.y(), top + line.y() + line.height()
        block = block.next()


class TextBody(Accessible, QWidget):
    """Markdown in the look's own font and colours."""

    pressed = Signal(object, object)

    def __init__(self, look: Style, now: Callable[[], object]) -> None:
        super().__init__()
        self._look = look
        self._now = now
        self._text = ""
        self._saying = False
        self.view = QTextBrowser()
        self.view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.view.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.view.setAccessibleName("Manual")
        self.view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.before, self.more = self._turner("Before", -1), self._turner("More", +1)
        self._turners = QVBoxLayout()
        self._turners.addStretch(1)
        self._turners.addWidget(self.before)
        self._turners.addWidget(self.more)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.addWidget(self.view)
        self._row.addStretch(1)
        self._row.addLayout(self._turners)
        self.view.verticalScrollBar().rangeChanged.connect(self._say_where)  # laid out at its own size only once shown
        look.changed.connect(self._write)

    def show_page(self, state: PageState) -> None:
        """Show the text from its beginning; the same text stays where it was."""
        if state.text != self._text:
            self._text = state.text
            self.view.setAccessibleName(state.title)
            self._write()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """There is more or less to turn to."""
        super().resizeEvent(event)
        room = self.width() - self.more.width() - self._look.sizes.gap
        self.view.setFixedWidth(max(1, min(room, WIDEST_EM * self._look.sizes.body_text)))
        self._say_where()

    def _write(self) -> None:
        sizes, theme = self._look.sizes, self._look.theme
        for layout in (self._row, self._turners):
            layout.setSpacing(sizes.gap)
        self.view.setStyleSheet(f"QTextBrowser {{ background: transparent; border: 0; color: {theme.text}; }}")
        document = self.view.document()
        document.setDefaultFont(self._look.font(sizes.body_text))
        document.setDocumentMargin(0)
        document.setMarkdown(self._text)
        whole = QTextCursor(document)
        whole.beginEditBlock()  # or each paragraph's format would lay the whole text out anew
        self._space_out(document)
        self._air_out(document)
        whole.endEditBlock()
        self.view.moveCursor(QTextCursor.MoveOperation.Start)  # when it is first shown Qt brings its cursor in sight
        self.view.verticalScrollBar().setValue(0)
        self._say_where()

    def _space_out(self, document: QTextDocument) -> None:
        """Some air under each paragraph, less under the lines of a list, more over a heading."""
        body = self._look.sizes.body_text
        cursor, block = QTextCursor(document), document.begin()
        while block.isValid():
            spaced, cell = block.blockFormat(), in_table(block)
            spaced.setBottomMargin(0 if cell else body * (0.3 if block.textList() is not None else 0.6))
            spaced.setTopMargin(body * 0.5 if spaced.headingLevel() else 0)
            spaced.setLineHeight(LINE_SHARE, QTextBlockFormat.LineHeightTypes.ProportionalHeight.value)
            cursor.setPosition(block.position())
            cursor.setBlockFormat(spaced)
            block = block.next()

    def _air_out(self, document: QTextDocument) -> None:
        """Tables have air in their cells instead of lines."""
        for table in document.rootFrame().childFrames():
            if isinstance(table, QTextTable):
                aired = table.format()
                aired.setBorder(0)
                aired.setCellSpacing(0)
                aired.setCellPadding(0.35 * self._look.sizes.body_text)
                table.setFormat(aired)

    def _keep_whole(self) -> None:
        """Leave lines out that would be cut: at the bottom, where the next turn begins above it, and at the top."""
        self.view.setViewportMargins(0, 0, 0, 0)
        bar, lines = self.view.verticalScrollBar(), list(lines_of(self.view.document()))
        top, bottom = bar.value(), bar.value() + self.view.viewport().height()
        first, last = float(top), float(bottom)
        while cut := [begin for begin, end in lines if begin < last < end]:  # a row's cells may begin at other heights
            last = min(cut)
        while cut := [end for begin, end in lines if begin < first < end]:
            first = max(cut)
        self.view.setViewportMargins(0, floor(first) - top, 0, ceil(bottom - last))
        bar.setValue(floor(first))

    def _say_where(self, *_range: int) -> None:
        if self._saying:  # keeping lines whole changes the range itself
            return
        self._saying = True
        self._keep_whole()
        self._saying = False
        sizes = self._look.sizes
        for button in (self.before, self.more):
            button.setFixedSize(round(1.5 * sizes.touch), min(sizes.touch, (self.height() - sizes.gap) // 2))
        bar = self.view.verticalScrollBar()
        first, last = bar.value() <= 0, bar.value() >= bar.maximum()
        self.before.show_state(Button("Before", role="raised", why_not=FIRST_PAGE if first else ""))
        self.more.show_state(Button("More", role="raised", why_not=LAST_PAGE if last else ""))

    def _turner(self, title: str, step: int) -> PressButton:
        button = PressButton(self._look, Button(title, role="raised"), self._now, bounce_ms=250, parent=self)
        button.pressed_at.connect(partial(self._turn, step))
        return button

    def _turn(self, step: int, _came_down: object) -> None:
        bar = self.view.verticalScrollBar()
        kept = KEPT_LINES * round(self._look.sizes.body_text * 1.6)
        bar.setValue(bar.value() + step * (self.view.viewport().height() - kept))
        self._say_where()
