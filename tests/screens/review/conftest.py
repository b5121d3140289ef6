"""A shop with batches of two patterns, and the presenter of Review."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.review.presenter import ReviewPresenter
from tests.screens.batches.story import Gone, Shop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.fake_dialogs import FakeDialogs


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path)
    yield made
    made.record.close()


@pytest.fixture
def sheets() -> list[str]:
    """What was asked to be written."""
    return []


@pytest.fixture
def presenter(shop: Shop, gone: Gone, sheets: list[str], dialogs: FakeDialogs) -> ReviewPresenter:
    return ReviewPresenter(shop.record, dialogs, gone, lambda: sheets.append("all"))
