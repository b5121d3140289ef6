"""Presses while a copy of a large record is made beside them; how long copies and archives take, and their memory."""

import resource
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest

from shopclock.record.check.rebuild import differences
from shopclock.record.copies.archive import archive
from shopclock.record.copies.copying import copy_to
from shopclock.record.copies.unarchive import unarchive
from shopclock.shop.state import settings
from tests.record.on_disk import DiskShop
from tests.speed.large import large_record
from tests.speed.report import say
from tests.speed.test_press import timed_ms, told

pytestmark = pytest.mark.speed


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = large_record(tmp_path)
    yield made
    made.close()


def presses(shop: DiskShop, n: int) -> list[float]:
    """The times of two presses, some hundredths of a second apart."""
    times = []
    for theme in ("dark", "paper"):
        shop.clock.on(1 + n)
        times.append(timed_ms(lambda theme=theme: shop.press(lambda t: settings.set_value(t, settings.THEME, theme))))
        time.sleep(0.02)
    return times


def test_presses_go_on_while_a_copy_is_made(shop: DiskShop, tmp_path: Path) -> None:
    alone = [ms for n in range(60) for ms in presses(shop, n)]
    beside: list[float] = []
    copies = 0
    with ProcessPoolExecutor(1, get_context("spawn")) as pool:
        while len(beside) < 120:
            copied = pool.submit(copy_to, shop.path, tmp_path / "copy.shopclock")
            while not copied.done():
                beside += presses(shop, len(beside))
            copied.result()
            copies += 1
    say(f"{told('a press alone', alone)}; {told(f'beside {copies} copies', beside)}")


def _timed_mb(task: object, *arguments: object) -> tuple[float, float]:
    start = time.perf_counter()
    task(*arguments)  # type: ignore[operator]  # a function, sent to another process
    return time.perf_counter() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000


def test_copy_and_archive_of_a_large_record(shop: DiskShop, tmp_path: Path) -> None:
    zipped, again = tmp_path / "large.zip", tmp_path / "again.shopclock"
    for name, task, arguments in (
        ("copy", copy_to, (shop.path, tmp_path / "copy.shopclock")),
        ("archive", archive, (shop.path, zipped, shop.clock.now_us)),
        ("unarchive", unarchive, (zipped, again)),
    ):
        with ProcessPoolExecutor(1, get_context("spawn")) as pool:
            seconds, mb = pool.submit(_timed_mb, task, *arguments).result()
        say(f"{name} of {shop.path.stat().st_size / 1e6:.0f} MB: {seconds:.1f} s, {mb:.0f} MB of memory at most")
    say(f"the archive has {zipped.stat().st_size / 1e6:.0f} MB")
    assert differences(shop.path, again) == {}
