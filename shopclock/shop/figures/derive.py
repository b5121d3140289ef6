"""The derived rows: labour and shares of the intervals that a press touched, or of all."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from shopclock.shop.figures.labour import Part, apart, by_maker, labour_of, parts
from shopclock.shop.figures.shares import Claim, Shares, chain_shares, claims, groups, near_us
from shopclock.shop.state.shop_floor import Memo, ShopFloor
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Interval, Leaving, Piece, Step, Tally
from shopclock.shop.values.kinds import WorkKind


@dataclass(slots=True)
class Derived:
    """Labour by interval, and each interval's shares by piece, in microseconds."""

    labour: dict[int, int] = field(default_factory=dict)
    shares: dict[int, Shares] = field(default_factory=dict)

    def update(self, other: "Derived") -> None:
        """Add those of others."""
        self.labour.update(other.labour)
        self.shares.update(other.shares)


def derived_on(floor: ShopFloor, numbers: Iterable[int], derived: Derived) -> Derived:
    """Set the derived rows of these intervals on the floor; returns those that stood there."""
    former = Derived()
    for number in numbers:
        if number in floor.labour:
            former.labour[number] = floor.labour.pop(number)
        if number in floor.shares:
            former.shares[number] = floor.shares.pop(number)
    floor.labour.update(derived.labour)
    floor.shares.update(derived.shares)
    floor.forget()
    return former


def touched(floor: ShopFloor, changes: Iterable[Change]) -> set[int]:
    """Return the intervals whose labour or shares a press may have changed, gone ones too."""
    found: set[int] = set()
    for change in changes:
        for thing in (change.before, change.after):
            of = floor.find(Interval, thing.interval_id) if isinstance(thing, Tally | Leaving) else thing
            if isinstance(of, Interval):
                found |= {of.id, *(other.id for other in _overlapping(floor, of))}
                if of.continues_id is not None:
                    found.add(of.continues_id)
    return found | {i.id for number in found for i in chain_of(floor, number)}


def derive(floor: ShopFloor, numbers: Collection[int], until_us: int | None = None) -> Derived:
    """Work out labour and shares of these intervals from what stands on the floor.

    Intervals that still run are left out, or count until `until_us` where that is given.
    """
    wanted = {n: i for n in numbers if (i := floor.find(Interval, n)) is not None}
    around = dict(wanted)
    for interval in wanted.values():
        around.update({other.id: other for other in _overlapping(floor, interval)})
    found = _all_parts(floor, around.values(), until_us)
    chains = {chain[0].id: chain for chain in (chain_of(floor, n) for n in wanted)}
    shares = [item for chain in chains.values() for item in _shares(floor, chain, found).items()]
    # Of what ran beside them, and of the rest of their chains, only what bears on them is known here.
    labour = {n: us for n, us in labour_of(found).items() if n in wanted}
    return Derived(labour, {n: share for n, share in shares if n in wanted})


def _all_parts(floor: ShopFloor, intervals: Iterable[Interval], until_us: int | None) -> dict[int, list[Part]]:
    found: dict[int, list[Part]] = {}
    for own in (group for all_own in by_maker(intervals).values() for group in apart(all_own)):
        cuts = [us for interval in own for us in _marked_in(floor, interval)]
        found.update(parts(own, cuts, until_us))
    return found


def _marked_in(floor: ShopFloor, interval: Interval) -> list[int]:
    """Return the instants of marks and losses within an interval; one before or after bears on nothing beside it."""
    marks = [tally.at_us for tally in floor.hands.done_in(interval)]
    marks += [loss.at_us for loss in floor.hands.lost_in(interval)]
    return [us for us in marks if interval.start_us < us and (interval.end_us is None or us < interval.end_us)]


def _shares(floor: ShopFloor, chain: list[Interval], found: dict[int, list[Part]]) -> dict[int, Shares]:
    step = floor.find(Step, chain[0].step_id)
    if step is None:
        return {}
    claimed = _claims(floor, chain, step) if step.one_by_one else []
    return chain_shares(chain, found, claimed, lambda p: floor.get(Piece, p).position)


def _claims(floor: ShopFloor, chain: list[Interval], step: Step) -> list[Claim]:
    lost = [(loss.at_us, loss.piece_id) for i in chain for loss in floor.hands.lost_in(i)]
    return claims(_groups(floor, chain, step), lost)


def _groups(floor: ShopFloor, chain: list[Interval], step: Step) -> list[list[Tally]]:
    done = sorted((t for i in chain for t in floor.hands.done_in(i)), key=lambda t: (t.at_us, t.id))
    return groups(done, near_us(step.minutes_us))


def marked_together(floor: ShopFloor, interval: Interval) -> list[list[Tally]]:
    """Return the marks made in the work that an interval is part of, those together that share a stretch; by when.

    Nothing in rounds, where a mark makes no stretch.
    """
    step = floor.find(Step, interval.step_id)
    if step is None or not step.one_by_one:
        return []
    return _groups(floor, chain_of(floor, interval.id), step)


_ALONE: Memo[int, frozenset[tuple[int, int]]] = Memo()


def marked_alone(floor: ShopFloor, batch_id: int) -> frozenset[tuple[int, int]]:
    """Return the steps and pieces of a batch marked one by one with a stretch of their own: what piece times are."""
    found = floor.memo(_ALONE)
    if batch_id not in found:
        firsts = (i for i in floor.of_batch(Interval, batch_id) if floor.find(Interval, i.continues_id) is None)
        together = (group for first in firsts for group in marked_together(floor, first))
        found[batch_id] = frozenset((m.step_id, m.piece_id) for group in together if len(group) == 1 for m in group)
    return found[batch_id]


def stretch_us(floor: ShopFloor, interval: Interval, piece_id: int, until_us: int) -> int:
    """Return what a piece got, set-up left out, of the work that an interval is part of; what runs counts until now."""
    chain = [i for i in chain_of(floor, interval.id) if i.work is not WorkKind.SETUP]
    shares = derive(floor, [i.id for i in chain], until_us).shares
    return sum(us for own in shares.values() for piece, us in own if piece == piece_id)


def _overlapping(floor: ShopFloor, interval: Interval) -> list[Interval]:
    """Return the attended intervals of the same maker that share an instant with this, itself among them."""
    if not interval.kind.attended:
        return []
    ended = floor.hands.ended_after(interval.maker_id, interval.start_us, interval.end_us)
    running = [other for other in floor.running.values() if _runs_beside(interval, other)]
    return [*(floor.get(Interval, number) for number in ended), *running]


def _runs_beside(interval: Interval, other: Interval) -> bool:
    """Tell whether what still runs takes of the same hands as an interval did, or does."""
    began = interval.end_us is None or other.start_us < interval.end_us
    return began and other.kind.attended and other.maker_id == interval.maker_id


def chain_of(floor: ShopFloor, number: int) -> list[Interval]:
    """Return the chain that an interval belongs to, oldest first; empty if it is gone."""
    interval = floor.find(Interval, number)
    if interval is None:
        return []
    chain = [interval]
    while (earlier := floor.find(Interval, chain[0].continues_id)) is not None:
        chain.insert(0, earlier)
    while (later := floor.hands.continued.get(chain[-1].id)) is not None:
        chain.append(floor.get(Interval, later))
    return chain
