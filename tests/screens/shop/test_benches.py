"""Benches on Shop's page: who exchanges, when each was heard of, what waits."""

from __future__ import annotations

import re
from contextlib import closing
from dataclasses import dataclass, field, replace
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

    from shopclock.record.press.record import Record
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Gone, Shop


@dataclass
class Exchange:
    standing: Standing
    waiting: int = 0
    changed: Callable[[], object] = field(default=lambda: None)
    looks: int = 0

    def look(self) -> None:
        self.looks += 1


def benches(shop: Shop) -> tuple[BenchHeard, ...]:
    now = datetime.fromtimestamp(shop.record.clock.moment().wall_us / 1e6, UTC)
    return (
        BenchHeard(shop.record.bench.id, "", now, 0),
        BenchHeard(4711, "Kitchen", now - timedelta(minutes=7), 12),
        BenchHeard(4712, "Porch", now - timedelta(days=2), 1),
    )


def shows(record: Record, dialogs: FakeDialogs, gone: Gone, standing: Standing) -> ShopPresenter:
    return shows_exchange(record, dialogs, gone, Exchange(standing))


def shows_exchange(record: Record, dialogs: FakeDialogs, gone: Gone, exchange: Exchange) -> ShopPresenter:
    ways = {("Benches", ""): lambda stack: BenchesPage(stack, exchange)}
    return ShopPresenter(record, dialogs, routes(), gone, ways)


@pytest.fixture
def presenter(shop: Shop, dialogs: FakeDialogs, gone: Gone) -> ShopPresenter:
    return shows(shop.record, dialogs, gone, Standing(benches=benches(shop)))


def test_each_bench_says_when_it_was_heard_and_what_it_has_still_to_take(presenter: ShopPresenter) -> None:
    press(presenter, "In and out", "Benches")
    seen = [(tile.title, tile.detail, tile.note) for tile in presenter.state().tiles]
    assert seen[:2] == [("First bench", "this bench", ""), ("Kitchen", "heard 7 min ago", "12 presses wait")]
    name, heard, waits = seen[2]
    assert (name, waits) == ("Porch", "1 press waits")
    assert heard.startswith("heard ")
    assert "ago" not in heard, "two days are told as a day"


def test_who_opens_benches_has_the_server_tried_at_once(shop: Shop, dialogs: FakeDialogs, gone: Gone) -> None:
    exchange = Exchange(Standing("The server is not reached.", away=True))
    presenter = shows_exchange(shop.record, dialogs, gone, exchange)
    press(presenter, "In and out")
    assert not exchange.looks
    press(presenter, "Benches")
    assert exchange.looks == 1


def test_a_bench_gets_a_name(presenter: ShopPresenter, dialogs: FakeDialogs) -> None:
    dialogs.answers = ["Garage"]
    press(presenter, "In and out", "Benches", "First bench")
    assert presenter.state().tiles[0].title == "Garage"
    assert [bench.name for bench in presenter.record.floor.all(Bench)] == ["Garage"]
    dialogs.answers = ["G" * 41, "Garage by the yard"]
    press(presenter, "Garage")
    assert any("too long" in asked.words for asked in dialogs.asked)
    assert presenter.state().tiles[0].title == "Garage by the yard"


def test_no_two_benches_have_one_name(tmp_path: Path, dialogs: FakeDialogs, gone: Gone) -> None:
    with closing(SeveralBenches(tmp_path, 2, 3)) as several:
        record = several.benches[1].record
        now = datetime.fromtimestamp(record.clock.moment().wall_us / 1e6, UTC)
        presenter = shows(record, dialogs, gone, Standing(benches=(BenchHeard(record.bench.id, "", now, 0),)))
        dialogs.answers = ["first bench"]
        press(presenter, "In and out", "Benches", "Bench 2")
        assert dialogs.asked[-1].words == "There is first bench already. Nothing was changed; choose another name."
        assert presenter.state().tiles[0].title == "Bench 2"


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
        presenter = shows(one.record, dialogs, gone, Standing())
        press(presenter, "In and out", "Benches")
        (tile,) = presenter.state().tiles
        lost, through = re.fullmatch(r"lost (\d\d:\d\d); through (\d\d:\d\d) doesn't count", tile.detail).groups()
        assert (int(through[-2:]) - int(lost[-2:])) % 60 == 9
        assert tile.title == f"A, Saw in {one.record.floor.get(Batch, 1).name}"
        assert not tile.enabled
        assert any("can't be both" in line.text for line in presenter.state().lines)


