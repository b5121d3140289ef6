"""How the screen looks and how large things are on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.shop.pages.setting import setting_offer
from shopclock.shop.state import settings
from shopclock.views.page import Body, Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

CARD_MM = 85.6
"""The length of a bank card: ISO/IEC 7810, ID-1."""
LEAST_PX = 100.0
FAR_VIEW = {0: "never", 60: "left alone 1 min", 120: "left alone 2 min", 300: "left alone 5 min"}


@dataclass(frozen=True, slots=True)
class OnScreen:
    """A screen's name, its pixels per millimetre as the window takes them, the longest bar it has room for."""

    name: str
    px_mm: float
    widest_px: float


class LookPage(Page):
    """Theme, size, far view, ruler."""

    def __init__(self, stack: PagedPresenter, on_screen: Callable[[], OnScreen]) -> None:
        self._stack = stack
        self._on_screen = on_screen

    def title(self) -> str:
        """What it is."""
        return "Look and sizes"

    def offers(self) -> Sequence[Action]:
        """The settings, and the ruler."""
        floor = self._stack.floor
        measured = settings.ruler(floor, self._on_screen().name) is not None
        return [
            setting_offer(
                self._stack, "Colours", settings.THEME, {"dark": "dark, for the shop", "paper": "paper, for daylight"}
            ),
            setting_offer(self._stack, "Buttons for", settings.SIZE, {"hands": "bare hands", "gloves": "gloves"}),
            setting_offer(self._stack, "Large clock", settings.FAR_VIEW_S, FAR_VIEW),
            setting_offer(self._stack, "Paper", settings.PAPER, {name: name for name in settings.PAPER.choices}),
            action(
                "ruler",
                "Ruler",
                calling(lambda: self._stack.open(RulerPage(self._stack, self._on_screen()))),
                detail="checked on this screen" if measured else "not yet checked on this screen",
            ),
        ]


class RulerPage(Page):
    """A bar to be made as long as a bank card: then a millimetre on this screen is a millimetre."""

    body = Body.RULER

    def __init__(self, stack: PagedPresenter, on_screen: OnScreen) -> None:
        self._stack = stack
        self._screen = on_screen
        self._bar_px = round(min(max(CARD_MM * on_screen.px_mm, LEAST_PX), on_screen.widest_px))

    def title(self) -> str:
        """What to do."""
        return f"Make this bar as long as a bank card, {CARD_MM} mm"

    def lines(self) -> Sequence[TextLine]:
        """How."""
        return (TextLine("Hold the long side of a card to the screen. Buttons are then as large as they should be."),)

    def bar(self) -> tuple[float, float]:
        """The bar."""
        return CARD_MM, self._bar_px

    def offers(self) -> Sequence[Action]:
        """Longer and shorter, in large steps and small ones."""
        steps = ((-20, "Shorter"), (-1, "−"), (1, "+"), (20, "Longer"))
        return [self._step(by, title) for by, title in steps]

    def actions(self) -> Sequence[Action]:
        """Keep it; forget what was measured."""
        measured = self._stack.floor.setting(settings.RULER + self._screen.name) is not None
        return [
            action("forget", "As the screen says", calling(self._forget), enabled=measured, role="raised"),
            action("keep", "It is as long", calling(self._keep), role="primary"),
        ]

    def _step(self, by: int, title: str) -> Action:
        wanted = self._bar_px + by
        return action(
            f"by {by}",
            title,
            calling(lambda: self._set(wanted)),
            enabled=LEAST_PX <= wanted <= self._screen.widest_px,
        )

    def _set(self, bar_px: int) -> None:
        self._bar_px = bar_px
        self._stack.changed()

    def _keep(self) -> None:
        px_mm = f"{self._bar_px / CARD_MM:.4f}"
        name = settings.RULER + self._screen.name
        if self._stack.do("Ruler", lambda tx: settings.store(tx, name, px_mm)) is not None:
            self._stack.back()

    def _forget(self) -> None:
        self._stack.do("Ruler", lambda tx: settings.forget(tx, settings.RULER + self._screen.name))
        self._stack.back()
