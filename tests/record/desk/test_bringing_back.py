"""What a real shop does with a desk's copy: benches that meet meanwhile, two desks, clocks that are off, notes."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.notes.notes import NotesAnswers, draft_notes
from shopclock.exchange.notes.notes_in import here_in, take_in
from shopclock.record.check.check import check
from shopclock.record.check.rebuild import rebuild_on
from shopclock.record.copies.copying import copy_to
from shopclock.record.desk.bringing_back import BringPlan, bring_back
from shopclock.record.desk.looking import look_through
from shopclock.record.file import write
from shopclock.record.file.opening import open_reader
from shopclock.record.joining.presses import heard_of
from shopclock.record.press.record import Record
from shopclock.shop.setup import list_edit
from shopclock.shop.state.desk_copy import desk_bench, newest
from shopclock.shop.values.entities import Bench, ImportFile, Interval, Stage
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import amend
from tests.exchange.notes.test_notes_at_desk import NOTES
from tests.record.desk.at_desk import Desk, joined, names, rename, take_off_a_minute, work
from tests.record.joining.several import Shop, rows_of
from tests.record.machine import MINUTE_US
from tests.record.on_disk import DiskShop
from tests.shop.sound import things

if TYPE_CHECKING:
    from pathlib import Path

DAY_US = 24 * 60 * MINUTE_US


def pressed(shop: DiskShop) -> list[tuple[str, str]]:
    """What was pressed, and at which bench, in the order of all."""
    query = """SELECT bench.name, what FROM press JOIN bench ON bench.id = bench_id
        ORDER BY order_us, bench_id, sequence"""
    with open_reader(shop.path).begin() as connection:
        return [(name, what) for name, what in connection.exec_driver_sql(query)]


def test_the_desks_presses_are_in_the_record_as_they_were_made_there(shop: DiskShop, desk: Desk) -> None:
    shop.clock.on(60 * 24)
    desk.clock.on(5)
    desk.record.press("Name", lambda tx: tx.change(replace(next(tx.floor.all(Stage)), name="Draw-file")))
    desk.clock.on(5)
    desk.record.undo()
    desk.record.put_back()
    work(shop)
    joined(shop, desk)
    told = [(name, what) for name, what in pressed(shop) if name == "Desk"]
    assert told == [("Desk", "Name"), ("Desk", "Undo Name"), ("Desk", "Put back Name")]
    assert pressed(shop)[-1][1] == "Bring back"
    assert pressed(shop).index(("Desk", "Name")) < len(pressed(shop)) - 5, "they lie where the desk's clock puts them"


def test_a_shop_with_a_desks_copy_is_no_shop_of_several_benches(shop: DiskShop, desk: Desk, tmp_path: Path) -> None:
    """Its record can be copied and moved as before: it never goes on as another bench."""
    rename(desk, "Draw-file")
    joined(shop, desk)
    assert not shop.record.joined
    moved = tmp_path / "elsewhere.shopclock"
    copy_to(shop.path, moved)
    with closing(Record.open(moved, shop.clock)) as record:
        assert record.bench == shop.record.bench
        assert record.sequence == shop.record.sequence
        assert len(list(record.floor.all(Bench))) == 2
    assert check(moved) == []


def test_undo_and_put_back_of_a_bringing_back_take_all_of_it(shop: DiskShop, desk: Desk) -> None:
    rename(desk, "Draw-file")
    take_off_a_minute(desk, 0)
    rename(shop, "Drawfile")
    before = things(shop.floor)
    joined(shop, desk)
    brought = things(shop.floor)
    shop.record.undo()
    assert things(shop.floor) == before
    shop.again()
    assert [one.what for one in (shop.record.next_undo, shop.record.next_put_back)] == ["press", "Bring back"]
    shop.record.put_back()
    assert things(shop.floor) == brought
    assert shop.record.next_put_back is None
    assert check(shop.path) == []


def test_what_came_in_two_parts_is_taken_back_part_by_part(shop: DiskShop, desk: Desk) -> None:
    rename(desk, "First")
    joined(shop, desk)
    rename(desk, "Second")
    rename(desk, "Burnish", 1)
    joined(shop, desk)
    assert names(shop)[:2] == ["Second", "Burnish"]
    shop.record.undo()
    assert names(shop)[0] == "First"
    shop.record.undo()
    assert "First" not in names(shop)
    rename(desk, "Third")
    joined(shop, desk)
    assert names(shop)[:2] == ["Third", "Burnish"]
    assert check(shop.path) == []


def test_what_the_desk_changed_and_changed_back_leaves_what_the_shop_has(shop: DiskShop, desk: Desk) -> None:
    """Though the desk's last press comes after the shop's."""
    first = names(desk)[0]
    rename(desk, "For now")
    shop.clock.on(10)
    rename(shop, "In the shop")
    desk.clock.on(60)
    rename(desk, first)
    rename(desk, "Burnish", 1)
    assert [entry.thing for entry in look_through(shop.path, desk.path).entries] == [list(desk.floor.all(Stage))[1]]
    joined(shop, desk)
    assert names(shop)[:2] == ["In the shop", "Burnish"]
    assert check(shop.path) == []


@pytest.mark.parametrize("off_us", [-40 * 365 * DAY_US, -DAY_US, 4 * 365 * DAY_US])
def test_a_clock_at_the_desk_that_is_off_decides_nothing(shop: DiskShop, off_us: int) -> None:
    desk = Desk(shop)
    desk.clock.on(us=off_us)
    rename(desk, "At the desk")
    amended = take_off_a_minute(desk, 0)
    shop.clock.on(30)
    rename(shop, "In the shop")
    (entry,) = [one for one in look_through(shop.path, desk.path).entries if one.both]
    assert isinstance(entry.shop, Stage)
    joined(shop, desk, to_desk=())
    assert names(shop)[0] == "In the shop"
    assert shop.floor.get(Interval, amended.id) == amended
    shop.clock.on(30)
    began = work(shop)
    assert began.end_us is not None
    assert began.end_us < shop.clock.now_us
    assert check(shop.path) == []
    shop.again()
    assert shop.floor.get(Interval, began.id) == began
    desk.close()


def test_what_one_side_took_away_and_the_other_changed_is_picked(shop: DiskShop, desk: Desk) -> None:
    gone, changed = sorted(shop.floor.all(Interval), key=lambda i: i.id)[:2]
    desk.press(lambda tx: amend.remove(tx, gone))
    take_off_a_minute(shop, 0)
    shop.press(lambda tx: amend.remove(tx, changed))
    take_off_a_minute(desk, 0)
    entries = look_through(shop.path, desk.path).entries
    found = {entry.thing.id: entry for entry in entries if isinstance(entry.thing, Interval)}
    assert [(n, found[n].both, found[n].desk is None, found[n].shop is None) for n in sorted(found)] == [
        (gone.id, True, True, False),
        (changed.id, True, False, True),
    ]
    joined(shop, desk, to_desk=())
    assert [i.id for i in shop.floor.all(Interval)] == [gone.id]
    assert check(shop.path) == []
    shop.record.undo()
    joined(shop, desk)
    assert [i.id for i in shop.floor.all(Interval)] == [changed.id]
    assert check(shop.path) == []


def test_a_name_that_both_gave_gets_a_number_and_is_told(shop: DiskShop, desk: Desk) -> None:
    for side in (shop, desk):
        side.press(lambda tx: list_edit.add_stage(tx, "Etch"))
        side.clock.on(1)
    planned = joined(shop, desk)
    assert [n for n in names(shop) if n.startswith("Etch")] == ["Etch", "Etch.2"]
    assert [getattr(one, "name", "") for one in planned.gives_way] == ["Etch"]
    assert check(shop.path) == []


def test_old_notes_that_both_brought_in_are_in_it_once(shop: DiskShop, desk: Desk, tmp_path: Path) -> None:
    """The shop's stay; what else the desk pressed comes in, and Undo of it leaves them."""
    file = tmp_path / "notebook.csv"
    file.write_text(NOTES.format(pattern=shop.pattern.name), encoding="utf-8")
    for side in (desk, shop):
        take_in(side.record, draft_notes(side.record, file, NotesAnswers(), here_in(side.record)))
    rename(desk, "Draw-file")
    before = len(list(shop.floor.all(ImportFile))), shop.record.load_since(0) and len(list(shop.floor.all(Interval)))
    joined(shop, desk)
    assert names(shop)[0] == "Draw-file"
    assert (len(list(shop.floor.all(ImportFile))), len(list(shop.floor.all(Interval)))) == before
    assert look_through(shop.path, desk.path).entries == ()
    assert check(shop.path) == []
    shop.record.undo()
    assert (len(list(shop.floor.all(ImportFile))), len(list(shop.floor.all(Interval)))) == before
    joined(shop, desk)
    assert (len(list(shop.floor.all(ImportFile))), len(list(shop.floor.all(Interval)))) == before
    assert check(shop.path) == []


