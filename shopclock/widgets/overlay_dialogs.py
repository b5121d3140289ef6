"""The real Dialogs: one question at a time over the whole window, the next when it is answered."""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from shopclock.mistakes import AnswerLost
from shopclock.views.dialogs import AMOUNT

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from types import ModuleType

    from shopclock.views.dialogs import Choice, Then
    from shopclock.widgets.overlay import Overlay
    from shopclock.widgets.panels import Panel
    from shopclock.widgets.style import Style


def _panels() -> ModuleType:
    """The panels, imported with the first question: the first paint needs none."""
    from shopclock.widgets import panels

    return panels


class OverlayDialogs:
    """Puts questions on an overlay; see Dialogs."""

    def __init__(self, look: Style, overlay: Overlay) -> None:
        self._look = look
        self._overlay = overlay
        self._waiting: deque[tuple[Callable[[], Panel], Then]] = deque()
        self._then: Then | None = None
        overlay.left.connect(self._leave)

    def ask(self, question: str, choices: Sequence[Choice], then: Then) -> None:
        """Ask which of these it is."""
        offered = tuple(choices)
        self._put(lambda: _panels().ChoicePanel(self._look, question, offered), then)

    def tell(self, sentence: str, then: Callable[[], None] | None = None) -> None:
        """Say one sentence, which is read and put away."""
        self._put(lambda: _panels().TellPanel(self._look, sentence), lambda _: then() if then else None)

    def text(self, question: str, start: str, then: Then) -> None:
        """A line of text, such as a name."""
        self._put(lambda: _panels().TextPanel(self._look, question, start), then)

    def number(
        self, question: str, start: str, then: Then, units: Sequence[str] = (), note: str = "", signs: str = AMOUNT
    ) -> None:
        """A figure from the number pad, as it was typed; where there are units, the chosen one stands behind it."""
        offered = tuple(units)
        self._put(lambda: _panels().NumberPanel(self._look, question, start, offered, note, signs), then)

    def _put(self, make: Callable[[], Panel], then: Then) -> None:
        self._waiting.append((make, then))
        if self._overlay.panel is None:
            self._next()

    def _next(self) -> None:
        if self._waiting:
            make, self._then = self._waiting.popleft()
            panel = make()
            panel.answered.connect(self._answered)
            self._overlay.open(panel)

    def _leave(self) -> None:
        self._answered(None)

    def _answered(self, answer: str | None) -> None:
        """Deliver an answer before anything else; a mistake on its way costs this answer, and it is told each time."""
        then, self._then = self._then, None
        self._overlay.close_panel()
        try:
            if then is not None:
                then(answer)
        except Exception as error:
            raise AnswerLost from error
        finally:
            if self._overlay.panel is None:
                self._next()
            if self._overlay.panel is None:
                self._overlay.give_back_keyboard()
