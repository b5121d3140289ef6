"""A stick is pulled out of the machine while the program runs from it: one press, and all goes on elsewhere."""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.file.refuge import FOLDER
from tests.faults import bevels
from tests.faults.stick import stick
from tests.walks.desk import wait_until
from tests.walks.on_the_bus import missing, reader

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.skipif(bool(missing()), reason=f"not on this machine: {missing()}")
NO_BOUNCE = ("-m", "tests.walks.no_bounce")
AWAY, OLDER = "The disk of the record gives errors", "An older state of the record has taken its place"


def pressed(path: Path) -> list[tuple[str, str]]:
    """Names and UUIDs of the presses in a record, oldest first."""
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
        return connection.execute("SELECT what, uuid FROM press ORDER BY id").fetchall()


@pytest.mark.parametrize("comes_back", [False, True], ids=["stays away", "an older one comes back"])
def test_all_that_the_window_told_as_kept_is_in_the_new_place_by_one_press(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, comes_back: bool
) -> None:
    home = tmp_path / "home"
    home.mkdir()
    for name in ("XDG_STATE_HOME", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False)
    with stick(tmp_path) as plugged:
        path = plugged.place / "shop" / "shop.shopclock"
        path.parent.mkdir()
        bevels.make(path)
        older = plugged.state("older")
        with reader(path, home, NO_BOUNCE) as by_reader:
            by_reader.go("press Saw\npress Next: Bevel\npress A\nread A, through")
            wait_until(lambda: bool(list((home / ".local/state/shopclock" / FOLDER).glob("*/base.*"))))
            told = pressed(path)
            assert [what for what, _ in told[-3:]] == ["Start Saw", "Next: Bevel", "Done: A"]
            plugged.pull_out()
            with suppress(AssertionError):  # where the window has seen it before, there is no Stop any more
                by_reader.go("press Stop")
            by_reader.go(f"read {AWAY}")
            if comes_back:
                plugged.take_away()
                plugged.plug_in(older)
                by_reader.go(f"read {OLDER}")
            assert by_reader.named(OLDER if comes_back else AWAY).role == "alert"
            by_reader.go("press Write all of it to a new place\npress Done: B\nread B, through")
            there = home / ".local/share/shopclock/shop goes on.shopclock"
            assert pressed(there)[: len(told)] == told
            assert [what for what, _ in pressed(there)[len(told) :]] == ["Done: B"]
        assert check(there) == []
        if comes_back:
            assert pressed(path) == told[:-3]
