"""The window of a bench whose record goes to a server: its address is spoilt, or the record has to go on elsewhere."""

import shutil
from contextlib import closing
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from shopclock.record.press.record import Record
from shopclock.record.server import joining_in
from shopclock.record.server.address import address_file, address_of
from shopclock.record.server.sentences import ServerAway
from shopclock.shop.values.clock import SystemClock
from tests.record.server.test_windows import PATIENCE_MS
from tests.walks.walk import at_the_window, new_record

NOWHERE = "host=/nowhere/at/all dbname=x"


@pytest.fixture
def joined(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A record of several benches that goes to a server which is away."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    (tmp_path / "shop").mkdir()
    path = new_record(tmp_path / "shop" / "shop.shopclock")
    with closing(Record.open(path, SystemClock())) as record:
        record.join_others()
    address_file(path).write_text(NOWHERE, "utf-8")
    return path


@pytest.mark.parametrize("spoilt", [b"", b"\xff\xfe\x00"])
def test_a_spoilt_address_is_said_and_the_bench_goes_on(joined: Path, spoilt: bytes) -> None:
    address_file(joined).write_bytes(spoilt)
    with at_the_window(joined) as hand:
        assert hand.frame.header.note.startswith("The server's address can't be read")
        hand.open("shop")
        hand.press("Patterns")
        hand.press("Copy a route")
    with pytest.raises(ServerAway, match="All that is pressed is kept here"):
        joining_in.join(joined, NOWHERE, SystemClock())
    joining_in.keep_address(joined, NOWHERE)
    assert address_of(joined) == NOWHERE


def test_a_copy_from_before_the_server_that_was_brought_back_says_that_it_goes_to_none(joined: Path) -> None:
    joined.unlink()
    new_record(joined)
    with at_the_window(joined) as hand:
        assert hand.frame.header.note.startswith("This copy is from before the shop had several benches")


def test_a_record_that_has_to_go_on_elsewhere_goes_on_to_the_same_server(joined: Path, qtbot: QtBot) -> None:
    """Its folder is gone, and the address with it."""
    went_on: list[Path] = []
    with at_the_window(joined) as hand:
        hand._shell.open_other.connect(went_on.append)
        hand.record.rest()
        shutil.rmtree(joined.parent)

        def told() -> bool:
            hand.clock.go_on(1)
            hand._shell.tick()
            hand.see()
            return any(words.startswith("Write all of it") for words in hand.reach)

        qtbot.waitUntil(told, timeout=PATIENCE_MS)
        hand.press(next(words for words in hand.reach if words.startswith("Write all of it")))
    (there,) = went_on
    assert there.parent != joined.parent
    assert address_of(there) == NOWHERE
