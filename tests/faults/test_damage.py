"""Random damage and single values: wrong figures are told by the next quiet check, and nothing ends in a trace.

    python -m tests.faults.damage 1000 400

tells the numbers of so many by hand.
"""

from __future__ import annotations

import pickle
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from shopclock.commands.main import main
from shopclock.record.check.blame import blamed
from shopclock.record.copies import daily, restoring
from shopclock.record.copies.daily import UNSOUND_KEPT, keep_copy
from shopclock.record.copies.soundness import wrong_with
from shopclock.record.file.copy_files import copies_of, read_keeps
from shopclock.record.file.error_text import Damaged, Unsound
from shopclock.record.press.record import Record
from shopclock.shop.values.plain_file import NotPlain, TooLarge
from shopclock.shop.work import begin
from tests.faults.damage import figures, spoil_file, spoil_value, tries, worked_shop
from tests.plenty import parts
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from shopclock.shop.values.errors import ShopError

DAY_MIN = 24 * 60
MORE_LABOUR = "UPDATE labour SET us = us + 60000000 WHERE interval_id = (SELECT max(interval_id) FROM labour)"
NO_NAME = "UPDATE stage SET name = CAST(x'ff00fe' AS TEXT) WHERE id = 1"
NO_KIND = "UPDATE interval SET kind = 'by magic' WHERE id = (SELECT max(id) FROM interval)"


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return worked_shop(tmp_path_factory.mktemp("whole"))


