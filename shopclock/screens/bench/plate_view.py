"""The plate on the screen: name, line, clock, letters and the buttons that stand on it."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from PySide6.QtCore import QSizeF

from shopclock.screens.bench.large_button import BigButton
from shopclock.screens.bench.layout import GROUPS, LONG_LINE, LOW_MM, NAME_WIDE, ONE_LINE, Content, SlotKind, tool_wide
from shopclock.screens.bench.state import Mode, Verb
from shopclock.shop.values.names import columns
from shopclock.views.button import Button, Press
from shopclock.widgets.button_face import place
from shopclock.widgets.clock_face import ClockFace
from shopclock.widgets.labels import Label
from shopclock.widgets.letters import LetterRow
from shopclock.widgets.plate import Plate, ProgressLine
from shopclock.widgets.press_button import KeyButton, even_titles
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.bench.layout import PlateLayout, Slot
    from shopclock.screens.bench.state import PlateState
    from shopclock.views.button import Now, Send
    from shopclock.views.rect import Rect
    from shopclock.widgets.style import Style

SHORT = 20
"""Letters of a method's name under which there is room to say that it is one. Common practice, no source."""
ALIKE = ((SlotKind.PICK,), (SlotKind.METHODS,), (SlotKind.TOOL, SlotKind.PIECES))
"""Buttons on the plate whose titles have one size."""
PIECES = Button("Pieces", key=Press(Verb.PIECES_PAGE))
"""The way to All, None and The others, where they have no room beside the letters."""
GROUP_BUTTONS = (
    Button("All", key=Press(Verb.ALL)),
    Button("None", key=Press(Verb.NONE)),
    Button("The others", key=Press(Verb.OTHERS)),
)


class PlateView(Plate):
    """Shows a plate's state at the places of a layout."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, "plate", parent)
        self._send = send
        self._now = now
        self.name = Label(look, "stage", lines=2, parent=self)
        self.line = Label(look, "body", lines=2, parent=self)
        self.caution = Label(look, "quiet", lines=2, parent=self)
        self.clock = ClockFace(look, self)
        self.share = ProgressLine(look, parent=self)
        self.letters = LetterRow(look, send, now, self)
        self.letters.sleeve.connect(lambda: send(Press(Verb.SLEEVE), now()))
        self.big = BigButton(look, send, now, self)
        self.groups = tuple(self._button() for _ in range(GROUPS))
        self.buttons: list[KeyButton] = []
        for widget in (self.name, self.line, self.caution, self.clock, self.share, self.letters, self.big):
            self.carry(widget)

    def content(self, state: PlateState) -> Content:
        """Return what wants a place."""
        sizes = self._look.sizes
        name = ceil(self._look.width(state.title, sizes.stage_text, Weight.BOLD))
        return Content(
            letters=len(state.letters),
            picks=len(state.picks),
            tools=len(state.tools),
            clock=state.big is None,
            caution=len(state.caution),
            groups=state.choosing,
            name=name if name * ONE_LINE > NAME_WIDE * sizes.stage_text else 0,
            line=len(state.line) if len(state.line) > LONG_LINE else 0,
            long_picks=any(self._is_long(pick, sizes.touch) for pick in state.picks),
            long_low=any(self._is_long(pick, sizes.px(LOW_MM)) for pick in state.picks),
        )

    def _is_long(self, pick: Button, high: int) -> bool:
        """Tell whether the name of a method can't be read on a button of one place, so high."""
        sizes = self._look.sizes
        texts = place(pick, QSizeF(tool_wide(sizes), high), self._look)
        return any(text.text.cut or text.text.px < sizes.least_text for text in texts)

    def show_plate(self, state: PlateState, layout: PlateLayout, plate: Rect) -> None:
        """Show this state at these places; the pace gives way to the caution where there is one place for both."""
        alone = bool(state.caution) and layout.caution is None and not state.urgent
        self.setGeometry(plate.x, plate.y, plate.w, plate.h)
        self.set_role(state.role)
        self.name.set_text(state.title)
        self.line.set_text(state.caution if alone else state.line, "straw" if state.urgent else "text")
        self.caution.set_text(state.caution)
        self.share.set_share(state.share or 0.0)
        self.letters.show_letters(state.letters)
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
        self.big.show_button(state.big, layout.clock, plate.x, plate.y)
        for number, button in enumerate(self.groups):
            place = layout.groups[number] if layout.groups else None
            button.show_button(GROUP_BUTTONS[number], place, plate.x, plate.y)
        while len(self.buttons) < len(layout.buttons):
            self.buttons.append(self._button())
        for button, (slot, place) in zip(self.buttons, layout.buttons, strict=False):
            button.show_button(button_at(state, slot, layout), place, plate.x, plate.y)
        for spare in self.buttons[len(layout.buttons) :]:
            spare.hide()
        for kinds in ALIKE:
            even_titles([b for b, (slot, _) in zip(self.buttons, layout.buttons, strict=False) if slot.kind in kinds])

    def _button(self) -> KeyButton:
        button = KeyButton(self._look, self._send, self._now, self)
        self.carry(button)
        return button


def button_at(state: PlateState, slot: Slot, layout: PlateLayout) -> Button | None:
    """Return the button that stands in a slot."""
    if slot.kind is SlotKind.PICK:
        return state.picks[slot.number]
    if slot.kind is SlotKind.TOOL:
        return state.tools[slot.number]
    if slot.kind is SlotKind.METHODS:
        return _the_method(state)
    return state.pieces if layout.letters is None else PIECES


def _the_method(state: PlateState) -> Button:
    """The method in use; a press changes it where there are two, else asks which. A long name says what it is."""
    now = next((pick.title for pick in state.picks if pick.checked), "")
    others = [pick.key for pick in state.picks if not pick.checked]
    key = others[0] if now and len(others) == 1 else Press(Verb.METHODS)
    said = "method" if 0 < columns(now) <= SHORT else ""
    return Button(now or "Method", said, role="outline", key=key)
