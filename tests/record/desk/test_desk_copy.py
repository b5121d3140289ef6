"""The record taken along and brought back: both sides' presses are in it, nothing twice, and it is as sound."""

from __future__ import annotations

import sqlite3
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopclock.record.check.check import check
from shopclock.record.copies.copying import copy_to
from shopclock.record.desk.bringing_back import BringPlan, bring_back, plan
from shopclock.record.desk.looking import DeskEntry, look_through
from shopclock.record.desk.taking_along import take_along
from shopclock.record.file import opening
from shopclock.record.file.fold import as_it_stands
from shopclock.record.file.opening import open_reader
from shopclock.record.file.schema import table_name
from shopclock.record.joining.presses import heard_of, insert, presses_of
from shopclock.record.joining.rework import make_whole
from shopclock.shop.planning import orders
from shopclock.shop.state import settings as shop_settings
from shopclock.shop.state.desk_copy import at_desk, check_out, give_up, out_at_desk, which_file
from shopclock.shop.state.fold import differing
from shopclock.shop.values.entities import CustomerOrder, Interval, Stage
from shopclock.shop.values.errors import Refusal, ShopError
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.values.progress import Stopped, Unwatched
from shopclock.shop.work import amend, batches, begin, pieces
from tests.plenty import parts, tried
from tests.record.desk.at_desk import Desk, intervals, joined, names, order, rename, take_off_a_minute, work
from tests.record.joining.several import rows_of
from tests.record.on_disk import DiskShop
from tests.shop.amendments import AMENDMENT, Amendment, amend_one
from tests.shop.histories import HISTORIES, PRESS, press_one
from tests.shop.sound import assert_sound, things

IN_MEMORY = next((place for place in ("/dev/shm",) if Path(place).is_dir()), None)  # noqa: S108 - only to be quick
Story = tuple[list[Amendment], list[Amendment], list[Amendment], int]


def test_each_file_says_which_it_is(shop: DiskShop, desk: Desk) -> None:
    assert which_file(desk.floor).startswith("The desk's copy, taken along ")
    assert which_file(shop.floor).startswith("The shop's record; a copy was taken along ")
    rename(desk, "Draw-file")
    joined(shop, desk)
    assert which_file(shop.floor) == "The shop's record"
    assert at_desk(shop.floor) is None
    assert check(desk.path) == []


def test_a_copy_that_won_t_come_back_is_given_up_undoably_and_taken_if_it_is_found(shop: DiskShop, desk: Desk) -> None:
    shop.press(give_up)
    assert (which_file(shop.floor), out_at_desk(shop.floor)) == ("The shop's record", None)
    with pytest.raises(Refusal, match="No copy is out at a desk"):
        shop.press(give_up)
    shop.undo()
    assert out_at_desk(shop.floor) is not None
    shop.press(give_up)
    order(desk, "Nora Quist")
    joined(shop, desk)
    assert [one.who for one in shop.floor.all(CustomerOrder)] == ["Nora Quist"]
    assert check(shop.path) == []


def test_what_both_sides_did_is_in_the_joined_record_and_its_journal_rebuilds_it(shop: DiskShop, desk: Desk) -> None:
    rename(desk, "Draw-file")
    order(desk, "Nora Quist")
    amended = take_off_a_minute(desk, 0)
    new = work(shop)
    order(shop, "Ivo Lampert")
    joined(shop, desk)
    assert names(shop)[0] == "Draw-file"
    assert {one.who for one in shop.floor.all(CustomerOrder)} == {"Nora Quist", "Ivo Lampert"}
    assert len({one.id for one in shop.floor.all(CustomerOrder)}) == 2
    assert shop.floor.get(Interval, amended.id) == amended
    assert shop.floor.get(Interval, new.id) == new
    assert check(shop.path) == []
    stood = things(shop.floor)
    shop.again()
    assert things(shop.floor) == stood


