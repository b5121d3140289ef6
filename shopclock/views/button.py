"""The one button of the program: what a press on it says, and how it is drawn. Plain Python, no Qt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.shop.values.clock import Moment

if TYPE_CHECKING:
    from enum import StrEnum

    from shopclock.views.route_state import RouteState
    from shopclock.views.rule_picture import RulePicture


FIRST_PAGE, LAST_PAGE = "This is the first page.", "This is the last page."
NO_UNDO, NO_PUT_BACK = "There is nothing to take back.", "Nothing was taken back by the last press."
WAITS_FOR_TEXT = "Nothing is typed yet."
SIGNS = {"−": "less", "+": "more"}
"""What titles that are signs are called."""


@dataclass(frozen=True, slots=True)
class Press:
    """Press: a verb of its screen, the number of the thing it is about, and what it chooses for it.

    `choice` is a time in microseconds UTC, or the number of another thing.
    """

    verb: StrEnum
    number: int = 0
    choice: int = 0


Send = Callable[[Press, Moment | None], None]
"""What takes a press, and the moment the finger came down."""
Now = Callable[[], Moment]
Key = Press | str
"""What a button is known by: what a press on it says, or a page's own word for it."""


@dataclass(frozen=True, slots=True)
class Button:
    """A button as it is drawn, and its key.

    `title` and a quiet `detail` under it; a tile (written from the left) can have a large `figure` on the right, an
    `aside` at the right of the detail, which is left out first, a coloured `note` under both, a line filled to
    `fraction`, and a `route` or a `rule` drawn beside its text. A coloured `edge` at its left tells the state of what
    it is about: "dye_text" a clock runs by hand, "straw" it waits or is stayed by, "text" the sentence names it.
    `checked` says whether it is chosen; None where nothing is to be. `why_not` says why it can't be pressed now: one
    line, with which a press on it is answered.
    """

    title: str
    detail: str = ""
    figure: str = ""
    aside: str = ""
    note: str = ""
    role: str = "plate"
    why_not: str = ""
    checked: bool | None = None
    fraction: float | None = None
    detail_role: str = "quiet"
    figure_role: str = "text"
    note_role: str = "straw"
    tile: bool = False
    edge: str = ""
    route: RouteState | None = None
    rule: RulePicture | None = None
    key: Key = ""

    @property
    def enabled(self) -> bool:
        """True if it can be pressed."""
        return not self.why_not

    @property
    def verb(self) -> str:
        """Verb of the press, whatever it is about; of a page's button its key."""
        return self.key.verb if isinstance(self.key, Press) else self.key

    @property
    def is_tile(self) -> bool:
        """True if it is written from the left."""
        return self.tile or bool(self.figure or self.aside or self.note) or self.fraction is not None

    @property
    def spoken(self) -> str:
        """The whole text, for a screen reader."""
        title = SIGNS.get(self.title, self.title)
        return ", ".join(part for part in (title, self.detail, self.aside, self.note, self.figure) if part)
