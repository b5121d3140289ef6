"""Starting, stopping, carrying on."""

import pytest

from shopclock.shop.values.entities import Interval, Method
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from shopclock.shop.work import acts, begin, finish, pieces
from tests.shop.workshop import Shop


def start(shop: Shop, step: str, marks: str | None = None, **how: object) -> Interval:
    chosen = shop.pieces(marks) if marks is not None else None
    return shop.press(lambda tx: begin.begin(tx, shop.step(step), chosen, **how))  # type: ignore[arg-type]  # by name


def test_a_step_starts_with_all_that_are_not_through_it() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    assert shop.running() == {"Saw": "ABC"}
    begun = shop.runs()
    assert begun.start_us == shop.clock.now_us
    assert (begun.kind, begun.work, begun.start_sure) == (Kind.HANDS_ON, WorkKind.RUN, Certainty.PRESSED)


@pytest.mark.parametrize(
    ("first", "then", "running"),
    [
        pytest.param("Saw", "Bevel", {"Bevel": "ABC"}, id="hands stop hands"),
        pytest.param("Saw", "Scales", {"Scales": "ABC"}, id="another strand's hands too"),
        pytest.param("Harden", "Scales", {"Harden": "ABC", "Scales": "ABC"}, id="a watch goes on beside it"),
        pytest.param("Harden", "Bevel", {"Bevel": "ABC"}, id="a piece is at one step of its strand"),
        pytest.param("Temper", "Scales", {"Temper": "ABC", "Scales": "ABC"}, id="so does a wait"),
    ],
)
def test_one_press_switches(first: str, then: str, running: dict[str, str]) -> None:
    shop = Shop(3)
    start(shop, first, "ABC")
    shop.clock.on(5)
    start(shop, then, "ABC")
    assert shop.running() == running


def test_switching_ends_and_begins_at_the_same_instant() -> None:
    shop = Shop(3)
    first = start(shop, "Saw")
    shop.clock.on(5)
    second = start(shop, "Bevel", "AB")
    assert shop.now(first).end_us == second.start_us
    assert second.continues_id is None


def test_pieces_come_out_of_what_holds_them_and_the_rest_goes_on() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    shop.clock.on(5)
    start(shop, "Harden", "A")
    assert shop.running() == {"Harden": "A", "Bevel": "BC"}


def test_both_at_once_marks_both_as_sharing_the_hands() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    shop.clock.on(5)
    start(shop, "Scales", together=True)
    assert shop.running() == {"Saw": "ABC", "Scales": "ABC"} or shop.running() == {"Scales": "ABC", "Saw": "ABC"}
    assert all(i.together for i in shop.floor.running.values())


def test_both_at_once_with_nothing_by_hand_is_a_plain_start() -> None:
    shop = Shop(3)
    assert not start(shop, "Saw", together=True).together


def test_where_nothing_is_left_it_is_refused() -> None:
    shop = Shop(2)
    shop.press(lambda tx: finish.all_through(tx, shop.step("Saw"), shop.pieces("AB")))
    with pytest.raises(Refusal, match=r"No saw left to do in this batch. Nothing was started."):
        start(shop, "Saw")
    assert not shop.floor.running


def test_the_method_is_the_one_used_last_else_the_first_of_the_list() -> None:
    shop = Shop(2)
    names = {m.id: m.name for m in shop.floor.all(Method)}
    assert names[start(shop, "Bevel").method_id or 0] == "freehand"
    jig = next(number for number, name in names.items() if name == "jig")
    start(shop, "Bevel", "AB", method_id=jig)
    shop.clock.on(5)
    shop.press(begin.stop)
    assert names[start(shop, "Bevel").method_id or 0] == "jig"
    assert start(shop, "Scales").method_id is None


def test_shop_work_covers_no_piece_and_stops_the_hands() -> None:
    shop = Shop(2)
    start(shop, "Saw")
    shop.clock.on(5)
    sweeping = shop.press(lambda tx: begin.begin_shop_work(tx, shop.stage("Sweeping")))
    assert (sweeping.batch_id, sweeping.step_id, sweeping.pieces) == (None, None, ())
    assert shop.running() == {"Sweeping": ""}


def test_stop_ends_the_hands_before_the_watch() -> None:
    shop = Shop(2)
    start(shop, "Harden")
    start(shop, "Scales")
    shop.clock.on(5)
    shop.press(begin.stop)
    assert shop.running() == {"Harden": "AB"}
    shop.press(begin.stop)
    assert shop.running() == {}
    with pytest.raises(Refusal, match=r"Nothing is running."):
        shop.press(begin.stop)


def test_a_wait_is_not_stopped_by_stop() -> None:
    shop = Shop(2)
    start(shop, "Temper", "AB")
    with pytest.raises(Refusal, match=r"Nothing is running."):
        shop.press(begin.stop)


def test_carry_on_takes_up_the_same_step_method_and_pieces() -> None:
    shop = Shop(3)
    start(shop, "Bevel", "AC")
    shop.clock.on(5)
    shop.press(begin.stop)
    shop.clock.on(700)
    again = shop.press(acts.carry_on)
    assert shop.running() == {"Bevel": "AC"}
    assert again is not None
    assert again.method_id is not None
    assert again.continues_id is None


def test_carry_on_leaves_out_who_was_lost_set_aside_or_is_through() -> None:
    shop = Shop(4)
    start(shop, "Bevel")
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    shop.clock.on(5)
    shop.press(begin.stop)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("B"), shop.step("Bevel"), "dropped"))
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("C")))
    shop.press(acts.carry_on)
    assert shop.running() == {"Bevel": "D"}


def test_of_two_that_shared_the_hands_each_is_carried_on_by_itself() -> None:
    shop = Shop(2)
    start(shop, "Saw")
    start(shop, "Scales", together=True)
    shop.clock.on(5)
    saw, scales = sorted(shop.press(begin.stop), key=lambda i: i.step_id or 0)
    shop.clock.on(5)
    shop.press(lambda tx: acts.carry_on(tx, saw))
    assert shop.running() == {"Saw": "AB"}
    assert not any(i.together for i in shop.floor.running.values())
    shop.clock.on(5)
    shop.press(lambda tx: acts.carry_on(tx, scales))
    assert shop.running() == {"Scales": "AB"}


def test_carry_on_needs_something_that_was_stopped() -> None:
    shop = Shop(2)
    start(shop, "Saw")
    with pytest.raises(Refusal, match=r"Nothing of it can go on."):
        shop.press(acts.carry_on)


def test_carry_on_takes_up_shop_work() -> None:
    shop = Shop(2)
    shop.press(lambda tx: begin.begin_shop_work(tx, shop.stage("Upkeep")))
    shop.clock.on(5)
    shop.press(begin.stop)
    shop.press(acts.carry_on)
    assert shop.running() == {"Upkeep": ""}