def test_bringing_the_same_file_back_again_adds_nothing_and_what_came_since_is_brought_alone(
    shop: DiskShop, desk: Desk
) -> None:
    order(desk, "Nora Quist")
    rename(desk, "Draw-file")
    joined(shop, desk)
    stood = things(shop.floor)
    assert look_through(shop.path, desk.path).entries == ()
    found = next(desk.floor.all(CustomerOrder))
    desk.press(lambda tx: orders.set_wanted(tx, found, 5))
    rename(shop, "Draw file")
    assert [entry.both for entry in look_through(shop.path, desk.path).entries] == [False]
    joined(shop, desk)
    assert len(list(shop.floor.all(CustomerOrder))) == len(stood[CustomerOrder]) == 1
    assert next(shop.floor.all(CustomerOrder)).wanted == 5
    assert names(shop)[0] == "Draw file"
    assert check(shop.path) == []


def test_what_both_changed_is_shown_and_what_is_not_picked_stays_in_the_journal(shop: DiskShop, desk: Desk) -> None:
    rename(desk, "At the desk")
    rename(shop, "In the shop")
    (entry,) = look_through(shop.path, desk.path).entries
    assert entry.both
    assert isinstance(entry.shop, Stage)
    assert isinstance(entry.desk, Stage)
    assert (entry.shop.name, entry.desk.name) == ("In the shop", "At the desk")
    joined(shop, desk, to_desk=())
    assert names(shop)[0] == "In the shop"
    with sqlite3.connect(shop.path) as connection:
        query = "SELECT after FROM journal WHERE thing = 'stage' ORDER BY id DESC"
        lines = connection.execute(query).fetchmany(2)
    connection.close()
    assert ["At the desk" in (after or "") for (after,) in lines] == [False, True]
    assert check(shop.path) == []
    shop.again()
    shop.undo()
    assert names(shop)[0] == "In the shop"
    assert check(shop.path) == []


def test_a_pick_for_the_desk_leaves_what_the_shop_alone_changed_of_it(shop: DiskShop, desk: Desk) -> None:
    stage = next(desk.floor.all(Stage))
    desk.press(lambda tx: tx.change(replace(tx.current(stage), name="At the desk")))
    shop.press(lambda tx: tx.change(replace(tx.current(stage), name="In the shop", caution="Mask on.")))
    (entry,) = look_through(shop.path, desk.path).entries
    assert [side.caution for side in entry.sides if isinstance(side, Stage)] == ["Mask on."] * 3, (
        "nothing to pick there"
    )
    joined(shop, desk)
    now = next(shop.floor.all(Stage))
    assert (now.name, now.caution) == ("At the desk", "Mask on.")


def test_one_undo_takes_all_of_it_back_and_it_can_be_brought_again(shop: DiskShop, desk: Desk) -> None:
    rename(desk, "Draw-file")
    order(desk, "Nora Quist")
    take_off_a_minute(desk, 1)
    stood = things(shop.floor)
    joined(shop, desk)
    shop.record.undo()
    assert things(shop.floor) == stood
    assert check(shop.path) == []
    joined(shop, desk)
    assert names(shop)[0] == "Draw-file"
    assert check(shop.path) == []


def test_what_does_not_go_together_gives_way_and_is_named(shop: DiskShop, desk: Desk) -> None:
    """Both sides lengthen the same pause away, from either end: no entry was changed twice, and both can't be."""
    first, second = intervals(shop)[:2]
    assert first.end_us is not None
    mid_us = (first.end_us + second.start_us) // 2
    late = shop.press(lambda tx: amend.move_end(tx, first, mid_us + 1_000_000, others_give_way=False))
    early = desk.press(lambda tx: amend.move_start(tx, second, mid_us - 1_000_000, others_give_way=False))
    rename(desk, "Draw-file")
    planned = joined(shop, desk)
    assert planned.gives_way == (late,)
    assert shop.floor.get(Interval, second.id) == early
    assert shop.floor.get(Interval, first.id).end_us == early.start_us
    assert names(shop)[0] == "Draw-file"
    assert check(shop.path) == []
    shop.record.undo()
    assert intervals(shop)[:2] == [late, second]
    assert check(shop.path) == []


def test_the_desk_changes_only_what_is_older_than_the_handing_over(shop: DiskShop, desk: Desk) -> None:
    stood = things(desk.floor)
    step = next(s for s in desk.floor.steps(desk.batches[0].id) if s.kind.attended)
    for rule in (
        lambda tx: begin.begin(tx, step),
        lambda tx: batches.start_batch(tx, desk.pattern, 2, "26-9"),
        lambda tx: pieces.end_piece(tx, desk.piece("A"), Outcome.KEPT, step, ""),
    ):
        with pytest.raises(Refusal, match="Start and stop clocks in the shop"):
            desk.press(rule)
    assert things(desk.floor) == stood


