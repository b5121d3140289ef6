"""A chart saved to a chosen file: whole or not at all, and a sentence where it can't be."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QImage

from shopclock.screens.files.exporting import free_place
from shopclock.screens.files.saving import marked, save_both, save_picture
from shopclock.shop.state.demo_mark import mark_demo
from shopclock.shop.values.errors import ShopError
from shopclock.views.bars_picture import BarsPicture
from shopclock.widgets.bars import Bars
from tests.record.on_disk import DiskShop
from tests.widgets.conftest import family, look, make_look

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style

__all__ = ["family", "look", "make_look"]


@pytest.fixture
def bars(qtbot: QtBot, look: Style) -> Bars:
    made = Bars(look)
    qtbot.addWidget(made)
    made.resize(400, 200)
    made.show_picture(BarsPicture(heading="Minutes of each blade"))
    return made


@pytest.mark.parametrize("name", ["bevels.png", "bevels.svg", "BEVELS.SVG"])
def test_the_ending_says_how_it_is_saved(bars: Bars, look: Style, tmp_path: Path, name: str) -> None:
    save_picture(bars, look, "Grind bevels", tmp_path / name)
    begins = (tmp_path / name).read_bytes()
    assert begins.startswith(b"\x89PNG" if name.endswith("png") else b"<?xml")
    assert [p.name for p in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize(
    ("name", "said"), [("bevels.jpg", "neither"), ("bevels", "neither"), ("no folder/bevels.png", "no folder")]
)
def test_what_cant_be_saved_is_refused_with_a_sentence_and_nothing_is_left(
    bars: Bars, look: Style, tmp_path: Path, name: str, said: str
) -> None:
    with pytest.raises(ShopError, match=said) as refused:
        save_picture(bars, look, "", tmp_path / name)
    assert "Nothing was written" in str(refused.value)
    assert list(tmp_path.iterdir()) == []


def test_both_kinds_lie_beside_each_other_and_older_ones_are_kept(bars: Bars, look: Style, tmp_path: Path) -> None:
    assert save_both(bars, look, "", tmp_path, "Grind bevels 2026") == (
        f"Saved as Grind bevels 2026.png and Grind bevels 2026.svg, in {tmp_path}."
    )
    save_both(bars, look, "", tmp_path, "Grind bevels 2026")
    assert len(list(tmp_path.iterdir())) == 4
    assert not QImage(str(tmp_path / "Grind bevels 2026 (2).png")).isNull()


def test_a_chart_of_the_demo_shop_says_that_it_is_invented(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path)
    assert marked(shop.floor, "Freehand is getting faster.") == "Freehand is getting faster."
    shop.press(mark_demo)
    assert marked(shop.floor, "Freehand is getting faster.").endswith(" The demo shop, every figure invented.")
    shop.close()


def test_a_folder_that_is_closed_gives_the_sentence(bars: Bars, look: Style, tmp_path: Path) -> None:
    assert "Nothing was written" in save_both(bars, look, "", tmp_path / "gone", "Bevels")


@pytest.mark.parametrize(("name", "kept"), [("a/b: c", "a b c"), ("..", "chart"), ("", "chart"), ("Ü 4", "Ü 4")])
def test_a_name_holds_only_what_every_disk_takes(tmp_path: Path, name: str, kept: str) -> None:
    assert free_place(tmp_path, name, ".png").name == f"{kept}.png"
