"""What a change does: days, minutes and money, worked by hand where they can be."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.forecast.forecast import EVEN, at
from shopclock.analysis.money.cost import SendOut
from shopclock.analysis.plan.what_if import Chosen, Tried, own_minutes, pays_text, sent_out_told, what_if
from shopclock.shop.setup import costs, rates, sent_out, week
from shopclock.shop.values.entities import CostKind, Per
from shopclock.shop.values.money import Manner
from tests.analysis.planned import planned_shop, planner
from tests.screens.plan.plan_shop import timed_shop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.record.on_disk import DiskShop
    from tests.shop.workshop import Shop


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[DiskShop]:
    """Eight blades, open on five evenings of three hours."""
    shop = timed_shop(tmp_path)
    for hours in week.week(shop.floor)[:2]:
        shop.press(lambda tx, hours=hours: week.drop_hours(tx, hours))
    yield shop
    shop.close()


def tried(disk: DiskShop, **chosen: object) -> dict[str, Tried]:
    found = what_if(str(disk.path), disk.clock.now_us, Chosen(disk.pattern.id, **chosen), Manner())  # type: ignore[arg-type]  # by name
    return {one.key: one for one in found.tried}


def test_more_hours_bring_it_nearer_and_more_of_them_no_later(disk: DiskShop) -> None:
    short, long = (tried(disk, evening=(1, start, 1320))["evening"].told for start in (1290, 600))
    assert " later, by " not in short
    assert " sooner, by " in long


def test_a_larger_batch_is_done_later_and_each_piece_takes_no_longer(disk: DiskShop) -> None:
    sizes = tried(disk, sizes=(2, 30))
    assert [sizes[key].title for key in ("size 0", "size 1")] == ["2 blades of Butter", "30 blades of Butter"]
    assert all(" each" in sizes[key].told for key in ("size 0", "size 1"))


def test_a_price_is_told_once_a_rate_is_set(disk: DiskShop) -> None:
    assert "pays" not in tried(disk)["size 0"].told
    disk.press(lambda tx: rates.set_rate(tx, "hour", "30"))
    assert ", pays at EUR\u00a0" in tried(disk)["size 0"].told


def hardening(shop: Shop, per: Per, amount: str) -> None:
    item = shop.press(lambda tx: costs.add_cost(tx, f"Heat treater, {per}", CostKind.BOUGHT_OUT, per, amount))
    shop.press(lambda tx: sent_out.stands_for(tx, item, shop.stage("Bevel")))


def test_from_which_size_on_sending_out_pays_is_what_the_minutes_cost() -> None:
    """Thirty minutes each at 24 an hour are 12 a piece; 7 each and 20 a batch pay from four on: 48 for 48."""
    shop = planned_shop(6)
    shop.press(lambda tx: rates.set_rate(tx, "hour", "24"))
    hardening(shop, Per.PIECE, "7")
    hardening(shop, Per.BATCH, "20")
    found, stage = planner(shop).plan(draws=500), shop.stage("Bevel").id
    told = sent_out_told(shop.floor, found, stage, Manner())
    assert told.price.replace("\u00a0", " ") == "EUR 7.00 each and EUR 20.00 a batch"
    assert told.work.endswith(" less work; pays from 4 blades a batch")
    i = [s.job.stage_id for s in found.forecasts[0].stages].index(stage)
    assert own_minutes(found, stage) == at(found.forecasts[0].minutes[i], EVEN)


def test_without_a_price_or_a_rate_it_says_so() -> None:
    shop = planned_shop(6)
    found, stage = planner(shop).plan(draws=100), shop.stage("Bevel").id
    assert sent_out_told(shop.floor, found, stage, Manner()).price == "no price yet"
    hardening(shop, Per.PIECE, "7")
    assert sent_out_told(shop.floor, found, stage, Manner()).work.endswith("no rate for an hour is set")


@pytest.mark.parametrize(
    ("pays", "said"),
    [
        (SendOut(None, None), "never pays at your rate"),
        (SendOut(1, None), "pays at any size"),
        (SendOut(1, 6), "pays up to 6 blades a batch"),
        (SendOut(3, 6), "pays from 3 to 6 blades a batch"),
        (SendOut(4, None), "pays from 4 blades a batch"),
    ],
)
def test_from_when_it_pays_is_said_in_words(pays: SendOut, said: str) -> None:
    assert pays_text(planned_shop(1).floor, pays) == said