def test_what_two_benches_changed_apart_is_picked_by_a_press_and_either_may_hold(
    tmp_path: Path, dialogs: FakeDialogs, gone: Gone
) -> None:
    with closing(SeveralBenches(tmp_path, 2, 3, makers=2)) as several:
        for bench, name in zip(several.benches, ("Garage", "Kitchen"), strict=True):
            bench.press(lambda tx, b=bench, n=name: tx.change(replace(tx.floor.get(Bench, b.record.bench.id), name=n)))
        several.level()
        for bench, text in zip(several.benches, ("7", "8"), strict=True):
            several.on(MINUTE_US)
            bench.press(lambda tx, n=text: tx.change(replace(tx.floor.get(Piece, 1), number=n)))
        several.level()
        record = several.benches[0].record
        presenter = shows(record, dialogs, gone, Standing())
        press(presenter, "In and out", "Benches")
        (tile,) = presenter.state().tiles
        assert tile.detail == "number 7 at Garage; 8 at Kitchen, which holds now"
        press(presenter, tile.title)
        assert [(one.title, one.detail) for one in presenter.state().tiles] == [
            ("At Garage", "number 7"), ("At Kitchen, later", "number 8"),
        ]  # fmt: skip
        press(presenter, "At Kitchen, later")
        assert (presenter.state().title, len(presenter.state().tiles)) == ("Benches", 0), "nothing is left to pick"
        assert record.floor.get(Piece, 1).number == "8"
        record.undo()
        press(presenter, tile.title, "At Garage")
        assert record.floor.get(Piece, 1).number == "7"
        assert (presenter.state().title, len(presenter.state().tiles)) == ("Benches", 0)


def test_however_many_were_changed_apart_all_are_listed(tmp_path: Path, dialogs: FakeDialogs, gone: Gone) -> None:
    with closing(SeveralBenches(tmp_path, 2, 12, makers=2)) as several:
        for bench, text in zip(several.benches, ("7", "8"), strict=True):
            several.on(MINUTE_US)
            for number in range(1, 13):
                bench.press(lambda tx, i=number, n=text: tx.change(replace(tx.floor.get(Piece, i), number=f"{n}-{i}")))
        several.level()
        presenter = shows(several.benches[0].record, dialogs, gone, Standing())
        press(presenter, "In and out", "Benches")
        assert len(presenter.state().tiles) == 12


def test_what_was_picked_at_the_other_bench_meanwhile_is_asked_no_more(
    tmp_path: Path, dialogs: FakeDialogs, gone: Gone
) -> None:
    with closing(SeveralBenches(tmp_path, 2, 3, makers=2)) as several:
        for bench, text in zip(several.benches, ("7", "8"), strict=True):
            several.on(MINUTE_US)
            bench.press(lambda tx, n=text: tx.change(replace(tx.floor.get(Piece, 1), number=n)))
        several.level()
        one, other = (bench.record for bench in several.benches)
        presenter = shows(one, dialogs, gone, Standing())
        press(presenter, "In and out", "Benches")
        press(presenter, presenter.state().tiles[0].title)
        other.pick(other.changed_apart(0)[0])
        several.level()
        assert (presenter.state().title, len(presenter.state().tiles)) == ("Benches", 0)
        assert one.floor.get(Piece, 1).number == "7"
