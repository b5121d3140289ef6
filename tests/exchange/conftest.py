"""The story's record, written once, and where to write next to it."""

from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from tests.exchange.shop_story import START_US, tell
from tests.exchange.spreader import spreader_shop


@pytest.fixture(scope="session")
def story_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("story") / "story.shopclock"
    tell(path)
    return path


@pytest.fixture
def reading(story_path: Path) -> Iterator[ReadOnlyRecord]:
    with ReadOnlyRecord.open(story_path) as reading:
        yield reading


@pytest.fixture(scope="session")
def demo(copied_demo: Callable[..., Path]) -> Path:
    """The demo shop as it stands at the second at which the story begins."""
    return copied_demo(START_US // 1_000_000 * 1_000_000)


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    """A shop with one pattern, into which old notes come."""
    with closing(spreader_shop(tmp_path)) as opened:
        yield opened
