"""The commands of a shop with several benches, as somebody types them at two benches."""

from contextlib import closing
from pathlib import Path

import pytest

from shopclock.commands import main
from shopclock.record.check.check import check
from shopclock.record.file import engine
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.server.address import address_file
from shopclock.record.server.sentences import KEPT, NOT_JOINED
from shopclock.record.server.server import Server
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Bench, Maker
from tests.record.joining.several import rows_of
from tests.record.machine import Machine
from tests.record.on_disk import DiskShop
from tests.record.server.postgres import Postgres

NOWHERE = "host=/nowhere/at/all dbname=x"
ALL_THERE = "This record and the server have the same presses.\n"


@pytest.fixture
def garage(tmp_path: Path) -> Path:
    shop = DiskShop(tmp_path, 3, clock=Machine(SystemClock().moment().wall_us - 60_000_000, boot_id="before"))
    shop.close()
    return shop.path


def pressed(path: Path, name: str) -> None:
    with closing(Record.open(path, SystemClock())) as record:
        record.press(f"Made {name}", lambda tx: tx.add(Maker(name=name)))


def test_two_benches_join_press_and_leave(
    garage: Path, where: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    kitchen = tmp_path / "kitchen.shopclock"

    def said(*words: str) -> str:
        assert main.main(["server", *words]) == 0
        out, err = capfd.readouterr()
        assert not err
        return out

    said("init", where, "--record", str(garage))
    said("join", where, "--record", str(kitchen))
    pressed(kitchen, "Ruk")
    assert "1 press to send of Bench 2." in said("status", "--record", str(kitchen))
    said("join", where, "--record", str(kitchen))
    said("join", where, "--record", str(garage))
    assert said("status", "--record", str(garage)).endswith(ALL_THERE)
    assert rows_of(garage) == rows_of(kitchen)
    assert check(garage) == check(kitchen) == []
    assert said("leave", "--record", str(kitchen)).startswith("This bench goes on alone. `shopclock server join`")
    assert "Bench 2" not in said("status", "--record", str(garage))
    assert said("status", "--record", str(kitchen)) == "This record goes to no server.\n"
    pressed(kitchen, "Tove")
    said("join", where, "--record", str(kitchen))
    assert "1 press to take of Bench 2." in said("status", "--record", str(garage))
    porch = tmp_path / "porch.shopclock"
    said("join", where, "--record", str(porch))
    assert "to take of Bench 3." in said("status", "--record", str(garage)), "which the garage doesn't know yet"


def test_copies_of_one_day_go_on_as_benches_of_different_names(garage: Path, where: str, tmp_path: Path) -> None:
    assert main.main(["server", "init", where, "--record", str(garage)]) == 0
    benches = [garage, tmp_path / "kitchen.shopclock", tmp_path / "porch.shopclock"]
    for path in benches[1:]:
        path.touch()
        engine.copy(garage, path)
    for path in (*benches[1:], *benches):
        assert main.main(["server", "join", where, "--record", str(path)]) == 0
    for path in benches:
        with ReadOnlyRecord.open(path) as reading:
            assert sorted(bench.name for bench in reading.floor.all(Bench)) == ["", "Bench 2", "Bench 3"]
        assert check(path) == []


@pytest.mark.parametrize("command", ["init", "join"])
def test_who_could_not_join_has_not_joined(garage: Path, command: str, capfd: pytest.CaptureFixture[str]) -> None:
    assert main.main(["server", command, NOWHERE, "--record", str(garage)]) == 1
    assert capfd.readouterr().err.strip() == f"The server is not reached. {NOT_JOINED}"
    assert main.main(["server", "status", "--record", str(garage)]) == 0
    assert "goes to no server" in capfd.readouterr().out


def test_who_goes_to_a_server_stays_with_it_where_another_is_not_reached(
    garage: Path, where: str, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main.main(["server", "init", where, "--record", str(garage)]) == 0
    capfd.readouterr()
    assert main.main(["server", "join", NOWHERE, "--record", str(garage)]) == 1
    assert KEPT in capfd.readouterr().err
    assert main.main(["server", "status", "--record", str(garage)]) == 0
    assert capfd.readouterr().out.endswith(ALL_THERE)


def test_a_bench_leaves_a_server_that_is_away(
    garage: Path, where: str, postgres: Postgres, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main.main(["server", "init", where, "--record", str(garage)]) == 0
    postgres.kill()
    try:
        assert main.main(["server", "leave", "--record", str(garage)]) == 0
    finally:
        postgres.start()
    assert "The server could not be told, so the others list it for a while." in capfd.readouterr().out
    assert main.main(["server", "leave", "--record", str(garage)]) == 1
    assert "goes to no server" in capfd.readouterr().err


def test_a_bench_whose_address_is_spoilt_can_leave_and_join(
    garage: Path, where: str, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main.main(["server", "init", where, "--record", str(garage)]) == 0
    address_file(garage).write_bytes(b"\xff\xfe")
    capfd.readouterr()
    assert main.main(["server", "leave", "--record", str(garage)]) == 0
    assert "The server could not be told" in capfd.readouterr().out
    assert main.main(["server", "status", "--record", str(garage)]) == 0
    assert "goes to no server" in capfd.readouterr().out
    assert main.main(["server", "join", where, "--record", str(garage)]) == 0


def test_a_bench_that_comes_no_more_is_listed_for_a_quarter(
    garage: Path, where: str, tmp_path: Path, postgres: Postgres
) -> None:
    kitchen, porch = tmp_path / "kitchen.shopclock", tmp_path / "porch.shopclock"
    assert main.main(["server", "init", where, "--record", str(garage)]) == 0
    for path in (kitchen, porch):
        assert main.main(["server", "join", where, "--record", str(path)]) == 0

    def listed() -> list[str]:
        with closing(Server(where)) as server:
            return [bench.name for bench in server.benches()]

    postgres.sql("UPDATE shopclock.this_bench SET heard = now() - interval '89 days' WHERE name = 'Bench 2'", where)
    postgres.sql("UPDATE shopclock.this_bench SET heard = now() - interval '91 days' WHERE name = 'Bench 3'", where)
    assert listed() == ["", "Bench 2"]
    assert main.main(["server", "join", where, "--record", str(porch)]) == 0
    assert listed() == ["", "Bench 2", "Bench 3"]
