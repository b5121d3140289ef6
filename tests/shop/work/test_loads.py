"""Loads: as many as fit, at one setting; the rest waits, and a line says until when."""

from dataclasses import replace

import pytest

from shopclock.shop.values.entities import Batch, Interval, Load, Tool
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work import acts, adjust, begin, finish, pieces
from shopclock.shop.work.loads import blocked, blocked_text, fits, in_text, inside, load_in, load_text, room
from tests.shop.sound import assert_sound, things
from tests.shop.workshop import Shop

EARLIER = ("Saw", "Bevel", "Harden")


def tool(shop: Shop, name: str = "oven") -> Tool:
    return next(t for t in shop.floor.all(Tool) if t.name == name)


def done(shop: Shop, *steps: str, batch: Batch | None = None) -> None:
    batch = batch or shop.batch
    everybody = [piece.id for piece in shop.floor.living(batch.id)]
    for step in [shop.step(name, batch) for name in steps]:
        shop.press(lambda tx, s=step: finish.all_through(tx, s, everybody))


def into(shop: Shop, name: str, batch: Batch | None = None) -> Interval:
    return shop.press(lambda tx: acts.put_in(tx, shop.step(name, batch)))


def lying(shop: Shop, name: str = "oven") -> str:
    load = load_in(shop.floor, tool(shop, name))
    return in_text(shop.floor, load) if load is not None else ""


def test_nine_go_into_an_oven_for_five_by_two_presses_and_the_rest_is_told_until_when() -> None:
    shop = Shop(9)
    done(shop, *EARLIER)
    first = into(shop, "Temper")
    assert lying(shop) == "oven 200 °C: A–E"
    assert shop.warnings[-1] == "F–J wait: oven full until 23:00, Temper due by 22:00."
    shop.clock.on(121)
    into(shop, "Temper")
    assert lying(shop) == "oven 200 °C: F–J"
    assert shop.warnings[0] == "A–E came out of Temper."
    assert shop.floor.get(Interval, first.id).end_us == shop.clock.now_us


def test_a_full_tool_refuses_nothing_but_the_start_and_says_when_it_is_free() -> None:
    shop = Shop(9)
    done(shop, *EARLIER)
    into(shop, "Temper")
    before = things(shop.floor)
    with pytest.raises(Refusal, match=r"^Oven full until 23:00\. Nothing was started\.$"):
        into(shop, "Temper")
    assert things(shop.floor) == before


def test_a_tool_is_at_one_setting_at_a_time() -> None:
    shop = Shop(3)
    done(shop, *EARLIER)
    other = shop.new_batch(2)
    done(shop, "Saw", "Bevel", batch=other)
    into(shop, "Temper")
    with pytest.raises(Refusal, match=r"^Oven at 200 °C until 23:00\. Nothing was started\.$"):
        into(shop, "Harden", other)


def test_a_tool_is_set_to_what_its_newest_load_asked_for_and_stays_so_when_it_is_empty() -> None:
    shop = Shop(3)
    assert tool(shop).setting_now == ""
    done(shop, *EARLIER)
    tempering = into(shop, "Temper")
    assert tool(shop).setting_now == "200 °C"
    shop.clock.on(121)
    shop.press(lambda tx: finish.out(tx, tempering))
    assert tool(shop).setting_now == "200 °C"
    again = shop.new_batch(3)
    done(shop, "Saw", "Bevel", batch=again)
    into(shop, "Harden", again)
    assert tool(shop).setting_now == shop.step("Harden", again).setting != "200 °C"
    shop.undo()
    assert tool(shop).setting_now == "200 °C"


def test_pieces_of_several_batches_lie_in_one_load() -> None:
    shop = Shop(3)
    other = shop.new_batch(3)
    for batch in (shop.batch, other):
        done(shop, *EARLIER, batch=batch)
    one, two = into(shop, "Temper"), into(shop, "Temper", other)
    assert one.load_id == two.load_id
    assert len(two.pieces) == 2
    assert lying(shop) == "oven 200 °C: A–C, A, B"


