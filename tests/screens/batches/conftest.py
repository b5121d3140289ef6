"""An empty shop, and one with batches; their presenters, with dialogs that answer by themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.batches.presenter import BatchesPresenter
from tests.screens.batches.story import Gone, Shop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.shop.values.entities import Batch
    from tests.fake_dialogs import FakeDialogs


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path)
    yield made
    made.record.close()


@pytest.fixture
def presenter(shop: Shop, dialogs: FakeDialogs, gone: Gone) -> BatchesPresenter:
    return BatchesPresenter(shop.record, dialogs, gone, lambda: None)


@pytest.fixture
def batch(shop: Shop) -> Batch:
    """Seven pieces, the first two steps done."""
    made = shop.batch(shop.pattern("Paring 95"), 7)
    for step in shop.floor.steps(made.id)[:2]:
        shop.work(step, 35)
    return made
