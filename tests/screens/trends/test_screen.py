"""Trends in a window: choose a stage, look at it, press a mark, go back."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QGuiApplication
from PySide6.QtTest import QTest

from shopclock.screens.trends.screen import TrendsScreen
from tests.screens.trends.test_presenter import OPEN

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from shopclock.screens.trends.presenter import TrendsPresenter
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.widgets.style import Style
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.trends.trend_shop import TrendShop

    Make = Callable[[list[TrendRow]], TrendsPresenter]


@pytest.fixture
def screen(qtbot: QtBot, look: Style, make_presenter: Make, shop: TrendShop, tmp_path: Path) -> TrendsScreen:
    made = TrendsScreen(look, make_presenter(shop.two_methods()), tmp_path)
    qtbot.addWidget(made)
    made.resize(1024, 540)
    made.refresh()
    made.show()
    qtbot.waitExposed(made)
    return made


def open_stage(screen: TrendsScreen, qtbot: QtBot) -> None:
    screen.stages.table.buttons[0].click()
    qtbot.waitUntil(screen.stage.isVisible)
    qtbot.waitUntil(lambda: screen.stage.chart.chart is not None)


def test_a_line_opens_its_stage(screen: TrendsScreen, qtbot: QtBot, shop: TrendShop) -> None:
    open_stage(screen, qtbot)
    assert screen.stage.sentence.text == OPEN
    assert screen.stage.chart.chart is not None
    assert len(screen.stage.chart.chart.dots()) == len(shop.two_methods())


def test_back_leads_to_the_stages_and_then_nowhere(screen: TrendsScreen, qtbot: QtBot) -> None:
    open_stage(screen, qtbot)
    screen.stage.back.buttons["all stages"].click()
    assert screen.stages.isVisible()
    assert not screen.back()


def test_a_press_on_a_mark_tells_its_batch_and_the_button_beside_it_opens_its_review(
    screen: TrendsScreen, qtbot: QtBot, shop: TrendShop, went: list
) -> None:
    open_stage(screen, qtbot)
    chart = screen.stage.chart.chart
    assert chart is not None
    dot = next(dot for dot in chart.dots() if dot.key == f"{shop.batches[0].id}:{shop.freehand.id}:0")
    QTest.mouseClick(chart.plot.viewport(), Qt.MouseButton.LeftButton, pos=chart.place_of(dot).toPoint())
    assert screen.stage.chart.line.text.startswith("25-01, Oyster: 29.0 min a blade, 6 blades, freehand, ")
    screen.stage.review.buttons["review"].click()
    assert went == [("review", shop.batches[0].id)]


def test_the_table_turns_its_pages_to_the_last_row(screen: TrendsScreen, qtbot: QtBot, shop: TrendShop) -> None:
    open_stage(screen, qtbot)
    assert not screen.stage.table.turners.isVisible()
    screen.stage.views.buttons["table"].click()
    table = screen.stage.table
    assert table.turners.isVisible()
    a_page, pages = screen.stage.rows.rows_in_sight(), 1
    while table.turners.buttons["more"].state.enabled:
        table.turners.buttons["more"].click()
        pages += 1
    assert (pages - 1) * a_page < len(shop.two_methods()) <= pages * a_page
    assert table.turners.buttons["more"].state.detail == f"page {pages} of {pages}"
    assert table.turners.buttons["before"].state.enabled


def test_how_it_was_worked_out_can_be_read_to_its_last_line(screen: TrendsScreen, qtbot: QtBot, look: Style) -> None:
    open_stage(screen, qtbot)
    screen.stage.views.buttons["how"].click()
    sheet, more = screen.stage.facts, screen.stage.how.turners.buttons["more"]
    assert sheet.px() >= 0.9 * look.sizes.small_text - 1
    seen, heights = 0, sheet._heights(sheet.px())
    for page, first in enumerate(starts := sheet.starts()):
        until = [*starts, len(sheet.facts)][page + 1]
        assert sum(heights[first:until]) <= sheet.height()
        assert sheet._first == first
        seen += until - first
        more.click()
    assert seen == len(sheet.facts)


def test_the_sentence_is_as_large_as_its_line_allows_from_the_first_look_on(
    screen: TrendsScreen, qtbot: QtBot, look: Style
) -> None:
    qtbot.waitUntil(lambda: screen.stages.sentence.fitted().px == look.sizes.sentence_text)


def test_the_chart_in_sight_is_saved_as_picture_and_lines_and_says_where(
    screen: TrendsScreen, qtbot: QtBot, dialogs: FakeDialogs, tmp_path: Path
) -> None:
    open_stage(screen, qtbot)
    dialogs.answers = ["save 0"]
    screen.stage.save.buttons["save"].click()
    names = ["Grind bevels by blade count.png", "Grind bevels by blade count.svg"]
    assert sorted(path.name for path in tmp_path.iterdir()) == names
    assert dialogs.asked[0].choices[0].detail == f"picture and drawing, in {tmp_path}", "where is said before it is"
    assert [asked.words for asked in dialogs.asked[1:]] == [f"Saved as {names[0]} and {names[1]}, in {tmp_path}."]
    screen.stage.views.buttons["table"].click()
    assert not screen.stage.save.isVisible()


def test_chart_and_figures_go_to_the_clipboard(
    screen: TrendsScreen, qtbot: QtBot, dialogs: FakeDialogs, tmp_path: Path
) -> None:
    open_stage(screen, qtbot)
    clipboard = QGuiApplication.clipboard()
    dialogs.answers = ["copy chart"]
    screen.stage.save.buttons["save"].click()
    copied = clipboard.image()
    assert copied.dotsPerMeterX() == round(300 / 0.0254)
    assert copied.pixelColor(2, 2) == QColor("#FFFFFF"), "paper, though the screen is dark"
    dialogs.answers = ["copy figures"]
    screen.stage.save.buttons["save"].click()
    head, *rows = [line.split("\t") for line in clipboard.text().splitlines()]
    assert head[:3] == ["Batch", "Pattern", "Date"]
    assert {len(row) for row in rows} == {len(head)}
    assert len(rows) == len(screen.stage.chart.chart.dots())
    assert dialogs.asked[-1].words == f"The figures are on the clipboard: {len(rows)} lines under their heads."
    assert list(tmp_path.iterdir()) == []


def test_a_pointer_over_a_mark_tells_its_batch_and_leaving_takes_it_back(screen: TrendsScreen, qtbot: QtBot) -> None:
    open_stage(screen, qtbot)
    plate = screen.stage.chart
    before = plate.line.text
    dot, ground = plate.chart.dots()[0], plate.chart.plot.viewport()
    QTest.mouseMove(ground, plate.chart.place_of(dot).toPoint())
    assert plate.line.text == screen.presenter.point_said(dot.key)
    assert " min a " in plate.line.text
    QTest.mouseMove(ground, QPoint(2, 2))
    assert plate.line.text == before
    assert screen.presenter.state().review == "", "nothing was chosen by it"


def test_the_sentence_takes_no_more_room_than_its_lines(screen: TrendsScreen, qtbot: QtBot, look: Style) -> None:
    open_stage(screen, qtbot)
    sentence = screen.stage.sentence
    assert not sentence.fitted().cut
    assert sentence.height() < 1.5 * look.sizes.sentence_text


def test_neither_pandas_nor_charts_are_imported_before_a_stage_is_chosen() -> None:
    run = (
        "import sys, shopclock.screens.trends.presenter, shopclock.screens.trends.screen;"
        "print(sorted({'pandas', 'pyqtgraph', 'numpy'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", run], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
