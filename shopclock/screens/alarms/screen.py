"""The alarm over the whole window: it draws what the presenter says and sends it what is pressed, at each tick."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeySequence, QPainter

from shopclock.places import resource
from shopclock.record.press.watch import Watch
from shopclock.screens.alarms.layout import alarm_layout
from shopclock.screens.alarms.presenter import AlarmPresenter
from shopclock.screens.bench.large_button import ActionButton
from shopclock.shop.state.desk_copy import at_desk
from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.views.metrics import LEAST_PX
from shopclock.views.rect import Rect
from shopclock.widgets.accessible import Cover, Part, Role, announce
from shopclock.widgets.chime import READY, SPOILS, Chime
from shopclock.widgets.drawing import LEFT, PaintedGround, draw_fitted, draw_plate, hatch_edge, hatch_px
from shopclock.widgets.labels import Label
from shopclock.widgets.overlay import Overlay
from shopclock.widgets.press_button import KeyButton, even_titles
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from PySide6.QtGui import QKeyEvent, QPaintEvent, QResizeEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.record.press.record import Record
    from shopclock.screens.alarms.state import AlarmState
    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.shop.values.clock import Moment
    from shopclock.views.button import Button, Now, Press
    from shopclock.views.dialogs import Dialogs
    from shopclock.views.fit import FittedText
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style

ANSWERS, TIMES, BOTTOM = 16, 24, 5
LOOK_US = 900_000
"""What can come up by itself is looked for so often, at each tick; a press shows at once."""
FIGURE = 0.56
"""The part of the plate that the time left has."""
RED = "red"
"""The role of what spoils."""


class AlarmScreen(Cover, PaintedGround):
    """Covers the window while there is an alarm; questions of the window itself lie over it.

    `top` is how much of the window stays free above it, px. `turned` says that it has come, or gone.
    """

    turned = Signal()

    def __init__(self, look: Style, window: QWidget, presenter: AlarmPresenter, now: Now) -> None:
        super().__init__(look, window)
        self._window = window
        self._now = now
        self.presenter = presenter
        self._state: AlarmState | None = None
        self._why = ""
        self.top = 0
        self._chime = Chime(resource("sounds"))
        self._plate = Rect(0, 0, 1, 1)
        to_do = ActionButton(look, self._press, now, self)
        self.answers: tuple[KeyButton, ...] = (to_do, *self._buttons(ANSWERS - 1))
        self.times = self._buttons(TIMES)
        self.bottom = self._buttons(BOTTOM)
        self._heading = Label(look, "section", parent=self)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        window.installEventFilter(self)
        look.changed.connect(self._draw)
        self.hide()

    @property
    def state(self) -> AlarmState | None:
        """State that is shown now."""
        return self._state

    def press_first(self) -> None:
        """Press the first answer, as a finger would."""
        if self.isVisible() and self.answers[0].isVisible():
            self.answers[0].click()

    def say(self, why: str) -> None:
        """Say in the line's place why a press was not taken; empty when that is over."""
        self._why = why
        self.update()

    def refresh(self) -> None:
        """Cover the window, uncover it, or draw again what is asked now."""
        state = self.presenter.state()
        before, self._state = self._state, state
        if state == before:
            return
        if state is None:
            self.hide()
            self.let_keyboard_go()
            self.turned.emit()
            return
        self._draw()
        self.setAccessibleName(state.title)
        self.setAccessibleDescription(state.line)
        if before is None:
            self._cover()
            self.turned.emit()
        if before is None or before.about != state.about:
            announce(self, said(state), urgent=True)
        if before is None or before.role != state.role == RED:
            self._chime.play(SPOILS if state.role == RED else READY)
        if before is None or before.about != state.about:
            self._hold_off()
        self.update()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the size of the window."""
        if event.type() == QEvent.Type.Resize:
            self.fill()
        return super().eventFilter(watched, event)

    def fill(self) -> None:
        """Cover the window, but what stays free of it."""
        self.setGeometry(self._window.rect().adjusted(0, self.top, 0, 0))

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Lay everything anew."""
        self._draw()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys and pedals do here what they do at the Bench; nothing goes to what lies under this."""
        name = QKeySequence(event.keyCombination()).toString()
        if not event.isAutoRepeat() and (why_not := self.presenter.key(name, self._now())):
            self._look.unable.emit(why_not)
        event.accept()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, plate, the sentence and its line."""
        if self._state is None:
            return
        surface = self._look.surface(self._state.role)
        plate = QRectF(self._plate.x, self._plate.y, self._plate.w, self._plate.h)
        with QPainter(self) as p:
            p.fillRect(self.rect(), QColor(self._look.theme.ground))
            draw_plate(p, plate, surface.ground, surface.line, width=1.5)
            if self._state.role == RED:
                hatch_edge(p, plate, surface.text, hatch_px(self._look))
            for rect, text, weight in self._texts():
                draw_fitted(p, rect, text, self._look, weight, surface.text, LEFT)

    def reader_role(self) -> Role:
        """An alert."""
        return Role.AlertMessage

    def reader_parts(self) -> list[Part]:
        """The time that is left."""
        return [Part(self._state.figure, self.rect())] if self._state is not None else []

    def written(self) -> list[FittedText]:
        """Texts of the sentence and its line as they are written."""
        return [text for _, text, _ in self._texts()]

    def _texts(self) -> list[tuple[QRectF, FittedText, Weight]]:
        """The time left, the sentence as large as its plate allows, in one line or two, and the line under it."""
        state, sizes = self._state, self._look.sizes
        if state is None:
            return []
        plate = QRectF(self._plate.x, self._plate.y, self._plate.w, self._plate.h)
        edge = hatch_px(self._look) if state.role == RED else 0
        room = plate.adjusted(2 * sizes.gap, sizes.gap, -2 * sizes.gap, -sizes.gap).adjusted(edge, edge, -edge, -edge)
        small = round(max(sizes.body_text, min(sizes.action_text * 0.8, room.height() * 0.16)))
        told = self._why or state.line
        low = small * LINE_HEIGHT * state.lines if told else 0.0
        large = QRectF(room.left(), room.top(), room.width(), room.height() - low)
        found = []
        if state.figure:
            high = large.height() * FIGURE
            figure_px = max(sizes.body_text, int(high / LINE_HEIGHT))
            box = TextBox(large.width(), high, figure_px, sizes.small_text, sizes.small_text, lines=1)
            text = self._look.fitted(state.figure, box, Weight.BOLD)
            found.append((QRectF(large.left(), large.top(), large.width(), high), text, Weight.BOLD))
            large = large.adjusted(0, high, 0, 0)
        px = max(sizes.body_text, min(int(large.height() / LINE_HEIGHT), round(sizes.stage_text * 1.9)))
        two = max(sizes.small_text, min(px, int(large.height() / LINE_HEIGHT / 2)))
        title = TextBox(large.width(), large.height(), px, two, sizes.small_text)
        found.append((large, self._look.fitted(state.title, title, Weight.BOLD), Weight.BOLD))
        if told:
            line = QRectF(room.left(), large.bottom(), room.width(), low)
            least = max(LEAST_PX, round(sizes.small_text * 0.8))
            box = TextBox(line.width(), low, small, sizes.small_text, least, lines=state.lines)
            found.append((line, self._look.fitted(told, box, Weight.SEMIBOLD), Weight.SEMIBOLD))
        return found

    def _buttons(self, n: int) -> tuple[KeyButton, ...]:
        return tuple(KeyButton(self._look, self._press, self._now, self) for _ in range(n))

    def _press(self, press: Press, moment: Moment | None) -> None:
        self.presenter.press(press, moment)
        self.refresh()

    def _cover(self) -> None:
        """Come up over the screens, under a question that is being answered."""
        self.fill()
        self.show()
        self.raise_()
        for asked in self._window.findChildren(Overlay):
            asked.raise_()
        self.hold_keyboard()

    def _hold_off(self) -> None:
        """Hold off a page that has just come up under a finger, for the time of a bounce."""
        for button in (*self.answers, *self.times, *self.bottom):
            button.hold_off()

    def _draw(self) -> None:
        state = self._state
        if state is None:
            return
        margin = self._look.sizes.margin
        area = Rect(margin, margin, self.width() - 2 * margin, self.height() - 2 * margin)
        answers = (*state.answers, *([state.back] if state.back is not None else []))
        verbs = [button.verb for button in state.bottom]
        layout = alarm_layout(area, self._look.sizes, len(answers), len(state.times), bool(state.heading), verbs)
        self._plate = layout.plate
        if state.back is not None and len(layout.answers) < len(answers):
            answers = (*state.answers[: max(0, len(layout.answers) - 1)], state.back)
        _show(self.answers, answers, layout.answers)
        shown = [button for button in self.answers if button.isVisibleTo(self)]
        even_titles(shown if answers and answers[0].role == "plate" else shown[1:])
        times = sorted(state.times[: len(layout.times)], key=lambda pair: pair[0])
        _show(self.times, [button for _, button in times], layout.times)
        _show(self.bottom, state.bottom, layout.bottom)
        self._heading.setVisible(layout.heading is not None)
        if layout.heading is not None:
            self._heading.set_text(state.heading)
            self._heading.setGeometry(layout.heading.x, layout.heading.y, layout.heading.w, layout.heading.h)


