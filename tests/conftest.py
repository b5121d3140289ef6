"""What every test gets: a clean Qt after each, and how thorough the property tests are."""

from __future__ import annotations

import gc
import os
import sys
from typing import TYPE_CHECKING

import hypothesis
import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# The machine is shared and its pace says nothing about a rule: no deadlines, and slow data is no failure.
_CALM = {"deadline": None, "suppress_health_check": [hypothesis.HealthCheck.too_slow]}
hypothesis.settings.register_profile("short", max_examples=50, derandomize=True, **_CALM)
# By hand each long run tries others; where CI is set, two runs of the same commit say the same.
_SAME = bool(os.environ.get("CI"))
hypothesis.settings.register_profile("long", max_examples=2000, print_blob=True, derandomize=_SAME, **_CALM)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="also what takes long, and property tests to the full")
    parser.addoption("--only-long", action="store_true", help="what --long adds, without what a short run has done")
    parser.addoption("--speed", action="store_true", help="also the benchmarks")


def pytest_configure(config: pytest.Config) -> None:
    config.option.long |= config.option.only_long
    hypothesis.settings.load_profile("long" if config.getoption("--long") else "short")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    closed = [mark for mark in ("long", "speed") if not config.getoption("--" + mark)]
    left_out = [item for item in items if any(item.get_closest_marker(mark) for mark in closed)]
    if config.getoption("--only-long"):
        left_out += [item for item in items if not _goes_on(item)]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in set(left_out)]


def _goes_on(item: pytest.Item) -> bool:
    """Tell whether a long run does more of a test than a short one: it is marked so, or hypothesis tries more."""
    return bool(item.get_closest_marker("long")) or getattr(getattr(item, "obj", None), "is_hypothesis_test", False)


@pytest.fixture(autouse=True, scope="module")
def lean_heap() -> None:
    """What is still there when a file of tests begins stays: the collections after each window needn't look at it."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def clean_qt() -> Iterator[None]:
    """Windows and objects of one test are gone before the next: without an event loop deleteLater waits for ever."""
    yield
    if "PySide6.QtWidgets" not in sys.modules:
        return
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtWidgets import QApplication

    if QCoreApplication.instance() is None:
        return
    windows = QApplication.topLevelWidgets()
    for window in windows:
        window.close()
        window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    if windows:
        gc.collect()
