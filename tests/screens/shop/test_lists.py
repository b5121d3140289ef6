"""Stages, methods, tools, reasons, words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.figures.made_before import made_before
from shopclock.shop.setup.list_edit import reasons
from shopclock.shop.values.entities import Interval, Maker, Method, Stage, Tool
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work.makers import add_maker
from shopclock.shop.work.noting import note_words
from tests.screens.batches.reading import press, tile, titles

if TYPE_CHECKING:
    from shopclock.screens.shop.presenter import ShopPresenter
    from shopclock.shop.values.entities import Pattern
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Shop


def test_a_renamed_stage_stays_the_same_stage_with_its_history(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    shop.work(shop.floor.steps(shop.batch(pattern, 3).id)[0], 10)
    dialogs.answers = ["Saw blanks"]
    press(presenter, "Stages", "Saw out", "Name")
    worked = next(shop.floor.all(Interval))
    assert shop.floor.get(Stage, worked.stage_id).name == "Saw blanks"
    assert presenter.state().title == "Saw blanks"


def test_a_stage_changes_what_new_steps_begin_with_and_no_step_that_is_there(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    batch = shop.batch(pattern, 1)
    dialogs.answers = [Kind.WATCH, str(False)]
    press(presenter, "Stages", "Profile", "Who is needed", "How it is worked")
    stage = shop.floor.stage_by_name("Profile")
    assert stage is not None
    assert (stage.kind, stage.one_by_one) == (Kind.WATCH, False)
    assert shop.floor.steps(batch.id)[1].kind is Kind.HANDS_ON


@pytest.mark.parametrize(("which", "shop_work"), [("piece", False), ("shop", True)])
def test_a_new_stage_is_work_on_pieces_or_shop_work(
    shop: Shop, presenter: ShopPresenter, dialogs: FakeDialogs, which: str, shop_work: bool
) -> None:
    dialogs.answers = [which, "Etch"]
    press(presenter, "Stages", "New stage")
    stage = shop.floor.stage_by_name("Etch")
    assert stage is not None
    assert stage.shop_work is shop_work
    assert ("Who is needed" in titles(presenter)) is not shop_work


def test_a_stage_is_put_away_not_deleted(shop: Shop, pattern: Pattern, presenter: ShopPresenter) -> None:
    press(presenter, "Stages", "Profile", "Put away")
    stage = shop.floor.stage_by_name("Profile")
    assert stage is not None
    assert stage.put_away
    press(presenter, "Bring back")
    assert tile(presenter, "Put away")


def test_a_method_is_added_renamed_and_put_away(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["by file", "name", "with a file", "away"]
    press(presenter, "Stages", "Grind bevels", "Methods", "Add a method", "by file", "with a file")
    made = next(method for method in shop.floor.all(Method) if method.name == "with a file")
    assert made.put_away
    presenter.back()
    assert "with a file" not in tile(presenter, "Methods").detail


def test_a_method_that_was_put_away_comes_back_by_its_name(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["away", "Jig"]
    press(presenter, "Stages", "Grind bevels", "Methods", "jig", "Add a method")
    same = [method for method in shop.floor.all(Method) if method.name == "jig"]
    grind = shop.floor.stage_by_name("Grind bevels")
    assert grind is not None
    assert [m.put_away for m in same if m.stage_id == grind.id] == [False]


def test_a_tool_is_added_with_what_it_holds(shop: Shop, presenter: ShopPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["kiln", "12"]
    press(presenter, "Tools", "Add a tool")
    assert tile(presenter, "kiln").detail == "holds 12"


@pytest.mark.parametrize("typed", ["0", "-1", "1000", "-", "inf", "nan"])
def test_a_tool_can_not_hold_nothing_or_what_is_no_number(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs, typed: str
) -> None:
    before = list(shop.floor.all(Tool))
    dialogs.answers = ["holds", typed]
    press(presenter, "Tools", "oven")
    assert dialogs.asked[-1].words == f"{typed} is no number above 0, up to 999. Nothing was changed."
    assert list(shop.floor.all(Tool)) == before


def test_reasons_are_added_moved_renamed_and_put_away(
    shop: Shop, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["burnt", "earlier", "name", "overheated", "away"]
    press(presenter, "Reasons", "Add a reason", "burnt")
    assert titles(presenter)[-2:] == ["burnt", "other"]
    press(presenter, "burnt", "overheated")
    assert [reason.name for reason in reasons(shop.floor, away=True)] == ["overheated"]
    assert "overheated" not in [reason.name for reason in reasons(shop.floor)]
    assert titles(presenter)[-1] == "overheated"


def test_words_for_notes_are_added_renamed_and_put_away(
    shop: Shop, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    press(presenter, "Reasons", "Words for notes")
    assert titles(presenter) == [word.name for word in note_words(shop.floor)]
    dialogs.answers = ["blue haze", "name", "burnt", "away"]
    press(presenter, "Add a word", "blue haze", "trial")
    assert tile(presenter, "burnt").detail == ""
    assert titles(presenter)[-1] == "trial"
    assert "trial" not in [word.name for word in note_words(shop.floor)]


def test_a_word_is_one_and_many_and_used_at_once(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["mug", "mugs"]
    press(presenter, "Words", "What is worked on")
    assert tile(presenter, "What is worked on").detail == "one mug, two mugs"
    presenter.home()
    press(presenter, "Patterns", "Paring 95", "New batch")
    assert presenter.state().title == "How many mugs of Paring 95"


@pytest.mark.parametrize("away", ["Patterns", "Stages", "Tools", "Reasons", "Words", "Look and sizes"])
def test_back_leads_home_from_everywhere(presenter: ShopPresenter, away: str) -> None:
    press(presenter, away)
    assert presenter.back()
    assert presenter.state().title == "What the shop has"
    assert not presenter.back()


def test_what_was_made_before_timing_began_is_typed_by_method_and_for_whole_pieces(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["40", "x", "12"]
    press(presenter, "Stages", "Grind bevels", "Made before timing began", "jig")
    assert tile(presenter, "jig").detail.startswith("40 ")
    press(presenter, "jig")
    assert "no whole number" in dialogs.asked[-1].words
    assert tile(presenter, "jig").detail.startswith("40 ")
    presenter.back()
    assert tile(presenter, "Made before timing began").detail.startswith("40 ")
    presenter.back()
    press(presenter, "Whole blades made before")
    assert [number for (_, number) in sorted(made_before(shop.floor).items())] == [12, 40]


def test_what_was_made_before_is_each_makers_own_once_there_are_several(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["40"]
    press(presenter, "Stages", "Grind bevels", "Made before timing began", "jig")
    first = next(shop.floor.all(Maker))
    sam, _ = shop.record.press("Maker", lambda tx: add_maker(tx, "Sam", None, "Ann"))
    dialogs.answers = ["7", "41"]
    press(presenter, "jig, Sam")
    assert dialogs.asked[-1].words == "Grind bevels, jig, Sam: made before timing began"
    press(presenter, "jig, Ann")
    assert [tile(presenter, f"jig, {name}").detail for name in ("Ann", "Sam")] == ["41 blades", "7 blades"]
    assert list(made_before(shop.floor, first.id).values()) == [41]
    assert list(made_before(shop.floor, sam.id).values()) == [7]
    assert list(made_before(shop.floor).values()) == [48]
    presenter.back()
    assert tile(presenter, "Made before timing began").detail == "48 blades"
    presenter.back()
    dialogs.answers = [str(sam.id), "12"]
    press(presenter, "Whole blades made before")
    assert [list(made_before(shop.floor, who).values()) for who in (first.id, sam.id)] == [[41], [7, 12]]


def test_undo_takes_back_what_was_made_before(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["40", "7"]
    press(presenter, "Stages", "Grind bevels", "Made before timing began", "jig", "jig")
    presenter.press_undo()
    assert tile(presenter, "jig").detail.startswith("40 ")
    presenter.press_undo()
    assert tile(presenter, "jig").detail.startswith("0 ")
