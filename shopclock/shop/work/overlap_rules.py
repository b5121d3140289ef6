"""Rules of overlap: what makes no sense of an interval, said in one sentence."""

from collections.abc import Iterator

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import time_text, zone_of
from shopclock.shop.values.entities import Interval, Piece, Stage, Step, Tool
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work.loads import NEARLY, inside, taken

KEPT = "Nothing was changed."


def name_of(floor: ShopFloor, interval: Interval) -> str:
    """Return what a stretch is called: its step, or the stage of shop work."""
    if interval.step_id is not None and (step := floor.find(Step, interval.step_id)):
        return step.name
    return floor.get(Stage, interval.stage_id).name


def make_sure(floor: ShopFloor, interval: Interval, now_us: int) -> None:
    """Refuse what makes no sense of a stretch as it stands on the floor; the sentence says why."""
    if interval.start_us < floor.horizon_us:
        raise ValueError("what is at the same time as an amended stretch has to be on the floor")
    _times(interval, now_us)
    for other in clashes(floor, interval):
        raise Refusal(_said(floor, interval, other))
    _chain(floor, interval)
    _marks(floor, interval)
    _lost(floor, interval)
    make_sure_it_fits(floor)


def make_sure_it_fits(floor: ShopFloor) -> None:
    """Refuse what would leave more in a tool than it holds, or a tool at two settings."""
    for tool in floor.all(Tool) if any(i.load_id is not None for i in floor.running.values()) else ():
        there = inside(floor, tool)
        if tool.capacity is not None and there and (taken(floor, tool) > tool.capacity + NEARLY):
            raise Refusal(f"{tool.name[:1].upper()}{tool.name[1:]} holds {tool.capacity:g}: they would not fit. {KEPT}")
        if len({i.load_id for i in there}) > 1:
            raise Refusal(f"{tool.name[:1].upper()}{tool.name[1:]} had something else in it. {KEPT}")


def clashes(floor: ShopFloor, interval: Interval) -> list[Interval]:
    """Return what can't be at the same time as a stretch, by start.

    Other work by the same hands, unless both are at once; the same piece in the same strand.
    """
    found = {other.id: other for other in (*_same_hands(floor, interval), *_same_pieces(floor, interval))}
    return sorted(found.values(), key=lambda other: (other.start_us, other.id))


def _same_hands(floor: ShopFloor, interval: Interval) -> Iterator[Interval]:
    if interval.kind is not Kind.HANDS_ON:
        return
    ended = floor.hands.ended_after(interval.maker_id, interval.start_us, interval.end_us)
    for other in (*(floor.get(Interval, number) for number in ended), *floor.running.values()):
        same = other.maker_id == interval.maker_id and other.kind is Kind.HANDS_ON
        if same and not (interval.together and other.together) and share_an_instant(interval, other):
            yield other


def _same_pieces(floor: ShopFloor, interval: Interval) -> Iterator[Interval]:
    if interval.batch_id is None or interval.step_id is None:
        return
    strand, pieces = floor.get(Step, interval.step_id).strand, set(interval.pieces)
    for other in floor.of_batch(Interval, interval.batch_id):
        step = floor.find(Step, other.step_id) if other.step_id is not None else None
        same = step is not None and step.strand == strand and bool(pieces & set(other.pieces))
        if same and share_an_instant(interval, other):
            yield other


def share_an_instant(one: Interval, other: Interval) -> bool:
    """Tell whether two stretches are at the same time; touching is not."""
    ends = [interval.end_us for interval in (one, other) if interval.end_us is not None]
    latest = max(one.start_us, other.start_us)
    return one.id != other.id and all(end > latest for end in ends)


def _times(interval: Interval, now_us: int) -> None:
    end_us = now_us if interval.end_us is None else interval.end_us
    if max(interval.start_us, end_us) > now_us:
        raise Refusal(f"That is later than now. {KEPT}")
    if end_us < interval.start_us or (interval.end_us is not None and end_us == interval.start_us):
        raise Refusal(f"It would end before it starts. {KEPT}")


def _said(floor: ShopFloor, interval: Interval, other: Interval) -> str:
    name, when = name_of(floor, other), _when(floor, other)
    both = floor.marks(set(interval.pieces) & set(other.pieces)) if interval.batch_id == other.batch_id else []
    if both and not (interval.kind is other.kind is Kind.HANDS_ON):
        return f"{both[0]} is at {name} {when}. {KEPT}"
    return f"{name} is worked by hand {when}. {KEPT}"


def _when(floor: ShopFloor, interval: Interval) -> str:
    zone = zone_of(floor)
    start = time_text(interval.start_us, zone)
    return f"since {start}" if interval.end_us is None else f"from {start} to {time_text(interval.end_us, zone)}"


def _chain(floor: ShopFloor, interval: Interval) -> None:
    """Refuse to let a stretch begin before the one that it goes on from has ended."""
    before = floor.find(Interval, interval.continues_id) if interval.continues_id is not None else None
    after = floor.find(Interval, floor.hands.continued.get(interval.id, 0))
    pairs = ((before, interval), (interval, after))
    for one, other in pairs:
        if one is not None and other is not None and (one.end_us is None or one.end_us > other.start_us):
            raise Refusal(f"The same work runs {_when(floor, one if other is interval else other)}. {KEPT}")


def _marks(floor: ShopFloor, interval: Interval) -> None:
    for tally in floor.hands.done_in(interval):
        early = tally.at_us < interval.start_us
        if early or (interval.end_us is not None and tally.at_us > interval.end_us):
            mark, at = floor.get(Piece, tally.piece_id).mark, time_text(tally.at_us, zone_of(floor))
            raise Refusal(f"{mark} was done at {at}, {'before that start' if early else 'after that end'}. {KEPT}")


def _lost(floor: ShopFloor, interval: Interval) -> None:
    for number in interval.pieces:
        piece = floor.get(Piece, number)
        if piece.outcome is None or piece.ended_us is None:
            continue
        at, lost = time_text(piece.ended_us, zone_of(floor)), not piece.outcome.finished
        if lost and (interval.end_us is None or interval.end_us > piece.ended_us):
            raise Refusal(f"{piece.mark} was out of the work at {at}. Take it out of the pieces first. {KEPT}")
        if interval.running:
            raise Refusal(f"{piece.mark} was finished at {at}, and this still runs. {KEPT}")
