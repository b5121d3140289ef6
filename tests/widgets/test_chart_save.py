"""A chart saved: what is on the screen, as PNG and as SVG, under its heading."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QByteArray, QPoint, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from shopclock.views.bars_picture import BarRow, BarsPicture, Fill
from shopclock.widgets.bars import Bars
from shopclock.widgets.chart import colour
from shopclock.widgets.chart_save import SHARP, for_paper, png_of, svg_of
from tests.widgets.test_chart import FREEHAND, JIG, PICTURE, chart

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtWidgets import QWidget
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


RSVG = shutil.which("rsvg-convert")
"""Debian's librsvg2-bin: a renderer that shares no code with Qt."""


def drawn_elsewhere(picture: bytes, folder: Path, wide: int) -> QImage:
    """An SVG drawn by librsvg, so many dots wide."""
    assert RSVG is not None
    (folder / "chart.svg").write_bytes(picture)
    command = [RSVG, "--width", str(wide), "--keep-aspect-ratio", "-o", str(folder / "chart.png")]
    subprocess.run([*command, str(folder / "chart.svg")], check=True, timeout=60)
    return QImage(str(folder / "chart.png"))


@pytest.mark.skipif(RSVG is None, reason="rsvg-convert is not there: apt-get install librsvg2-bin")
@pytest.mark.parametrize("kind", ["dots", "bars"])
def test_another_renderer_draws_the_svg_as_qt_draws_the_chart(
    chart: Chart, qtbot: QtBot, look: Style, tmp_path: Path, kind: str
) -> None:
    """Without words, whose font is another one there: hardly any dot of the picture is of another colour.

    A line whose width were scaled with the axes would be a bar over a tenth of it.
    """
    shown: QWidget = chart
    if kind == "bars":
        shown = Bars(look)
        qtbot.addWidget(shown)
        shown.resize(600, 300)
        fills = (Fill("dye"), Fill("purple", "lines"))
        shown.show_picture(BarsPicture(rows=tuple(BarRow("", ((fills[i % 2], 4.0 + i),), "") for i in range(5))))
    else:
        chart.show_picture(replace(PICTURE, series=tuple(replace(s, name="", note="") for s in PICTURE.series)))
    with for_paper(shown, look) as (copy, paper):
        mine, svg = QImage.fromData(png_of(copy, paper, "")), svg_of(copy, paper, "")
    assert b"vector-effect" not in svg
    other = drawn_elsewhere(svg, tmp_path, mine.width()).convertToFormat(QImage.Format.Format_RGB32)
    assert abs(other.height() - mine.height()) <= SHARP
    assert share_apart(mine, other) < 0.02
    assert share_apart(mine, blank(mine)) > 0.02, "there is something to be drawn"


def share_apart(one: QImage, other: QImage) -> float:
    """The share of dots, looked at in blocks of eight, whose colours are clearly apart."""
    size = QSize(one.width() // 8, one.height() // 8)
    small = [
        image.scaled(size, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation)
        for image in (one, other)
    ]
    places = [(x, y) for x in range(size.width()) for y in range(size.height())]
    apart = [max(_parts_apart(small[0].pixelColor(*at), small[1].pixelColor(*at))) > 48 for at in places]
    return sum(apart) / len(apart)


def _parts_apart(one: QColor, other: QColor) -> tuple[int, ...]:
    return tuple(abs(a - b) for a, b in zip(one.getRgb()[:3], other.getRgb()[:3], strict=True))  # type: ignore[index]


def blank(image: QImage) -> QImage:
    """The ground alone."""
    empty = QImage(image.size(), QImage.Format.Format_RGB32)
    empty.fill(image.pixelColor(1, 1))
    return empty


def test_an_svg_names_a_font_that_there_always_is(chart: Chart, look: Style) -> None:
    families = re.findall(r'font-family="([^"]*)"', svg_of(chart, look, HEADING).decode())
    assert families
    assert all(family.split(",")[-1].strip() == "sans-serif" for family in families)


def test_a_picture_is_marked_as_300_dots_an_inch(chart: Chart, look: Style) -> None:
    image = QImage.fromData(png_of(chart, look, HEADING))
    assert (image.dotsPerMeterX(), image.dotsPerMeterY()) == (11811, 11811)


def test_on_paper_it_is_light_and_whole_whatever_is_on_the_screen(qtbot: QtBot, look: Style) -> None:
    """Forty bars, of which the screen shows a page."""
    bars = Bars(look)
    qtbot.addWidget(bars)
    bars.resize(400, 200)
    bars.show_picture(BarsPicture(rows=tuple(BarRow(f"Stage {i}", ((Fill("dye"), 5.0),), "5.0") for i in range(40))))
    with for_paper(bars, look) as (copy, paper):
        assert paper.theme.name == "paper"
        assert isinstance(copy, Bars)
        assert copy.in_sight() >= 40 > bars.in_sight()
    assert look.theme.name == "dark"


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