def test_old_notes_can_still_be_taken_back_at_once(shop: DiskShop, desk: Desk, tmp_path: Path) -> None:
    rename(desk, "Draw-file")
    joined(shop, desk)
    file = tmp_path / "notebook.csv"
    file.write_text(NOTES.format(pattern=shop.pattern.name), encoding="utf-8")
    before = things(shop.floor)
    take_in(shop.record, draft_notes(shop.record, file, NotesAnswers(), here_in(shop.record)))
    assert shop.record.undo_changes() is None, "set by set, not thing by thing"
    shop.record.undo()
    assert things(shop.floor) == before
    assert check(shop.path) == []


def test_two_desks_come_back_one_after_the_other(shop: DiskShop, desk: Desk) -> None:
    first = names(shop)[0]
    shop.clock.on(60)
    other = Desk(shop)
    rename(desk, "At the first")
    rename(other, "At the second")
    rename(other, "Burnish", 1)
    joined(shop, other)
    (entry,) = look_through(shop.path, desk.path).entries
    assert [getattr(side, "name", "") for side in entry.sides] == [first, "At the second", "At the first"]
    joined(shop, desk, to_desk=())
    assert names(shop)[:2] == ["At the second", "Burnish"]
    assert check(shop.path) == []
    shop.record.undo()
    shop.record.undo()
    assert names(shop)[0] == first
    other.close()


