"""Benches on Shop's page: who exchanges, when each was heard of, what waits."""

from __future__ import annotations

import re
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from shopclock.record.server.exchange import Standing
from shopclock.record.server.server import BenchHeard
from shopclock.screens.shop.pages.benches import BenchesPage, told
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.shop.values.entities import Batch, Bench, Piece
from shopclock.shop.work import finish, pieces
from tests.record.joining.several import Shop as SeveralBenches
from tests.record.machine import MINUTE_US
from tests.screens.batches.reading import press
from tests.screens.batches.story import routes

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Gone, Shop


@dataclass
class Exchange:
    standing: Standing
    waiting: int = 0
    changed: Callable[[], object] = field(default=lambda: None)


def benches(shop: Shop) -> tuple[BenchHeard, ...]:
    now = datetime.fromtimestamp(shop.record.clock.moment().wall_us / 1e6, UTC)
    return (
        BenchHeard(shop.record.bench.id, "", now, 0, 2),
        BenchHeard(4711, "Kitchen", now - timedelta(minutes=7), 12, 2),
        BenchHeard(4712, "Porch", now - timedelta(days=2), 1, 2),
    )


@pytest.fixture
def presenter(shop: Shop, dialogs: FakeDialogs, gone: Gone) -> ShopPresenter:
    shown = Exchange(Standing(benches=benches(shop)))
    return ShopPresenter(
        shop.record, dialogs, routes(), gone, {("Benches", ""): lambda stack: BenchesPage(stack, shown)}
    )


def test_each_bench_says_when_it_was_heard_and_what_it_has_still_to_take(presenter: ShopPresenter) -> None:
    press(presenter, "In and out", "Benches")
    seen = [(tile.title, tile.detail, tile.note) for tile in presenter.state().tiles]
    assert seen[:2] == [("First bench", "this bench", ""), ("Kitchen", "heard 7 min ago", "12 presses wait")]
    name, heard, waits = seen[2]
    assert (name, waits) == ("Porch", "1 press waits")
    assert heard.startswith("heard ")
    assert "ago" not in heard, "two days are told as a day"


def test_a_bench_gets_a_name(presenter: ShopPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["Garage"]
    press(presenter, "In and out", "Benches", "First bench")
    assert presenter.state().tiles[0].title == "Garage"
    assert [bench.name for bench in presenter.record.floor.all(Bench)] == ["Garage"]


@pytest.mark.parametrize(
    ("standing", "waiting", "said"),
    [
        (Standing(), 0, "All benches that are reached have the same presses."),
        (Standing(), 1, "Sending."),
        (Standing(to_take=3), 0, "3 presses come from other benches."),
        (Standing("The server is not reached. All is kept.", away=True), 2,
         "The server is not reached. All is kept. 2 presses wait here."),
        (Standing("The server is not reached. All is kept.", away=True), 0, "The server is not reached. All is kept."),
        (Standing("This bench's clock is 17 min ahead of the server's. Look which is right."), 4,
         "This bench's clock is 17 min ahead of the server's. Look which is right."),
    ],
)  # fmt: skip
def test_one_sentence_says_how_it_is(standing: Standing, waiting: int, said: str) -> None:
    assert told(standing, waiting) == said


def test_what_cannot_be_at_two_benches_is_told(tmp_path: Path, dialogs: FakeDialogs, gone: Gone) -> None:
    with closing(SeveralBenches(tmp_path, 2, 3, makers=2)) as several:
        one, other = several.benches
        saw = next(step for step in one.record.floor.steps(1) if step.name == "Saw")
        one.press(lambda tx: pieces.lose(tx, tx.floor.get(Piece, 1), saw, "cracked"))
        several.on(9 * MINUTE_US)
        other.press(lambda tx: finish.all_through(tx, saw, [1]))
        several.level()
        shown = Exchange(Standing())
        presenter = ShopPresenter(
            one.record, dialogs, routes(), gone, {("Benches", ""): lambda stack: BenchesPage(stack, shown)}
        )
        press(presenter, "In and out", "Benches")
        (tile,) = presenter.state().tiles
        lost, through = re.fullmatch(r"lost (\d\d:\d\d); through (\d\d:\d\d) doesn't count", tile.detail).groups()
        assert (int(through[-2:]) - int(lost[-2:])) % 60 == 9
        assert tile.title == f"A, Saw in {one.record.floor.get(Batch, 1).name}"
        assert not tile.enabled
        assert any("can't be both" in line.text for line in presenter.state().lines)
