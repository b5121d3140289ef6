"""Plan without a window: orders by presses, and so many by a day by presses and two numbers."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.paper.page import A4
from shopclock.record.press.record import Record
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.plan.presenter import PlanPresenter
from shopclock.shop.planning import orders
from shopclock.shop.planning.quiet_weeks import quiet_weeks
from shopclock.shop.setup import costs, week
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import CostItem, CustomerOrder, Method, OrderState, Quote, Stage
from shopclock.shop.values.money import Manner
from shopclock.shop.work import batches
from tests.screens.later import Later
from tests.screens.plan.plan_shop import order, press, told
from tests.shop.workshop import ToyClock

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.screens.paged.paper import Make
    from tests.fake_dialogs import FakeDialogs
    from tests.record.on_disk import DiskShop


def ask(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop, n: str, *day: str) -> None:
    press(plan, dialogs, "promise")
    press(plan, dialogs, "pattern", str(shop.pattern.id))
    press(plan, dialogs, "wanted", n)
    press(plan, dialogs, "day", *day)


def test_two_numbers_and_an_answer(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    ask(plan, dialogs, shop, "2", "12")
    assert plan.state().title.startswith("2 knives by Sat 16 Jan holds if all planned hours are worked, ")
    assert plan.state().title.endswith("It makes nobody else late.")
    said = told(plan)
    assert "Lowest price that pays: EUR" in said
    assert "No rate for an hour is set" in said
    assert "2 unpromised of 26-01. 6 blades take " in said
    assert "No batches yet" in said
    assert "No tax advice" in said


def test_a_day_is_pressed_on_the_next_weeks_or_on_the_leaf_of_its_month(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    """Now is 24 October: five weeks reach to 27 November, and no month after it has a day too many."""
    ask(plan, dialogs, shop, "2", "2026-11-27")
    assert "by Fri 27 Nov" in plan.state().title
    near = [(choice.label, choice.detail) for choice in dialogs.asked[-1].choices]
    assert (near[0], near[34], near[35][0]) == (("24 Oct", "Sat"), ("27 Nov", "Fri"), "In 6 weeks")
    press(plan, dialogs, "day", "later", "2027-02", "2027-02-28")
    assert "by Sun 28 Feb" in plan.state().title
    assert len(dialogs.asked[-1].choices) == 28
    assert [choice.key for choice in dialogs.asked[-2].choices][:2] == ["2026-11", "2026-12"]


@pytest.mark.parametrize("typed", ["0", "2.5", "201", "x"])
def test_what_is_no_number_of_pieces_is_told(plan: PlanPresenter, dialogs: FakeDialogs, typed: str) -> None:
    press(plan, dialogs, "promise")
    press(plan, dialogs, "wanted", typed)
    assert dialogs.asked[-1].words == f"{typed} is no number from 1 to 200. Nothing was changed."


def test_without_hours_the_sentence_stands_in_the_answers_place(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    for hours in week.week(shop.floor):
        shop.press(lambda tx, hours=hours: week.drop_hours(tx, hours))
    press(plan, dialogs, "promise")
    assert plan.state().title == "The shop's week has no hours yet, so no date can be told. Add hours under Plan."


def test_an_answer_is_taken_as_an_order(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    ask(plan, dialogs, shop, "2", "12")
    press(plan, dialogs, "take", "Brook")
    taken = next(shop.floor.all(CustomerOrder))
    assert (taken.who, taken.wanted, orders.promised_day(taken)) == ("Brook", 2, date(2027, 1, 16))
    assert plan.state().title == "Brook: 2 Butter by Sat 16 Jan"


def test_taking_an_order_reserves_the_pieces_that_the_answer_reckoned_with_in_one_press(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    """Four of eight go to one, so that another can have four more, and a third is told to start some."""
    for who, reserved in (("Brook", "ABCD"), ("Ash", "EFGH")):
        ask(plan, dialogs, shop, "4", "12")
        assert "4 unpromised of 26-01" in told(plan)
        press(plan, dialogs, "take", who)
        assert "".join(tile.title for tile in plan.state().tiles if tile.checked) == reserved
        plan.home()
    assert plan.state().title == "2 open orders, 0 blades unpromised"
    ask(plan, dialogs, shop, "4", "12")
    assert "unpromised of" not in told(plan)
    assert "Add to 26-01 " in told(plan)
    plan.home()
    plan.press_undo()
    assert plan.state().title == "1 open order, 4 blades unpromised"


def test_an_order_without_letters_counts_in_a_later_promise_and_in_the_next_batch(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 6, date(2026, 12, 12)))
    assert plan.state().title == "1 open order, 2 blades unpromised"
    ask(plan, dialogs, shop, "4", "12")
    assert "2 unpromised of 26-01, add to 26-01 " in told(plan)
    press(plan, dialogs, "take", "Ash")
    assert [tile.title for tile in plan.state().tiles if tile.checked] == ["G", "H"]
    assert "2 lacking, 2 more than there are." in told(plan)
    plan.home()
    press(plan, dialogs, "next")
    assert "2 of them are promised already, 2 for Ash: 4 can be promised." in told(plan)
    press(plan, dialogs, "wanted", "1")
    assert "2 are promised already, 2 for Ash: 1 more than these." in told(plan)
    plan.home()
    press(plan, dialogs, "plan")
    assert "Still to begin, and counted in: " in told(plan)
    assert " of Butter for Ash." in told(plan)


def test_the_lacking_pieces_are_reserved_by_one_press_once_there_are_some(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    ask(plan, dialogs, shop, "10", "12")
    press(plan, dialogs, "take", "Brook")
    assert "reserve" not in [action.key for action in plan.state().actions]
    shop.new_batch(3)
    press(plan, dialogs, "reserve")
    assert [tile.detail for tile in plan.state().tiles if tile.checked][-2:] == ["26-02", "26-02"]
    assert "All of it has its letters." in told(plan)


def test_an_order_that_fell_through_frees_its_pieces(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    order(plan, dialogs, shop)
    press(plan, dialogs, "end", "cancelled")
    assert plan.state().title == "No open orders, 8 blades unpromised"
    assert plan.state().undo == "Order of Brook fell through"


def test_letters_are_promised_by_a_press_and_freed_by_another(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    order(plan, dialogs, shop)
    a = f"piece {shop.piece('A').id}"
    assert [tile.title for tile in plan.state().tiles if tile.checked] == ["A"]
    assert "All of it has its letters." in told(plan)
    press(plan, dialogs, a)
    assert "Press a letter to reserve it. 1 lacking." in told(plan)
    press(plan, dialogs, f"piece {shop.piece('B').id}")
    press(plan, dialogs, f"piece {shop.piece('C').id}")
    assert dialogs.asked[-1].words == "Brook has all 1. Nothing was changed."


def test_an_order_is_changed_and_ended(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    made = order(plan, dialogs, shop)
    press(plan, dialogs, "wanted", "3")
    press(plan, dialogs, "price", "80,50")
    press(plan, dialogs, "day", "2026-11-21")
    assert plan.state().title == "Brook: 3 Butter by Sat 21 Nov"
    assert told(plan).startswith("Price EUR 80.50. Press a letter to reserve it. 2 lacking. ")
    press(plan, dialogs, "end", "done")
    assert shop.floor.get(CustomerOrder, made.id).state is OrderState.DONE
    assert plan.state().title == "No open orders, 7 blades unpromised"


def test_the_list_says_how_surely_each_holds(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    order(plan, dialogs, shop)
    press(plan, dialogs, "day", "12")
    plan.home()
    plan.state()
    (tile,) = plan.state().tiles
    assert (tile.title, tile.detail, tile.figure) == ("Brook", "1 Butter", "Sat 16 Jan")
    assert tile.note == "", "under four known weeks nothing says how often it holds"
    assert told(plan) == "For nobody yet: 26-01: B C D E F G H"


def test_what_lacks_pieces_says_so(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    """Of eight pieces ten are promised: eight have letters, two are more than there are."""
    order(plan, dialogs, shop)
    press(plan, dialogs, "wanted", "10")
    assert "9 lacking, 2 more than there are." in told(plan)
    plan.home()
    assert [(tile.note, tile.note_role) for tile in plan.state().tiles] == [("short by 2", "red")]
    assert plan.state().title == "1 open order, 0 blades unpromised"
    assert "Over-promised: 2 Butter more than there are blades." in told(plan)
    assert "For nobody yet: 26-01: B C D E F G H; 7 of them are needed" in told(plan)


def test_a_shop_without_patterns_is_told_what_to_do(tmp_path: Path, dialogs: FakeDialogs) -> None:
    record = Record.open(tmp_path / "new", ToyClock(), make=True, zone="Europe/Vienna")
    gone: list[str] = []
    plan = PlanPresenter(record, dialogs, lambda where, *_: gone.append(where), AtOnce(), Manner())
    for question in ("promise", "next"):
        plan.home()
        plan.press(question)
        assert plan.state().title == "There is no pattern yet"
        assert [tile.title for tile in plan.state().tiles] == ["Copy a route"]
        plan.press("copy")
    assert gone == ["copy", "copy"]
    record.close()


def test_hours_are_set_by_presses(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    press(plan, dialogs, "hours")
    assert plan.state().title == "21 h a week are planned"
    press(plan, dialogs, "add", "5", "9", "12:30")
    assert [tile.detail for tile in plan.state().tiles if tile.title == "Saturday"] == [
        "9:00 to 12:30",
        "18:00 to 21:00",
    ]
    press(plan, dialogs, "add", "5", "10", "11")
    assert dialogs.asked[-1].words == "9:00 to 12:30 is planned already. Nothing was changed."
    press(plan, dialogs, "add", "5", "25")
    assert dialogs.asked[-1].words == "That is no time of day. Type it as 19:10. Nothing was changed."
    press(plan, dialogs, f"hours {week.week(shop.floor)[0].id}", "drop")
    assert plan.state().title == "21 h 30 a week are planned"


def test_days_off_are_set_and_taken_back(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    press(plan, dialogs, "hours")
    press(plan, dialogs, "off", "2026-11-21", "3")
    assert [tile.title for tile in plan.state().tiles if tile.detail == "off"] == ["Sat 21 Nov to Mon 23 Nov"]
    press(plan, dialogs, "off 1")
    assert not [tile for tile in plan.state().tiles if tile.detail == "off"]
    press(plan, dialogs, "off", "2026-11-21", "0")
    assert dialogs.asked[-1].words == "0 is no number of days from 1 to 366. Nothing was changed."


def test_quiet_weeks_are_asked_about_and_an_answer_is_taken_back(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    shop.press(lambda tx: batches.start_batch(tx, shop.pattern, 2, "Late"))
    shop.clock.on(3 * 7 * 1440)
    press(plan, dialogs, "hours")
    plan.changed()
    (asked,) = [tile for tile in plan.state().tiles if tile.detail == "nothing timed: did you work?"]
    press(
        plan,
        dialogs,
        f"quiet {quiet_weeks(shop.floor, plan.any_work, shop.record.instant())[0].first}",
        "Yes, not timed",
    )
    (said,) = [tile for tile in plan.state().tiles if tile.detail == "worked, not timed"]
    assert said.title == asked.title
    press(plan, dialogs, "answered 1")
    assert [tile.title for tile in plan.state().tiles if tile.detail == "nothing timed: did you work?"] == [asked.title]


def test_costs_rates_and_prices_are_typed_and_shown(plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop) -> None:
    press(plan, dialogs, "costs")
    press(plan, dialogs, "currency", "nok")
    press(plan, dialogs, "add", "0", str(shop.pattern.id), "Steel", "12,40")
    press(plan, dialogs, "add", "4", "Rent", "90")
    press(plan, dialogs, "rate hour", "30")
    press(plan, dialogs, "rate sales_tax", "25")
    press(plan, dialogs, f"asked {shop.pattern.id}", "140")
    shown = {tile.title: tile.detail.replace("\u00a0", " ") for tile in plan.state().tiles}
    assert (shown["Steel"], shown["Rent"]) == ("NOK 12.40 per piece, Butter", "NOK 90.00 per month")
    assert (shown["Wished for an hour"], shown["Sales tax"], shown["Butter"]) == (
        "NOK 30.00",
        "25 %",
        "asked NOK 140.00",
    )
    press(plan, dialogs, "cost 1", "amount", "13")
    press(plan, dialogs, "cost 1", "tax", "25")
    press(plan, dialogs, "cost 2", "away")
    details = {tile.title: tile.detail.replace("\u00a0", " ") for tile in plan.state().tiles}
    assert details["Steel"] == "NOK 13.00 per piece, Butter"
    assert "Rent" not in details
    press(plan, dialogs, "rate hour", "-2")
    assert dialogs.asked[-1].words == "-2 is no amount of money, such as 240 or 12.50. Nothing was changed."


def test_a_rough_answer_says_so_until_the_close_one_is_there(shop: DiskShop, dialogs: FakeDialogs) -> None:
    later = Later()
    plan = PlanPresenter(shop.record, dialogs, lambda *_: None, later, Manner())
    press(plan, dialogs, "promise")
    assert plan.state().title == "Working it out …"
    later.go_on()
    assert plan.state().title.startswith("Roughly: 2 knives by ")
    later.go_on()
    assert plan.state().title.startswith("2 knives by ")


def test_what_is_lacking_is_added_to_a_batch_that_was_not_begun(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    ask(plan, dialogs, shop, "10", "12")
    assert "8 unpromised of 26-01, add to 26-01 " in told(plan)


def test_the_next_batch_is_told_by_pattern_number_and_methods(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    stage = next(stage for stage in shop.floor.all(Stage) if stage.name == "Bevel")
    press(plan, dialogs, "next")
    press(plan, dialogs, "pattern", str(shop.pattern.id))
    assert plan.state().title.startswith("6 knives: start ")
    assert "| Bevel | " in plan.state().text
    jig = next(method for method in shop.floor.all(Method) if method.name == "jig")
    press(plan, dialogs, "methods", str(stage.id), str(jig.id))
    assert "| Bevel, jig | " in plan.state().text
    press(plan, dialogs, "wanted", "2")
    assert plan.state().title.startswith("2 knives: start ")
    press(plan, dialogs, "wanted", "0")
    assert dialogs.asked[-1].words.startswith("0 is no number from 1 to ")
    press(plan, dialogs, "wanted", "90")
    assert plan.state().title.endswith("Ask for fewer.")
    assert plan.state().text == ""


def test_a_promise_that_no_longer_holds_stands_first_and_in_red(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    """Of eight pieces Brook has one, Ash is served before Fen by the rest: Fen lacks one piece and has no letter."""
    for who, wanted, days in (("Brook", 1, 300), ("Ash", 3, 301), ("Fen", 5, 302)):
        day = shop_time(shop.clock.now_us, zone_of(shop.floor)).date() + timedelta(days=days)
        shop.press(lambda tx, who=who, n=wanted, day=day: orders.take_order(tx, who, shop.pattern, n, day))
    brook = next(order for order in shop.floor.all(CustomerOrder) if order.who == "Brook")
    shop.press(lambda tx: orders.reserve(tx, brook))
    assert [(tile.title, tile.note, tile.note_role) for tile in plan.state().tiles] == [
        ("Fen", "short by 1", "red"),
        ("Brook", "", "straw"),
        ("Ash", "3 without a letter", "straw"),
    ]


def test_bought_out_work_stands_for_a_stage_and_takes_its_days(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    press(plan, dialogs, "costs")
    press(plan, dialogs, "add", "2", "0", "Heat treater", "9,50")
    stage = next(stage for stage in shop.floor.all(Stage) if stage.name == "Harden")
    item = next(shop.floor.all(CostItem))
    press(plan, dialogs, f"cost {item.id}", "stage", str(stage.id))
    press(plan, dialogs, f"cost {item.id}", "days", "10")
    assert plan.state().tiles[-1].note == "for Harden, 10 days away"
    press(plan, dialogs, f"cost {item.id}", "stage", "0")
    assert plan.state().tiles[-1].note == "10 days away"
    press(plan, dialogs, f"cost {item.id}", "days", "0")
    assert dialogs.asked[-1].words == "0 is no number of days from 1 to 365. Nothing was changed."


def test_an_order_that_was_handed_over_can_be_opened_again(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    assert "earlier" not in [tile.key for tile in plan.state().tiles]
    taken = order(plan, dialogs, shop)
    press(plan, dialogs, "day", "2026-11-07")
    press(plan, dialogs, "end", "done")
    assert [(tile.title, tile.detail) for tile in plan.state().tiles] == [
        ("Earlier orders", "1 handed over or fallen through")
    ]
    press(plan, dialogs, "earlier")
    assert plan.state().title == "1 handed over, 0 fallen through"
    assert plan.state().tiles[0].detail == "1 Butter, handed over"
    press(plan, dialogs, f"order {taken.id}", "open")
    assert [tile.title for tile in plan.state().tiles] == ["Brook"]
    assert plan.state().undo == "Brook open again, 21:00"


def test_a_promise_that_has_gone_by_is_dropped_when_an_order_is_opened_again(shop: DiskShop) -> None:
    today = shop_time(shop.clock.now_us, zone_of(shop.floor)).date()
    taken = shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 1, today))
    ended = shop.press(lambda tx: orders.end_order(tx, taken, OrderState.DONE))
    shop.clock.on(60 * 48)
    assert shop.press(lambda tx: orders.reopen(tx, ended)).promised is None


def test_the_price_of_an_order_begins_with_what_is_asked(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    order(plan, dialogs, shop)
    press(plan, dialogs, "price", "80")
    assert dialogs.asked[-1].start == ""
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "90.50"))
    press(plan, dialogs, "price", "")
    press(plan, dialogs, "price", "85")
    assert dialogs.asked[-1].start == "90.50"


class Papers:
    """Takes what is laid out, as a printer does."""

    def __init__(self) -> None:
        self.put_out: list[tuple[str, list[str]]] = []

    def put(self, name: str, make: Make) -> None:
        self.put_out.append((name, [text for page in make(A4) for text in page.texts]))


def test_a_quote_goes_out_with_its_number_and_the_same_again_where_nothing_was_changed(
    plan: PlanPresenter, dialogs: FakeDialogs, shop: DiskShop
) -> None:
    plan.paper = papers = Papers()
    order(plan, dialogs, shop)
    plan.press("quote")
    assert "has no price yet" in dialogs.asked[-1].words
    assert list(shop.floor.all(Quote)) == []
    press(plan, dialogs, "price", "80")
    for _ in range(2):
        plan.press("quote")
    press(plan, dialogs, "deposit", "20")
    plan.press("quote")
    assert [name for name, _ in papers.put_out] == ["Quote 2026-001 Brook"] * 2 + ["Quote 2026-002 Brook"]
    assert "Quote 2026-002" in papers.put_out[-1][1]
    assert "Left to pay" in papers.put_out[-1][1]
    shop.again()
    assert [quote.number for quote in shop.floor.all(Quote)] == ["2026-001", "2026-002"]
