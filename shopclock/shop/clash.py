"""What makes no sense of a stretch of work, said in one sentence."""

from collections.abc import Iterator

from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Kind
from shopclock.shop.loads import NEARLY, inside, taken
from shopclock.shop.values import Interval, Piece, Stage, Step, Tool
from shopclock.shop.wording import time_text, zone_of

KEPT = "Nothing was changed."


def name_of(floor: Floor, stretch: Interval) -> str:
    """Return what a stretch is called: its step, or the stage of shop work."""
    if stretch.step_id is not None and (step := floor.find(Step, stretch.step_id)):
        return step.name
    return floor.get(Stage, stretch.stage_id).name


def make_sure(floor: Floor, stretch: Interval, now_us: int) -> None:
    """Refuse what makes no sense of a stretch as it stands on the floor; the sentence says why."""
    if stretch.start_us < floor.horizon_us:
        raise ValueError("what is at the same time as an amended stretch has to be on the floor")
    _times(stretch, now_us)
    for other in clashes(floor, stretch):
        raise Refusal(_said(floor, stretch, other))
    _chain(floor, stretch)
    _marks(floor, stretch)
    _lost(floor, stretch)
    make_sure_it_fits(floor)


def make_sure_it_fits(floor: Floor) -> None:
    """Refuse what would leave more in a tool than it holds, or a tool at two settings."""
    for tool in floor.all(Tool) if any(i.load_id is not None for i in floor.running.values()) else ():
        there = inside(floor, tool)
        if tool.capacity is not None and there and (taken(floor, tool) > tool.capacity + NEARLY):
            raise Refusal(f"{tool.name[:1].upper()}{tool.name[1:]} holds {tool.capacity:g}: they would not fit. {KEPT}")
        if len({i.load_id for i in there}) > 1:
            raise Refusal(f"{tool.name[:1].upper()}{tool.name[1:]} had something else in it. {KEPT}")


def clashes(floor: Floor, stretch: Interval) -> list[Interval]:
    """Return what can't be at the same time as a stretch, by start.

    Other work by the same hands, unless both are at once; the same piece in the same strand.
    """
    found = {other.id: other for other in (*_same_hands(floor, stretch), *_same_pieces(floor, stretch))}
    return sorted(found.values(), key=lambda other: (other.start_us, other.id))


def _same_hands(floor: Floor, stretch: Interval) -> Iterator[Interval]:
    if stretch.kind is not Kind.HANDS_ON:
        return
    ended = floor.hands.ended_after(stretch.maker_id, stretch.start_us, stretch.end_us)
    for other in (*(floor.get(Interval, number) for number in ended), *floor.running.values()):
        same = other.maker_id == stretch.maker_id and other.kind is Kind.HANDS_ON
        if same and not (stretch.together and other.together) and share_an_instant(stretch, other):
            yield other


def _same_pieces(floor: Floor, stretch: Interval) -> Iterator[Interval]:
    if stretch.batch_id is None or stretch.step_id is None:
        return
    strand, pieces = floor.get(Step, stretch.step_id).strand, set(stretch.pieces)
    for other in floor.of_batch(Interval, stretch.batch_id):
        step = floor.find(Step, other.step_id) if other.step_id is not None else None
        same = step is not None and step.strand == strand and bool(pieces & set(other.pieces))
        if same and share_an_instant(stretch, other):
            yield other


def share_an_instant(one: Interval, other: Interval) -> bool:
    """Tell whether two stretches are at the same time; touching is not."""
    ends = [stretch.end_us for stretch in (one, other) if stretch.end_us is not None]
    latest = max(one.start_us, other.start_us)
    return one.id != other.id and all(end > latest for end in ends)


def _times(stretch: Interval, now_us: int) -> None:
    end_us = now_us if stretch.end_us is None else stretch.end_us
    if max(stretch.start_us, end_us) > now_us:
        raise Refusal(f"That is later than now. {KEPT}")
    if end_us < stretch.start_us or (stretch.end_us is not None and end_us == stretch.start_us):
        raise Refusal(f"It would end before it starts. {KEPT}")


def _said(floor: Floor, stretch: Interval, other: Interval) -> str:
    name, when = name_of(floor, other), _when(floor, other)
    both = floor.marks(set(stretch.pieces) & set(other.pieces)) if stretch.batch_id == other.batch_id else []
    if both and not (stretch.kind is other.kind is Kind.HANDS_ON):
        return f"{both[0]} is at {name} {when}. {KEPT}"
    return f"{name} is worked by hand {when}. {KEPT}"


def _when(floor: Floor, stretch: Interval) -> str:
    zone = zone_of(floor)
    start = time_text(stretch.start_us, zone)
    return f"since {start}" if stretch.end_us is None else f"from {start} to {time_text(stretch.end_us, zone)}"


def _chain(floor: Floor, stretch: Interval) -> None:
    """Refuse to let a stretch begin before the one that it goes on from has ended."""
    before = floor.find(Interval, stretch.continues_id) if stretch.continues_id is not None else None
    after = floor.find(Interval, floor.hands.continued.get(stretch.id, 0))
    pairs = ((before, stretch), (stretch, after))
    for one, other in pairs:
        if one is not None and other is not None and (one.end_us is None or one.end_us > other.start_us):
            raise Refusal(f"The same work runs {_when(floor, one if other is stretch else other)}. {KEPT}")


def _marks(floor: Floor, stretch: Interval) -> None:
    for tally in floor.hands.done_in(stretch):
        early = tally.at_us < stretch.start_us
        if early or (stretch.end_us is not None and tally.at_us > stretch.end_us):
            mark, at = floor.get(Piece, tally.piece_id).mark, time_text(tally.at_us, zone_of(floor))
            raise Refusal(f"{mark} was done at {at}, {'before that start' if early else 'after that end'}. {KEPT}")


def _lost(floor: Floor, stretch: Interval) -> None:
    for number in stretch.pieces:
        piece = floor.get(Piece, number)
        if piece.outcome is None or piece.ended_us is None:
            continue
        at, lost = time_text(piece.ended_us, zone_of(floor)), not piece.outcome.finished
        if lost and (stretch.end_us is None or stretch.end_us > piece.ended_us):
            raise Refusal(f"{piece.mark} was out of the work at {at}. Take it out of the pieces first. {KEPT}")
        if stretch.running:
            raise Refusal(f"{piece.mark} was finished at {at}, and this still runs. {KEPT}")
