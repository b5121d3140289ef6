"""What the tests of several screens need: a look, dialogs that answer by themselves, who hears where one goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests import looks
from tests.fake_dialogs import FakeDialogs
from tests.screens.batches.story import Gone

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QApplication

    from shopclock.widgets.style import Style


@pytest.fixture
def dialogs() -> FakeDialogs:
    return FakeDialogs()


@pytest.fixture
def gone() -> Gone:
    return Gone()


@pytest.fixture
def make_look(qapp: QApplication) -> Callable[..., Style]:
    return looks.make_look
