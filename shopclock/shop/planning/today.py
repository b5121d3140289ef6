"""Work for the time there is: what spoils first, what is ready and fits, what cooks."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from shopclock.shop.planning.ready_work import KnownOf, ReadyWork, ready_work
from shopclock.shop.state.shop_floor import ShopFloor, since_us
from shopclock.shop.values.entities import Batch, Interval, Step
from shopclock.shop.work.loads import Blocked, blocked, room
from shopclock.shop.work.order_rules import Deadline, running_out
from shopclock.shop.work.piece_progress import over, ready_at


@dataclass(frozen=True, slots=True)
class Spoils:
    """Pieces of a batch that have to start a step, the first of them by `until_us`.

    `takes` are those that one press starts: all, or as many as its tool has room for now; `blocked` says
    what keeps the others out of it.
    """

    batch: Batch
    first: Step
    then: Step
    pieces: tuple[int, ...]
    since_us: int
    until_us: int
    takes: tuple[int, ...]
    blocked: Blocked | None


@dataclass(frozen=True, slots=True)
class FittingWork:
    """Ready work, how many of its pieces fit in the time there is, and what they need."""

    work: ReadyWork
    n: int
    need_us: int

    @property
    def whole(self) -> bool:
        """True if all its pieces fit."""
        return self.n == len(self.work.pieces)


@dataclass(frozen=True, slots=True)
class Cooking:
    """Pieces in one wait step, or sent out; `ready_us` is when the last of them is ready, if anybody knows."""

    batch: Batch
    step: Step
    pieces: tuple[int, ...]
    since_us: int
    ready_us: int | None
    over: bool


@dataclass(frozen=True, slots=True)
class Waiting:
    """Pieces of a batch that are ready for a step and wait for its tool."""

    batch: Batch
    step: Step
    blocked: Blocked


@dataclass(frozen=True, slots=True)
class Today:
    """Today as one comes into the shop with so much time; `waiting` is ready and has no room in its tool."""

    have_us: int
    spoils: tuple[Spoils, ...]
    fits: tuple[FittingWork, ...]
    longer: tuple[ReadyWork, ...]
    cooking: tuple[Cooking, ...]
    waiting: tuple[Waiting, ...]


def today(floor: ShopFloor, now_us: int, have_us: int, known_of: KnownOf, off: float | None) -> Today:
    """Return what to do with so much time, in microseconds; `off` is the share of a session taken off.

    What fits whole stands before what fits in part. Of these, what lets a wait begin stands first, so
    that it cooks meanwhile; then the older batch; then the order of the route. What starts a *within*
    rule is left out unless what must follow fits too.
    """
    spoiling = spoils(floor, now_us)
    apart = {(step.id, piece) for s in spoiling for step in (s.first, s.then) for piece in s.pieces}
    every = [w for b in floor.open_batches() for w in ready_work(floor, b, now_us, known_of, off or 0.0, apart)]
    work = [w for w in every if w.pieces]
    fits = [FittingWork(w, n, w.need_us(n) or 0) for w in work if (n := w.fit(have_us))]
    fitting = {fit.work.step.id for fit in fits}
    longer = (w for w in work if w.step.id not in fitting and w.follow is None)
    return Today(
        have_us=have_us,
        spoils=spoiling,
        fits=tuple(sorted(fits, key=lambda fit: (not fit.whole, fit.work.opens is None))),
        longer=tuple(sorted(longer, key=lambda w: w.opens is None)),
        cooking=cooking(floor, now_us),
        waiting=tuple(Waiting(w.batch, w.step, w.blocked) for w in every if w.blocked is not None),
    )


def spoils(floor: ShopFloor, now_us: int) -> tuple[Spoils, ...]:
    """Return what spoils, a rule's pieces in a batch together, the soonest first."""
    together: dict[tuple[int, int], list[Deadline]] = defaultdict(list)
    for within in running_out(floor, now_us):
        together[within.batch.id, within.rule.id].append(within)
    return tuple(_spoils(floor, some, now_us) for some in together.values())


def _spoils(floor: ShopFloor, some: list[Deadline], now_us: int) -> Spoils:
    first = some[0]
    pieces = tuple(piece for within in some for piece in within.pieces)
    return Spoils(
        batch=first.batch,
        first=first.first,
        then=first.then,
        pieces=pieces,
        since_us=first.since_us,
        until_us=first.until_us,
        takes=room(floor, first.then, pieces, (), now_us),
        blocked=blocked(floor, first.then, pieces, (), now_us),
    )


def waits(floor: ShopFloor) -> list[Interval]:
    """Return what waits or is away, by its start."""
    return sorted((i for i in floor.running.values() if not i.kind.attended), key=lambda i: (i.start_us, i.id))


def cooking(floor: ShopFloor, now_us: int) -> tuple[Cooking, ...]:
    """Return the waits that go on: the ready ones first, then the soonest, those without a length last.

    Waits of one step that began one by one stand together.
    """
    together: dict[tuple[int | None, bool], list[Interval]] = defaultdict(list)
    for wait in waits(floor):
        together[wait.step_id, over(floor, wait, now_us)].append(wait)
    found = [_cooking(floor, some, now_us) for some in together.values()]
    return tuple(sorted(found, key=lambda c: (not c.over, c.ready_us is None, c.ready_us or c.since_us)))


def _cooking(floor: ShopFloor, some: Iterable[Interval], now_us: int) -> Cooking:
    ordered = list(some)
    step = floor.get(Step, ordered[0].step_id or 0)
    ready = [at for wait in ordered if (at := ready_at(floor, wait)) is not None]
    return Cooking(
        batch=floor.get(Batch, step.batch_id),
        step=step,
        pieces=tuple(piece for wait in ordered for piece in wait.pieces),
        since_us=min(since_us(floor, wait) for wait in ordered),
        ready_us=max(ready) if ready else None,
        over=over(floor, ordered[-1], now_us),
    )
