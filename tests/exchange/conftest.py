"""The story's record, written once, and where to write next to it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shopclock.record.reading import Reading
from tests.exchange.shop_story import tell


@pytest.fixture(scope="session")
def story_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("story") / "story.shopclock"
    tell(path)
    return path


@pytest.fixture
def reading(story_path: Path) -> Iterator[Reading]:
    with Reading.open(story_path) as reading:
        yield reading
