"""Where the pieces stand, what is ready, and which order is asked for."""

import pytest

from shopclock.shop.values.entities import RuleBroken
from shopclock.shop.values.kinds import StepState
from shopclock.shop.work import begin, finish, pieces
from shopclock.shop.work.batches import set_state
from shopclock.shop.work.piece_progress import eligible, held_from, order_of, over, ready, ready_at
from tests.shop.workshop import MINUTE_US, Shop


def start(shop: Shop, step: str, marks: str) -> None:
    shop.press(lambda tx: begin.begin(tx, shop.step(step), shop.pieces(marks)))


def through(shop: Shop, step: str, marks: str) -> None:
    shop.press(lambda tx: finish.all_through(tx, shop.step(step), shop.pieces(marks)))


def ready_now(shop: Shop) -> dict[str, str]:
    found = ready(shop.floor, shop.batch.id, shop.clock.now_us)
    return {one.step.name: "".join(shop.floor.marks(one.pieces)) for one in found}


def can_start(shop: Shop, step: str) -> str:
    return "".join(shop.floor.marks(eligible(shop.floor, shop.step(step), shop.clock.now_us)))


def test_at_the_start_the_first_step_of_each_strand_is_ready() -> None:
    assert ready_now(Shop(2)) == {"Saw": "AB", "Scales": "AB"}


def test_pieces_are_ready_for_what_follows_what_they_are_through() -> None:
    shop = Shop(3)
    through(shop, "Saw", "AB")
    through(shop, "Bevel", "A")
    assert ready_now(shop) == {"Saw": "C", "Bevel": "B", "Harden": "A", "Scales": "ABC"}


def test_a_step_that_asks_for_another_strand_is_ready_when_both_are_there() -> None:
    shop = Shop(2)
    through(shop, "Temper", "AB")
    assert ready_now(shop) == {"Scales": "AB"}
    through(shop, "Scales", "B")
    assert ready_now(shop) == {"Scales": "A", "Glue": "B"}


def test_a_wait_keeps_its_pieces_until_it_is_over_then_the_next_step_is_ready_without_a_press() -> None:
    shop = Shop(2)
    through(shop, "Scales", "AB")
    start(shop, "Temper", "AB")
    wait = shop.runs()
    assert ready_at(shop.floor, wait) == shop.clock.now_us + 120 * MINUTE_US
    shop.clock.on(119)
    assert ready_now(shop) == {}
    assert not over(shop.floor, wait, shop.clock.now_us)
    shop.clock.on(1)
    assert ready_now(shop) == {"Glue": "AB"}
    assert over(shop.floor, wait, shop.clock.now_us)


def test_what_follows_a_wait_that_is_over_ends_it_for_its_pieces() -> None:
    shop = Shop(2)
    through(shop, "Scales", "AB")
    start(shop, "Temper", "AB")
    shop.clock.on(130)
    start(shop, "Glue", "A")
    assert shop.running() == {"Glue": "A", "Temper": "B"}


def test_a_wait_holds_its_pieces_from_its_own_strand_alone() -> None:
    shop = Shop(2)
    start(shop, "Temper", "A")
    assert [shop.floor.marks([p]) for p in held_from(shop.floor, shop.step("Glue"))] == [["A"]]
    assert held_from(shop.floor, shop.step("Scales")) == {}
    assert can_start(shop, "Scales") == "AB"


@pytest.mark.parametrize(
    ("change", "who"), [("through", "BC"), ("aside", "BC"), ("lost", "BC"), ("waiting", "BC"), ("nothing", "ABC")]
)
def test_who_a_step_starts_with(change: str, who: str) -> None:
    shop = Shop(3)
    if change == "through":
        through(shop, "Saw", "A")
    elif change == "aside":
        shop.press(lambda tx: pieces.set_aside(tx, shop.piece("A")))
    elif change == "lost":
        shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), None, "soft"))
    elif change == "waiting":
        start(shop, "Temper", "A")
    assert can_start(shop, "Saw") == who


def test_it_starts_with_those_who_have_done_what_comes_before_and_with_all_where_nobody_has() -> None:
    shop = Shop(3)
    assert can_start(shop, "Bevel") == "ABC"
    through(shop, "Saw", "B")
    assert can_start(shop, "Bevel") == "B"


