"""The big button: each finger for itself, no bounce, and the time of a press is the time the finger came down."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QEvent, QRectF, QSize, QSizeF, Qt, QTimer, Signal
from PySide6.QtGui import QBrush, QColor, QEventPoint, QPainter, QPen, QTouchEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from shopclock.views.button import Button, Key
from shopclock.widgets.accessible import Accessible, Role, covered, tell_checked
from shopclock.widgets.button_face import ANY_PX, draw_edge, draw_face, draw_fraction, natural_width, place
from shopclock.widgets.drawing import draw_plate, plate_outline
from shopclock.widgets.style import BOUNCE_MS, CHATTER_MS
from shopclock.widgets.theme import Surface, button_surface

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QAccessible, QFocusEvent, QKeyEvent, QMouseEvent, QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.views.button import Now, Send
    from shopclock.views.rect import Rect
    from shopclock.widgets.button_face import PlacedText
    from shopclock.widgets.style import Style

KEYS = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)
_BY_KEYBOARD = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
    Qt.FocusReason.OtherFocusReason,
)


_COMES_DOWN = (QEvent.Type.MouseButtonPress, QEvent.Type.TouchBegin)


Touch = tuple[Key, object]
"""What a button's key was when a finger came down, and what the clock said."""


def no_time() -> object:
    """The clock of buttons nobody asks for the time of."""
    return None


REFUSED_MS = 700
"""So long a hatched edge says that a press was not taken."""
REFUSED_PX = 10
EDGE_MM, EDGE_PX = 0.5, 3.0
"""The edge of what is chosen, and of what starts a clock, is so thick: at least so many px."""