def change(path: Path, sql: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        assert connection.execute(sql).rowcount


def assert_told(whole: Path, folder: Path, n: int, seed: str) -> None:
    found = [*tries(whole, folder, n, seed, spoil_value)]
    assert [one for one in found if one.silent or one.traces] == []
    assert any(one.other for one in found)


def test_single_values_that_show_other_figures_are_told_by_the_quiet_check(whole: Path, tmp_path: Path) -> None:
    assert_told(whole, tmp_path, 12, "short")


def test_random_damage_shows_no_other_figures_in_silence(whole: Path, tmp_path: Path) -> None:
    found = [*tries(whole, tmp_path, 12, "short", spoil_file)]
    assert [one for one in found if one.silent or one.traces] == []
    assert any(one.noticed for one in found)


@pytest.mark.long
@parts(20)
def test_four_hundred_single_values(whole: Path, tmp_path: Path, part: int) -> None:
    assert_told(whole, tmp_path, 20, f"values {part}")


@pytest.mark.long
@parts(20)
def test_a_thousand_random_damages(whole: Path, tmp_path: Path, part: int) -> None:
    found = tries(whole, tmp_path, 50, f"files {part}", spoil_file)
    assert [one for one in found if one.silent or one.traces] == []


def of_days(folder: Path, days: int) -> DiskShop:
    shop = DiskShop(folder, 3)
    for _ in range(days):
        assert keep_copy(shop.path, shop.clock.now_us) is not None
        shop.clock.on(DAY_MIN)
        shop.new_batch(1)
    return shop


def test_a_record_that_does_not_hold_together_is_told_and_thins_no_copy_away(tmp_path: Path) -> None:
    shop = of_days(tmp_path, 20)
    good = {copy.path for copy in copies_of(shop.path)}
    shop.close()
    change(shop.path, "UPDATE piece SET position = 7 WHERE id = 1")
    for day in range(5):
        shop.again()
        shop.clock.on(DAY_MIN)
        shop.new_batch(1)
        shop.close()
        with pytest.raises(Unsound, match="The journal gives other rows of piece"):
            keep_copy(shop.path, shop.clock.now_us)
        found = {copy.path for copy in copies_of(shop.path)}
        assert good <= found
        assert len(found - good) == day + 1
    keeps = read_keeps(shop.path)
    assert keeps.suspect
    assert "doesn't hold together" in keeps.trouble
    newest = restoring.newest_good(shop.path)
    assert newest is not None
    assert newest.path == max(good, key=lambda path: path.name)


def test_after_a_good_copy_came_back_the_unsound_ones_go_but_the_newest(tmp_path: Path) -> None:
    shop = of_days(tmp_path, 3)
    shop.close()
    with closing(sqlite3.connect(shop.path)) as connection:
        (was,) = connection.execute("SELECT position FROM piece WHERE id = 1").fetchone()
    for at in (7, 8, 9, 10):
        change(shop.path, f"UPDATE piece SET position = {at} WHERE id = 1")  # noqa: S608  # a number of ours
        shop.again()
        shop.clock.on(DAY_MIN)
        shop.new_batch(1)
        shop.close()
        with pytest.raises(Unsound):
            keep_copy(shop.path, shop.clock.now_us)
    change(shop.path, f"UPDATE piece SET position = {was} WHERE id = 1")  # noqa: S608  # the same
    shop.again()
    shop.new_batch(1)
    shop.clock.on(DAY_MIN)
    assert keep_copy(shop.path, shop.clock.now_us) is not None
    shop.close()
    sound = read_keeps(shop.path).sound
    there = [copy.path.name for copy in copies_of(shop.path)]
    assert sum(not sound.get(name, False) for name in there) == UNSOUND_KEPT
    assert not read_keeps(shop.path).suspect


def test_a_copy_made_in_haste_thins_nothing_and_is_looked_through_with_the_next(tmp_path: Path) -> None:
    shop = of_days(tmp_path, 2)
    made = keep_copy(shop.path, shop.clock.now_us, quick=True)
    assert made is not None
    assert made.path.name not in read_keeps(shop.path).sound
    change(made.path, "UPDATE piece SET position = 7 WHERE id = 1")
    shop.clock.on(10)
    shop.new_batch(1)
    assert keep_copy(shop.path, shop.clock.now_us) is not None
    shop.close()
    assert read_keeps(shop.path).sound[made.path.name] is False
    assert {copy.path for copy in copies_of(shop.path)} >= {made.path}


@pytest.mark.parametrize("sql", [NO_NAME, NO_KIND, "UPDATE shop SET uuid = CAST(x'ff00fe' AS TEXT)"])
def test_what_can_not_be_read_is_damage_at_every_door_and_a_copy_is_offered(tmp_path: Path, sql: str) -> None:
    shop = DiskShop(tmp_path, 3)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    made = keep_copy(shop.path, shop.clock.now_us)
    assert made is not None
    shop.close()
    change(shop.path, sql)
    with pytest.raises(Damaged, match="Bring back a copy, keep this file"):
        Record.open(shop.path, shop.clock)
    with pytest.raises(Damaged):
        figures(shop.path)
    assert wrong_with(shop.path)
    found = restoring.newest_good(shop.path)
    assert found is not None
    assert found.path == made.path


@pytest.mark.parametrize(
    "sql", ["DELETE FROM shop", "UPDATE shop SET zone = 'Nowhere/Else'", "UPDATE shop SET zone = ''"]
)
def test_a_record_without_its_shop_or_its_zone_is_damage_to_the_copy_too(tmp_path: Path, sql: str) -> None:
    shop = DiskShop(tmp_path, 3)
    made = keep_copy(shop.path, shop.clock.now_us)
    assert made is not None
    shop.new_batch(2)  # without a press since there would be nothing to copy
    shop.close()
    change(shop.path, sql)
    if "zone" in sql:
        with pytest.raises(Damaged, match="Bring back a copy, keep this file"):
            Record.open(shop.path, shop.clock)
    with pytest.raises(Damaged, match="Bring back a copy, keep this file"):
        keep_copy(shop.path, shop.clock.now_us + 1_000_000)
    assert restoring.restore(shop.path, made.path, shop.clock.now_us + 2_000_000) is not None
    assert figures(shop.path) == figures(made.path)


def test_a_command_tells_damage_as_damage_and_not_as_our_mistake(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = DiskShop(tmp_path, 3)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.close()
    change(shop.path, "UPDATE step SET stage_id = -5 WHERE id = 1")
    assert main(["figures", shop.batches[0].name, "--record", str(shop.path)]) == 1
    said = capsys.readouterr().err
    assert "doesn't hold together" in said
    assert "our mistake" not in said


def test_an_error_of_ours_stays_ours_where_the_record_is_sound(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 3)
    shop.close()
    ours = KeyError("ours")
    assert blamed(ours, (shop.path, 5)) is ours
    change(shop.path, "UPDATE piece SET position = 7 WHERE id = 1")
    assert isinstance(blamed(ours, (str(shop.path),)), Unsound)


@pytest.mark.parametrize("error", [Unsound(Path("a"), "It is."), NotPlain(Path("a"), "a pipe"), TooLarge(Path("a"), 5)])
def test_what_a_worker_is_refused_with_comes_to_the_window_as_it_is(error: ShopError) -> None:
    again = pickle.loads(pickle.dumps(error))  # noqa: S301  # our own
    assert type(again) is type(error)
    assert str(again) == str(error)


def test_copies_are_looked_through_only_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = of_days(tmp_path, 4)
    seen: list[Path] = []
    real = daily.wrong_with
    monkeypatch.setattr(daily, "wrong_with", lambda path: (seen.append(path), real(path))[1])
    monkeypatch.setattr("shopclock.record.copies.soundness.wrong_with", lambda path: seen.append(path) or [])
    assert keep_copy(shop.path, shop.clock.now_us) is not None
    shop.close()
    assert len(seen) == 1
