"""A shop with sixteen batches, its presenter, and the look."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.places import resource
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.trends.presenter import TrendsPresenter
from tests.screens.trends.trend_shop import TrendShop

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.widgets.style import Style
    from tests.fake_dialogs import FakeDialogs


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
def went() -> list[tuple]:
    return []


@pytest.fixture
def make_presenter(
    shop: TrendShop, dialogs: FakeDialogs, went: list[tuple]
) -> Callable[[list[TrendRow]], TrendsPresenter]:
    def make(rows: list[TrendRow]) -> TrendsPresenter:
        presenter = TrendsPresenter(shop.record, dialogs, (lambda: rows, list), lambda *to: went.append(to), AtOnce())
        presenter.refresh()
        return presenter

    return make


@pytest.fixture
def look(qapp: QApplication) -> Style:
    from shopclock.views.metrics import Sizes
    from shopclock.widgets.fonts import FONT_FILES, load_font
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import read_theme

    family = load_font(resource("fonts", name) for name in FONT_FILES)
    return Style(read_theme(resource("theme.toml"), "dark"), Sizes(1024, 600, 4.63), family, bounce_ms=0)
