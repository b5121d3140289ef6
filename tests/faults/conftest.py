"""Tests of this folder print."""

import pytest
from PySide6.QtWidgets import QApplication


@pytest.fixture(autouse=True, scope="session")
def application(qapp: QApplication) -> None:
    """What prints makes do with an application that has no widgets: the tests after it need one that has."""
