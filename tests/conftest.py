"""What every test gets: a clean Qt after each, the demo shop, and how thorough the property tests are."""

from __future__ import annotations

import gc
import os
import shutil
import sys
from functools import partialmethod
from pathlib import Path
from typing import TYPE_CHECKING, Any

import hypothesis
import pytest
import sqlalchemy as sa
from pytestqt.qtbot import QtBot
from sqlalchemy.util import LRUCache

from tests.plenty import IN_CI
from tests.stopwatch import Stopwatch

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
LONG_MS = 300_000

# The machine is shared and its pace says nothing about a rule: no deadlines, and slow data is no failure.
_CALM = {"deadline": None, "suppress_health_check": [hypothesis.HealthCheck.too_slow]}
hypothesis.settings.register_profile("short", max_examples=50, derandomize=True, **_CALM)
# By hand each long run tries others, and ten times as many.
_LONG = {"max_examples": 200 if IN_CI else 2000, "derandomize": IN_CI, "print_blob": True}
hypothesis.settings.register_profile("long", **_LONG, **_CALM)


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
    """Tell whether a long run does more of a test than a short one: it is marked so, or hypothesis tries others.

    In CI these are the same again where a test says itself how many.
    """
    tried = getattr(item, "obj", None)
    if item.get_closest_marker("long") or not getattr(tried, "is_hypothesis_test", False):
        return bool(item.get_closest_marker("long"))
    return not IN_CI or tried._hypothesis_internal_use_settings.max_examples == _LONG["max_examples"]


class OfAllRecords(LRUCache[Any, Any]):
    """Compiled SQL, whichever engine asks for it: SQLAlchemy's keys begin with the dialect, one an engine."""

    def get(self, key: tuple[Any, ...], default: Any = None) -> Any:
        return super().get(key[1:], default)

    def __getitem__(self, key: tuple[Any, ...]) -> Any:
        return super().__getitem__(key[1:])

    def __setitem__(self, key: tuple[Any, ...], value: Any) -> None:
        super().__setitem__(key[1:], value)


@pytest.fixture(autouse=True, scope="session")
def one_cache() -> Iterator[None]:
    """SQL is compiled once a run: else half the time of opening a record anew, and no part of any story."""
    make, shared = sa.create_engine, OfAllRecords(3000)

    def made(*args: Any, **options: Any) -> sa.Engine:
        engine = make(*args, **options)
        engine._compiled_cache = shared
        return engine

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sa, "create_engine", made)
        yield


@pytest.fixture(autouse=True, scope="session")
def state_apart(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Locks and what is kept for sticks stay out of the user's own folder."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))
        yield


@pytest.fixture(scope="session")
def copied_demo(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """Copies of the demo shop as it stands at an end: each is written once a run, by the worker that asks first."""
    from PySide6.QtCore import QLockFile

    from shopclock.demo.write import write_demo

    own = tmp_path_factory.getbasetemp()
    folder = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "demos"
    folder.mkdir(exist_ok=True)

    def copied(end_us: int | None = None) -> Path:
        written, lock = folder / str(end_us) / "demo.shopclock", QLockFile(str(folder / f"{end_us}.lock"))
        lock.setStaleLockTime(0)
        lock.lock()
        if not written.exists():
            written.parent.mkdir(exist_ok=True)
            write_demo(written, end_us)
            assert list(written.parent.iterdir()) == [written]
        lock.unlock()
        return Path(shutil.copy(written, tmp_path_factory.mktemp("demo")))

    return copied


@pytest.fixture(autouse=True, scope="session")
def patience() -> Iterator[None]:
    """What is waited for may take its time on a busy machine."""
    waits = partialmethod(QtBot.waitUntil, timeout=LONG_MS)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(QtBot, "waitUntil", waits)
        yield


@pytest.fixture(autouse=True, scope="session")
def no_giving_way() -> Iterator[None]:
    """Processes beside the window run as everything else: on a busy machine those that give way would never end."""
    from shopclock.screens.long_work import priority

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(priority, "BESIDE", 0)
        yield


@pytest.fixture
def stopwatch(monkeypatch: pytest.MonkeyPatch) -> type[Stopwatch]:
    """What times presses for bounces, moved by the test."""
    from shopclock.screens.bench import pedals
    from shopclock.widgets import press_button

    for module in (pedals, press_button):
        monkeypatch.setattr(module, "QElapsedTimer", Stopwatch)
    return Stopwatch


@pytest.fixture(autouse=True, scope="module")
def lean_heap() -> None:
    """What is still there when a file of tests begins stays: the collections after each window needn't look at it."""
    gc.collect()
    gc.freeze()


@pytest.hookimpl(wrapper=True)
def pytest_pyfunc_call() -> Iterator[object]:
    """Once a test has returned nobody holds its windows, which are painted once more: none may go while they are."""
    try:
        return (yield)
    finally:
        gc.disable()


@pytest.fixture(autouse=True)
def clean_qt() -> Iterator[None]:
    """Windows and objects of one test are gone before the next: without an event loop deleteLater waits for ever.

    A bare menu or widget is a chart's own: it goes with the chart, which ends the process where it went before.
    """
    yield
    try:
        _clean_qt()
    finally:
        gc.enable()


def _clean_qt() -> None:
    if "PySide6.QtWidgets" not in sys.modules:
        return
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtWidgets import QApplication, QMenu, QWidget

    if QCoreApplication.instance() is None:
        return
    windows = [one for one in QApplication.topLevelWidgets() if type(one) not in {QMenu, QWidget}]
    for window in windows:
        window.close()
        window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    if windows:
        gc.collect()
