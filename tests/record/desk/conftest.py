"""A shop in which some work was done, and its record taken along to a desk."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.record.desk.at_desk import Desk, work
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = DiskShop(tmp_path, 4, 2)
    for _ in range(2):
        work(made)
    yield made
    made.close()


@pytest.fixture
def desk(shop: DiskShop) -> Iterator[Desk]:
    made = Desk(shop)
    yield made
    made.close()
