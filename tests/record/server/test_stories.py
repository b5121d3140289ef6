"""Stories of benches and a real server that is killed and comes back: in the end all are level, and nothing is lost."""

import random
from contextlib import closing
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.record.server import joining_in
from shopclock.record.server.sentences import ServerAway
from tests.plenty import parts
from tests.record.joining.several import OneBench, rows_of
from tests.record.machine import MINUTE_US, Machine
from tests.record.on_disk import DiskShop
from tests.record.server.postgres import Postgres
from tests.shop.histories import PRESSES

PARTS, STORIES = 10, 60


def told(seed: int, folder: Path, postgres: Postgres) -> None:
    """Three benches, clocks off by minutes, exchanges now and then; the server is killed, benches are opened again."""
    rng = random.Random(seed)  # noqa: S311 - no secret
    random.seed(seed)
    where = postgres.new_database()
    shop = DiskShop(folder, 4, 2, clock=Machine())
    joining_in.init(shop.record, where)
    shop.close()
    paths = [shop.path, folder / "second.shopclock", folder / "third.shopclock"]
    skews = [rng.randint(-15, 15) for _ in paths]
    clocks = [Machine(shop.clock.wall_us + skew * MINUTE_US, boot_id=f"{n}") for n, skew in enumerate(skews)]
    for path, clock in zip(paths[1:], clocks[1:], strict=True):
        joining_in.join(path, where, clock)
    benches = [OneBench(path, clock) for path, clock in zip(paths, clocks, strict=True)]
    there = True
    for turn in range(50):
        there = kill_or_start(postgres, there=there) if turn % 20 == 13 else there
        some_turn(benches, rng, where, there=there)
    if not there:
        postgres.start()
    pressed = {bench.record.bench.id: bench.record.sequence for bench in benches}
    for _ in range(3):
        for bench in benches:
            exchange(bench, where, there=True)
    for bench in benches:
        assert bench.record.level() == pressed, "what was pressed is everywhere"
        bench.close()
    first, *others = (rows_of(path) for path in paths)
    assert all(rows == first for rows in others)
    assert [check(path) for path in paths] == [[], [], []]


def kill_or_start(postgres: Postgres, *, there: bool) -> bool:
    """Kill the server, or start it again; tells whether it is there."""
    (postgres.kill if there else postgres.start)()
    return not there


def some_turn(benches: list[OneBench], rng: random.Random, where: str, *, there: bool) -> None:
    """A press at one of the benches, an exchange now and then; seldom its window is opened again."""
    for bench in benches:
        bench.clock.on(us=rng.choice([0, 1, rng.randint(0, 8 * MINUTE_US)]))
    place = rng.randrange(len(benches))
    press(benches[place], rng)
    if rng.random() < 0.3:
        exchange(benches[place], where, there=there)
    if rng.random() < 0.04:
        benches[place].close()
        benches[place] = OneBench(benches[place].path, benches[place].clock)


def press(bench: OneBench, rng: random.Random) -> None:
    what = rng.random()
    if what < 0.12:
        bench.undo()
    elif what < 0.2:
        bench.put_back()
    else:
        bench.one(rng.choice(sorted(PRESSES)), rng.randrange(64), rng.randrange(64))


def exchange(bench: OneBench, where: str, *, there: bool) -> None:
    """Exchange once; a server that is not there is told."""
    if there:
        joining_in.exchange(bench.record, where)
        return
    with pytest.raises(ServerAway):
        joining_in.exchange(bench.record, where)


def test_a_story_with_a_server_that_is_killed(tmp_path: Path, postgres: Postgres) -> None:
    told(1, tmp_path, postgres)


@pytest.mark.long
@parts(PARTS)
def test_many_stories_with_a_server_that_is_killed(tmp_path: Path, postgres: Postgres, part: int) -> None:
    for seed in range(100 + part, 100 + STORIES, PARTS):
        folder = tmp_path / str(seed)
        folder.mkdir()
        told(seed, folder, postgres)


def test_what_comes_in_comes_as_a_whole_or_not_at_all(
    tmp_path: Path, where: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = DiskShop(tmp_path, 3, clock=Machine())
    joining_in.init(shop.record, where)
    kitchen = tmp_path / "kitchen.shopclock"
    joining_in.join(kitchen, where, Machine(boot_id="kitchen"))
    for n in range(12):
        OneBenchOf(shop).one("start" if n % 2 else "stop", n, n)
    joining_in.exchange(shop.record, where)
    with closing(Record.open(kitchen, Machine(shop.clock.wall_us, boot_id="later"))) as there:
        before = there.level()
        monkeypatch.setattr("shopclock.record.joining.rework.rework", _fails)
        with pytest.raises(RuntimeError):
            joining_in.exchange(there, where)
        monkeypatch.undo()
        assert there.level() == before
        assert joining_in.exchange(there, where).to_take == 0
    shop.close()
    assert check(kitchen) == []
    assert rows_of(kitchen) == rows_of(shop.path)


class OneBenchOf(OneBench):
    """The bench of a shop that is open already."""

    def __init__(self, shop: DiskShop) -> None:
        self.path, self.clock, self.record = shop.path, shop.clock, shop.record


def _fails(*_: object) -> None:
    raise RuntimeError
