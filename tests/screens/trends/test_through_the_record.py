"""From presses to the sentence: batches worked at a record on disk, read back, said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.trends.presenter import TrendsPresenter
from shopclock.screens.trends.state import StagesState, StageState
from shopclock.shop.values.entities import Interval, Stage
from shopclock.shop.work import acts, begin
from tests.fake_dialogs import FakeDialogs
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.shop.values.entities import Batch


def saw(shop: DiskShop, batch: Batch, minutes: float) -> None:
    """Saw a whole batch; the next step takes it up."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", batch)))
    shop.clock.on(minutes)
    running: Interval = next(iter(shop.floor.running.values()))
    shop.press(lambda tx: acts.go_on(tx, running))
    shop.clock.on(5)
    shop.press(begin.stop)


def test_what_was_pressed_is_what_is_said(tmp_path: Path) -> None:
    """Four batches of 3, sawn in 12, 15, 18 and 21 min: 4, 5, 6, 7 min a blade; the middle half is 4.75 to 6.25.

    By generalised least squares, worked out apart: 13.1 to 34.1 % over all likenesses, 34.5 at the best alone.
    """
    shop = DiskShop(tmp_path, 3, 3, 3, 3)
    for batch, minutes in zip(shop.batches, (12, 15, 18, 21), strict=True):
        saw(shop, batch, minutes)
    record = shop.record
    presenter = TrendsPresenter(
        record, FakeDialogs(), (lambda: record.reads.stage_rows(record.instant()), list), lambda *_: None, AtOnce()
    )
    presenter.refresh()
    stages = presenter.state()
    assert isinstance(stages, StagesState)
    assert [line.cells[0] for line in stages.lines] == ["Saw"]
    presenter.press_stage(str(next(s.id for s in shop.floor.all(Stage) if s.name == "Saw")))
    page = presenter.state()
    assert isinstance(page, StageState)
    assert page.sentence == "Saw is getting slower: 23 % slower each time the count doubles (13 to 34 %)."
    assert page.more.startswith("Next batch of 3: ")
    record.close()
