"""A stage's trend is a maker's own, or that of all together, by a press; for one maker alone nothing of it is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.trends.presenter import MAKER, TrendsPresenter
from shopclock.screens.trends.state import StageState, View
from shopclock.shop.values.entities import Maker, Stage
from shopclock.shop.work import begin, finish
from shopclock.shop.work.makers import add_maker
from tests.fake_dialogs import FakeDialogs
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Batch


def presenter_of(shop: DiskShop) -> TrendsPresenter:
    record = shop.record

    def stages(maker_id: int | None = None) -> object:
        return record.reads.stage_rows(record.instant(), maker_id)

    def whole(maker_id: int | None = None) -> object:
        return record.reads.whole_rows(record.instant(), maker_id)

    found = TrendsPresenter(record, FakeDialogs(), (stages, whole), lambda *_: None, AtOnce())  # type: ignore[arg-type]  # rows
    found.refresh()
    return found


def bevel(shop: DiskShop, batch: Batch, minutes: dict[int, float]) -> None:
    """Bevel one blade after the other, each maker so many minutes at one: the first half is the first maker's."""
    pieces = shop.floor.pieces(batch.id)
    for number, (maker_id, each) in enumerate(minutes.items()):

        def start(tx: Transaction, maker_id: int = maker_id, own: int = number) -> object:
            tx.maker_id = maker_id
            return begin.begin(tx, shop.step("Bevel", batch), [pieces[2 * own].id, pieces[2 * own + 1].id])

        begun = shop.press(start)
        for _ in range(2):
            shop.clock.on(each)
            shop.press(lambda tx, begun=begun: finish.one_done(tx, begun))
        shop.press(lambda tx, begun=begun: begin.end(tx, tx.current(begun)))
        shop.clock.on(5)


def page(presenter: TrendsPresenter) -> StageState:
    state = presenter.state()
    assert isinstance(state, StageState)
    return state


def test_the_same_stage_by_each_maker_and_by_all_together(tmp_path: Path) -> None:
    """Four batches: the first maker takes 10 min a blade each time, Sam 40, 30, 20, 10: Sam alone gets quicker."""
    shop = DiskShop(tmp_path, 4, 4, 4, 4)
    stage = next(s.id for s in shop.floor.all(Stage) if s.name == "Bevel")
    sam = shop.press(lambda tx: add_maker(tx, "Sam", None, "Ann"))
    ann = next(shop.floor.all(Maker))
    for batch, each in zip(shop.batches, (40, 30, 20, 10), strict=True):
        bevel(shop, batch, {ann.id: 10, sam.id: each})
    presenter = presenter_of(shop)
    presenter.press_stage(str(stage))
    presenter.press_view(View.TABLE)
    found = {}
    for _ in range(3):
        state = page(presenter)
        assert state.table is not None
        minutes = next(n for n, column in enumerate(state.table.columns) if column.head.startswith("Min"))
        whose = state.sentence.partition(":")[0] if state.sentence.startswith(("Ann:", "Sam:")) else "all"
        found[whose] = [row.cells[minutes] for row in state.table.rows]
        presenter.press_option(MAKER)
    assert found == {
        "all": ["10.0", "15.0", "20.0", "25.0"],
        "Ann": ["10.0", "10.0", "10.0", "10.0"],
        "Sam": ["10.0", "20.0", "30.0", "40.0"],
    }
    assert dict(page(presenter).options)[MAKER] == "Ann alone"
    shop.record.close()


def test_for_one_maker_there_is_no_such_button(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 4)
    bevel(shop, shop.batches[0], {1: 10})
    presenter = presenter_of(shop)
    presenter.press_stage(str(next(s.id for s in shop.floor.all(Stage) if s.name == "Bevel")))
    assert MAKER not in dict(page(presenter).options)
    shop.record.close()