def _show(buttons: Sequence[KeyButton], shown: Sequence[Button], places: Sequence[Rect]) -> None:
    """Show as many as have a place; the rest are not there."""
    for number, button in enumerate(buttons):
        here = number < min(len(shown), len(places))
        button.show_button(*((shown[number], places[number]) if here else (None, None)))


def said(state: AlarmState) -> str:
    """Say an alarm whole: its sentence, the time that is left, and the line under it."""
    return ". ".join(part.rstrip(".") for part in (state.title, state.figure, state.line) if part) + "."


class Alarming:
    """Lets the watch look at the clocks, shows what it asks, and says on a strip what was seen."""

    def __init__(
        self,
        frame: Frame,
        look: Style,
        record: Record,
        dialogs: Dialogs,
        bench: AtBench,
        strip: Callable[[str], None],
        go_on: Callable[[Path], None] = lambda _: None,
    ) -> None:
        self._record = record
        self._strip = strip
        self.watch = Watch(record)
        self.presenter = AlarmPresenter(record, dialogs, bench, self.watch.usual_of, go_on)
        self.screen = AlarmScreen(look, frame, self.presenter, record.clock.moment)
        frame.header_kept.connect(partial(self._leave_header, frame))
        look.changed.connect(partial(self._leave_header, frame))
        self._next_us = record.clock.moment().boot_us
        self._asks = at_desk(record.floor) is None
        if self._asks:
            self.watch.start()
        record.on_change(self.refresh)
        record.file.found = self.refresh
        self.refresh()

    def _leave_header(self, frame: Frame) -> None:
        """Leave as much free above the alarm as the frame says."""
        self.screen.top = frame.covers_from
        self.screen.fill()

    def tick(self) -> None:
        """Look at the clocks, and from time to time at what they have brought about."""
        moment = self._record.clock.moment()
        if self._asks:
            self.watch.tick(moment)
        if moment.boot_us >= self._next_us:
            self._next_us = moment.boot_us + LOOK_US
            self._record.file.look()
            self.refresh()

    def refresh(self) -> None:
        """Show what is so now."""
        self.screen.refresh()
        self._strip(self.presenter.strip())
