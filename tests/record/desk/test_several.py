"""Random stories of several benches and their desks: copies taken along and brought back anywhere, all end equal."""

from __future__ import annotations

import random
from contextlib import closing
from typing import TYPE_CHECKING, Any

import pytest

from shopclock.record.check.check import check
from shopclock.record.desk.bringing_back import bring_back, plan
from shopclock.record.desk.looking import look_through
from shopclock.record.desk.taking_along import TAKEN, take_along
from shopclock.shop.state.desk_copy import check_out
from shopclock.shop.values.entities import Bench
from shopclock.shop.values.errors import ShopError
from tests.plenty import parts
from tests.record.joining.several import OneBench, Shop
from tests.record.machine import MINUTE_US, Machine
from tests.shop.amendments import MOVES_US, amend_one
from tests.shop.histories import PRESSES

if TYPE_CHECKING:
    from pathlib import Path

PARTS, STORIES = 20, 200


class Desk(OneBench):
    """A desk's copy of a bench, with a clock of its own."""

    pressed = 0

    def __init__(self, bench: OneBench, path: Path, off_min: int) -> None:
        bench.record.press(TAKEN, check_out, undoable=False)
        take_along(bench.path, path, bench.clock)
        super().__init__(path, Machine(bench.clock.wall_us + off_min * MINUTE_US, boot_id=path.stem))
        self.record.load_since(0)
        self.floor = self.record.floor

    def some(self, rng: random.Random) -> None:
        """Put a few things right, and take the last back at times."""
        as_bench: Any = self
        for _ in range(3):
            amend_one(as_bench, (rng.randrange(10_000), rng.randrange(64), rng.randrange(64), rng.choice(MOVES_US)))
        if rng.random() < 0.2:
            self.undo()


def brought_back(bench: OneBench, desk: Desk, rng: random.Random) -> None:
    """Bring a copy back to any bench that knows of it; each entry that both changed is picked either way."""
    if bench.record.floor.find(Bench, desk.record.bench.id) is None:
        with pytest.raises(ShopError, match="knows nothing of"):
            look_through(bench.path, desk.path)
        return
    found = look_through(bench.path, desk.path)
    picks = [place for place in range(len(found.entries)) if rng.random() < 0.5]
    bring_back(bench.record, plan(bench.path, found, picks))


def told(folder: Path, seed: int, presses: int = 50) -> None:
    rng = random.Random(seed)  # noqa: S311 - no secret
    random.seed(seed)
    desks: list[Desk] = []
    with closing(Shop(folder, 3, 4, 2, makers=3, skews=[rng.randint(-15, 15) for _ in range(3)])) as shop:
        for _ in range(presses):
            shop.on(rng.choice([0, 1, rng.randint(0, 8 * MINUTE_US)]))
            one_step(shop, desks, folder, rng)
            if rng.random() < 0.2:
                one, other = rng.sample(shop.benches, 2)
                sent = other.sent(one.known)
                one.record.take_presses([press for press in sent if rng.random() < 0.9])
        shop.level()
        shop.assert_equal()
        assert [check(bench.path) for bench in (*shop.benches, *desks)] == [[]] * (3 + len(desks))
        for desk in desks:
            desk.close()


def one_step(shop: Shop, desks: list[Desk], folder: Path, rng: random.Random) -> None:
    bench, what = rng.choice(shop.benches), rng.random()
    if what < 0.1:
        bench.undo()
    elif what < 0.16:
        bench.put_back()
    elif what < 0.22 and len(desks) < 3:
        desks.append(Desk(bench, folder / f"desk {len(desks)}.shopclock", rng.randint(-30, 30)))
    elif what < 0.4 and desks:
        rng.choice(desks).some(rng)
    elif what < 0.5 and desks:
        brought_back(bench, rng.choice(desks), rng)
    else:
        bench.one(rng.choice(sorted(PRESSES)), rng.randrange(64), rng.randrange(64))


@pytest.mark.parametrize("seed", [0, 1, 274])
def test_any_story_with_desks_ends_equal(tmp_path: Path, seed: int) -> None:
    told(tmp_path, seed)


@pytest.mark.long
@parts(PARTS)
def test_many_stories_with_desks_end_equal(tmp_path: Path, part: int) -> None:
    for seed in range(100 + part, 100 + STORIES, PARTS):
        folder = tmp_path / str(seed)
        folder.mkdir()
        told(folder, seed)
