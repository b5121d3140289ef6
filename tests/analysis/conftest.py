"""A shop on disk with some batches behind it, for what is told of a record's path."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.record.on_disk import DiskShop
from tests.screens.plan.plan_shop import timed_shop


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[DiskShop]:
    shop = timed_shop(tmp_path)
    yield shop
    shop.close()
