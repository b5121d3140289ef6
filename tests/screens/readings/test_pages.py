"""Readings and the pair of a piece, and the shop's list of what is measured at a stage."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.shop.pages.settings import OnScreen
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.shop.values.entities import Reading, ReadingKind
from shopclock.shop.values.habits import Habits
from shopclock.shop.work.pairs import pair_said
from tests.screens.batches.reading import press, said, tile, titles
from tests.screens.batches.story import Gone, Shop, route_called, routes

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.shop.values.entities import Batch
    from tests.fake_dialogs import FakeDialogs


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path)
    yield made
    made.record.close()


@pytest.fixture
def batch(shop: Shop) -> Batch:
    return shop.batch(shop.pattern("Paring 95", route_called("Stock removal, carbon steel")), 4)


@pytest.fixture
def batches(shop: Shop, batch: Batch, dialogs: FakeDialogs) -> BatchesPresenter:
    made = BatchesPresenter(shop.record, dialogs, Gone(), lambda: None)
    press(made, f"{batch.name} Paring 95")
    return made


@pytest.fixture
def list_of(shop: Shop, batch: Batch, dialogs: FakeDialogs) -> ShopPresenter:
    made = ShopPresenter(shop.record, dialogs, routes(), Gone())
    made.on_screen(OnScreen("a screen", 4.5, 1200.0))
    press(made, "Stages", "Temper", "Readings")
    return made


def kind(shop: Shop, name: str) -> ReadingKind:
    return next(k for k in shop.floor.all(ReadingKind) if k.name == name)


def measure(shop: Shop, page: BatchesPresenter, dialogs: FakeDialogs, typed: str) -> None:
    dialogs.answers = [str(kind(shop, "Hardness").id), typed]
    press(page, "New reading")


def test_a_reading_outside_stays_in_red_with_its_piece(
    shop: Shop, batches: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    press(batches, "C", "Readings")
    assert said(batches) == "None yet."
    measure(shop, batches, dialogs, "55 HRC")
    shown = tile(batches, "Hardness 55 HRC")
    assert shown.role == "red"
    assert shown.detail.startswith("below 57 HRC, target 60 HRC, ")
    batches.back()
    assert said(batches) == "Next is Saw out. Hardness 55 HRC, below 57 HRC."
    assert tile(batches, "Readings").detail == "Hardness 55 HRC, below 57 HRC"


def test_a_reading_is_put_right_gets_a_target_and_is_taken_away(
    shop: Shop, batches: BatchesPresenter, dialogs: FakeDialogs
) -> None:
    press(batches, "C", "Readings")
    measure(shop, batches, dialogs, "55 HRC")
    dialogs.answers = ["again", "58 HRC"]
    press(batches, "Hardness 55 HRC")
    dialogs.answers = ["target", "58.5 HRC"]
    press(batches, "Hardness 58 HRC")
    assert tile(batches, "Hardness 58 HRC").detail.startswith("target 58.5 HRC, ")
    dialogs.answers = ["away"]
    press(batches, "Hardness 58 HRC")
    assert titles(batches) == []
    batches.press_undo()
    assert len(list(shop.floor.all(Reading))) == 1


def test_a_reading_is_written_by_the_place_and_put_right_from_a_point(
    shop: Shop, batches: BatchesPresenter, dialogs: FakeDialogs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shopclock.shop.values.habits._Held.habits", Habits(decimal=","))
    press(batches, "C", "Readings")
    measure(shop, batches, dialogs, "58.5 HRC")
    dialogs.answers = ["again", "59,5 HRC"]
    press(batches, "Hardness 58,5 HRC")
    assert dialogs.asked[-1].start == "58.5", "the pad writes its own point by the place"
    dialogs.answers = ["target", "60,5 HRC"]
    press(batches, "Hardness 59,5 HRC")
    dialogs.answers = ["target", "61 HRC"]
    press(batches, "Hardness 59,5 HRC")
    assert dialogs.asked[-1].start == "60.5"


def test_a_pair_is_set_noted_and_taken_off(batches: BatchesPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["12", "note", "plum burl"]
    press(batches, "C", "Pair of scales", "Pair of scales")
    assert tile(batches, "Pair of scales").detail == "12, plum burl"
    dialogs.answers = ["off"]
    press(batches, "Pair of scales")
    assert tile(batches, "Pair of scales").detail == "none yet"


@pytest.mark.parametrize(("answer", "whose"), [("swap", ("", "7")), ("leave", ("7", "")), (None, ("7", ""))])
def test_a_mix_up_is_told_and_swapped_only_if_wanted(
    shop: Shop,
    batches: BatchesPresenter,
    batch: Batch,
    dialogs: FakeDialogs,
    answer: str | None,
    whose: tuple[str, str],
) -> None:
    dialogs.answers = ["7"]
    press(batches, "A", "Pair of scales")
    batches.back()
    dialogs.answers = ["7", answer]
    press(batches, "B", "Pair of scales")
    assert dialogs.asked[-1].words == f"Pair 7 is on A of {batch.name}"
    assert tuple(pair_said(shop.floor, piece) for piece in shop.floor.pieces(batch.id)[:2]) == whose


def test_the_list_says_limits_and_pattern_and_what_is_common_practice(
    shop: Shop, list_of: ShopPresenter, dialogs: FakeDialogs
) -> None:
    shown = tile(list_of, "Hardness")
    assert (shown.detail, shown.aside) == ("57 to 62 HRC", "Paring 95")
    press(list_of, "Hardness")
    assert said(list_of) == "Common practice, no source. Your own limits take its place."
    dialogs.answers = ["type", "58 HRC"]
    press(list_of, "Lower limit")
    assert tile(list_of, "Lower limit").detail == "58 HRC"
    assert said(list_of) == "What was measured before is held to the limits as they are now."
    dialogs.answers = ["clear", "63 HRC"]
    press(list_of, "Upper limit")
    assert tile(list_of, "Upper limit").detail == "none"
    assert kind(shop, "Hardness").high is None


def test_limits_that_cross_are_refused_in_a_sentence(shop: Shop, list_of: ShopPresenter, dialogs: FakeDialogs) -> None:
    press(list_of, "Hardness")
    dialogs.answers = ["type", "99 HRC"]
    press(list_of, "Lower limit")
    assert dialogs.asked[-1].words == (
        "99 HRC is above 60 HRC: low, target and high have to rise. Nothing was changed."
    )
    assert kind(shop, "Hardness").low == "57"


def test_a_reading_of_the_shops_own(shop: Shop, list_of: ShopPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["Oven", "°C"]
    press(list_of, "Add a reading")
    assert list_of.state().title == "Oven, every pattern"
    dialogs.answers = ["Oven heat", "other", "gas mark"]
    press(list_of, "Name", "Unit")
    assert (kind(shop, "Oven heat").unit, kind(shop, "Oven heat").common_practice) == ("gas mark", False)
    press(list_of, "Put away")
    list_of.back()
    assert tile(list_of, "Oven heat").detail == "put away"