def test_a_copy_of_the_desks_copy_is_refused_where_both_were_changed(
    shop: DiskShop, desk: Desk, tmp_path: Path
) -> None:
    rename(desk, "Draw-file")
    twin = tmp_path / "twin at the desk.shopclock"
    copy_to(desk.path, twin)
    rename(desk, "Draw-file it", 0)
    with closing(Record.open(twin, desk.clock)) as record:
        record.press("Other", lambda tx: list_edit.add_stage(tx, "Etch"))
    joined(shop, desk)
    stood = things(shop.floor)
    with pytest.raises(ShopError, match="it was copied, and both were changed"):
        look_through(shop.path, twin)
    assert things(shop.floor) == stood


def test_a_record_that_goes_back_to_an_older_copy_takes_all_of_it_or_nothing(shop: DiskShop, tmp_path: Path) -> None:
    older = tmp_path / "older.shopclock"
    first = Desk(shop)
    copy_to(shop.path, older)
    rename(first, "First")
    joined(shop, first)
    rename(first, "Second")
    with closing(Record.open(older, shop.clock)) as record:
        back = DiskShop.__new__(DiskShop)
        back.path, back.clock, back.record = older, shop.clock, record
        joined(back, first)
        assert names(back)[0] == "Second"
        assert check(older) == []
    first.close()


def test_the_desks_copy_comes_back_to_another_bench_and_goes_on_to_all(tmp_path: Path) -> None:
    with closing(Shop(tmp_path, 3, 3, makers=2)) as several:
        one, other, third = several.benches
        for bench in several.benches:
            bench.floor, bench.pattern, bench.batches = bench.record.floor, None, []  # type: ignore[attr-defined]  # as a desk's base
        desk = Desk(other)  # type: ignore[arg-type]  # a bench will do
        several.level()
        several.on(MINUTE_US)
        rename(desk, "At the desk")
        stage = next(third.record.floor.all(Stage))
        third.press(lambda tx: tx.change(replace(tx.floor.get(Stage, stage.id), caution="Mask on.")))
        joined(one, desk)  # type: ignore[arg-type]
        several.level()
        several.assert_equal()
        for bench in several.benches:
            now = bench.record.floor.get(Stage, stage.id)
            assert (now.name, now.caution) == ("At the desk", "Mask on.")
            assert check(bench.path) == []
        one.undo()
        joined(third, desk)  # type: ignore[arg-type]
        several.level()
        several.assert_equal()
        assert all(check(bench.path) == [] for bench in several.benches)
        desk.close()


