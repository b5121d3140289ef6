"""An evening to be put right, and the pages of Batches on it with dialogs that answer by themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.batches.presenter import BatchesPresenter
from tests.screens.amend.evening import Evening
from tests.screens.batches.story import Gone

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.fake_dialogs import FakeDialogs


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Evening]:
    made = Evening(tmp_path)
    yield made
    made.record.close()


@pytest.fixture
def presenter(shop: Evening, dialogs: FakeDialogs) -> BatchesPresenter:
    """Open on the evening, by Amend times of the first batch."""
    made = BatchesPresenter(shop.record, dialogs, Gone(), lambda: None)
    made.press(f"batch {shop.first.id}")
    made.press("amend")
    return made
