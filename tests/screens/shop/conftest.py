"""A shop with one pattern, and Shop's presenter with dialogs that answer by themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.shop.pages.settings import OnScreen
from shopclock.screens.shop.presenter import ShopPresenter
from tests.screens.batches.story import Gone, Shop, routes

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.shop.values.entities import Pattern
    from tests.fake_dialogs import FakeDialogs


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path)
    yield made
    made.record.close()


@pytest.fixture
def presenter(shop: Shop, dialogs: FakeDialogs, gone: Gone) -> ShopPresenter:
    made = ShopPresenter(shop.record, dialogs, routes(), gone)
    made.on_screen(OnScreen("a screen", 4.5, 1200.0))
    return made


@pytest.fixture
def pattern(shop: Shop) -> Pattern:
    return shop.pattern("Paring 95")
