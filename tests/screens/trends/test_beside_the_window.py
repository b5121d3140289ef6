"""A stage is worked out in another process: the window goes on, and the answer comes to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.long_work.background import Background
from shopclock.screens.trends.presenter import TrendsPresenter
from tests.fake_dialogs import FakeDialogs
from tests.screens.trends.pages import now, page
from tests.screens.trends.test_presenter import OPEN

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot

    from tests.screens.trends.trend_shop import TrendShop


@pytest.fixture
def background(qtbot: QtBot) -> Iterator[Background]:
    made = Background()
    yield made
    made.close()


def test_the_answer_comes_from_another_process_to_the_window(
    qtbot: QtBot, shop: TrendShop, background: Background
) -> None:
    presenter = TrendsPresenter(shop.record, FakeDialogs(), (shop.two_methods, list), lambda *_: None, background)
    presenter.refresh()
    assert page(presenter, shop).line.startswith("One moment: ")
    qtbot.waitUntil(lambda: now(presenter).picture is not None)
    assert now(presenter).sentence == OPEN
