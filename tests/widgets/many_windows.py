"""Makes windows with a chart, has them told as to a screen reader, and destroys them, many times."""

from __future__ import annotations

import faulthandler

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication

from shopclock.places import resource
from shopclock.views.button import Button
from shopclock.views.metrics import Sizes
from shopclock.widgets.chart import Chart
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme
from tests.screens.reader.told import tree
from tests.widgets.test_chart import PICTURE

ROUNDS = 12
AT_ONCE = 3


def window(look: Style) -> Frame:
    """One window with a button and a chart, in sight."""
    frame, chart = Frame(look, [("bench", "Bench"), ("trends", "Trends")]), Chart(look)
    frame.resize(1280, 800)
    chart.show_picture(PICTURE)
    frame.set_page("bench", PressButton(look, Button("Stop")))
    frame.set_page("trends", chart)
    frame.show_page("trends")
    frame.show()
    return frame


def main() -> None:
    """Say how many things were told of, and how many windows are left."""
    faulthandler.enable()
    application = QApplication(["shopclock"])
    QAccessible.setActive(True)
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    look = Style(read_theme(resource("theme.toml"), "dark"), Sizes(1280, 800, 5.94), family, bounce_ms=0)
    names: set[str] = set()
    for _ in range(ROUNDS):
        frames = [window(look) for _ in range(AT_ONCE)]
        application.processEvents()
        for frame in frames:
            names.update(one.name for one in tree(frame))
            frame.close()
            frame.deleteLater()
        frames.clear()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    left = [one for one in QApplication.topLevelWidgets() if isinstance(one, Frame)]
    print(PICTURE.series[0].name in " ".join(names), len(left))  # noqa: T201  # for the test


if __name__ == "__main__":
    main()
