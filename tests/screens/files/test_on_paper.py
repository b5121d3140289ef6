"""Paper by one press: to a printer or a file, and told where it is."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.paper.page import A4, LETTER, PaperPage, PaperSize
from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.files.on_paper import OnPaper
from shopclock.shop.state import settings
from shopclock.shop.values.errors import ShopError
from tests.screens.batches.reading import press, titles
from tests.screens.batches.story import Shop

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from tests.fake_dialogs import FakeDialogs


@dataclass
class Tray:
    """Takes what is put on paper."""

    names: tuple[str, ...] = ()
    out: list[tuple[str, str, PaperSize]] = field(default_factory=list)
    refuses: str = ""

    def to_pdf(self, pages: Sequence[PaperPage], path: Path, title: str) -> None:
        self._take(path.name, title, pages)

    def to_printer(self, pages: Sequence[PaperPage], name: str, title: str) -> None:
        self._take(name, title, pages)

    def _take(self, where: str, title: str, pages: Sequence[PaperPage]) -> None:
        if self.refuses:
            raise ShopError(self.refuses)
        self.out.append((where, title, pages[0].size))

    def printers(self) -> tuple[str, ...]:
        return self.names

    def size_here(self) -> PaperSize:
        return A4


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path)
    made.batch(made.pattern("Paring 95"), 5)
    yield made
    made.record.close()


@pytest.fixture
def tray() -> Tray:
    return Tray()


@pytest.fixture
def batches(shop: Shop, dialogs: FakeDialogs, tray: Tray, tmp_path: Path) -> BatchesPresenter:
    presenter = BatchesPresenter(shop.record, dialogs, lambda *_: None, lambda: None)
    presenter.paper = OnPaper(shop.record, dialogs, tray, tmp_path)
    press(presenter, presenter.state().tiles[0].title)
    return presenter


def test_without_a_printer_the_card_is_a_file_at_once(
    batches: BatchesPresenter, shop: Shop, dialogs: FakeDialogs, tray: Tray, tmp_path: Path
) -> None:
    name = shop.floor.open_batches()[0].name
    press(batches, "Card")
    assert tray.out == [(f"Card {name}.pdf", f"Card {name}", A4)]
    assert [asked.words for asked in dialogs.asked] == [f"Saved as Card {name}.pdf, in {tmp_path}."]


def test_with_a_printer_it_is_asked_where_to(batches: BatchesPresenter, dialogs: FakeDialogs, tray: Tray) -> None:
    tray.names = ("Inkfall 3", "Garage")
    dialogs.answers = ["printer Garage"]
    press(batches, "Card")
    assert [choice.label for choice in dialogs.asked[0].choices] == ["Inkfall 3", "Garage", "A file"]
    assert [where for where, _, _ in tray.out] == ["Garage"]
    assert dialogs.asked[-1].words.startswith("Sent to Garage: Card ")


def test_going_back_puts_nothing_on_paper(batches: BatchesPresenter, dialogs: FakeDialogs, tray: Tray) -> None:
    tray.names = ("Garage",)
    dialogs.answers = [None]
    press(batches, "Card")
    assert tray.out == []


def test_the_paper_is_what_the_shop_has_set(batches: BatchesPresenter, shop: Shop, tray: Tray) -> None:
    shop.record.press("Paper", lambda tx: settings.set_value(tx, settings.PAPER, "Letter"))
    press(batches, "Card")
    assert [size for _, _, size in tray.out] == [LETTER]


def test_a_refusal_is_told_in_its_sentence(batches: BatchesPresenter, dialogs: FakeDialogs, tray: Tray) -> None:
    tray.refuses = "There is no room. Nothing was written."
    press(batches, "Card")
    assert dialogs.asked[-1].words == tray.refuses


def test_a_closed_batch_needs_no_card(batches: BatchesPresenter, shop: Shop) -> None:
    assert "Card" in titles(batches)
    shop.close(shop.floor.open_batches()[0])
    assert "Card" not in titles(batches)


def test_without_a_window_it_says_so(shop: Shop, dialogs: FakeDialogs) -> None:
    presenter = BatchesPresenter(shop.record, dialogs, lambda *_: None, lambda: None)
    press(presenter, presenter.state().tiles[0].title, "Card")
    assert dialogs.asked[-1].words.endswith("can't be put on paper here. Nothing was written.")
