"""Work that the plate is about: what runs under the hands, what was stopped, or what is ready."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.state import Mode
from shopclock.shop.values.entities import Batch, Interval, Step
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work.begin import last_stopped, step_of, still_there
from shopclock.shop.work.loads import holder, room
from shopclock.shop.work.piece_progress import eligible, holds, ready, theirs

if TYPE_CHECKING:
    from shopclock.shop.state.shop_floor import ShopFloor


@dataclass(frozen=True, slots=True)
class CurrentWork:
    """Work in hand: its interval if it was ever started, its step, its pieces, its batch."""

    mode: Mode
    interval: Interval | None = None
    step: Step | None = None
    pieces: tuple[int, ...] = ()
    batch: Batch | None = None

    @property
    def running(self) -> bool:
        """True if a clock runs on the plate."""
        return self.mode is Mode.RUNNING


@dataclass(frozen=True, slots=True)
class Selection:
    """Selection of the maker: the batch in sight, and the step asked for, that runs or is in another's hands."""

    batch_id: int | None
    step_id: int | None = None


def running_by(floor: ShopFloor, maker_id: int) -> list[Interval]:
    """Return what a maker runs: by hand first, then watches, the newest first."""
    found = [i for i in floor.running.values() if i.maker_id == maker_id and i.kind.attended]
    return sorted(found, key=lambda i: (i.kind is not Kind.HANDS_ON, -i.start_us, -i.id))


def current_work(floor: ShopFloor, maker_id: int, eye: Selection, now_us: int) -> CurrentWork:
    """Return what the plate shows: what runs goes before all, then the batch in sight."""
    running = running_by(floor, maker_id)
    if running:
        asked = (i for i in running if i.step_id == eye.step_id and eye.step_id is not None)
        return _of(floor, Mode.RUNNING, next(asked, running[0]))
    batch = floor.find(Batch, eye.batch_id) if eye.batch_id is not None else None
    if batch is None:
        return CurrentWork(Mode.EMPTY)
    wanted = floor.find(Step, eye.step_id) if eye.step_id is not None else None
    if wanted is not None and wanted.batch_id == batch.id and theirs(floor, maker_id, wanted):
        free = eligible(floor, wanted, now_us, theirs(floor, maker_id, wanted))
        return CurrentWork(Mode.READY, None, wanted, room(floor, wanted, free, (), now_us), batch)
    stopped = next((i for i in last_stopped(floor, maker_id) if i.batch_id == batch.id), None)
    if stopped is not None:
        return _of(floor, Mode.STOPPED, stopped)
    return _standing(floor, maker_id, batch, now_us)


def _of(floor: ShopFloor, mode: Mode, interval: Interval) -> CurrentWork:
    pieces = interval.pieces if interval.running else still_there(floor, interval)
    batch = floor.get(Batch, interval.batch_id) if interval.batch_id is not None else None
    return CurrentWork(mode, interval, step_of(floor, interval), pieces, batch)


def _standing(floor: ShopFloor, maker_id: int, batch: Batch, now_us: int) -> CurrentWork:
    """Return what a batch asks for where nothing of it was just stopped: first what its tool has room for.

    What another maker has under the hands is not asked for; where that is all there is, letters can take of it.
    """
    open_now = ready(floor, batch.id, now_us)
    others = {found.step.id: theirs(floor, maker_id, found.step) for found in open_now}
    for found in open_now:
        going = room(floor, found.step, [p for p in found.pieces if p not in others[found.step.id]], (), now_us)
        if going:
            return CurrentWork(Mode.READY, None, found.step, going, batch)
    for found in open_now:
        if others[found.step.id].keys() & set(found.pieces):
            return CurrentWork(Mode.READY, None, found.step, (), batch)
    held = [i for intervals in holds(floor, batch.id).values() for i in intervals]
    if held:
        return _of(floor, Mode.WAITING, min(held, key=lambda i: (i.start_us, i.id)))
    if open_now:
        return CurrentWork(Mode.READY, None, open_now[0].step, open_now[0].pieces, batch)
    return CurrentWork(Mode.THROUGH, batch=batch)


def letters_choose(floor: ShopFloor, hand: CurrentWork) -> bool:
    """Tell whether letters choose who goes in: before a start, and always where a tool is loaded.

    Else the work is by hand and has begun: then a letter says that its piece is through.
    """
    loaded = hand.step is not None and holder(floor, hand.step) is not None
    return loaded or hand.mode not in (Mode.RUNNING, Mode.STOPPED)


def chain(floor: ShopFloor, interval: Interval) -> list[Interval]:
    """Return what one press began, the newest stretch first: a split starts no new clock."""
    found = [interval]
    while (earlier := floor.find(Interval, found[-1].continues_id or 0)) is not None:
        found.append(earlier)
    return found
