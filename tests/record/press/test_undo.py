"""Presses stand or are taken back; Put back lets them stand again, and what came later is never written over."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shopclock.record.check.check import check
from shopclock.shop.recovery import clock_answers
from shopclock.shop.state import settings
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import ENTITIES, Interval, Tool
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work import acts, begin, finish, pieces
from shopclock.shop.work.batches import close_with
from tests.record.machine import MINUTE_US, Machine
from tests.record.on_disk import DiskShop

Rule = Callable[[Transaction], Any]


class Shop(DiskShop):
    """The small shop, with presses of the program's own and a look at all that stands."""

    def by_itself(self, rule: Rule) -> None:
        self.clock.on(1)
        self.record.press("Asked", rule, by_itself=True)

    def all(self) -> object:
        floor = self.floor
        things = {kind: {thing.id: thing for thing in floor.all(kind)} for kind in ENTITIES}
        return things, dict(floor.labour), dict(floor.shares), set(floor.running)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path, 4, clock=Machine())
    yield made
    made.close()


def an_evening(shop: Shop) -> list[object]:
    """Thirty presses; returns what stood before each, and after the last."""
    stood = []
    running = lambda: max(shop.floor.running.values(), key=lambda i: i.id)  # noqa: E731  # shorter than a function
    rules: list[Rule] = [
        lambda tx: begin.begin(tx, shop.step("Saw")),
        lambda tx: acts.go_on(tx, running()),
        *[lambda tx: finish.one_done(tx, running())] * 2,
        lambda tx: pieces.lose(tx, shop.piece("D"), shop.step("Bevel"), "cracked"),
        begin.stop,
        lambda tx: begin.begin(tx, shop.step("Bevel")),
        lambda tx: acts.go_on(tx, running()),
        lambda tx: settings.set_value(tx, settings.THEME, "paper"),
        begin.stop,
    ]
    for rule in rules:
        shop.clock.on(3)
        stood.append(shop.all())
        shop.press(rule)
    for n in range(30 - len(stood)):
        shop.clock.on(2)
        stood.append(shop.all())
        if n == 9:
            shop.press(lambda tx: close_with(tx, shop.batches[0], {}, "wider"))
        else:
            shop.press(lambda tx, n=n: tx.change(replace(tx.current(shop.batches[0]), next_time=str(n))))
    return [*stood, shop.all()]


def test_thirty_presses_are_taken_back_and_all_of_them_put_back_also_after_a_restart(shop: Shop) -> None:
    stood = an_evening(shop)
    assert len(stood) == 31
    for before in reversed(stood[:-1]):
        shop.clock.on(1)
        shop.undo()
        assert shop.all() == before
    shop.again()
    for after in stood[1:]:
        shop.record.put_back()
        assert shop.all() == after
    assert shop.record.next_put_back is None
    assert check(shop.path) == []
    shop.undo()
    assert shop.all() == stood[-2]


def test_put_back_is_offered_until_something_else_is_pressed_and_looking_is_nothing(shop: Shop) -> None:
    shop.press(lambda tx: settings.set_value(tx, settings.THEME, "paper"))
    shop.undo()
    shop.record.press("Look", lambda tx: settings.set_value(tx, settings.DAY_ENDS, "23:30"), undoable=False)
    assert shop.record.next_put_back is not None
    assert shop.record.next_put_back.what == "press"
    shop.again()
    assert shop.record.next_put_back is not None
    shop.press(lambda tx: settings.set_value(tx, settings.DAY_ENDS, "22:30"))
    assert shop.record.next_put_back is None
    shop.again()
    assert shop.record.next_put_back is None
    with pytest.raises(Refusal, match="nothing to put back"):
        shop.record.put_back()