def test_the_next_step_at_the_same_setting_needs_no_more_room() -> None:
    shop = Shop(5)
    done(shop, *EARLIER)
    into(shop, "Temper")
    step = shop.step("Temper")
    everybody = [piece.id for piece in shop.floor.living(shop.batch.id)]
    assert fits(shop.floor, step, everybody) == tuple(everybody)


def test_six_handles_and_eight_clamps_four_are_glued_and_two_the_next_day() -> None:
    shop = Shop(6)
    done(shop, *EARLIER, "Temper", "Scales")
    glue = into(shop, "Glue")
    assert shop.floor.marks(glue.pieces) == list("ABCD")
    for _ in range(4):
        shop.clock.on(8)
        running = next(i for i in shop.floor.running.values() if i.kind is Kind.HANDS_ON)
        shop.press(lambda tx, here=running: finish.one_done(tx, here))
    assert lying(shop, "clamps") == "clamps: A–D"
    with pytest.raises(Refusal, match="Clamps full until tomorrow"):
        into(shop, "Glue")
    shop.clock.on(24 * 60)
    later = into(shop, "Glue")
    assert shop.floor.marks(later.pieces) == ["E", "F"]
    assert lying(shop, "clamps") == "clamps: C–F"
    shop.press(lambda tx: finish.all_through(tx, shop.step("Glue"), later.pieces))
    sharpen = into(shop, "Sharpen")
    assert shop.floor.marks(sharpen.pieces) == list("ABCD")
    assert_sound(shop.floor, shop.clock.now_us)


def test_what_begins_by_itself_and_finds_no_room_begins_beside_the_tool() -> None:
    shop = Shop(5)
    done(shop, *EARLIER, "Temper", "Scales", "Glue")
    loads = {shop.floor.marks(i.pieces)[0]: i.load_id for i in shop.floor.running.values()}
    assert loads["A"] is not None
    assert loads["E"] is None
    assert lying(shop, "clamps") == "clamps: A–D"


def test_letters_go_in_as_long_as_there_is_room() -> None:
    shop = Shop(6)
    done(shop, *EARLIER)
    running = shop.press(lambda tx: begin.begin(tx, shop.step("Temper"), shop.pieces("ABC")))
    shop.press(lambda tx: pieces.cover(tx, running, shop.pieces("ABCDEF")))
    assert lying(shop) == "oven 200 °C: A–E"
    running = next(iter(shop.floor.running.values()))
    with pytest.raises(Refusal, match="F waits: oven full until 23:00"):
        shop.press(lambda tx: pieces.cover(tx, running, shop.pieces("ABCDEF")))


def test_a_lost_piece_leaves_its_place_and_undo_brings_it_back() -> None:
    shop = Shop(6)
    done(shop, *EARLIER)
    into(shop, "Temper")
    before = things(shop.floor)
    shop.clock.on(10)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Temper"), "cracked"))
    assert into(shop, "Temper").pieces == shop.pieces("F")
    assert lying(shop) == "oven 200 °C: A, C, D, E, F"
    shop.undo()
    shop.undo()
    assert things(shop.floor) == before


def test_a_load_comes_out_by_one_press_with_all_that_has_lasted_in_it() -> None:
    shop = Shop(3)
    other = shop.new_batch(2)
    for batch in (shop.batch, other):
        done(shop, *EARLIER, batch=batch)
    first = into(shop, "Temper")
    shop.clock.on(5)
    into(shop, "Temper", other)
    shop.clock.on(130)
    shop.press(lambda tx: finish.load_out(tx, first))
    assert not shop.floor.running


def test_done_one_by_one_comes_out_and_makes_room() -> None:
    shop = Shop(6)
    done(shop, *EARLIER, "Temper")
    harden = shop.step("Harden")
    again = shop.press(
        lambda tx: begin.begin(tx, harden, shop.pieces("ABCDE"), work=WorkKind.REWORK, cause_step_id=harden.id)
    )
    assert fits(shop.floor, harden, shop.pieces("F")) == ()
    shop.press(lambda tx: finish.one_done(tx, again))
    assert fits(shop.floor, harden, shop.pieces("F")) == shop.pieces("F")
    assert [i.id for i in inside(shop.floor, tool(shop))] == [again.id]