def test_each_desk_is_a_bench_of_its_own_though_another_benchs_clock_is_ahead(tmp_path: Path) -> None:
    with closing(Shop(tmp_path, 2, 3, makers=2, skews=[0, 15])) as several:
        for bench in several.benches:
            bench.floor, bench.pattern, bench.batches = bench.record.floor, None, []  # type: ignore[attr-defined]  # as a desk's base
        one, other = several.benches
        ahead = Desk(other)  # type: ignore[arg-type]  # a bench will do
        several.level()
        several.on(MINUTE_US)
        desk = Desk(one)  # type: ignore[arg-type]
        assert ahead.record.bench.uuid != desk.record.bench.uuid
        rename(ahead, "At the other desk")
        rename(desk, "Burnish", 1)
        joined(one, desk)  # type: ignore[arg-type]
        joined(one, ahead)  # type: ignore[arg-type]
        several.level()
        several.assert_equal()
        assert [stage.name for stage in other.record.floor.all(Stage)][:2] == ["At the other desk", "Burnish"]
        for side in (ahead, desk):
            side.close()


def test_benches_that_meet_meanwhile_get_what_the_desk_pressed(tmp_path: Path, shop: DiskShop, desk: Desk) -> None:
    """The desk's bench is in the shop's record from the taking along on: it needs no new one for it."""
    rename(desk, "At the desk")
    shop.record.join_others()
    there = tmp_path / "bench" / shop.path.name
    there.parent.mkdir()
    shutil.copy(shop.path, there)
    joined(shop, desk)
    handed = newest(shop.floor)
    assert handed is not None
    bench = desk_bench(shop.floor, handed)
    assert bench is not None
    with open_reader(shop.path).begin() as connection:
        assert heard_of(connection)[bench.id] == desk.record.sequence == 1
    assert check(shop.path) == []


def test_a_record_that_is_taken_away_is_made_again_with_what_the_desk_pressed(
    shop: DiskShop, desk: Desk, tmp_path: Path
) -> None:
    """Of an earlier copy and the presses in memory; minutes of what was not pressed since are as they were."""
    copy = tmp_path / "copy.shopclock"
    shop.again()
    copy_to(shop.path, copy)
    take_off_a_minute(desk, 0)
    rename(desk, "Draw-file")
    joined(shop, desk)
    work(shop)
    rebuild_on(shop.record.file.session.presses, copy)
    assert rows_of(copy) == rows_of(shop.path)
    assert check(copy) == []


def test_what_breaks_off_in_the_middle_leaves_nothing_and_is_done_again(
    shop: DiskShop, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    rename(desk, "At the desk")
    before, stood = rows_of(shop.path), things(shop.floor)

    def breaks(*_: object) -> None:
        raise MemoryError

    planned = BringPlan(look_through(shop.path, desk.path), frozenset(), ())
    with monkeypatch.context() as broken:
        broken.setattr(write, "write_lines", breaks)
        with pytest.raises(MemoryError):
            bring_back(shop.record, planned)
    assert rows_of(shop.path) == before
    assert things(shop.floor) == stood
    work(shop)
    joined(shop, desk)
    assert names(shop)[0] == "At the desk"
    assert check(shop.path) == []


SPOILT = {
    "of no known kind": ("thing", "'stag{'"),
    "about another thing": ("number", "number + 1"),
    "unreadable": ("after", "substr(after, 2)"),
    "without either side": ("after", "NULL"),
    "of a stage that is not there": ("before", "replace(before, 'id\":', 'id\":9')"),
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_line_of_the_desks_journal_that_is_damaged_is_refused(shop: DiskShop, desk: Desk, how: str) -> None:
    rename(desk, "At the desk")
    column, value = SPOILT[how]
    desk.close()
    with closing(sqlite3.connect(desk.path)) as connection:
        connection.execute("DROP TRIGGER journal_keeps_values")
        both = ", before = NULL" if value == "NULL" else ""
        newest = "id = (SELECT max(id) FROM journal)"
        connection.execute(f"UPDATE journal SET {column} = {value}{both} WHERE {newest}")  # noqa: S608  # names of ours
        connection.commit()
    before = rows_of(shop.path)
    with pytest.raises(ShopError, match=r"damaged|hold together"):
        look_through(shop.path, desk.path)
    assert rows_of(shop.path) == before
