"""A record of many years: a hundred thousand intervals, each with its pieces, labour, shares and journal."""

import hashlib
import shutil
import tempfile
import uuid
from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import Path

import sqlalchemy as sa

from shopclock.record.file import schema, write
from shopclock.record.file.engine import writer
from shopclock.record.file.schema import PRESS
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.read.recompute import recompute_trend_rows
from shopclock.shop.figures.derive import Derived
from shopclock.shop.figures.labour import divide
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Batch, Entity, Interval, Method, Pattern, Piece, Step
from shopclock.shop.values.kinds import Certainty, Outcome, WorkKind
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ToyClock

INTERVALS = 100_000
BATCH_SIZE = 7
ROUNDS = 20
MINUTE_US = 60_000_000


def large_record(folder: Path, intervals: int = INTERVALS) -> DiskShop:
    """A shop with so many intervals in closed batches and three open ones; made once for a schema."""
    return opened(kept_record(intervals), folder)


def kept_record(intervals: int) -> Path:
    """Where the record with so many intervals lies; made where there is none."""
    kept = _kept(intervals)
    if not kept.is_file():
        _make(kept, intervals)
    return kept


def opened(kept: Path, folder: Path) -> DiskShop:
    """A copy of a record that is kept, open an hour after its newest press."""
    shop = DiskShop.__new__(DiskShop)
    shop.path = folder / "large.shopclock"
    shutil.copy(kept, shop.path)
    shop.clock = ToyClock(_newest_us(shop.path) + 60 * MINUTE_US)
    shop.record = Record.open(shop.path, shop.clock)
    shop.batches = list(shop.floor.open_batches())
    shop.pattern = next(shop.floor.all(Pattern))
    return shop


def _newest_us(path: Path) -> int:
    with ReadOnlyRecord.open(path) as reading:
        return reading.newest_us


def _kept(intervals: int) -> Path:
    source = "".join(Path(f).read_text(encoding="utf-8") for f in (schema.__file__, write.__file__, __file__))
    name = f"shopclock-speed-{intervals}-{hashlib.sha256(source.encode()).hexdigest()[:12]}"
    return Path(tempfile.gettempdir()) / name


def _make(kept: Path, intervals: int) -> None:
    with tempfile.TemporaryDirectory(dir=kept.parent) as name:
        shop = DiskShop(Path(name), 7, 5, 12)
        shop.close()
        engine = writer(shop.path)
        with engine.connect() as connection:
            connection.connection.driver_connection.execute("PRAGMA synchronous = OFF")
        with engine.begin() as connection:
            years = _Years(shop)
            for n in range(1, intervals // years.per_batch + 1):
                years.write_batch(connection, n)
            write.write_stage_rows(connection, dict(recompute_trend_rows(connection)))
        engine.dispose()
        shop.path.replace(kept)


class _Years:
    """Closed batches one after the other since the shop was made; every interval by a press of its own."""

    def __init__(self, shop: DiskShop) -> None:
        floor = self.floor = shop.floor
        self.model = shop.batches[0]
        self.steps = [step for step in floor.steps(self.model.id) if step.kind.attended]
        self.pieces = floor.pieces(self.model.id)
        self.per_batch = len(self.steps) * ROUNDS
        self.methods = {m.stage_id: m.id for m in floor.all(Method)}
        self.presses: list[write.Row] = []
        self.pressed = 1_000
        self.now_us = self.model.started_us
        self.first = dict.fromkeys((Batch, Step, Piece, Interval), 1_000_000)

    def write_batch(self, connection: sa.Connection, n: int) -> None:
        self.presses = []
        things = list(self._batch(n))
        connection.execute(PRESS.insert(), self.presses)
        write.write_changes(connection, self.presses[-1]["id"], [Change(None, thing) for thing in things])
        derived = Derived()
        for thing in things:
            if isinstance(thing, Interval) and thing.end_us is not None:
                derived.labour[thing.id] = labour = thing.end_us - thing.start_us
                even = zip(thing.pieces, divide(labour, [1] * len(thing.pieces)), strict=True)
                derived.shares[thing.id] = tuple(even)
        write.write_derived(connection, derived)

    def _new(self, like: Entity, **changed: object) -> Entity:
        kind = type(like)
        self.first[kind] += 1
        return replace(like, id=self.first[kind], uuid=str(uuid.UUID(int=self.first[kind])), **changed)

    def _batch(self, n: int) -> Iterator[Entity]:
        began = self.now_us
        intervals = list(self._stretches())
        batch = self._new(self.model, name=f"{n}", started_us=began, closed_us=self.now_us, next_time="")
        yield batch
        steps = {s.id: self._new(s, batch_id=batch.id) for s in self.floor.steps(self.model.id)}
        yield from steps.values()
        ended = {"outcome": Outcome.FINISHED, "ended_us": self.now_us}
        pieces = [self._new(p, batch_id=batch.id, **ended) for p in self.pieces]
        yield from pieces
        for number, start_us, end_us in intervals:
            step = steps[number]
            assert isinstance(step, Step)
            yield self._interval(batch, step, pieces, start_us, end_us)

    def _stretches(self) -> Iterator[tuple[int, int, int]]:
        for step in self.steps:
            for tx in range(ROUNDS):
                start = self.now_us + (6 * 3600 * 1_000_000 if tx == 0 else 0)
                self.now_us = start + 7 * MINUTE_US + 13 * (tx + step.id)
                self._press(self.now_us)
                yield step.id, start, self.now_us

    def _press(self, at_us: int) -> None:
        number = self.pressed = self.pressed + 1
        plain = {c.name: 0 for c in PRESS.columns} | {"bench_id": 1, "maker_id": 1, "undoable": 1}
        text = {"what": "Bevel", "boot_id": "an earlier one", "uuid": str(uuid.UUID(int=number))}
        self.presses.append(plain | text | {
            "id": number, "sequence": number, "at_us": at_us, "wall_us": at_us, "order_us": at_us,
        })  # fmt: skip

    def _interval(self, batch: Entity, step: Step, pieces: list[Entity], start_us: int, end_us: int) -> Interval:
        number = self.first[Interval] = self.first[Interval] + 1
        plain = dict.fromkeys((f.name for f in fields(Interval)), None)
        return Interval(**plain | {
            "id": number, "uuid": str(uuid.UUID(int=number)), "batch_id": batch.id, "step_id": step.id,
            "stage_id": step.stage_id, "maker_id": 1, "method_id": self.methods.get(step.stage_id), "kind": step.kind,
            "work": WorkKind.RUN, "start_us": start_us, "end_us": end_us, "start_sure": Certainty.PRESSED,
            "end_sure": Certainty.PRESSED, "together": False, "shop_c": None, "pieces": tuple(p.id for p in pieces),
        })  # type: ignore[arg-type]  # fields by their names  # fmt: skip
