"""A workshop with alarms for each test, and a look for those with a window."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.screens.alarms.stories import Alarmed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Alarmed]:
    made = Alarmed.open(tmp_path / "shop.shopclock")
    yield made
    made.record.close()