def test_undo_at_the_desk_takes_back_the_desks_presses_alone(shop: DiskShop, desk: Desk) -> None:
    assert desk.record.next_undo is None
    rename(desk, "Draw-file")
    desk.again()
    assert desk.record.next_undo is not None
    desk.record.undo()
    assert desk.record.next_undo is None
    assert look_through(shop.path, desk.path).entries == ()


def test_how_a_window_looks_is_its_own(shop: DiskShop, desk: Desk) -> None:
    desk.press(lambda tx: shop_settings.set_value(tx, shop_settings.THEME, "paper"))
    desk.press(lambda tx: shop_settings.set_value(tx, shop_settings.DAY_ENDS, "22:00"))
    shop.press(lambda tx: shop_settings.set_value(tx, shop_settings.DAY_ENDS, "21:00"))
    (entry,) = look_through(shop.path, desk.path).entries
    assert entry.both
    joined(shop, desk)
    assert shop_settings.value(shop.floor, shop_settings.THEME) == "dark"
    assert shop_settings.value(shop.floor, shop_settings.DAY_ENDS) == "22:00"


def test_the_shop_goes_on_while_both_are_looked_through_and_looks_again_at_what_the_desk_changed(
    shop: DiskShop, desk: Desk
) -> None:
    rename(desk, "Draw-file")
    planned = plan(shop.path, look_through(shop.path, desk.path), ())
    rename(shop, "In the shop")
    stood = things(shop.floor)
    with pytest.raises(Refusal, match="Look again"):
        bring_back(shop.record, planned)
    assert things(shop.floor) == stood
    planned = plan(shop.path, look_through(shop.path, desk.path), [0])
    began = work(shop)
    bring_back(shop.record, planned)
    assert names(shop)[0] == "Draw-file"
    assert shop.floor.get(Interval, began.id) == began
    with pytest.raises(Refusal, match="Look again"):
        bring_back(shop.record, planned)
    assert check(shop.path) == []


def test_what_is_not_the_desks_copy_of_this_record_is_refused_with_a_sentence(
    shop: DiskShop, desk: Desk, tmp_path: Path
) -> None:
    plain, elder, note = tmp_path / "plain.shopclock", tmp_path / "elder.shopclock", tmp_path / "note.shopclock"
    copy_to(shop.path, plain)
    copy_to(shop.path, elder)
    note.write_text("two more by Friday")
    (tmp_path / "other").mkdir()
    other = DiskShop(tmp_path / "other", 1)
    foreign = Desk(other)
    later = Desk(shop)
    for made in (foreign, other, later):
        made.close()
    for record, file, sentence in (
        (shop.path, plain, "is no desk's copy"),
        (shop.path, foreign.path, "is of another shop"),
        (shop.path, note, "is not a record"),
        (shop.path, tmp_path / "nowhere.shopclock", "There is no record"),
        (elder, later.path, "knows nothing of"),
        (desk.path, desk.path, "is the desk's copy itself"),
    ):
        with pytest.raises(ShopError, match=sentence):
            look_through(record, file)
    with sqlite3.connect(later.path) as connection:
        connection.execute("PRAGMA user_version = 99")
    connection.close()
    with pytest.raises(ShopError, match="newer version"):
        look_through(shop.path, later.path)


def test_nothing_is_left_of_a_copy_that_is_stopped_or_in_the_way(shop: DiskShop, tmp_path: Path) -> None:
    class StopAtOnce(Unwatched):
        def at(self, *_: object) -> None:
            raise Stopped

    shop.record.press("Take along", check_out, undoable=False)
    before = sorted(tmp_path.iterdir())
    with pytest.raises(Stopped):
        take_along(shop.path, tmp_path / "desk.shopclock", shop.clock, StopAtOnce())
    with pytest.raises(ShopError, match="there already"):
        take_along(shop.path, shop.path, shop.clock)
    assert sorted(tmp_path.iterdir()) == before


def test_a_desks_copy_is_not_taken_along_again(desk: Desk) -> None:
    with pytest.raises(Refusal, match="desk's copy"):
        desk.press(check_out)


