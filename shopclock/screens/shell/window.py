"""The window itself: its look, its size on this screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QTimeZone
from PySide6.QtGui import QIcon

from shopclock.places import resource
from shopclock.shop.values.habits import Habits
from shopclock.views.metrics import Sizes, px_per_mm
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.style import Style
from shopclock.widgets.theme import Theme, read_theme

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QApplication

APP_ID = "org.shopclock.Shopclock"
STYLE = "fusion"
FIRST_SIZE = (1280, 800)
ROOM_TO_SPARE = 1.1


def read_themes() -> dict[str, Theme]:
    """The two themes by name."""
    return {name: read_theme(resource("theme.toml"), name) for name in ("dark", "paper")}


def make_window(application: QApplication, tabs: Sequence[tuple[str, str]]) -> tuple[Frame, Style]:
    """Make the empty window with its look, as the screen says of itself; the record's settings come later."""
    application.setApplicationName("Shopclock")
    application.setDesktopFileName(APP_ID)  # by which a desktop finds icon and name
    if application.style().objectName() != STYLE:  # made anew it takes 7 ms
        application.setStyle(STYLE)
    theme = read_theme(resource("theme.toml"), "dark")
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    dpi = application.primaryScreen().physicalDotsPerInch()
    look = Style(theme, Sizes(*FIRST_SIZE, px_per_mm(dpi)), family)
    frame = Frame(look, tabs)
    frame.setWindowTitle("Shopclock")
    frame.resize(*FIRST_SIZE)
    return frame, look


def give_icon(application: QApplication) -> None:
    """Give the windows their icon; reading it takes 12 ms, so once the first is painted."""
    application.setWindowIcon(QIcon(str(resource("icons", "shopclock.svg"))))


def system_zone() -> str:
    """Name the zone that the machine's clock is told in."""
    return bytes(QTimeZone.systemTimeZoneId().data()).decode() or "UTC"


def system_habits(place: QLocale | None = None) -> Habits:
    """Tell how days, times and figures are said where this machine stands (or at a place), by Qt's CLDR."""
    locale = place if place is not None else QLocale.system()
    if locale.language() == QLocale.Language.C:
        return Habits()
    day = locale.dateFormat(QLocale.FormatType.LongFormat).replace("dddd", "")
    half_days = "ap" in locale.timeFormat(QLocale.FormatType.ShortFormat).lower()
    return Habits(day.find("M") < day.find("d"), half_days, locale.firstDayOfWeek().value - 1, locale.decimalPoint())


def show_fitting(frame: Frame) -> None:
    """Show the window at its first size, or over the whole screen where that is hardly larger."""
    room = frame.screen().availableSize()
    if room.width() < FIRST_SIZE[0] * ROOM_TO_SPARE or room.height() < FIRST_SIZE[1] * ROOM_TO_SPARE:
        frame.showMaximized()
    else:
        frame.show()
