"""Panels on the overlay: a question with large answers, a sentence, a field, a number pad."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from shopclock.views.button import WAITS_FOR_TEXT, Button
from shopclock.views.dialogs import AMOUNT
from shopclock.widgets.accessible import Accessible
from shopclock.widgets.keypad import Keypad
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.text_entry import TextEntry
from shopclock.widgets.tile_grid import TileGrid

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.dialogs import Choice
    from shopclock.widgets.style import Style

DASH = "\N{EN DASH}"
MANY, SHORT = 20, 8
LEAF_MM, LEAST = 26.0, 0.68
"""More answers than MANY, none longer than SHORT letters, lie like a calendar: so wide, shrunk to this share."""
UNIT_WIDE = 9.0
"""The least width of the unit's button in heights of text: room for "thousandths"."""


class Panel(Accessible, QWidget):
    """A question and the way back; `answered` carries the answer, or None."""

    answered = Signal(object)

    def __init__(self, look: Style, question: str, back: str = "Back", note: str = "") -> None:
        super().__init__()
        self._look = look
        self.setAccessibleName(question)
        self.question = Label(look, "sentence", question, lines=2)
        self.back = PressButton(look, Button(back, role="raised"))
        self.back.setFixedSize(look.sizes.touch * 2, look.sizes.touch)
        self.back.pressed_at.connect(self._go_back)
        self.note = Label(look, "body", note, lines=2)
        self._note = note

    def say(self, why: str) -> None:
        """Say in the note's place why a press on it was not taken; empty when that is over."""
        self.note.set_text(why or self._note, "straw" if why else "text")

    def _go_back(self, _came_down: object) -> None:
        self.answered.emit(None)

    def _column(self) -> QVBoxLayout:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(self._look.sizes.gap)
        column.addWidget(self.question)
        return column

    def _foot(self) -> QHBoxLayout:
        """The way back, and room beside it for what is said."""
        row = QHBoxLayout()
        row.setSpacing(2 * self._look.sizes.gap)
        row.addWidget(self.back)
        row.addWidget(self.note, 1)
        return row


class ChoicePanel(Panel):
    """One of several answers."""

    def __init__(self, look: Style, question: str, choices: Sequence[Choice]) -> None:
        super().__init__(look, question)
        short = len(choices) > MANY and all(len(choice.label) <= SHORT for choice in choices[:MANY])
        self.grid = TileGrid(look, wish_mm=LEAF_MM, least=LEAST) if short else TileGrid(look)
        one_is = any(choice.checked for choice in choices)
        self.grid.setAccessibleName("Answers")
        self.grid.show_tiles([_choice_button(choice, choosing=one_is) for choice in choices])
        self.grid.pressed.connect(self._chosen)
        column = self._column()
        column.addWidget(self.grid, 1)
        column.addLayout(self._foot())

    def _chosen(self, key: str, _came_down: object) -> None:
        self.answered.emit(key)


class TellPanel(Panel):
    """A sentence to read."""

    def __init__(self, look: Style, sentence: str) -> None:
        super().__init__(look, sentence, back="OK")
        self.back.show_state(Button("OK", role="primary"))
        column = self._column()
        column.addStretch(1)
        column.addLayout(self._foot())


class TextPanel(Panel):
    """A line of text."""

    def __init__(self, look: Style, question: str, start: str) -> None:
        super().__init__(look, question)
        self.entry = TextEntry(look, question)
        self.entry.start(start)
        self.entry.entered.connect(self._take)
        column = self._column()
        column.addWidget(self.entry)
        column.addLayout(self._foot())
        column.addStretch(1)
        self.setFocusProxy(self.entry)

    def _take(self, text: str) -> None:
        self.answered.emit(text)


class NumberPanel(Panel):
    """A figure: what is typed at the left, the pad at the right."""

    def __init__(
        self, look: Style, question: str, start: str, units: tuple[str, ...] = (), note: str = "", signs: str = AMOUNT
    ) -> None:
        super().__init__(look, question, note=note)
        self._units = units
        self.value = Label(look, "typed")
        self.unit = PressButton(look, Button(""), bounce_ms=0)
        wide = max(round(1.2 * look.sizes.touch), round(UNIT_WIDE * look.sizes.body_text))
        self.unit.setFixedWidth(wide)
        self.unit.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        self.unit.pressed_at.connect(self._next_unit)
        self.unit.setVisible(len(units) > 1)
        self.ok = PressButton(look, Button("OK", role="primary"))
        self.ok.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.pad = Keypad(look, signs)
        self.pad.changed.connect(self._show)
        self.pad.entered.connect(self._enter)
        self.ok.pressed_at.connect(self._enter)
        self._lay_out()
        self.pad.set_value(start)
        self._show(start)
        self.setFocusProxy(self.pad)

    def _lay_out(self) -> None:
        sides = QHBoxLayout(self)
        sides.setContentsMargins(0, 0, 0, 0)
        sides.setSpacing(2 * self._look.sizes.gap)
        column = QVBoxLayout()
        column.setSpacing(self._look.sizes.gap)
        for widget in (self.question, self.value, self.note):
            column.addWidget(widget)
        column.addStretch(1)
        last = QHBoxLayout()
        last.setSpacing(self._look.sizes.gap)
        last.addWidget(self.ok)
        last.addWidget(self.unit)
        column.addLayout(last, 1)
        column.addWidget(self.back)
        sides.addLayout(column, 2)
        sides.addWidget(self.pad, 3)

    def _show(self, value: str) -> None:
        unit = self._units[0] if self._units else ""
        self.value.set_text(f"{self.pad.shown or DASH} {unit}".rstrip())
        self.unit.show_state(Button(unit, f"or {self._units[1]}" if self._units[1:] else ""))
        self.ok.show_state(Button("OK", role="primary", why_not="" if value else WAITS_FOR_TEXT))

    def _enter(self, *_: object) -> None:
        if self.pad.value:
            self.answered.emit(f"{self.pad.value} {self._units[0]}" if self._units else self.pad.value)

    def _next_unit(self, _came_down: object) -> None:
        """The value stays as it is typed; what it is counted in changes."""
        self._units = (*self._units[1:], self._units[0])
        self._show(self.pad.value)


def _choice_button(choice: Choice, *, choosing: bool) -> Button:
    checked = choice.checked if choosing else None
    return Button(choice.label, choice.detail, role=choice.role, checked=checked, key=choice.key)
