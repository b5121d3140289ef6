"""A chart saved: what is on the screen, as PNG and as SVG, under its heading."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QByteArray, QPoint
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from shopclock.views.bars_picture import BarsPicture
from shopclock.widgets.bars import Bars
from shopclock.widgets.chart import colour
from shopclock.widgets.chart_save import SHARP, png_of, svg_of
from tests.widgets.test_chart import FREEHAND, JIG, chart

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from shopclock.widgets.chart import Chart
    from shopclock.widgets.style import Style

__all__ = ["chart"]
HEADING = "Grind bevels: getting faster"


def drawn(picture: bytes, look: Style) -> QImage:
    """An SVG drawn by another hand than wrote it."""
    reader = QSvgRenderer(QByteArray(picture))
    image = QImage(reader.viewBox().size() * SHARP, QImage.Format.Format_RGB32)
    image.fill(QColor(look.surface("plate").ground))
    with QPainter(image) as p:
        reader.render(p)
    return image


def places(chart: Chart, image: QImage, look: Style) -> list[QPoint]:
    """Where the filled dots of a chart stand in a picture of it: the heading is above, a margin around."""
    gap = look.sizes.gap
    corner = QPoint(gap, image.height() // SHARP - chart.height() - gap)
    dots = [dot for series in (JIG, FREEHAND) for dot in series.dots if not dot.hollow]
    return [((chart.place_of(dot) + corner) * SHARP).toPoint() for dot in dots]


@pytest.mark.parametrize("how", ["png", "svg"])
def test_a_saved_chart_shows_its_dots_where_they_are_and_its_heading_above(chart: Chart, look: Style, how: str) -> None:
    image = QImage.fromData(png_of(chart, look, HEADING)) if how == "png" else drawn(svg_of(chart, look, HEADING), look)
    assert image.width() == (chart.width() + 2 * look.sizes.gap) * SHARP
    assert image.height() > chart.height() * SHARP
    inks = [QColor(colour(look, s.role)) for s in (JIG, FREEHAND) for dot in s.dots if not dot.hollow]
    found = [image.pixelColor(place) for place in places(chart, image, look)]
    assert [ink.name() for ink in found] == [ink.name() for ink in inks]


def test_marks_of_an_svg_are_shapes_not_pictures(chart: Chart, look: Style) -> None:
    text = svg_of(chart, look, HEADING).decode()
    assert "<image" not in text
    assert HEADING in text
    assert "freehand" in text


def test_the_chart_on_the_screen_is_as_before(chart: Chart, look: Style) -> None:
    before = chart.grab().toImage()
    svg_of(chart, look, HEADING)
    assert chart.grab().toImage() == before


def test_without_a_heading_the_picture_is_the_chart_in_its_margin(chart: Chart, look: Style) -> None:
    wanted = (chart.height() + 2 * look.sizes.gap) * SHARP
    assert QImage.fromData(png_of(chart, look, "")).height() == wanted


@pytest.mark.parametrize("how", ["png", "svg"])
def test_a_painted_chart_stands_on_the_grounds_colour(qtbot: QtBot, look: Style, how: str) -> None:
    bars = Bars(look)
    qtbot.addWidget(bars)
    bars.resize(400, 200)
    bars.show_picture(BarsPicture(heading="Minutes of each blade"))
    image = QImage.fromData(png_of(bars, look, HEADING)) if how == "png" else drawn(svg_of(bars, look, HEADING), look)
    below = image.pixelColor(image.width() // 2, image.height() - 40)
    assert below.name() == QColor(look.surface("plate").ground).name()
