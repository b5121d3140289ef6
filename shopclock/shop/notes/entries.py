"""Old notes: what a row says, and when its work can have been. The press that makes things of it is `bring_in`'s."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from shopclock.shop.notes.free_time import FreeTime
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import day_text, shop_time, time_text, zone_of
from shopclock.shop.values.entities import Batch, Interval, Pattern, Stage, Step, StepPlan
from shopclock.shop.values.kinds import Certainty, Kind

HOUR_US = 3_600_000_000
BEGINS_US = 9 * HOUR_US
"""Lengths without a time of day are laid from nine in the morning on."""
LONGEST_US = 24 * HOUR_US
"""Nobody works longer than a day; a cure may last."""
NO_NAME = "Old notes"
"""The pattern of notes that name none."""


@dataclass(frozen=True, slots=True)
class NotesEntry:
    """A row: its day from midnight to midnight, start and end where it has a time of day, its length, names as written.

    `known_by` is what the row's own text is known by. Names are "" where the notes have none. A `guessed` length says
    of itself that it is one.
    """

    row: int
    known_by: str
    day_us: int
    next_day_us: int
    start_us: int | None
    end_us: int | None
    length_us: int
    batch: str
    pattern: str
    stage: str
    method: str
    pieces: int | None
    note: str
    guessed: bool = False

    @property
    def batch_key(self) -> str:
        """Key of its batch: its name in any capitals; all that name none are one batch of their pattern."""
        return self.batch.casefold() or f"\0{self.pattern.casefold()}"


@dataclass(frozen=True, slots=True)
class Placed:
    """An entry and the stretch that it becomes."""

    entry: NotesEntry
    kind: Kind
    shop_work: bool
    start_us: int
    end_us: int
    sure: Certainty


@dataclass(frozen=True, slots=True)
class Misfit:
    """A row that can't be taken as it is: what is wrong is said of `what`, a field of Entry."""

    row: int
    what: str
    why: str


def batches_by_name(floor: ShopFloor) -> dict[str, Batch]:
    """Return the batches by their names in small letters, of several the newest."""
    return {batch.name.casefold(): batch for batch in sorted(floor.all(Batch), key=lambda one: one.started_us)}


def batch_named(floor: ShopFloor, name: str) -> Batch | None:
    """Return the batch of a name in any capitals, the newest of several, or nothing."""
    wanted = name.casefold()
    found = [batch for batch in floor.all(Batch) if name and batch.name.casefold() == wanted]
    return max(found, key=lambda batch: batch.started_us, default=None)


def pattern_named(floor: ShopFloor, name: str) -> Pattern | None:
    """Return the pattern of a name in any capitals, or nothing."""
    wanted = name.casefold()
    return next((pattern for pattern in floor.all(Pattern) if pattern.name.casefold() == wanted), None)


def place(
    floor: ShopFloor, entries: Iterable[NotesEntry], maker_id: int, now_us: int, *, measured: bool = False
) -> tuple[tuple[Placed, ...], tuple[Misfit, ...]]:
    """Give each entry its stretch: its own where it says so, else room within its day; and tell which have none.

    Everything at the same time, and the batches that are meant, have to be on the floor. Lengths without a
    time of day are estimated, amended where they were `measured`.
    """
    placing = _Placing(floor, maker_id, now_us, Certainty.AMENDED if measured else Certainty.ESTIMATED)
    some = list(entries)
    timed = [entry for entry in some if entry.start_us is not None]
    laid = [entry for entry in some if entry.start_us is None]
    for entry in (*timed, *laid):
        placing.add(entry)
    placed = tuple(sorted(placing.placed, key=lambda one: (one.start_us, one.entry.row)))
    return placed, tuple(sorted(placing.misfits, key=lambda one: one.row))


