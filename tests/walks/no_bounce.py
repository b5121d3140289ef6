"""The program as it is started, whose buttons take each press: what presses on the bus is no finger that bounces."""

import sys

from PySide6.QtWidgets import QApplication

from shopclock import app
from shopclock.screens.shell import window
from shopclock.widgets.frame import Frame
from shopclock.widgets.style import Style


def main(record: str) -> int:
    make = window.make_window

    def made(application: QApplication, tabs: tuple[tuple[str, str], ...]) -> tuple[Frame, Style]:
        frame, look = make(application, tabs)
        look.bounce_ms = 0
        return frame, look

    window.make_window = made
    return app.main(["--record", record])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
