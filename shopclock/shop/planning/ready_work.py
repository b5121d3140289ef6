"""Work that is ready, and how long it takes with the pieces that are ready for it."""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from statistics import median

from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.figures.trend_rows import ENOUGH, TrendRow, Usual, last_rows, usual
from shopclock.shop.recovery.forgotten import piece_us
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Batch, Step
from shopclock.shop.values.kinds import Kind, RuleKind, StepState, WorkKind
from shopclock.shop.work.begin import usual_method
from shopclock.shop.work.loads import Blocked, blocked, room
from shopclock.shop.work.order_rules import rules_of
from shopclock.shop.work.piece_progress import order_of, ready


@dataclass(frozen=True, slots=True)
class KnownMinutes:
    """Known minutes of a stage: per piece, and the set-up of a batch where it was timed."""

    usual: Usual | None = None
    setup_us: int | None = None


def known(floor: ShopFloor, rows: Iterable[TrendRow], step: Step) -> KnownMinutes:
    """Return what the rows of all batches say of a step's stage, by the method it would start with.

    The set-up is the median of those batches; under 4 the route's own stands. A stage's set-up is
    shared by its steps.
    """
    batch, method_id = floor.get(Batch, step.batch_id), usual_method(floor, step)
    last = last_rows(rows, step.stage_id, method_id, batch.pattern_id)
    same = [s for s in floor.steps(batch.id) if s.stage_id == step.stage_id and s.state is StepState.TIMED]
    setup = round(median(row.setup_us for row in last) / max(1, len(same))) if len(last) >= ENOUGH else None
    return KnownMinutes(usual(last, step.stage_id, method_id, batch.pattern_id), setup)


KnownOf = Callable[[Step], KnownMinutes]
"""Returns what is known of a step's stage, by the method it would start with."""


@dataclass(frozen=True, slots=True)
class Effort:
    """Labour of a step: once for the batch, and for each piece; nothing where nobody knows."""

    once_us: int
    each_us: int | None

    def of(self, n: int) -> int | None:
        """Return the labour of n pieces."""
        return self.once_us + self.each_us * n if self.each_us is not None else None


@dataclass(frozen=True, slots=True)
class ReadyWork:
    """A step that pieces are ready for.

    `effort` is labour, `off` the share of a session that is work taken off, `spent_us` the labour
    that these pieces got here before. `about`: the minutes are the route's own, not this shop's.
    `opens` is the wait that begins after it or with it; `follow` is what must be done right after
    it, by a *within* rule. `pieces` are those that there is room for in the step's tool, none where it is
    full or set otherwise; `blocked` says what keeps the others out.
    """

    step: Step
    batch: Batch
    pieces: tuple[int, ...]
    effort: Effort
    about: bool
    off: float
    spent_us: int
    opens: Step | None
    follow: Effort | None
    blocked: Blocked | None

    def need_us(self, n: int) -> int | None:
        """Return the time that n of the pieces need in a session, or nothing where nobody knows.

        What all of them got before is taken off; a piece's time is left at least.
        """
        labour = self.effort.of(n)
        if labour is None:
            return None
        if n == len(self.pieces):
            labour = max(self.effort.of(1) or 0, labour - self.spent_us)
        return round(labour / (1 - self.off))

    @property
    def whole_us(self) -> int | None:
        """The time that all pieces need."""
        return self.need_us(len(self.pieces))

    def fit(self, have_us: int) -> int:
        """Return how many pieces fit. All or none where it is worked in rounds, or something must follow at once."""
        if not self.pieces:
            return 0
        least = 1 if self.step.one_by_one and self.follow is None else len(self.pieces)
        return self._most(have_us, least)

    def part(self, have_us: int) -> int:
        """Return how many pieces a part of it would be for; none where something must follow at once."""
        return self._most(have_us, 1) if self.follow is None else 0

    def _most(self, have_us: int, least: int) -> int:
        fitting = (n for n in range(len(self.pieces), least - 1, -1) if self._fits(n, have_us))
        return next(fitting, 0)

    def _fits(self, n: int, have_us: int) -> bool:
        need, follow = self.need_us(n), self.follow.of(n) if self.follow is not None else 0
        return need is not None and follow is not None and need + round(follow / (1 - self.off)) <= have_us


def ready_work(
    floor: ShopFloor, batch: Batch, now_us: int, known_of: KnownOf, off: float, apart: Collection[tuple[int, int]] = ()
) -> Iterator[ReadyWork]:
    """Yield, in the order of the route, what pieces of a batch are ready for.

    Steps and pieces `apart`, and what pieces are just at, are left out.
    """
    at_it = {(i.step_id, piece) for i in floor.running.values() if i.kind.attended for piece in i.pieces}
    for found in ready(floor, batch.id, now_us):
        pieces = tuple(p for p in found.pieces if (found.step.id, p) not in at_it and (found.step.id, p) not in apart)
        if pieces:
            yield _work(floor, batch, found.step, pieces, now_us, known_of, off)


def _work(
    floor: ShopFloor, batch: Batch, step: Step, pieces: tuple[int, ...], now_us: int, known_of: KnownOf, off: float
) -> ReadyWork:
    following = order_of(floor, batch.id).next_in_strand(step)
    going = room(floor, step, pieces, (), now_us)
    waits = (s for s in (step, following) if s is not None and not s.kind.attended)
    return ReadyWork(
        step=step,
        batch=batch,
        pieces=going,
        effort=_effort(floor, step, known_of(step)),
        about=step.kind.attended and known_of(step).usual is None,
        off=off,
        spent_us=_spent(floor, step, going, now_us),
        opens=next(waits, None),
        follow=_follow(floor, batch, step, known_of),
        blocked=blocked(floor, step, pieces, (), now_us),
    )


def _effort(floor: ShopFloor, step: Step, known: KnownMinutes) -> Effort:
    """Return the labour of a step: a wait has its set-up alone, a watch of a set length lasts that for all."""
    setup = known.setup_us if known.setup_us is not None else step.setup_us or 0
    if not step.kind.attended:
        return Effort(setup, 0)
    if step.kind is Kind.WATCH and step.wait_us:
        return Effort(setup + step.wait_us, 0)
    return Effort(setup, piece_us(floor, step, known.usual))


def _spent(floor: ShopFloor, step: Step, pieces: tuple[int, ...], now_us: int) -> int:
    rows = piece_labour(floor, step.batch_id, now_us)
    return sum(r.us for r in rows if r.step_id == step.id and r.piece_id in pieces and r.work is WorkKind.RUN)


def _follow(floor: ShopFloor, batch: Batch, step: Step, known_of: KnownOf) -> Effort | None:
    """Return the labour of what must follow a step at once, or nothing where nothing must."""
    thens = [
        then
        for rule, first, then in rules_of(floor, batch)
        if rule.kind is RuleKind.WITHIN and first.id == step.id and then.state is StepState.TIMED
    ]
    if not thens:
        return None
    efforts = [_effort(floor, then, known_of(then)) for then in thens]
    each = [e.each_us for e in efforts if e.each_us is not None]
    return Effort(sum(e.once_us for e in efforts), sum(each) if len(each) == len(efforts) else None)