class _Placing:
    """State of placing: taken already, placed, could not be placed."""

    def __init__(self, floor: ShopFloor, maker_id: int, now_us: int, guessed: Certainty) -> None:
        self.placed: list[Placed] = []
        self.misfits: list[Misfit] = []
        self._floor = floor
        self._now_us = now_us
        self._guessed = guessed
        self._free = FreeTime()
        self._stages: dict[str, Stage | None] = {}
        self._strands: dict[str, Mapping[int, str]] = {}
        for interval in floor.all(Interval):
            self._free.take(list(_taken_by(floor, interval, maker_id)), interval.start_us, interval.end_us or now_us)

    def add(self, entry: NotesEntry) -> None:
        """Place one entry, or note why it can't be."""
        stage = self._stage(entry.stage)
        kind = stage.kind if stage is not None else Kind.HANDS_ON
        if kind.attended and entry.length_us > LONGEST_US:
            self._misfit(entry, "length", "is longer than a day")
            return
        start_us = self._start(entry, self._keys(entry, stage, kind), kind)
        if start_us is None:
            return
        end_us = start_us + entry.length_us
        sure = Certainty.AMENDED if entry.start_us is not None else self._guessed
        if entry.guessed:
            sure = Certainty.ESTIMATED
        self._free.take(self._keys(entry, stage, kind), start_us, end_us)
        shop_work = stage is not None and stage.shop_work
        self.placed.append(Placed(entry, kind, shop_work, start_us, end_us, sure))

    def _start(self, entry: NotesEntry, keys: list[object], kind: Kind) -> int | None:
        if entry.start_us is not None:
            return self._as_it_says(entry, keys, entry.start_us)
        until_us = min(entry.next_day_us if kind.attended else self._now_us, self._now_us)
        for from_us in (entry.day_us + BEGINS_US, entry.day_us):
            found = self._free.room(keys, entry.length_us, from_us, until_us)
            if found is not None:
                return found
        self._misfit(entry, "length", "has no room in its day beside the rest")
        return None

    def _as_it_says(self, entry: NotesEntry, keys: list[object], start_us: int) -> int | None:
        until_us = self._free.in_the_way(keys, start_us, start_us + entry.length_us)
        if until_us is None:
            return start_us
        zone = zone_of(self._floor)
        when = f"{time_text(until_us, zone)} on {day_text(shop_time(until_us, zone).date())}"
        self._misfit(entry, "start", f"is at the same time as other work, which lasts until {when}")
        return None

    def _misfit(self, entry: NotesEntry, what: str, why: str) -> None:
        self.misfits.append(Misfit(entry.row, what, why))

    def _stage(self, name: str) -> Stage | None:
        if name not in self._stages:
            self._stages[name] = self._floor.stage_by_name(name)
        return self._stages[name]

    def _keys(self, entry: NotesEntry, stage: Stage | None, kind: Kind) -> list[object]:
        """Keys of an entry: the hands, and its batch's pieces in one strand; laid ones keep out of watching too."""
        keys: list[object] = ["hands"] if kind is Kind.HANDS_ON else []
        if entry.start_us is None and kind is Kind.WATCH:
            keys = ["hands"]
        if stage is None or not stage.shop_work:
            strand = self._strand_of(entry).get(stage.id, "") if stage is not None else ""
            keys.append((entry.batch_key, strand))
        return keys

    def _strand_of(self, entry: NotesEntry) -> Mapping[int, str]:
        if entry.batch_key not in self._strands:
            self._strands[entry.batch_key] = strands(self._floor, entry)
        return self._strands[entry.batch_key]


def strands(floor: ShopFloor, entry: NotesEntry) -> Mapping[int, str]:
    """Return in which strand each stage is, by the batch that is there already, else by its pattern's route."""
    batch, pattern = batch_named(floor, entry.batch), pattern_named(floor, entry.pattern or NO_NAME)
    steps: Iterable[StepPlan] = ()
    if batch is not None:
        steps = floor.steps(batch.id)
    elif pattern is not None:
        steps = route_steps(floor, newest_route(floor, pattern))
    found: dict[int, str] = {}
    for step in steps:
        found.setdefault(step.stage_id, step.strand)
    return found


def _taken_by(floor: ShopFloor, interval: Interval, maker_id: int) -> Iterator[object]:
    if interval.maker_id == maker_id and interval.kind is Kind.HANDS_ON:
        yield "hands"
    if interval.batch_id is not None and interval.step_id is not None:
        yield (floor.get(Batch, interval.batch_id).name.casefold(), floor.get(Step, interval.step_id).strand)
