"""Writing the demo: same seed, same figures; never over a file; whole or not at all."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from shopclock.demo import write
from shopclock.demo.shop import DemoShop
from shopclock.shop.values.entities import ENTITIES, Entity, Pattern, Piece, Step
from shopclock.shop.values.errors import ShopError
from tests.demo.conftest import whole

END_US = 1_764_187_200_000_000


def _small(plan: DemoShop) -> DemoShop:
    """The same shop, with its last two closed batches alone."""
    return replace(plan, batches=plan.batches[22:24], last=())


def _things(path: Path) -> list[Entity]:
    floor = whole(path)
    return [replace(thing, uuid="") for kind in ENTITIES for thing in floor.all(kind)]


def test_the_same_seed_and_end_give_the_same_figures(plan: DemoShop, tmp_path: Path) -> None:
    for name in ("one", "two"):
        write.play(tmp_path / name, _small(plan), END_US, seed=7)
    assert _things(tmp_path / "one") == _things(tmp_path / "two")


def test_another_seed_gives_other_figures(plan: DemoShop, tmp_path: Path) -> None:
    for seed in (7, 8):
        write.play(tmp_path / str(seed), _small(plan), END_US, seed=seed)
    assert _things(tmp_path / "7") != _things(tmp_path / "8")


def test_a_file_that_is_there_stays_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "mine.shopclock"
    path.write_text("mine")
    with pytest.raises(ShopError, match="already"):
        write.write_demo(path)
    assert path.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [path]


def test_what_breaks_off_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks_off(path: Path, *_: object) -> None:
        path.write_text("half")
        raise ShopError("The disk is full.")

    monkeypatch.setattr(write, "play", breaks_off)
    with pytest.raises(ShopError, match="full"):
        write.write_demo(tmp_path / "demo.shopclock")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.long
@pytest.mark.parametrize(
    "end",
    [
        "2026-01-05 10:00",  # just after the holidays
        "2026-08-12 03:00",  # in the night after the summer's
        "2026-03-29 23:55",  # the day the clocks go forward
        "2026-10-25 00:30",  # the night they go back
        "2027-04-22 07:30",
    ],
)
def test_whenever_it_ends_it_ends_with_the_same_three_batches(end: str, plan: DemoShop, tmp_path: Path) -> None:
    end_us = round(datetime.fromisoformat(end).replace(tzinfo=ZoneInfo(plan.zone)).timestamp()) * 1_000_000
    write.write_demo(tmp_path / "demo", end_us)
    floor = whole(tmp_path / "demo")
    opened = [(floor.get(Pattern, b.pattern_id).name, len(floor.living(b.id))) for b in floor.open_batches()]
    assert opened == [("Paring 95", 6), ("Cook's 180", 6), ("Oyster", 8)]
    assert [floor.get(Step, i.step_id or 0).name for i in floor.running.values()] == ["Temper 2"]
    assert any(piece.from_piece_id for piece in floor.all(Piece))