class PressButton(Accessible, QAbstractButton):
    """A plate to press.

    At the release `pressed_at` carries what `now` said when the finger came down, `key_pressed` also the key that the
    button had then, whatever it has become since.
    """

    pressed_at = Signal(object)
    key_pressed = Signal(object, object)

    def __init__(
        self,
        look: Style,
        state: Button,
        now: Callable[[], object] = no_time,
        bounce_ms: int | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._look = look
        self._now = now
        self._state = Button("")
        self._on = "ground"
        self._bounce_ms = look.bounce_ms if bounce_ms is None else min(bounce_ms, look.bounce_ms)
        self._fired = QElapsedTimer()
        self._came_up = QElapsedTimer()
        self._held_ms = 0
        self._refused = False
        self._fingers: dict[int, Touch] = {}
        self._inside: set[int] = set()
        self._pressed: list[Touch] = []
        self._acts = False
        self._ring = False
        self._least = 1.0
        self._title_most: int | None = None
        self._placed_for: object = None
        self._placed: list[PlacedText] = []
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        look.changed.connect(self._redress)
        self.clicked.connect(self._clicked)
        self.show_state(state)

    @property
    def state(self) -> Button:
        """State of it now."""
        return self._state

    def show_state(self, state: Button) -> None:
        """Show this state; nothing is drawn again when it is the same."""
        if state == self._state:
            return
        before, self._state = self._state, state
        self.setEnabled(state.enabled)
        self.setAccessibleName(state.spoken)
        if bool(state.checked) != bool(before.checked):
            tell_checked(self)
        self.updateGeometry()
        self.update()

    def reader_role(self) -> QAccessible.Role:
        """A button; one of several to choose from, or a switch, where it can be chosen."""
        on = self.parentWidget()
        if self._state.checked is None or on is None:
            return Role.Button
        beside = on.findChildren(PressButton, options=Qt.FindChildOption.FindDirectChildrenOnly)
        others = (one for one in beside if one is not self and one.isVisible() and one.state.checked is not None)
        return Role.RadioButton if any(self._chooses_with(one) for one in others) else Role.CheckBox

    def _chooses_with(self, other: PressButton) -> bool:
        """Tell whether two are answers to one question: their keys are of one verb, or a page's own words."""
        both = (self._state.key, other.state.key)
        if any(isinstance(key, str) for key in both):
            return all(isinstance(key, str) for key in both)
        return self._state.verb == other.state.verb

    def reader_state(self, state: QAccessible.State) -> None:
        """Tell whether it is chosen."""
        state.checkable, state.checked = self._state.checked is not None, bool(self._state.checked)

    def reader_press(self) -> Callable[[], object] | None:
        """A press by a screen reader is one like any other."""
        return self.click

    def show_button(self, button: Button | None, rect: Rect | None = None, left: int = 0, top: int = 0) -> None:
        """Show this at a place, with `left` and `top` of its parent taken off; nothing without either."""
        if button is not None and rect is not None:
            self.show_state(button)
            self.setGeometry(rect.x - left, rect.y - top, rect.w, rect.h)
        self.setVisible(button is not None and rect is not None)

    def set_surface(self, role: str) -> None:
        """The role of the plate this button stands on."""
        if role != self._on:
            self._on = role
            self.update()

    def set_least(self, share: float) -> None:
        """Let it be smaller than a touch target, by this share: for what is not pressed while working."""
        self._least = share
        self.updateGeometry()

    def hold_off(self, most_ms: int = BOUNCE_MS) -> None:
        """Refuse presses for the bounce time, or less, from now, and be seen to: it has just come up under a finger."""
        self._held_ms = min(most_ms, self._bounce_ms)
        self._came_up.start()

    def texts(self) -> list[PlacedText]:
        """Each text on it, with its place and whether it had to be cut; placed once, until something is another."""
        placed_for = (self._state, self.width(), self.height(), self._look.sizes, self._title_most)
        if placed_for != self._placed_for:
            self._placed_for, self._placed = placed_for, self.place_texts(self._state)
        return self._placed

    def place_texts(self, state: Button) -> list[PlacedText]:
        """Place the texts of a state; other shapes override this."""
        return place(state, QSizeF(self.size()), self._look, self._title_most)

    def limit_title(self, px: int | None) -> None:
        """Let its title be no larger than this font size, or as large as fits."""
        if px != self._title_most:
            self._title_most = px
            self.update()

    def sizeHint(self) -> QSize:
        """Width of its text, as high as a touch target."""
        least = self.minimumSizeHint()
        return QSize(
            max(least.width(), round(natural_width(self._state, self._look, self._look.sizes.title_text))),
            least.height(),
        )

    def minimumSizeHint(self) -> QSize:
        """A touch target."""
        side = round(self._look.sizes.touch * self._least)
        return QSize(side, side)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw plate, texts and focus ring; a hatched edge where a press was refused."""
        with QPainter(self) as p:
            self.draw(p, QRectF(self.rect()))
            if self._refused:
                edge = QBrush(QColor(self.apply_style().text), Qt.BrushStyle.BDiagPattern)
                p.setPen(QPen(edge, REFUSED_PX))
                p.setBrush(Qt.BrushStyle.NoBrush)
                half = REFUSED_PX / 2
                p.drawRect(QRectF(self.rect()).adjusted(half, half, -half, -half))

    def draw(self, p: QPainter, rect: QRectF) -> None:
        """Draw the button; other shapes override this."""
        surface = self.apply_style()
        enabled = self._state.enabled
        chosen = enabled and (self._state.checked or self._state.role == "outline")
        thick = max(EDGE_PX, EDGE_MM * self._look.sizes.px_mm) if chosen else 1.0
        line = surface.text if chosen else surface.line
        draw_plate(p, rect, surface.ground, line, thick, dashed=not enabled)
        draw_edge(p, self._state, rect, self._look)
        draw_fraction(p, self._state, rect.size(), self._look, surface)
        draw_face(p, self.texts(), self._look, surface)
        self.draw_ring(p, rect, surface)

    def draw_ring(self, p: QPainter, rect: QRectF, surface: Surface) -> None:
        """A second line inside the edge while it has the keyboard."""
        if self._ring and self.hasFocus():
            p.setPen(surface.text)
            p.setBrush(Qt.BrushStyle.NoBrush)
            for inset in (4.5, 5.5, 6.5):
                p.drawPolygon(plate_outline(rect.adjusted(inset, inset, -inset, -inset)))

    def apply_style(self) -> Surface:
        """The colours for its state: chosen is raised, pressed is inverted, disabled is outline and quiet text."""
        theme = self._look.theme
        if not self._state.enabled:
            on = button_surface(theme, "plate", self._on)
            under = self._look.surface(self._on)
            return Surface(under.ground, on.quiet, on.quiet, on.line, on.sunk)
        role = "raised" if self._state.checked else self._state.role
        surface = button_surface(theme, role, self._on)
        return surface.inverted() if self._held() else surface

    def event(self, event: QEvent) -> bool:
        """Take touches finger by finger; everything else as usual."""
        if event.type() == QEvent.Type.KeyPress:
            self._look.by_keyboard = True
        if event.type() in _COMES_DOWN and not self.isEnabled():
            self._refuse(partial(self._look.unable.emit, self._state.why_not))
        if isinstance(event, QTouchEvent):
            self._touched(event)
            event.accept()
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Note the time at the press."""
        self._look.by_keyboard = False
        if event.button() == Qt.MouseButton.LeftButton and not self._bounces():
            self._pressed = [(self._state.key, self._now())]
            super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Stay filled while it acts."""
        self._acts = self.isDown()
        super().mouseReleaseEvent(event)
        self._acts = False
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space and Enter press it; a held key does not repeat."""
        if event.key() not in KEYS:
            super().keyPressEvent(event)
        elif not event.isAutoRepeat() and not covered(self) and not self._bounces():
            self._pressed = [(self._state.key, self._now())]
            self.setDown(True)
            self._fill()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Act at the release of the key."""
        if event.key() not in KEYS:
            super().keyReleaseEvent(event)
        elif not event.isAutoRepeat() and self._pressed and self.isDown():
            self.setDown(False)
            self._fire(self._pressed.pop())

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring only to who moves by keyboard."""
        self._ring = self._look.by_keyboard and event.reason() in _BY_KEYBOARD
        super().focusInEvent(event)

    def _touched(self, event: QTouchEvent) -> None:
        self._look.by_keyboard, held = False, self._held()
        if event.type() in (QEvent.Type.TouchBegin, QEvent.Type.TouchCancel):
            self._fingers.clear()
            self._inside.clear()
        if event.type() != QEvent.Type.TouchCancel and self.isEnabled():
            for point in event.points():
                self.finger(point)
        self.update()
        if not held:
            self._fill()

    def let_go(self, finger: int) -> None:
        """Forget a finger that is down: lifting it presses nothing."""
        self._fingers.pop(finger, None)
        self._inside.discard(finger)

    def finger(self, point: QEventPoint) -> None:
        """Take what one finger does."""
        inside = self.rect().contains(point.position().toPoint())
        if point.state() == QEventPoint.State.Pressed and not self._bounces():
            self._fingers[point.id()] = (self._state.key, self._now())
        (self._inside.add if inside and point.id() in self._fingers else self._inside.discard)(point.id())
        if point.state() == QEventPoint.State.Released and point.id() in self._fingers:
            came_down = self._fingers.pop(point.id())
            self._inside.discard(point.id())
            if inside:
                self._fingers.clear()
                self._inside.clear()
                self._fire(came_down)

    def _fill(self) -> None:
        """Be seen as pressed at once: the lift of a quick finger has come already, and what it does takes a while."""
        if self._held():
            self.repaint()

    def _held(self) -> bool:
        return self.isDown() or bool(self._inside) or self._acts

    def _bounces(self) -> bool:
        """Tell whether a press is none: a second one of the same finger, or one too soon after this came up."""
        if self._came_up.isValid() and self._came_up.elapsed() < self._held_ms:
            self._refuse(self._look.refused.emit)
            return True
        bounces = self._fired.isValid() and self._fired.elapsed() < self._bounce_ms
        if bounces and self._fired.elapsed() >= CHATTER_MS:
            self._refuse(self._look.bounced.emit)
        return bounces

    def _refuse(self, say: Callable[[], object]) -> None:
        """Be seen at once to have taken nothing: a hatched edge, and whoever listens says why."""
        self._refused = True
        self.repaint()
        QTimer.singleShot(REFUSED_MS, self, self._as_before)
        say()

    def _as_before(self) -> None:
        self._refused = False
        self.update()

    def _clicked(self) -> None:
        """A mouse release inside, or a press by code or by a screen reader, which has no time of its own."""
        if self._pressed:
            self._fire(self._pressed.pop())
        elif not self._bounces():
            self._look.by_keyboard = True  # somebody is there
            self._fire((self._state.key, self._now()))

    def _fire(self, touch: Touch) -> None:
        self._pressed.clear()
        self._fired.start()
        self._acts = True
        self.pressed_at.emit(touch[1])
        self.key_pressed.emit(*touch)
        self._acts = False
        self.update()

    def _redress(self) -> None:
        self.updateGeometry()
        self.update()


class KeyButton(PressButton):
    """A button that sends its key, and the moment the finger came down, to one place; it shows nothing at first."""

    def __init__(self, look: Style, send: Send, now: Now, parent: QWidget) -> None:
        super().__init__(look, Button(""), now, parent=parent)
        self.key_pressed.connect(send)


EVENED = 0.6


def even_titles(buttons: Sequence[PressButton]) -> None:
    """Write the titles of buttons that stand side by side in one size: the largest that fits them all.

    One that would need less than a part EVENED of the others' size is smaller alone.
    """
    for button in buttons:
        button.limit_title(ANY_PX)
    sizes = [button.texts()[0].text.px for button in buttons if button.texts()]
    fitting = min((px for px in sizes if px >= EVENED * max(sizes)), default=None)
    for button in buttons:
        button.limit_title(fitting)
