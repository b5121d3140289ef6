"""The plate on the screen: name, line, clock, letters and the buttons that stand on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.big_button import BigButton
from shopclock.screens.bench.key_button import KeyButton, moment_of
from shopclock.screens.bench.plate_layout import GROUPS, Content
from shopclock.screens.bench.state import BenchButton, Mode
from shopclock.widgets.clock_face import ClockFace
from shopclock.widgets.labels import Label
from shopclock.widgets.letters import Letter, LetterRow
from shopclock.widgets.plate import Plate
from shopclock.widgets.progress_line import ProgressLine

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.bench.key_button import Now, Press
    from shopclock.screens.bench.plate_layout import PlateLayout
    from shopclock.screens.bench.state import LetterShown, PlateState
    from shopclock.views.rect import Rect
    from shopclock.widgets.style import Style

PIECES = BenchButton("page:pieces", "Pieces")
"""The way to All, None and The others, where they have no room beside the letters."""
GROUP_BUTTONS = (BenchButton("all", "All"), BenchButton("none", "None"), BenchButton("others", "The others"))


class PlateView(Plate):
    """Shows a plate's state at the places of a layout."""

    def __init__(self, look: Style, press: Press, now: Now, parent: QWidget) -> None:
        super().__init__(look, "plate", parent)
        self._press = press
        self._now = now
        self.name = Label(look, "stage", parent=self)
        self.line = Label(look, "body", lines=2, parent=self)
        self.caution = Label(look, "quiet", lines=2, parent=self)
        self.clock = ClockFace(look, self)
        self.share = ProgressLine(look, parent=self)
        self.letters = LetterRow(look, now, self)
        self.letters.letter_pressed.connect(self._letter)
        self.big = BigButton(look, press, now, self)
        self.groups = tuple(self._button() for _ in GROUPS)
        self.buttons: list[KeyButton] = []
        for widget in (self.name, self.line, self.caution, self.clock, self.share, self.letters, self.big):
            self.carry(widget)

    def content(self, state: PlateState) -> Content:
        """Return what wants a place."""
        return Content(len(state.letters), len(state.picks), len(state.tools), state.big is None, len(state.caution))

    def show_plate(self, state: PlateState, layout: PlateLayout, plate: Rect) -> None:
        """Show this state at these places."""
        self.setGeometry(plate.x, plate.y, plate.w, plate.h)
        self.set_role(state.role)
        self.name.set_text(state.title)
        self._say(state, layout)
        self.share.set_share(state.share or 0.0)
        self.letters.show_letters(tuple(letter_of(item) for item in state.letters), "")
        self._place(state, layout, plate)
        self.big.show_button(state.big)
        if state.big is not None:
            self.big.put(layout.clock, plate.x, plate.y)
        self._show_buttons(state, layout, plate)

    def _say(self, state: PlateState, layout: PlateLayout) -> None:
        """The pace gives way to the caution where there is one place for both."""
        alone = bool(state.caution) and layout.caution is None and not state.urgent
        self.line.set_text(state.caution if alone else state.line, "straw" if state.urgent else "text")
        self.caution.set_text(state.caution)

    def _place(self, state: PlateState, layout: PlateLayout, plate: Rect) -> None:
        running = state.mode in (Mode.RUNNING, Mode.STOPPED)
        places = (
            (self.name, layout.name),
            (self.line, layout.line),
            (self.caution, layout.caution),
            (self.clock, layout.clock if running else None),
            (self.share, layout.share if running and state.share is not None else None),
            (self.letters, layout.letters),
        )
        for widget, rect in places:
            widget.setVisible(rect is not None)
            if rect is not None:
                widget.setGeometry(rect.x - plate.x, rect.y - plate.y, rect.w, rect.h)

    def _show_buttons(self, state: PlateState, layout: PlateLayout, plate: Rect) -> None:
        for number, (button, shown) in enumerate(zip(self.groups, GROUP_BUTTONS, strict=True)):
            button.show_button(shown)
            button.put(layout.groups[number] if layout.groups else None, plate.x, plate.y)
        while len(self.buttons) < len(layout.buttons):
            self.buttons.append(self._button())
        for number, button in enumerate(self.buttons):
            named = layout.buttons[number] if number < len(layout.buttons) else None
            button.show_button(button_named(state, named[0], layout) if named is not None else None)
            if named is not None:
                button.put(named[1], plate.x, plate.y)

    def _button(self) -> KeyButton:
        button = KeyButton(self._look, self._press, self._now, self)
        self.carry(button)
        return button

    def _letter(self, letter: str, came_down: object) -> None:
        self._press(f"letter:{letter}", moment_of(came_down))


def letter_of(shown: LetterShown) -> Letter:
    """Return how a piece's letter is drawn."""
    return Letter(shown.letter, shown.state, shown.word)


def button_named(state: PlateState, name: str, layout: PlateLayout) -> BenchButton | None:
    """Return the button that a layout's name stands for."""
    kind, _, number = name.partition(":")
    if kind == "pick":
        return state.picks[int(number)]
    if kind == "tool":
        return state.tools[int(number)]
    if kind == "methods":
        now = next((pick.title for pick in state.picks if pick.checked), "")
        return BenchButton("methods", now or "Method", "method" if now else "")
    return state.pieces if layout.letters is None else PIECES