BOTH = st.tuples(
    HISTORIES,
    st.lists(AMENDMENT, max_size=10),
    st.lists(st.one_of(PRESS.map(lambda p: (-1 - p[0], *p[1:])), AMENDMENT), max_size=14),
    st.integers(0, 1023),
)
"""Before the handing-over; at the desk; in the shop; which way each entry is picked that both changed."""


def check_joined(
    story: tuple[
        list[tuple[int, int, int, int]], list[tuple[int, int, int, int]], list[tuple[int, int, int, int]], int
    ],
) -> None:
    before, at_desk_, in_shop, picks = story
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as name:
        shop = DiskShop(Path(name), 3, 2)
        for which, what, who, gap_us in before:
            shop.clock.on(us=gap_us)
            press_one(shop, which, what, who)
        desk = Desk(shop)
        for side in (shop, desk):
            side.record.load_since(0)  # whoever amends sees the day
        for amendment in at_desk_:
            amend_one(desk, amendment)
        for press in in_shop:
            amend_one(shop, press)
        found = look_through(shop.path, desk.path)
        shop.again()
        planned = joined(shop, desk, [place for place in range(len(found.entries)) if picks >> place & 1])
        shop.record.load_since(0)
        assert_sound(shop.floor, shop.clock.now_us)
        assert check(shop.path) == []
        assert check(desk.path) == []
        assert_taken(shop, planned, picks)
        assert look_through(shop.path, desk.path).entries == ()
        shop.record.undo()
        assert all(one == now for one, now in _before(shop, planned))
        joined(shop, desk)
        shop.record.load_since(0)
        for amendment in at_desk_[::-1]:
            amend_one(desk, amendment)
        for press in in_shop[:4]:
            amend_one(shop, press)
        joined(shop, desk)
        assert check(shop.path) == []
        assert look_through(shop.path, desk.path).entries == ()
        assert_another_bench_has_the_same(shop, Path(name))
        for side in (shop, desk):
            side.close()


def assert_another_bench_has_the_same(shop: DiskShop, folder: Path) -> None:
    """All presses taken by a record that has none, as they come from anywhere: the same rows."""
    place = folder / "other.shopclock"
    place.touch()
    other = opening.make_tables(place, draft=True)
    with open_reader(shop.path).begin() as ours, other.begin() as theirs:
        benches = sorted(heard_of(ours), reverse=True)
        while any(insert(theirs, list(presses_of(ours, b, heard_of(theirs).get(b, 0), 3)))[0] for b in benches):
            pass
        assert heard_of(ours) == heard_of(theirs)
        make_whole(theirs)
    other.dispose()
    assert rows_of(place) == rows_of(shop.path)


def _before(shop: DiskShop, planned: BringPlan) -> list[tuple[object, object]]:
    """What the shop had of each entry, and what it has of it after Undo."""
    entries = planned.found.entries
    return [(e.shop, next((t for t in shop.floor.all(type(e.thing)) if t.uuid == e.thing.uuid), None)) for e in entries]


def assert_taken(shop: DiskShop, planned: BringPlan, picks: int) -> None:
    """Whatever the desk alone changed is as the desk has it, and what both changed as it was picked."""
    with open_reader(shop.path).begin() as connection:
        for place, entry in enumerate(planned.found.entries):
            holds = entry.shop if entry.both and not picks >> place & 1 else entry.desk
            now = as_it_stands(connection, table_name(type(entry.thing)), entry.thing.id)
            if holds is None or now is None:
                assert now is holds
            elif entry.was is not None and entry.desk is not None:
                for group in differing(entry.was, entry.desk):
                    if holds is entry.desk or _contested(entry, group):
                        assert [getattr(now, n) for n in group] == [getattr(holds, n) for n in group], group


def _contested(entry: DeskEntry, group: tuple[str, ...]) -> bool:
    shop, was, desk = ([getattr(side, n) for n in group] for side in (entry.shop, entry.was, entry.desk))
    return shop not in (was, desk)


@settings(max_examples=12)
@given(BOTH)
def test_whatever_both_sides_do_the_joined_record_is_sound_and_holds_both(story: Story) -> None:
    check_joined(story)


@pytest.mark.long
@parts(10)
def test_very_many_stories_of_shop_and_desk_are_joined(part: int) -> None:
    tried(check_joined, BOTH, 15, part)
