"""Every published table says where it comes from, how it was seen, and is looked at by a test."""

from pathlib import Path
from typing import Any

import pytest

from shopclock.places import shared
from tests.published.tables import tables

NAMES = sorted(path.stem for path in shared("published").glob("*.toml"))
SEEN = {"in the source", "second hand", "computed"}
TESTS = Path(__file__).resolve().parents[2]


def each(name: str) -> dict[str, dict[str, Any]]:
    """The tables of a file, or the one that the file is."""
    found = tables(name)
    return {name: found} if "source" in found else found


@pytest.mark.parametrize("name", NAMES)
def test_every_table_has_its_source_and_how_it_was_seen(name: str) -> None:
    assert each(name)
    for title, table in each(name).items():
        assert table.get("source"), title
        assert table.get("seen") in SEEN, title


def test_every_table_is_read_by_a_test() -> None:
    read = "".join(path.read_text("utf-8") for path in TESTS.rglob("test_*.py") if path != Path(__file__).resolve())
    assert NAMES
    assert [name for name in NAMES if f'tables("{name}")' not in read] == []