def test_what_was_put_back_can_be_taken_back_again_and_again(shop: Shop) -> None:
    before = shop.all()
    saw = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    after = shop.all()
    for _ in range(3):
        assert shop.record.undo() == "press"
        assert shop.all() == before
        shop.again()
        assert shop.record.put_back() == "press"
        assert shop.all() == after
    with closing(sqlite3.connect(shop.path)) as connection:
        said = [what for (what,) in connection.execute("SELECT what FROM press ORDER BY id DESC LIMIT 2")]
    assert said == ["Put back press", "Undo press"]
    assert shop.floor.running == {saw.id: saw}
    assert check(shop.path) == []


def a_tool(shop: Shop) -> Tool:
    return shop.press(lambda tx: tx.add(Tool(name="Kiln", capacity=5.0)))


def test_undo_leaves_what_a_later_press_changed_of_the_same_thing(shop: Shop) -> None:
    tool = a_tool(shop)
    shop.press(lambda tx: tx.change(replace(tx.current(tool), name="Oven", capacity=3.0)))
    shop.by_itself(lambda tx: tx.change(replace(tx.current(tool), setting_now="200", capacity=4.0)))
    shop.undo()
    assert shop.floor.get(Tool, tool.id) == replace(tool, setting_now="200", capacity=4.0)
    shop.again()
    assert shop.floor.get(Tool, tool.id) == replace(tool, setting_now="200", capacity=4.0)
    shop.record.put_back()
    assert shop.floor.get(Tool, tool.id) == replace(tool, name="Oven", setting_now="200", capacity=4.0)
    assert check(shop.path) == []


def test_a_press_on_which_later_ones_rest_stays_and_is_not_skipped_past(shop: Shop) -> None:
    shop.press(lambda tx: settings.set_value(tx, settings.THEME, "paper"))
    tool = a_tool(shop)
    shop.by_itself(lambda tx: tx.change(replace(tx.current(tool), setting_now="200")))
    before = shop.all()
    for _ in range(2):
        with pytest.raises(Refusal, match=r"“press” stays: what came after it rests on it\. Nothing was changed"):
            shop.record.undo()
        assert shop.all() == before
        shop.again()
    assert check(shop.path) == []


def test_a_press_at_whose_pieces_a_later_one_points_stays(shop: Shop) -> None:
    batch = shop.new_batch(2)
    shop.by_itself(lambda tx: begin.begin(tx, shop.step("Saw", batch), [shop.piece("A", batch).id]))
    with pytest.raises(Refusal, match="stays"):
        shop.record.undo()