def test_a_skipped_step_is_asked_for_no_more() -> None:
    shop = Shop(2)
    shop.press(lambda tx: set_state(tx, shop.step("Saw"), StepState.SKIPPED))
    assert ready_now(shop) == {"Bevel": "AB", "Scales": "AB"}


@pytest.mark.parametrize(
    ("step", "earlier"),
    [
        ("Saw", ""),
        ("Harden", "Saw Bevel"),
        ("Glue", "Saw Bevel Harden Temper Scales"),
        ("Scales", ""),
        ("Sharpen", "Saw Bevel Harden Temper Scales Glue Cure"),
    ],
)
def test_what_comes_before_a_step(step: str, earlier: str) -> None:
    shop = Shop(1)
    order = order_of(shop.floor, shop.batch.id)
    names = {s.id: s.name for s in order.steps}
    assert {names[number] for number in order.earlier[shop.step(step).id]} == set(earlier.split())


@pytest.mark.parametrize(
    ("before", "wait_min", "step", "said"),
    [
        pytest.param("", 0, "Harden", "A–C: Saw should come before Harden.", id="before"),
        pytest.param("Saw", 0, "Harden", None, id="before kept"),
        pytest.param("Saw Harden", 61, "Temper", "A–C: Temper came too late after Harden.", id="within"),
        pytest.param("Saw Harden", 60, "Temper", None, id="within kept"),
        pytest.param("Saw Harden Scales", 0, "Sharpen", "A–C: Cure has not lasted its time.", id="at least"),
    ],
)
def test_an_order_rule_warns_in_one_line_is_noted_and_refuses_nothing(
    before: str, wait_min: int, step: str, said: str | None
) -> None:
    shop = Shop(3)
    for name in before.split():
        through(shop, name, "ABC")
    shop.clock.on(wait_min)
    start(shop, step, "ABC")
    assert shop.warnings == ([said] if said else [])
    assert len(list(shop.floor.all(RuleBroken))) == len(shop.warnings)
    assert step in shop.running()


@pytest.mark.parametrize("taken_out", [True, False])
@pytest.mark.parametrize(("hours", "warned"), [(23.9, True), (24, False)])
def test_a_cure_has_to_last_its_time_from_its_start(hours: float, warned: bool, taken_out: bool) -> None:
    shop = Shop(1)
    start(shop, "Glue", "A")
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))
    assert shop.running() == {"Cure": "A"}
    shop.clock.on(hours * 60)
    if taken_out:
        shop.press(lambda tx: finish.out(tx, shop.runs()))
    start(shop, "Sharpen", "A")
    assert bool(shop.warnings) is warned


def test_the_note_of_a_broken_rule_names_the_pieces_by_mark_in_whatever_order_they_came() -> None:
    shop = Shop(3)
    start(shop, "Harden", "CAB")
    (broken,) = shop.floor.all(RuleBroken)
    assert shop.floor.marks(broken.pieces) == ["A", "B", "C"]
    assert list(broken.pieces) == sorted(broken.pieces)


def test_within_is_held_to_each_piece_by_its_own_mark_and_names_the_late_ones_alone() -> None:
    shop = Shop(3)
    through(shop, "Saw", "ABC")
    start(shop, "Harden", "ABC")
    hardening = shop.runs()
    for gone in (5, 30, 50):
        shop.clock.on(gone)
        shop.press(lambda tx: finish.one_done(tx, hardening))
    start(shop, "Temper", "ABC")
    assert shop.warnings == ["A: Temper came too late after Harden."]
    (broken,) = shop.floor.all(RuleBroken)
    assert shop.floor.marks(broken.pieces) == ["A"]


def test_within_asks_for_the_first_start_and_not_for_taking_it_up_again() -> None:
    shop = Shop(2)
    for name in ("Saw", "Harden"):
        through(shop, name, "AB")
    shop.clock.on(30)
    start(shop, "Temper", "AB")
    tempering = shop.runs()
    shop.press(lambda tx: begin.end(tx, tempering))
    shop.clock.on(90)
    start(shop, "Temper", "AB")
    assert shop.warnings == []
