"""What has to hold of a record after any press, whatever the clocks said, and after any restart."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from shopclock.record.check import check as checking
from shopclock.record.file.opening import open_reader
from shopclock.record.file.schema import LABOUR, SHARE
from shopclock.record.press.record import Record
from shopclock.record.read.recompute import recompute_derived
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import ENTITIES, Batch, Entity, Interval, Load, Question, Step
from shopclock.shop.values.kinds import Kind

Things = dict[type[Entity], dict[int, Entity]]


@dataclass(frozen=True)
class Stood:
    """What stood on a floor, questions left out, and the last number that each kind had given."""

    things: Things
    last: dict[type[Entity], int]


def standing(record: Record) -> Stood:
    things = {kind: {thing.id: thing for thing in record.floor.all(kind)} for kind in ENTITIES if kind is not Question}
    return Stood(things, dict(record._numbers._last))


def assert_as_before(record: Record, before: Stood) -> None:
    """A press that was taken back has left nothing: what stood, stands; what it made is gone.

    A thing may be away from the floor, or come onto it, where its batch is closed; it may not differ.
    """
    now = standing(record)
    for kind, stood in before.things.items():
        there = now.things[kind]
        for number, thing in stood.items():
            assert there.get(number, thing) == thing, (there[number], thing)
            assert number in there or _off_the_floor(record.floor, before.things, thing), thing
        for number, thing in there.items():
            assert number in stood or number <= before.last[kind], thing


def assert_same_floor(before: ShopFloor, after: ShopFloor) -> None:
    """What is read from the file is what stood on the floor; closed batches are read when they are asked for."""
    stood = {kind: {thing.id: thing for thing in before.all(kind)} for kind in ENTITIES}
    for kind, things in stood.items():
        read = {thing.id: thing for thing in after.all(kind)}
        for number, thing in things.items():
            assert read.get(number, thing) == thing, (thing, read[number])
            assert number in read or _off_the_floor(after, stood, thing), thing
    for number, us in after.labour.items():
        assert before.labour.get(number, us) == us, number
    for number, shares in after.shares.items():
        assert before.shares.get(number, shares) == shares, number
    assert set(before.running) == set(after.running)


def _off_the_floor(floor: ShopFloor, stood: Things, thing: Entity) -> bool:
    """Tell whether a thing may be on the disk alone: of a closed batch, a load of one, or shop work that has ended."""
    if isinstance(thing, Load):
        return all(interval.load_id != thing.id for interval in floor.all(Interval))
    number = getattr(thing, "batch_id", None)
    step = stood[Step].get(getattr(thing, "step_id", None) or 0)
    if number is None and isinstance(step, Step):
        number = step.batch_id
    if number is None:
        return isinstance(thing, Interval) and not thing.running
    batch = floor.find(Batch, number)
    return batch is not None and batch.closed_us is not None


def assert_moved(before: Interval, after: Interval, by_us: int) -> None:
    """When the clock was put right, both ends moved, or the end alone of what an earlier boot began, or none."""
    ends = [(before.start_us, after.start_us), (before.end_us, after.end_us)]
    start, end = (None if was is None or now is None else now - was for was, now in ends)
    assert (start, end) in {(0, 0), (0, by_us), (by_us, by_us), (0, None), (by_us, None)}


def assert_apart(floor: ShopFloor, now_us: int) -> None:
    """No negative length, nothing still to come, no two things by the same hands or with the same piece at once."""
    by_hand: dict[object, list[Interval]] = defaultdict(list)
    of_piece: dict[object, list[Interval]] = defaultdict(list)
    for interval in floor.all(Interval):
        end_us = now_us if interval.end_us is None else interval.end_us
        assert interval.start_us <= end_us <= now_us, interval
        if interval.kind is Kind.HANDS_ON:
            by_hand[interval.maker_id].append(interval)
        for piece in interval.pieces:
            assert interval.step_id is not None
            of_piece[piece, floor.get(Step, interval.step_id).strand].append(interval)
        assert (interval.step_id is None) == (not interval.pieces), interval
    for pair in (pair for own in by_hand.values() for pair in _at_once(own)):
        assert all(interval.together for interval in pair), pair
    for own in of_piece.values():
        assert not list(_at_once(own)), list(_at_once(own))


def _at_once(intervals: list[Interval]) -> Iterable[tuple[Interval, Interval]]:
    """Yield the pairs that share an instant; what touches, and what has no length, shares none."""
    open_ones: list[Interval] = []
    for interval in sorted(intervals, key=lambda i: (i.start_us, i.id)):
        if interval.start_us == interval.end_us:
            continue
        open_ones = [other for other in open_ones if other.end_us is None or other.end_us > interval.start_us]
        yield from ((other, interval) for other in open_ones)
        open_ones.append(interval)


def assert_kept(path: Path) -> None:
    """On the disk: good sense, both sums to the microsecond, derived rows as when all is worked out anew."""
    with open_reader(path).begin() as connection:
        wrong = [*checking.sense(connection), *checking._sums(connection)]
        assert not wrong, wrong
        labour, shares = {}, {}
        for _, derived in recompute_derived(connection):
            labour.update(derived.labour)
            shares.update({(number, piece): us for number, own in derived.shares.items() for piece, us in own})
        assert {row.interval_id: row.us for row in connection.execute(LABOUR.select())} == labour
        assert {(row.interval_id, row.piece_id): row.us for row in connection.execute(SHARE.select())} == shares