def test_a_thing_that_is_gone_comes_back_as_later_presses_would_have_left_it(shop: Shop) -> None:
    """A clock put right while the stretch was away from the record: it comes back with its instants moved."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(20)
    shop.press(begin.stop)
    (saw,) = shop.floor.all(Interval)
    shop.undo()
    shop.undo()
    assert list(shop.floor.all(Interval)) == []
    shop.record.put_back()
    shop.record.put_back()
    assert list(shop.floor.all(Interval)) == [saw]


def test_undo_goes_on_before_a_clock_that_was_put_right_and_their_instants_have_moved(shop: Shop) -> None:
    saw = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(20)
    shop.press(begin.stop)
    shop.clock.on(5)
    by_us = -7 * MINUTE_US
    shop.record.put_clock_right(clock_answers.put_right, shop.clock.moment(), shop.record.instant() + by_us)
    shop.by_itself(lambda tx: tx.change(replace(tx.floor.get(Interval, saw.id), together=True)))
    moved = shop.floor.get(Interval, saw.id)
    assert moved.start_us == saw.start_us + by_us
    now_us = shop.record.instant()
    assert shop.record.undo() == "Clock put right"
    assert shop.floor.get(Interval, saw.id) == replace(
        moved, start_us=saw.start_us, end_us=saw.start_us + 20 * MINUTE_US
    )
    assert shop.record.instant() == now_us - by_us
    assert shop.record.put_back() == "Clock put right"
    assert shop.floor.get(Interval, saw.id) == moved
    assert shop.record.instant() == now_us
    shop.press(lambda tx: settings.set_value(tx, settings.THEME, "paper"))
    shop.again()
    assert check(shop.path) == []


def test_the_fold_takes_back_a_stop_of_before_the_move_too(shop: Shop) -> None:
    """The press that moved stands: what it found running is taken as running, and its start has moved."""
    saw = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(20)
    shop.press(begin.stop)
    shop.clock.on(5)
    shop.record.put_clock_right(clock_answers.put_right, shop.clock.moment(), shop.record.instant() + MINUTE_US)
    with closing(sqlite3.connect(shop.path)) as connection, connection:  # as another bench's Undo would name it
        columns = "maker_id, at_us, wall_us, boot_us, awake_us, boot_id, offset_min, undoable, moved_us, bench_id"
        connection.execute(
            f"INSERT INTO press (uuid, what, order_us, sequence, {columns})"  # noqa: S608  # our own words
            f" SELECT 'x', 'Undo press', order_us + 1, sequence + 1, {columns} FROM press ORDER BY id DESC LIMIT 1"
        )
        connection.execute("INSERT INTO taken_back SELECT max(id), max(id) - 2 FROM press")
    from shopclock.record.file.engine import reader
    from shopclock.record.file.fold import as_it_stands

    with reader(shop.path).begin() as connection:
        found = as_it_stands(connection, "interval", saw.id)
    assert found == replace(saw, start_us=saw.start_us + MINUTE_US)


def test_an_undo_that_would_put_anything_into_the_time_to_come_is_refused(shop: Shop) -> None:
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(20)
    shop.press(begin.stop)
    right_us = shop.record.instant() - 10 * MINUTE_US
    shop.record.put_clock_right(clock_answers.put_right, shop.clock.moment(), right_us)
    shop.clock.restart(right_us + MINUTE_US)
    shop.again()
    before = shop.all()
    with pytest.raises(Refusal, match=r"in the time to come then\. Nothing was changed"):
        shop.record.undo()
    assert shop.all() == before
    shop.clock.on(30)
    shop.record.undo()
    assert check(shop.path) == []


def test_check_tells_that_a_second_program_wrote(shop: Shop) -> None:
    """Both had read the tool as it was: the second has written over what the first kept."""
    tool = a_tool(shop)
    shop.press(lambda tx: tx.change(replace(tx.current(tool), capacity=8.0)))
    shop.press(lambda tx: tx.change(replace(tx.current(tool), name="Oven")))
    assert check(shop.path) == []
    with closing(sqlite3.connect(shop.path)) as connection, connection:
        connection.execute("DROP TRIGGER journal_keeps_values")
        sides = ", ".join(f"{side} = replace({side}, '8.0', '5.0')" for side in ("before", "after"))
        connection.execute(f"UPDATE journal SET {sides} WHERE id = (SELECT max(id) FROM journal)")  # noqa: S608  # ours
        connection.execute("UPDATE tool SET capacity = 5 WHERE id = ?", (tool.id,))
    (said,) = check(shop.path)
    assert said.startswith(
        f"Two programs wrote, or lines are missing: what was there before differs: tool {tool.id} in press "
    )


def test_check_folds_what_an_undo_left(shop: Shop) -> None:
    """The lines follow each other, but the Undo says that a value came back which never was."""
    tool = a_tool(shop)
    shop.press(lambda tx: tx.change(replace(tx.current(tool), name="Oven")))
    shop.undo()
    assert check(shop.path) == []
    with closing(sqlite3.connect(shop.path)) as connection, connection:
        connection.execute("DROP TRIGGER journal_keeps_values")
        connection.execute(
            "UPDATE journal SET after = replace(after, 'Kiln', 'Forge') WHERE id = (SELECT max(id) FROM journal)"
        )
        connection.execute("UPDATE tool SET name = 'Forge' WHERE id = ?", (tool.id,))
    assert "what was there before differs" in " ".join(check(shop.path))