def test_rework_takes_out_what_has_lasted_its_time() -> None:
    shop = Shop(5)
    done(shop, *EARLIER)
    into(shop, "Temper")
    shop.clock.on(130)
    piece, bevel = shop.press(lambda tx: pieces.add_piece(tx, shop.batch)), shop.step("Bevel")
    again = shop.press(lambda tx: pieces.rework(tx, piece, shop.step("Harden"), bevel))
    assert [i.id for i in shop.floor.running.values()] == [again.id]


def test_what_carries_on_has_what_has_lasted_come_out() -> None:
    shop = Shop(2)
    done(shop, "Saw", "Bevel")
    hardening = into(shop, "Harden")
    shop.clock.on(5)
    shop.press(lambda tx: finish.one_done(tx, hardening))
    shop.press(begin.stop)
    into(shop, "Temper")
    shop.clock.on(130)
    shop.press(acts.carry_on)
    assert shop.running() == {"Harden": "B"}
    assert "A came out of Temper." in shop.warnings


def test_letters_that_need_the_room_of_what_is_ready_are_told_so() -> None:
    shop = Shop(4)
    done(shop, *EARLIER)
    temper = shop.press(lambda tx: acts.put_in(tx, shop.step("Temper"), shop.pieces("AB")))
    other = shop.new_batch(3)
    done(shop, *EARLIER, batch=other)
    into(shop, "Temper", other)
    shop.clock.on(130)
    with pytest.raises(Refusal, match=r"C, D wait\. Oven: take out what is ready first"):
        shop.press(lambda tx: pieces.cover(tx, temper, shop.pieces("ABCD")))


def test_letters_that_find_no_room_leave_those_in_hand() -> None:
    """A lies in the oven; B alone was meant, and it is full."""
    shop = Shop(5)
    other = shop.new_batch(2)
    done(shop, *EARLIER)
    done(shop, *EARLIER, batch=other)
    shop.press(lambda tx: acts.put_in(tx, shop.step("Temper"), shop.pieces("ABCD")))
    lies = shop.press(lambda tx: acts.put_in(tx, shop.step("Temper", other), shop.pieces("A", other)))
    with pytest.raises(Refusal, match="B waits: oven full"):
        shop.press(lambda tx: pieces.cover(tx, lies, shop.pieces("B", other)))
    assert shop.now(lies).pieces == shop.pieces("A", other)


def test_set_up_keeps_the_load_that_the_work_goes_on_with() -> None:
    shop = Shop(3)
    done(shop, "Saw", "Bevel")
    running = into(shop, "Harden")
    shop.clock.on(5)
    setting_up = shop.press(lambda tx: adjust.set_up(tx, running))
    assert setting_up.load_id == running.load_id
    assert load_text(shop.floor, shop.floor.get(Load, running.load_id or 0)) == "oven 800 °C"


def test_a_tool_that_holds_no_load_takes_all_and_makes_none() -> None:
    shop = Shop(9)
    done(shop, *EARLIER)
    shop.press(lambda tx: tx.change(replace(tx.current(tool(shop)), capacity=None)))
    running = into(shop, "Temper")
    assert (len(running.pieces), running.load_id) == (9, None)


def test_more_than_a_tool_ever_holds_is_said_so() -> None:
    shop = Shop(9)
    done(shop, *EARLIER)
    step, everybody = shop.step("Temper"), [piece.id for piece in shop.floor.living(shop.batch.id)]
    found = blocked(shop.floor, step, everybody, (), shop.clock.now_us)
    assert found is not None
    assert blocked_text(shop.floor, found, shop.clock.now_us) == "oven holds 5"
    assert len(room(shop.floor, step, everybody, (), shop.clock.now_us)) == 5
