"""A shop with sixteen batches, its presenter, and the look."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.places import resource
from shopclock.screens.background import AtOnce
from shopclock.screens.trends.presenter import TrendsPresenter
from shopclock.widgets.fake_dialogs import FakeDialogs
from tests.screens.trends.trend_shop import TrendShop

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

    from shopclock.shop.stage_rows import StageRow
    from shopclock.widgets.look import Look


@pytest.fixture(autouse=True)
def _log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is written down of our own mistakes stays away from the user's own log."""
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_, **__: tmp_path / "log")


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TrendShop]:
    folder: Path = tmp_path_factory.mktemp("trends")
    made = TrendShop(folder, 16)
    yield made
    made.record.close()


@pytest.fixture
def dialogs() -> FakeDialogs:
    return FakeDialogs()


@pytest.fixture
def went() -> list[tuple]:
    return []


@pytest.fixture
def make_presenter(
    shop: TrendShop, dialogs: FakeDialogs, went: list[tuple]
) -> Callable[[list[StageRow]], TrendsPresenter]:
    def make(rows: list[StageRow]) -> TrendsPresenter:
        presenter = TrendsPresenter(shop.record, dialogs, (lambda: rows, list), lambda *to: went.append(to), AtOnce())
        presenter.refresh()
        return presenter

    return make


@pytest.fixture
def look(qapp: QApplication) -> Look:
    from shopclock.widgets.fonts import FONT_FILES, load_font
    from shopclock.widgets.look import Look
    from shopclock.widgets.metrics import Sizes
    from shopclock.widgets.theme import read_theme

    family = load_font(resource("fonts", name) for name in FONT_FILES)
    return Look(read_theme(resource("theme.toml"), "dark"), Sizes(1024, 600, 4.63), family, bounce_ms=0)
