"""The chart draws the numbers it is given, in the colours of the theme, and stays where it is."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import pyqtgraph as pg
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from shopclock.places import resource
from shopclock.views.chart_picture import Ahead, Band, Dot, Picture, Series, Upright
from shopclock.widgets.chart import Chart
from shopclock.widgets.theme import contrast, read_theme

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style

JIG = Series(
    "jig",
    "usual 17.9 to 19.1",
    "dye_text",
    "o",
    dashed=False,
    dots=(Dot("1:1", 1.0, 17.7), Dot("2:1", 2.0, 20.6), Dot("4:1", 4.0, 19.7)),
    band=Band((0.5, 4.5), (17.9, 17.9), (18.3, 18.3), (19.1, 19.1)),
)
FREEHAND = Series(
    "freehand", "last 24.4", "straw", "s", True, (Dot("3:2", 3.0, 24.4), Dot("5:2", 5.0, 22.0, hollow=True))
)
PICTURE = Picture((JIG, FREEHAND), tuple((float(i), f"26-{i:02d}") for i in range(1, 6)), 0.5, 5.5)


@pytest.fixture
def chart(qtbot: QtBot, look: Style) -> Chart:
    made = Chart(look)
    qtbot.addWidget(made)
    made.resize(760, 360)
    made.show_picture(PICTURE)
    made.show()
    qtbot.waitExposed(made)
    return made


def scatters(chart: Chart) -> list:
    return [item for item in chart.plot.getPlotItem().items if isinstance(item, pg.ScatterPlotItem)]


def test_the_dots_drawn_are_the_numbers_given(chart: Chart) -> None:
    drawn = [[(float(x), float(y)) for x, y in zip(*item.getData(), strict=True)] for item in scatters(chart)]
    assert drawn == [[(1.0, 17.7), (2.0, 20.6), (4.0, 19.7)], [(3.0, 24.4), (5.0, 22.0)]]


def test_what_is_left_out_is_hollow(chart: Chart, look: Style) -> None:
    ground = QColor(look.theme.plate)
    brushes = [point.brush().color() for point in scatters(chart)[1].points()]
    assert [brush == ground for brush in brushes] == [False, True]


def test_series_differ_in_shape_as_well_as_in_colour(chart: Chart) -> None:
    assert [item.opts["symbol"] for item in scatters(chart)] == ["o", "s"]


def test_the_band_is_drawn_at_its_range_with_its_middle(chart: Chart) -> None:
    curves = [item for item in chart.plot.getPlotItem().items if isinstance(item, pg.PlotCurveItem)]
    assert [curve.getData()[1].tolist() for curve in curves] == [[17.9, 17.9], [19.1, 19.1], [18.3, 18.3]]


def test_the_scale_begins_at_zero_and_nothing_is_outside(chart: Chart) -> None:
    (left, right), (low, high) = chart.plot.getViewBox().viewRange()
    assert low == 0.0
    assert all(left < dot.x < right and dot.y < high for dot in chart.dots())


def test_the_words_stand_beside_their_series_inside_the_chart_and_apart(chart: Chart) -> None:
    boxes = [item.mapRectToScene(item.boundingRect()) for item in words(chart).values()]
    assert list(words(chart)) == ["jig\nusual 17.9 to 19.1", "freehand\nlast 24.4"]
    assert not boxes[0].intersects(boxes[1])
    assert all(box.right() <= chart.plot.width() for box in boxes)
    last = chart.place_of(FREEHAND.dots[-1]).x()
    assert all(box.left() > last for box in boxes)


@pytest.mark.parametrize("high", [210, 240, 400])
def test_each_name_has_its_room_before_any_has_its_note(chart: Chart, high: int) -> None:
    """Five methods on a low chart: the last one hung out at the bottom, and its line had no name."""
    names = ("jig", "freehand", "slow belt with the long platen", "several methods", "no method named")
    notes = ("about as long", "about as long", "12 % quicker", "left out", "not enough batches yet (1 of 4)")
    pairs = zip(names, notes, strict=True)
    chart.show_picture(replace(PICTURE, series=tuple(replace(JIG, name=name, note=note) for name, note in pairs)))
    chart.resize(700, high)
    QApplication.processEvents()
    said = [item for text, item in words(chart).items() if any(text.startswith(name[:8]) for name in names)]
    boxes = sorted((item.mapRectToScene(item.boundingRect()) for item in said), key=lambda box: box.top())
    view = chart.plot.getViewBox().sceneBoundingRect()
    assert len(boxes) == len(names)
    assert all(one.bottom() <= other.top() + 1 for one, other in pairwise(boxes))
    assert view.top() - 1 <= boxes[0].top()
    assert boxes[-1].bottom() <= view.bottom() + 1
    assert any("12 %" in text for text in words(chart)) is (high == 400)


def test_names_below_are_thinned_when_there_is_no_room(chart: Chart, qtbot: QtBot) -> None:
    def names() -> list[str]:
        return [text for _, text in chart.plot.getAxis("bottom")._tickLevels[0]]

    assert names() == ["26-01", "26-02", "26-03", "26-04", "26-05"]
    chart.resize(430, 360)
    qtbot.waitUntil(lambda: names() == ["26-01", "26-03", "26-05"])


def test_a_press_near_a_dot_tells_which(chart: Chart) -> None:
    heard: list[str] = []
    chart.pressed.connect(heard.append)
    for dot in (JIG.dots[1], FREEHAND.dots[0]):
        QTest.mouseClick(chart.plot.viewport(), Qt.MouseButton.LeftButton, pos=press_at(chart, dot))
    assert heard == ["2:1", "3:2"]


def press_at(chart: Chart, dot: Dot) -> QPoint:
    return chart.place_of(dot).toPoint() + QPoint(4, -5)


def test_a_press_far_from_any_dot_tells_nothing(chart: Chart) -> None:
    heard: list[str] = []
    chart.pressed.connect(heard.append)
    QTest.mouseClick(chart.plot.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(chart.plot.width() - 10, 340))
    assert heard == []


def test_neither_drag_nor_wheel_moves_it(chart: Chart) -> None:
    before = chart.plot.getViewBox().viewRange()
    view = chart.plot.viewport()
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=QPoint(200, 150))
    for x in range(200, 400, 20):
        QTest.mouseMove(view, QPoint(x, 200))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=QPoint(400, 200))
    at = QPointF(200, 150)
    plain = (Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False)
    wheel = QWheelEvent(at, QPointF(view.mapToGlobal(at)), QPoint(0, 0), QPoint(0, 240), *plain)
    QApplication.sendEvent(view, wheel)
    assert chart.plot.getViewBox().viewRange() == before


def test_the_dot_chosen_has_a_ring(chart: Chart) -> None:
    chart.show_picture(Picture(PICTURE.series, PICTURE.ticks, 0.5, 5.5, chosen="3:2"))
    rings = [item for item in scatters(chart) if len(item.getData()[0]) == 1]
    assert [item.getData()[1].tolist() for item in rings] == [[24.4]]


def test_it_is_dressed_anew_when_the_theme_changes(chart: Chart, look: Style) -> None:
    look.set_theme(read_theme(resource("theme.toml"), "paper"))
    assert chart.plot.backgroundBrush().color() == QColor(look.theme.plate)
    assert scatters(chart)[0].points()[0].brush().color() == QColor(look.theme.dye_text)
    assert contrast(look.theme.dye_text, look.theme.plate) >= 7


@pytest.mark.parametrize("theme", ["dark", "paper"])
def test_what_is_written_is_twelve_pixels_or_more_on_the_smallest_screen(
    qtbot: QtBot, make_look: Callable[..., Style], theme: str
) -> None:
    small = Chart(make_look(1024, 600, theme))
    qtbot.addWidget(small)
    small.show_picture(PICTURE)
    assert small.plot.getAxis("left").style["tickFont"].pixelSize() >= 12
    assert not small.grab().isNull()


def test_without_anything_to_show_it_is_an_empty_chart(qtbot: QtBot, look: Style) -> None:
    empty = Chart(look)
    qtbot.addWidget(empty)
    empty.resize(300, 200)
    assert empty.dots() == []
    assert not empty.grab().isNull()


CROSSED = replace(
    PICTURE,
    ticks=None,
    uprights=(Upright(3.0, "freehand passes jig"),),
    ahead=Ahead(5.2, 18.0, 16.0, 20.5, "next batch 18"),
)


def words(chart: Chart) -> dict[str, pg.TextItem]:
    items = [item for item in chart.plot.getPlotItem().items if isinstance(item, pg.TextItem)]
    return {item.toPlainText(): item for item in items if item.isVisible()}


def test_an_upright_stands_at_its_place_with_its_words_beside_it(chart: Chart) -> None:
    chart.show_picture(CROSSED)
    lines = [item for item in chart.plot.getPlotItem().items if isinstance(item, pg.InfiniteLine) and item.angle == 90]
    assert [line.value() for line in lines] == [3.0]
    said = words(chart)["freehand passes jig"]
    assert said.pos().x() > 3.0


def test_what_is_ahead_is_drawn_at_its_value_with_both_ends_of_its_range(chart: Chart) -> None:
    chart.show_picture(CROSSED)
    points = [item.getData() for item in scatters(chart)]
    drawn = [(x.tolist(), y.tolist()) for x, y in points]
    assert ([5.2], [18.0]) in drawn
    assert ([5.2, 5.2], [16.0, 20.5]) in drawn


def test_the_words_of_what_is_ahead_stay_clear_of_the_names(chart: Chart) -> None:
    chart.show_picture(CROSSED)
    shown = words(chart)
    ahead = shown["next batch 18"].mapRectToScene(shown["next batch 18"].boundingRect())
    names = [item.mapRectToScene(item.boundingRect()) for text, item in shown.items() if "\n" in text]
    assert len(names) == 2
    assert not any(ahead.intersects(name) for name in names)


def test_without_names_figures_are_written_along_the_bottom(chart: Chart) -> None:
    chart.show_picture(CROSSED)
    written = [text for _, text in chart.plot.getAxis("bottom")._tickLevels[0]]
    assert written
    assert all(float(text) <= 5.5 for text in written)


def test_a_scale_of_hundredths_begins_where_it_is_told_to(chart: Chart) -> None:
    chart.show_picture(replace(PICTURE, low=10.0, percent=True))
    _, (low, high) = chart.plot.getViewBox().viewRange()
    assert low == 10.0
    assert high > 20.6
    assert all(text.endswith(" %") for _, text in chart.plot.getAxis("left")._tickLevels[0])


def test_a_dot_out_of_the_ordinary_has_its_words_and_another_colour(chart: Chart, look: Style) -> None:
    told = replace(JIG, dots=(*JIG.dots[:2], replace(JIG.dots[2], text="26-04")))
    chart.show_picture(replace(PICTURE, series=(told,)))
    assert "26-04" in words(chart)
    inks = [point.brush().color().name() for point in scatters(chart)[0].points()]
    assert inks[2] != inks[0] == inks[1]


@pytest.mark.parametrize("number", [0, 1, 2])
def test_the_words_of_a_dot_stay_inside_the_chart_wherever_it_stands(chart: Chart, number: int) -> None:
    dots = tuple(replace(dot, text="26-0x" if i == number else "") for i, dot in enumerate(JIG.dots))
    chart.show_picture(replace(PICTURE, series=(replace(JIG, dots=dots),), low=17.0))
    said = words(chart)["26-0x"]
    box = said.mapRectToScene(said.boundingRect())
    view = chart.plot.getViewBox().sceneBoundingRect()
    assert view.top() <= box.top()
    assert box.bottom() <= view.bottom()
