"""What the disk says reaches the maker as a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING, NoReturn

from shopclock.shop.values.errors import ShopError
from tests.screens.batches.reading import press

if TYPE_CHECKING:
    import pytest

    from shopclock.screens.batches.presenter import BatchesPresenter
    from shopclock.shop.values.entities import Batch
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Shop

SENTENCE = "The disk gave an error. Nothing was changed."


def broken(*_: object) -> NoReturn:
    raise ShopError(SENTENCE)


def test_a_list_that_can_not_be_read_says_so_in_its_place(
    shop: Shop, presenter: BatchesPresenter, batch: Batch, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.close(batch)
    monkeypatch.setattr(shop.record.reads, "batches", broken)
    assert presenter.state().title == SENTENCE


def test_a_batch_that_can_not_be_read_says_so_and_opens_no_page(
    shop: Shop, presenter: BatchesPresenter, batch: Batch, dialogs: FakeDialogs, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.close(batch)
    monkeypatch.setattr(shop.record, "load_batch", broken)
    press(presenter, f"{batch.name} Paring 95")
    assert dialogs.asked[-1].words == SENTENCE
    assert len(presenter.state().trail) == 1


def test_a_press_that_can_not_be_kept_says_so_and_changes_nothing(
    shop: Shop, presenter: BatchesPresenter, batch: Batch, dialogs: FakeDialogs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shopclock.record.file.write.write_press", broken)
    press(presenter, f"{batch.name} Paring 95", "One more blade")
    assert dialogs.asked[-1].words == SENTENCE
    assert len(shop.floor.pieces(batch.id)) == 7
