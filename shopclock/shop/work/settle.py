"""Contradictions between benches settled: what was pressed apart, as it can have been, alike at every bench.

One pass, in which only starts cut and no rule moves a start; of two stretches the one that started earlier gives way
(by start, then by number). What a single bench was pressed is never touched: its rules let no contradiction in.
"""

import uuid
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from shopclock.shop.values.entities import Batch, Both, Interval, Leaving, Piece, Step, Tally
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from shopclock.shop.values.ranges import PARTS, part_of, range_of

EVER = 2**63
"""The end of what runs."""


@dataclass(slots=True)
class Work:
    """Work as pressed: what bears on each other of it. `steps` and `pieces` are those that the intervals name."""

    intervals: list[Interval] = field(default_factory=list)
    tallies: list[Tally] = field(default_factory=list)
    leavings: list[Leaving] = field(default_factory=list)
    boths: list[Both] = field(default_factory=list)
    steps: dict[int, Step] = field(default_factory=dict)
    pieces: dict[int, Piece] = field(default_factory=dict)


@dataclass(slots=True)
class Settled:
    """Work as it can have been; parts cut off an interval stand under numbers below nothing."""

    intervals: dict[int, Interval]
    tallies: dict[int, Tally]
    leavings: dict[int, Leaving]


def settle(work: Work) -> Settled:
    """Return work without its contradictions; the same whatever order it comes in."""
    plain = {i.id: _forwards(_of_its_batch(i, work)) for i in work.intervals}
    ordered = sorted((i for i in plain.values() if _end(i) > i.start_us), key=_place)
    pairs = {frozenset((both.interval_id, both.other_id)) for both in work.boths}
    cut = _one_pair_of_hands(ordered, pairs)
    leaves = _one_place_each(cut, work)
    parts = {i.id: _parts(cut.get(i.id, i), leaves.get(i.id, {})) for i in plain.values()}
    tallies = _tallies(work, parts)
    left = (_where_it_was(parts, one) for one in work.leavings)
    leavings = {one.id: one for one in left if one is not None}
    return Settled(_goes_on(part for some in parts.values() for part in some), tallies, leavings)


def _place(interval: Interval) -> tuple[int, int]:
    return interval.start_us, interval.id


def _end(interval: Interval) -> int:
    return EVER if interval.end_us is None else interval.end_us


def _of_its_batch(interval: Interval, work: Work) -> Interval:
    """Return a stretch with pieces of its batch alone: it may have been moved there apart from who was in it.

    Another batch's piece is that of the same letter, as where one bench moves a stretch; nobody where there is none.
    """
    found = [piece for n in interval.pieces if (piece := work.pieces.get(n)) is not None]
    if all(piece.batch_id == interval.batch_id for piece in found):
        return interval
    here = {p.mark: p.id for p in work.pieces.values() if p.batch_id == interval.batch_id}
    own = {p.id if p.batch_id == interval.batch_id else here.get(p.mark, 0) for p in found} - {0}
    pieces = tuple(sorted(own))
    return replace(interval, pieces=pieces) if pieces else replace(interval, pieces=(), end_us=interval.start_us)


def _forwards(interval: Interval) -> Interval:
    """Return a stretch that doesn't end before it starts: then it has no length."""
    backwards = interval.end_us is not None and interval.end_us < interval.start_us
    return replace(interval, end_us=interval.start_us) if backwards else interval


def _one_pair_of_hands(ordered: Iterable[Interval], pairs: set[frozenset[int]]) -> dict[int, Interval]:
    """Return the stretches with each maker at one thing by hand, unless both at once was said of two."""
    found: dict[int, Interval] = {}
    running: dict[int, list[int]] = defaultdict(list)
    for interval in ordered:
        found[interval.id] = interval
        if interval.kind is not Kind.HANDS_ON:
            continue
        beside = [n for n in running[interval.maker_id] if _end(found[n]) > interval.start_us]
        for number in beside:
            other, now = found[number], found[interval.id]
            if frozenset((number, interval.id)) in pairs or (other.together and now.together):
                found[number], found[interval.id] = replace(other, together=True), replace(now, together=True)
            else:
                found[number] = replace(other, end_us=interval.start_us, end_sure=interval.start_sure)
        running[interval.maker_id] = [n for n in beside if _end(found[n]) > interval.start_us] + [interval.id]
    return found


def _one_place_each(cut: Mapping[int, Interval], work: Work) -> dict[int, dict[int, int]]:
    """Return who leaves which stretch before its end, and when: for a later one of the strand, or for good."""
    leaves: dict[int, dict[int, int]] = defaultdict(dict)
    holds: dict[tuple[int, str], Interval] = {}
    running = {interval.id for interval in work.intervals if interval.running}
    for interval in sorted(cut.values(), key=_place):
        step = work.steps.get(interval.step_id or 0)
        if step is None or _end(interval) == interval.start_us:
            continue
        for number in interval.pieces:
            before = holds.get((number, step.strand))
            if before is not None and _end(before) > interval.start_us:
                leaves[before.id][number] = min(leaves[before.id].get(number, EVER), interval.start_us)
            lost = _lost_us(work.pieces.get(number), running=interval.id in running)
            if interval.start_us < lost < _end(interval):
                leaves[interval.id][number] = min(leaves[interval.id].get(number, EVER), lost)
            holds[number, step.strand] = interval
    return leaves


def _lost_us(piece: Piece | None, *, running: bool) -> int:
    """Return when a piece left the work for good; one that was finished can have been worked on since.

    Of a stretch that was never stopped it left then, whatever its maker began later: what is later moves no end.
    """
    if piece is None or piece.outcome is None or piece.ended_us is None:
        return EVER
    return EVER if piece.outcome.finished and not running else piece.ended_us


