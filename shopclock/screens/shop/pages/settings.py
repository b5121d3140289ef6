"""Settings: how the screen looks, how large things are on it, and when the program asks about a forgotten stop."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Protocol, TypeVar

from shopclock.shop.state import settings
from shopclock.shop.values.entities import RULER
from shopclock.shop.values.errors import ShopError
from shopclock.views.field import field, options
from shopclock.views.page import Body, Page, PageContent, item

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

T = TypeVar("T", str, int)

CARD_MM = 85.6
"""The length of a bank card: ISO/IEC 7810, ID-1."""
LEAST_PX = 100.0
TIMES = {2: "twice as long as usual", 3: "three times as long", 4: "four times as long", 5: "five times as long"}
HOURS = {n: f"after {n} h" for n in settings.UNKNOWN_H.choices}
ENDS = {time: f"at {time}" for time in settings.DAY_ENDS.choices}
THEMES = {"dark": "dark, for the shop", "paper": "paper, for daylight"}
FAR_VIEW = {0: "never", 60: "left alone 1 min", 120: "left alone 2 min", 300: "left alone 5 min"}
FULL = {"no": "no, in a window", "yes": "yes, without a frame; F11"}
DIMS = {0: "never"} | {n: f"left alone {n} min, nothing running" for n in settings.DIM_MIN.choices if n}
STEPS_PX = {-20: "Shorter", -1: "A little shorter", 1: "A little longer", 20: "Longer"}


@dataclass(frozen=True, slots=True)
class OnScreen:
    """A screen's name, its pixels per millimetre as the window takes them, the longest bar it has room for.

    `full`: the window has all of it, without a frame.
    """

    name: str
    px_mm: float
    widest_px: float
    full: bool = False


class Window(Protocol):
    """The window that Shop is shown in, and whether it is there at log-in."""

    def set_full_screen(self, on: bool) -> None:
        """Take or leave the whole screen."""

    def close(self) -> None:
        """Close the program, once what is still to be asked is answered."""

    @property
    def at_login(self) -> bool:
        """True if the program starts when its user logs in."""

    def set_at_login(self, on: bool) -> None:
        """Have it start then, or not. ShopError says why it can't."""


def setting(stack: PagedPresenter, title: str, spec: settings.Spec[T], said: Mapping[T, str]) -> Action:
    """A setting and its choices, each in the words of `said`."""
    now = settings.value(stack.floor, spec)

    def take(value: T) -> None:
        stack.do(title, lambda tx: settings.set_value(tx, spec, value))

    words = {value: (said[value].capitalize(), "") for value in spec.choices}
    return field(spec.name, title, said[now], options(spec.help, words, now), take)


def asking_page(stack: PagedPresenter) -> PageContent:
    """The end of the shop's day, how far beyond usual, and how long where nothing is known."""
    return PageContent(
        "Still at it?",
        [
            "What runs by hand is asked about, never stopped. What waits is not asked about.",
            "Where nothing was set it is common practice, no source.",
        ],
        [
            setting(stack, "The day ends", settings.DAY_ENDS, ENDS),
            setting(stack, "Asked when", settings.TIMES_USUAL, TIMES),
            setting(stack, "Nothing usual yet", settings.UNKNOWN_H, HOURS),
        ],
    )


def look_page(stack: PagedPresenter, screen: OnScreen, window: Window | None = None) -> PageContent:
    """Theme, size, text, far view, full screen and what belongs to it, ruler."""
    measured = "" if settings.ruler(stack.floor, screen.name) is not None else "not yet "
    return PageContent(
        "Look and sizes",
        tiles=[
            setting(stack, "Colours", settings.THEME, THEMES),
            setting(stack, "Buttons for", settings.SIZE, {"hands": "bare hands", "gloves": "gloves"}),
            setting(stack, "Text", settings.TEXT, {size: size for size in settings.TEXT.choices}),
            setting(stack, "Large clock", settings.FAR_VIEW_S, FAR_VIEW),
            setting(stack, "Full screen", settings.FULL_SCREEN, FULL),
            setting(stack, "Full screen dims", settings.DIM_MIN, DIMS),
            *([at_login(stack, window)] if window is not None else []),
            item("ruler", "Ruler", partial(RulerPage, stack, screen), detail=f"{measured}checked on this screen"),
        ],
    )


def at_login(stack: PagedPresenter, window: Window) -> Action:
    """Tile of the start at log-in, which one press changes. It is the machine's, and not in the record."""

    def turn() -> None:
        try:
            window.set_at_login(not window.at_login)
        except ShopError as error:
            stack.dialogs.tell(str(error))
        stack.changed()

    said = "starts by itself" if window.at_login else "doesn't start by itself"
    return item("at log-in", "At log-in", turn, detail=said, checked=window.at_login)


class RulerPage(Page):
    """A bar to be made as long as a bank card: then a millimetre on this screen is a millimetre."""

    def __init__(self, stack: PagedPresenter, screen: OnScreen) -> None:
        self._stack = stack
        self._screen = screen
        self._bar_px = round(min(max(CARD_MM * screen.px_mm, LEAST_PX), screen.widest_px))
        self._setting = RULER + screen.name

    def content(self) -> PageContent:
        """The bar, longer and shorter in large steps and small ones; keep it, or forget what was measured."""
        measured = self._stack.floor.setting(self._setting) is not None
        return PageContent(
            f"Make this bar as long as a bank card, {CARD_MM} mm",
            ["Hold the long side of a card to the screen. Buttons are then as large as they should be."],
            [
                item(f"by {by}", title, partial(self._set, self._bar_px + by), why_not=self._why_not(by))
                for by, title in STEPS_PX.items()
            ],
            [
                item(
                    "forget",
                    "As the screen says",
                    self._forget,
                    why_not="" if measured else "It was not measured yet.",
                    role="raised",
                ),
                item("keep", "It is as long", self._keep, role="primary"),
            ],
            Body.RULER,
            bar_px=self._bar_px,
        )

    def _why_not(self, by: int) -> str:
        """Say why the bar can't become longer by so many px; empty where it can."""
        longer = "The screen has no room for a longer bar." if self._bar_px + by > self._screen.widest_px else ""
        return longer or ("A bar shorter than that is no card." if self._bar_px + by < LEAST_PX else "")

    def _set(self, bar_px: int) -> None:
        self._bar_px = bar_px
        self._stack.changed()

    def _keep(self) -> None:
        px_mm = f"{self._bar_px / CARD_MM:.4f}"
        if self._stack.do("Ruler", lambda tx: settings.store(tx, self._setting, px_mm)) is not None:
            self._stack.back()

    def _forget(self) -> None:
        self._stack.do("Ruler", lambda tx: settings.forget(tx, self._setting))
        self._stack.back()
