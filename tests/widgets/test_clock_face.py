"""The running clock: as large as fits, and its digits do not dance."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QVBoxLayout

from shopclock.widgets.clock_face import ClockFace
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate
from shopclock.widgets.style import Style, Weight
from tests.widgets.conftest import SCREENS

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QPaintEvent
    from pytestqt.qtbot import QtBot


def clock(look: Style, width: int = 760, height: int = 170) -> ClockFace:
    face = ClockFace(look)
    face.resize(width, height)
    face.set_text("0:47:12")
    return face


@pytest.mark.parametrize("size", SCREENS)
def test_at_its_least_size_the_digits_have_17_and_a_half_millimetres(
    qtbot: QtBot, make_look: Callable[..., Style], size: tuple[int, int]
) -> None:
    look = make_look(*size)
    face = clock(look)
    qtbot.addWidget(face)
    face.resize(face.minimumSizeHint())
    assert face.digit_height() / look.sizes.px_mm >= 17.5 * 0.99


@pytest.mark.parametrize(("width", "height"), [(760, 170), (300, 170), (2000, 60)])
def test_it_is_as_large_as_fits_and_no_larger(qtbot: QtBot, look: Style, width: int, height: int) -> None:
    face = clock(look, width, height)
    qtbot.addWidget(face)
    assert face.digit_height() <= height
    assert face.lefts()[0] >= 0
    assert face.digit_height() > height * 0.9 or face.lefts()[0] < width * 0.02


@pytest.mark.parametrize("own_font", [True, False])
def test_its_digits_do_not_dance(qtbot: QtBot, look: Style, own_font: bool) -> None:
    used = look if own_font else Style(look.theme, look.sizes, "Serif")
    face = clock(used)
    qtbot.addWidget(face)
    places = set()
    for text in ("0:47:12", "1:11:11", "8:00:48", "4:44:44"):
        face.set_text(text)
        places.add(tuple(face.lefts()))
    assert len(places) == 1


def test_figures_of_the_shipped_font_have_one_width(look: Style) -> None:
    from PySide6.QtGui import QFontMetricsF

    for weight in Weight:
        metrics = QFontMetricsF(look.font(100, weight))
        widths = [metrics.horizontalAdvance(text) for text in ("1111", "0000", "4747")]
        assert max(widths) - min(widths) < 1.0


def test_a_second_repaints_the_clock_alone_and_only_when_its_text_has_changed(qtbot: QtBot, look: Style) -> None:
    painted: list[str] = []

    class Face(ClockFace):
        def paintEvent(self, event: QPaintEvent) -> None:
            painted.append("clock")
            super().paintEvent(event)

    class Around(Plate):
        def paintEvent(self, event: QPaintEvent) -> None:
            painted.append("plate")
            super().paintEvent(event)

    plate = Around(look, "dye")
    face = Face(look)
    column = QVBoxLayout(plate)
    column.addWidget(Label(look, "stage", "Grind bevels"))
    column.addWidget(face, 1)
    plate.carry(face)
    face.set_text("0:47:12")
    plate.resize(800, 400)
    qtbot.addWidget(plate)
    plate.show()
    qtbot.waitExposed(plate)
    qtbot.waitUntil(lambda: "clock" in painted)
    painted.clear()
    face.set_text("0:47:12")
    QTest.qWait(30)
    assert painted == []
    face.set_text("0:47:13")
    qtbot.waitUntil(lambda: bool(painted))
    assert painted == ["clock"]


@pytest.mark.parametrize("texts", [("0:47:12", "0:47:13"), ("0:47:59", "0:48:00"), ("9:59:59", "10:00:00")])
def test_a_clock_that_went_on_looks_as_one_that_was_just_drawn(
    qtbot: QtBot, look: Style, texts: tuple[str, str]
) -> None:
    pictures = []
    for told in (texts, texts[1:], texts[:1]):
        face = ClockFace(look)
        face.resize(760, 170)
        qtbot.addWidget(face)
        face.show()
        qtbot.waitExposed(face)
        for text in told:
            face.set_text(text)
            QTest.qWait(30)
        pictures.append(face.screen().grabWindow(face.winId()).toImage())
        face.hide()
    assert pictures[0] == pictures[1] != pictures[2]