def _parts(interval: Interval, leaves: Mapping[int, int]) -> list[Interval]:
    """Return a stretch cut where pieces leave it: its last part keeps its number, and what points at it."""
    end_us = _end(interval)
    until = {number: leaves.get(number, end_us) for number in interval.pieces}
    if not leaves or min(until.values()) >= end_us or end_us == interval.start_us:
        return [interval]
    last_us = max(until.values())
    if last_us <= interval.start_us:  # all of them were elsewhere from its first instant on
        return [replace(interval, end_us=interval.start_us, end_sure=interval.start_sure)]
    cuts = sorted({us for us in until.values() if interval.start_us < us < last_us})
    starts, ends = [interval.start_us, *cuts], [*cuts, last_us]
    if len(cuts) >= PARTS:
        return [interval]
    found: list[Interval] = []
    for place, (start_us, at_us) in enumerate(zip(starts, ends, strict=True)):
        last = at_us == last_us
        number = interval.id if last else part_of(interval.id, place)
        part = replace(
            interval,
            id=number,
            uuid=interval.uuid if last else str(uuid.uuid5(uuid.NAMESPACE_OID, f"{interval.uuid} {place}")),
            start_us=start_us,
            start_sure=interval.start_sure if place == 0 else Certainty.PRESSED,
            continues_id=found[-1].id if found else interval.continues_id,
            pieces=tuple(p for p in interval.pieces if until[p] > start_us),
        )
        if not last or last_us < end_us:
            part = replace(part, end_us=at_us, end_sure=Certainty.PRESSED)
        found.append(part)
    return found


def _goes_on(parts: Iterable[Interval]) -> dict[int, Interval]:
    """Return stretches of which each goes on as one other at most, and not before it has ended."""
    found = {part.id: part for part in parts}
    gone_on: set[int] = set()
    for part in sorted(found.values(), key=_place):
        before = found.get(part.continues_id or 0)
        if before is None:
            continue
        if before.id in gone_on or _end(before) > part.start_us:
            found[part.id] = replace(part, continues_id=None)
        else:
            gone_on.add(before.id)
    return found


def _tallies(work: Work, parts: Mapping[int, list[Interval]]) -> dict[int, Tally]:
    """Return the marks that count, each within its piece's time at the step; the earliest of two benches'.

    A mark whose stretch is at another step by now counts without minutes.
    One bench marks a piece again that was done again beside others, knowing of the first mark: both stay.
    """
    found: dict[int, Tally] = {}
    through: dict[tuple[int, int], int] = {}
    for tally in (_at_its_step(t, parts) for t in sorted(work.tallies, key=lambda t: (t.at_us, t.id))):
        piece, of = work.pieces.get(tally.piece_id), parts.get(tally.interval_id or 0)
        if piece is not None and piece.lost and piece.ended_us is not None and tally.at_us > piece.ended_us:
            continue
        again = of is not None and of[-1].work is WorkKind.REWORK
        if not again and through.setdefault((tally.step_id, tally.piece_id), range_of(tally.id)) != range_of(tally.id):
            continue
        found[tally.id] = tally if of is None else _within(tally, of)
    return found


def _at_its_step(tally: Tally, parts: Mapping[int, list[Interval]]) -> Tally:
    of = parts.get(tally.interval_id or 0)
    return tally if of is None or of[-1].step_id == tally.step_id else replace(tally, interval_id=None)


def _within(tally: Tally, of: list[Interval]) -> Tally:
    """Return a mark held within the time that its piece was in hand; without minutes where it never was."""
    whole = [part for part in of if tally.piece_id in part.pieces and _end(part) > part.start_us]
    if len(of) == 1 and of[0].start_us <= tally.at_us <= _end(of[0]):
        return tally
    if not whole:
        return replace(tally, interval_id=None)
    at_us = max(whole[0].start_us, min(tally.at_us, _end(whole[-1])))
    part = next(part for part in whole if at_us <= _end(part))
    return replace(tally, interval_id=part.id, at_us=at_us)


def _where_it_was(parts: Mapping[int, list[Interval]], leaving: Leaving) -> Leaving | None:
    """Return a loss in the part of a stretch that the piece left under the hands; none if that is at another step."""
    some = parts.get(leaving.interval_id, [])
    if some and some[-1].step_id != leaving.step_id:
        return None
    part = next((part for part in some if leaving.at_us <= _end(part)), None)
    return leaving if part is None else replace(leaving, interval_id=part.id)


def still_open(batch: Batch, intervals: Iterable[Interval], closer: int) -> Batch:
    """Return a batch, open again where work of it runs, or was begun after it was closed by who knew nothing of it.

    `closer` is the range of the bench that closed it: what that bench wrote down itself opens nothing again.
    """
    closed_us = batch.closed_us
    if closed_us is None or not any(_later(i, closed_us, closer) for i in intervals):
        return batch
    return replace(batch, closed_us=None)


def _later(interval: Interval, closed_us: int, closer: int) -> bool:
    end_us, start_us = interval.end_us, interval.start_us
    return end_us is None or (end_us > start_us > closed_us and range_of(interval.id) != closer)


def free_names(wanted: Iterable[tuple[int, str]]) -> Iterator[tuple[int, str]]:
    """Yield who gets another name than wanted, and which: the first of a name keeps it, the next is *name.2*.

    `wanted` are numbers and names, first comers first.
    """
    asked = list(wanted)
    taken = {name.casefold() for _, name in asked}
    given: set[str] = set()
    for number, name in asked:
        if name.casefold() in given:
            n = 2
            while (free := f"{name}.{n}").casefold() in taken | given:
                n += 1
            given.add(free.casefold())
            yield number, free
        given.add(name.casefold())
