"""Copies on Shop's page: made, listed, sent elsewhere, looked at before one comes back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.rebuild import differences
from shopclock.record.copies.unarchive import unarchive
from shopclock.record.file import copy_files
from shopclock.record.file.copy_files import Keeps
from shopclock.record.file.error_text import Damaged
from shopclock.screens.files.keeping import DAMAGED, ELSEWHERE, SHORT, Keeping
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.shop.pages.copies import CopiesPage
from shopclock.screens.shop.presenter import ShopPresenter
from tests.screens.batches.reading import press, tile
from tests.screens.batches.story import routes

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Gone, Shop

    Drives = Callable[[], Sequence[tuple[str, Path]]]


class Kept:
    """Keeping at a shop, what the strip said, and which copy is wanted back."""

    def __init__(self, shop: Shop, dialogs: FakeDialogs, gone: Gone, drives: Drives) -> None:
        self.said: list[str] = []
        self.wanted: list[Path] = []
        self.opened: list[Path] = []
        self.keeping = Keeping(shop.record, dialogs, AtOnce(), self.said.append, self.wanted.append, self.opened.append)
        files = {("Copies", "of the record"): lambda stack: CopiesPage(stack, self.keeping, drives)}
        self.shop = ShopPresenter(shop.record, dialogs, routes(), gone, files)


@pytest.fixture
def kept(shop: Shop, dialogs: FakeDialogs, gone: Gone, tmp_path: Path) -> Kept:
    (tmp_path / "stick").mkdir()
    shop.pattern("Paring 95")
    return Kept(shop, dialogs, gone, lambda: [("STICK", tmp_path / "stick")])


def test_a_copy_is_made_by_a_press_and_stands_in_the_list_with_age_and_size(
    kept: Kept, shop: Shop, dialogs: FakeDialogs
) -> None:
    press(kept.shop, "In and out", "Copies", "Copy now")
    (made,) = kept.keeping.copies()
    assert dialogs.asked[-1].words == f"The copy is in {made.path.parent}."
    shop.clock.go(90)
    shown, _another_archive = kept.shop.state().tiles
    assert shown.detail == f"1 h old, {made.size / 1_000_000:.1f} MB"
    press(kept.shop, "Copy now")
    assert dialogs.asked[-1].words == "The newest copy has all there is."


def test_an_archive_becomes_a_record_of_its_own_that_the_window_can_open(kept: Kept, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["all"]
    press(kept.shop, "In and out", "Copies", "One archive")
    (archive,) = kept.keeping.archives()
    dialogs.answers = ["stay", "open"]
    record = kept.keeping.record
    for _ in dialogs.answers[:]:
        tile = next(tile for tile in kept.shop.state().tiles if tile.title == archive.path.stem)
        kept.shop.press(tile.key)
        press(kept.shop, "Make a record of it")
    made = sorted(record.path.parent.glob("*of an archive*.shopclock"))
    assert len(made) == 2
    assert kept.opened == [made[0]]
    for one in made:
        assert differences(record.path, one) == {}


def test_an_archive_that_is_none_is_refused_with_a_sentence(kept: Kept, dialogs: FakeDialogs, tmp_path: Path) -> None:
    note = tmp_path / "note.zip"
    note.write_text("two more by Friday")
    dialogs.answers = [str(note)]
    press(kept.shop, "In and out", "Copies", "Another archive", "Make a record of it")
    assert dialogs.asked[-1].words == f"{note} can't be taken: it is not a whole zip. Nothing was changed."
    assert list(tmp_path.rglob("*of an archive*")) == []


def test_copies_go_to_the_stick_that_was_chosen_and_back_beside_the_record(
    kept: Kept, dialogs: FakeDialogs, tmp_path: Path
) -> None:
    dialogs.answers = ["at STICK"]
    press(kept.shop, "In and out", "Copies", "Where to", "Copy now")
    assert [copy.path.parent for copy in kept.keeping.copies()] == [tmp_path / "stick" / "Shopclock copies"]
    dialogs.answers = [""]
    press(kept.shop, "Where to")
    assert kept.keeping.folder == copy_files.usual_folder(kept.keeping.record.path)


def test_a_folder_can_be_typed_and_one_that_is_nowhere_is_refused(
    kept: Kept, dialogs: FakeDialogs, tmp_path: Path
) -> None:
    dialogs.answers = ["typed", str(tmp_path / "stick" / "mine"), "typed", str(tmp_path / "none" / "mine")]
    press(kept.shop, "In and out", "Copies", "Where to", "Where to")
    assert kept.keeping.folder == tmp_path / "stick" / "mine"
    assert dialogs.asked[-1].words == f"There is no folder {tmp_path / 'none'}. Copies go where they went before."


def test_a_copy_says_what_would_be_lost_before_it_comes_back(kept: Kept, shop: Shop, dialogs: FakeDialogs) -> None:
    press(kept.shop, "In and out", "Copies", "Copy now")
    shop.pattern("Boning 150")
    key = kept.shop.state().tiles[0].key
    kept.shop.press(key)
    assert [line.text for line in kept.shop.state().lines] == [
        "Lost would be 1 press since then.",
        "The record as it is now is kept as a copy. The window opens again on the older one.",
    ]
    dialogs.answers = ["leave", "bring"]
    press(kept.shop, "Bring this copy back")
    assert kept.wanted == []
    press(kept.shop, "Bring this copy back")
    assert kept.wanted == [kept.keeping.copies()[0].path]


def test_a_copy_of_a_day_is_made_once_by_itself_and_only_after_a_press(kept: Kept, shop: Shop) -> None:
    kept.keeping.look()
    assert len(kept.keeping.copies()) == 1
    shop.clock.go(30)
    shop.pattern("Boning 150")
    kept.keeping.look()
    assert len(kept.keeping.copies()) == 1
    shop.clock.go(24 * 60)
    kept.keeping.look()
    assert len(kept.keeping.copies()) == 1
    shop.pattern("Spreader")
    kept.keeping.look()
    assert len(kept.keeping.copies()) == 2


def test_a_stick_that_is_gone_is_said_once_and_stops_nothing(kept: Kept, shop: Shop, tmp_path: Path) -> None:
    copy_files.write_keeps(shop.record.path, Keeps(str(tmp_path / "gone" / "copies")))
    for name in ("Boning 150", "Spreader"):
        shop.clock.go(24 * 60)
        shop.pattern(name)
        kept.keeping.look()
    assert [sentence for sentence in kept.said if sentence] == [ELSEWHERE]
    press(kept.shop, "In and out", "Copies")
    assert "is not there" in kept.shop.state().lines[1].text
    assert len(kept.keeping.copies()) == 2


def test_no_place_for_a_copy_at_all_is_said_once(kept: Kept, shop: Shop) -> None:
    copy_files.usual_folder(shop.record.path).write_text("in the way", encoding="utf-8")
    kept.keeping.look()
    shop.pattern("Spreader")
    kept.keeping.look()
    assert [sentence for sentence in kept.said if sentence] == [SHORT]


def test_damage_found_while_the_window_is_open_is_said_with_what_to_do(
    kept: Kept, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def found(*_: object, **__: object) -> None:
        raise Damaged("It is damaged.")

    monkeypatch.setattr("shopclock.screens.files.keeping.keep_copy_if_due", found)
    kept.keeping.look()
    assert kept.said == [DAMAGED]


def test_an_archive_may_leave_out_customers_and_prices(kept: Kept, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["others"]
    press(kept.shop, "In and out", "Copies", "One archive")
    (made,) = copy_files.usual_folder(kept.keeping.record.path).glob("*.zip")
    assert made.name.endswith(" without customers archive.zip")
    assert dialogs.asked[-1].words == f"The archive is {made.name}, in {made.parent}."


def test_one_press_writes_all_of_it_as_an_archive(kept: Kept, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["all"]
    press(kept.shop, "In and out", "Copies", "One archive")
    (made,) = copy_files.usual_folder(kept.keeping.record.path).glob("*.zip")
    assert dialogs.asked[-1].words == f"The archive is {made.name}, in {made.parent}."
    unarchive(made, made.with_suffix(".shopclock"))
    assert differences(kept.keeping.record.path, made.with_suffix(".shopclock")) == {}


def test_without_a_way_to_keep_copies_there_is_no_such_tile(presenter: ShopPresenter) -> None:
    with pytest.raises(StopIteration):
        tile(presenter, "Copies")
