"""Who comes out of a wait, or of another's hands, by a press is said on its button before it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.at_bench import AtBench
from shopclock.screens.bench.state import Verb
from shopclock.shop.work.makers import add_maker
from shopclock.views.button import Button, Press
from tests.screens.today.test_presenter import Visit

if TYPE_CHECKING:
    from shopclock.screens.bench.presenter import BenchPresenter
    from tests.screens.bench.workshop import Workshop


def tempering(shop: Workshop) -> None:
    """Five in the oven, and the scales sawn beside."""
    batch = shop.batch("Paring 95", 5)
    shop.start("Temper 1", batch)
    shop.start("Saw scales", batch, 1)


def side(bench: BenchPresenter, title: str) -> Button:
    state = bench.state(bench.instant())
    assert state.side is not None
    return next(tile for tile in state.side.tiles if tile.title == title and tile.verb == Verb.START)


def route(shop: Workshop, title: str) -> Button:
    shop.press(Verb.ROUTE_PAGE)
    page = shop.state.route_page
    assert page is not None
    found = next(tile for tile in page.tiles if tile.title == title)
    shop.press(Verb.BACK)
    return found


def test_a_tile_of_what_is_ready_says_out_of_what_wait_its_pieces_come(shop: Workshop) -> None:
    tempering(shop)
    shop.clock.go(125)
    assert side(shop.bench, "Temper 2").detail == "5 blades  ·  A–E out of Temper 1"
    assert "A–E out of Temper 1" in Visit(shop).tiles()["Temper 2"].detail.split("  ·  ")


def test_the_route_says_who_comes_out_before_the_time(shop: Workshop) -> None:
    tempering(shop)
    tile = route(shop, "Finish grind")
    assert tile.detail == "0 of 5 through  ·  A–E out of Temper 1"
    assert isinstance(tile.key, Press)
    shop.press(tile.key)
    assert shop.running_names() == ["Finish grind"]


def test_the_route_says_who_has_room_and_what_the_record_holds_against_a_start(shop: Workshop) -> None:
    """Nine for an oven of five; once these temper, the oven is full and at another heat."""
    shop.batch("Paring 95", 9)
    assert route(shop, "Harden").detail == "0 of 9 through  ·  A–E go in  ·  F–J wait"
    shop.start("Temper 1")
    assert route(shop, "Harden").detail.startswith("5 of 9 through  ·  oven at 200 °C until ")
    assert route(shop, "Harden").detail.endswith("  ·  F–J")


def test_the_corner_and_the_one_big_button_say_it_too(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 4)
    other = shop.batch("Oyster", 2)
    shop.start("Cure", batch)
    shop.start("Saw out", other, 26 * 60)
    shop.press(Press(Verb.BATCH, batch.id))
    state = shop.state
    assert state.side is not None
    shape = next(n for n, tile in enumerate(state.side.tiles) if tile.title == "Shape handle")
    corner = state.side.corners[shape]
    assert corner is not None
    assert corner.detail == "A–D out of Cure"
    shop.press(Verb.STOP, 5)
    shop.press(Press(Verb.BATCH, batch.id))
    big = shop.state.plate.big
    assert big is not None
    assert (big.title, big.detail.split("  ·  ")[:2]) == ("Start: Shape handle", ["4 blades", "A–D out of Cure"])


def two(shop: Workshop) -> tuple[BenchPresenter, BenchPresenter]:
    """Ann saws five out; Sam has come."""
    shop.batch("Paring 95", 5)
    at_bench = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.go)
    shop.start("Saw out")
    shop.record.press("Maker", lambda tx: add_maker(tx, "Sam", shop.record.bench, "Ann"))
    ann, sam = at_bench.shown
    return ann, sam


def hands(shop: Workshop) -> dict[int, list[str]]:
    return {i.maker_id: shop.record.floor.marks(i.pieces) for i in shop.running}


def test_who_is_taken_out_of_another_makers_hands_is_named_with_the_hands(shop: Workshop) -> None:
    ann, sam = two(shop)
    sam.press(Press(Verb.SHOW, shop.step("Saw out").id))
    for mark in "BD":
        key = next(one.key for one in sam.state(sam.instant()).plate.in_hand if one.letter == mark)
        assert isinstance(key, Press)
        sam.press(key)
    big = sam.state(sam.instant()).plate.big
    assert big is not None
    assert big.detail.startswith("2 blades  ·  B, D out of Ann's hands")
    assert isinstance(big.key, Press)
    sam.press(big.key)
    assert hands(shop) == {ann.maker_id: ["A", "C", "E"], sam.maker_id: ["B", "D"]}


def test_another_makers_work_that_nobody_is_left_in_is_said_to_stop(shop: Workshop) -> None:
    """B is through in Sam's hands and the only one there: it comes along with Ann's Next, or by her start."""
    ann, sam = two(shop)
    sam.press(Press(Verb.SHOW, shop.step("Saw out").id))
    key = next(one.key for one in sam.state(sam.instant()).plate.in_hand if one.letter == "B")
    assert isinstance(key, Press)
    sam.press(key)
    sam.press(Press(Verb.START, shop.step("Saw out").id))
    sam.press(Press(Verb.DONE))
    assert hands(shop) == {ann.maker_id: ["A", "C", "D", "E"], sam.maker_id: ["B"]}
    following = next(b for b in ann.bottom(ann.instant()) if b.verb == Verb.NEXT)
    assert following.detail == "A–E  ·  Sam's Saw out stops"
    tile = side(ann, "Profile")
    assert tile.detail == "5 blades  ·  Sam's Saw out stops"
    assert isinstance(tile.key, Press)
    ann.press(tile.key)
    assert hands(shop) == {ann.maker_id: ["A", "B", "C", "D", "E"]}


def test_a_piece_that_is_through_by_anothers_press_is_named_and_stays_where_it_is(shop: Workshop) -> None:
    """Ann stopped hardening A, Sam hardens B and C: Ann has C go in too, and says that both are through."""
    shop.batch("Paring 95", 3)
    at_bench = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.go)
    harden = Press(Verb.START, shop.step("Harden").id)
    shop.record.press("Maker", lambda tx: add_maker(tx, "Sam", shop.record.bench, "Ann"))
    ann, sam = at_bench.shown
    sam.press(harden)
    letter(sam, "A")
    ann.press(harden)
    assert hands(shop) == {ann.maker_id: ["A"], sam.maker_id: ["B", "C"]}
    ann.press(Press(Verb.STOP))
    letter(ann, "C")
    following = next(button for button in ann.bottom(ann.instant()) if button.verb == Verb.NEXT)
    assert (following.title, following.detail) == ("All through: A, C", "Temper 1 waits for the oven")
    ann.press(Press(Verb.NEXT))
    assert hands(shop) == {sam.maker_id: ["B", "C"]}


def letter(bench: BenchPresenter, mark: str) -> None:
    """Press a letter of the plate."""
    key = next(one.key for one in bench.state(bench.instant()).plate.letters if one.letter == mark)
    assert isinstance(key, Press)
    bench.press(key)


def test_a_load_takes_none_out_of_another_makers_hands(shop: Workshop) -> None:
    """Ann glues C again; Sam has A and B in the clamps: nothing waits to go in with them."""
    shop.batch("Paring 95", 3)
    at_bench = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.go)
    shop.start("Glue up")
    shop.press(Verb.NOT_RIGHT, 4, ("C", "rework"))
    assert shop.running_names() == ["Glue up"]
    shop.record.press("Maker", lambda tx: add_maker(tx, "Sam", shop.record.bench, "Ann"))
    ann, sam = at_bench.shown
    sam.press(Press(Verb.START, shop.step("Glue up").id))
    assert hands(shop) == {ann.maker_id: ["C"], sam.maker_id: ["A", "B"]}
    state = sam.state(sam.instant())
    assert state.side is not None
    assert Verb.LOAD_IN not in {tile.verb for tile in state.side.tiles}


def test_what_is_not_right_says_where_each_piece_is(shop: Workshop) -> None:
    ann, sam = two(shop)
    shop.dialogs.answers = [None]
    sam.press(Press(Verb.NOT_RIGHT))
    assert [choice.detail for choice in shop.dialogs.asked[-1].choices] == ["in Ann's hands"] * 5
    shop.dialogs.answers = ["A", "second", None]
    ann.press(Press(Verb.NOT_RIGHT))
    ann.press(Press(Verb.NOT_RIGHT))
    assert [choice.detail for choice in shop.dialogs.asked[-1].choices] == ["second  ·  in hand"] + ["in hand"] * 4
