"""The presenter of Plan on a shop on disk."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.plan.presenter import PlanPresenter
from shopclock.shop.values.money import Manner
from tests.screens.plan.plan_shop import timed_shop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = timed_shop(tmp_path)
    yield made
    made.close()


@pytest.fixture
def plan(shop: DiskShop, dialogs: FakeDialogs) -> PlanPresenter:
    return PlanPresenter(shop.record, dialogs, lambda *_: None, AtOnce(), Manner())
