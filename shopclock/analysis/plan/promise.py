"""Can so many be promised for a day, and at what price? From which pieces, how surely, and whom it would make late."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, LIKELY, SEED, SURER, at, forecast, job_of
from shopclock.analysis.forecast.history import MOST_BLANKS, blanks_for
from shopclock.analysis.forecast.remaining_work import MINUTE_US
from shopclock.analysis.money.cost import NO_ADVICE, asked_said, piece_cost, with_tax
from shopclock.analysis.money.earnings import made_median, price_range, spread
from shopclock.analysis.plan.claims import lacking
from shopclock.analysis.plan.plan import ALL_WORKED, HALF_WORKED, Planner
from shopclock.analysis.plan.rules import DaysRule, PricesRule, PromisedDay, ToldDay
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import (
    Claim,
    batches_of,
    missing,
    open_orders,
    over_promised,
    owed,
    pieces_of,
    promised_day,
    reservable,
    short,
)
from shopclock.shop.setup.costs import asked, costs_of
from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import counted, day_text, instant_of, shop_time, word, zone_of
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.habits import figure
from shopclock.shop.values.money import Manner, money_text

if TYPE_CHECKING:
    from collections.abc import Container, Iterable
    from datetime import date

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.forecast.forecast import Forecast
    from shopclock.analysis.forecast.remaining_work import RemainingWork
    from shopclock.analysis.money.cost import Overhead
    from shopclock.analysis.plan.plan import Plan
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import CustomerOrder

    Day = date  # where a field is called date
    Floats = npt.NDArray[np.float64]
    Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class PromiseCheck:
    """An order's promise: in which share of draws it holds now, and held before; how many pieces it lacks."""

    order: CustomerOrder
    holds: float
    held: float
    lacks: int


@dataclass(frozen=True, slots=True)
class Promise:
    """An answer: where the pieces come from, when they are ready by draw, and how the other promises hold with it.

    `taken`: pieces of open batches, by batch; `blanks`: to start, 0 where none is needed; `into` which open batch they
    go, nothing for a new one. `told` is the place of that batch in the plan. `checks`: each promised order, in
    it and in the plan before it.
    """

    pattern: Pattern
    wanted: int
    taken: dict[int, int]
    blanks: int
    into: int | None
    told: int
    plan: Plan
    ready_min: Floats
    checks: tuple[PromiseCheck, ...]

    @property
    def late(self) -> tuple[PromiseCheck, ...]:
        """Orders that it would make late."""
        return tuple(held for held in self.checks if held.held >= LIKELY > held.holds)

    def holds(self, floor: ShopFloor, day: date) -> float:
        """Return the share of draws in which all are ready by the end of a day."""
        import numpy as np

        return float(np.mean(self.ready_min <= (end_of(floor, day) - self.plan.hours.now_us) / MINUTE_US))

    def day(self, floor: ShopFloor, share: float) -> date | None:
        """Return the day by which this share of draws has all ready; nothing where it is beyond what is looked at."""
        return day_by(floor, self.plan, self.ready_min, share)


def day_by(floor: ShopFloor, found: Plan, ready_min: Floats, share: float) -> date | None:
    """Return the day by which this share of draws is ready; nothing where it is beyond what is looked at."""
    at_us = found.instant(at(ready_min, share))
    return shop_time(at_us, zone_of(floor)).date() if at_us is not None else None


def end_of(floor: ShopFloor, day: date) -> int:
    """Return the instant at which a day of the shop ends."""
    return instant_of(datetime.combine(day + timedelta(days=1), time(), zone_of(floor)))


def promise(planner: Planner, pattern: Pattern, wanted: int, day: date | None = None, draws: int = DRAWS) -> Promise:
    """Look for so many of a pattern: unpromised pieces of open batches first, then more blanks for what is lacking.

    They go into an open batch that wasn't begun, else into a new one; as many as it takes for all that is promised of
    the pattern 19 times in 20. Who was promised an earlier day is served first; without a day it comes after all.
    Refused where sixty don't bring that.
    """
    floor, n = planner.floor, pattern.id
    claim = Claim(n, wanted, day.isoformat() if day is not None else None)
    taken = Counter(piece.batch_id for piece in reservable(floor, claim, wanted))
    first = planner.in_order(dict.fromkeys(taken, claim.promised) if claim.promised is not None else {})
    before = planner.plan_of((*planner.open, *planner.owed(draws)), draws)
    free = {i: left for i, left in before.free(floor, n).items() if i < len(planner.open)}
    needed = owed(floor, n) + wanted
    blanks = _blanks(planner, needed, lacking(needed, free, draws))
    after, blanks, into, told = _started(planner, pattern, needed, first, blanks, draws)
    served = owed(floor, n, claim) + wanted
    held = promises(floor, after, before, claim)
    return Promise(
        pattern, wanted, dict(taken), blanks, into, told, after, after.ready(after.free(floor, n), served), held
    )


def _started(
    planner: Planner, pattern: Pattern, needed: int, first: tuple[RemainingWork, ...], blanks: int, draws: int
) -> tuple[Plan, int, int | None, int]:
    """Plan the open batches in this order with more blanks; in one that is there some more of them may be needed.

    The plan, how many blanks, into which open batch, and the place of that batch or the new one in the plan.
    """
    import numpy as np

    owed_too = planner.owed(draws)
    if not blanks:
        return planner.plan_of((*first, *owed_too), draws), 0, None, 0
    others = tuple(batch for batch in owed_too if batch.pattern_id != pattern.id)
    for n in range(blanks, MOST_BLANKS + 1):
        grown = planner.with_more(first, pattern, n)
        if grown is None:
            break
        at, batches = grown
        found = planner.plan_of((*batches, *others), draws)
        if float(np.mean(lacking(needed, found.free(planner.floor, pattern.id), draws) == 0)) >= SURER:
            return found, n, batches[at].batch_id, at
    found = planner.plan_of((*first, *others, planner.new(pattern, blanks)), draws)
    return found, blanks, None, len(found.batches) - 1


def _blanks(planner: Planner, wanted: int, lacks: Ints) -> int:
    """Return how many to start so that nothing is lacking 19 times in 20."""
    import numpy as np

    if float(np.mean(lacks == 0)) >= SURER:
        return 0
    blanks = blanks_for(lacks, planner.knowledge.history.batches, lacks.size, SEED, SURER)
    if blanks is None:
        raise ShopError(f"{wanted} would take more than {MOST_BLANKS} blanks, as many are lost. Ask for fewer.")
    return blanks


def promises(
    floor: ShopFloor, found: Plan, before: Plan | None = None, claim: Claim | None = None
) -> tuple[PromiseCheck, ...]:
    """Return how the promised orders hold in a plan, and in the one before a change, which may be one more claim.

    Pieces of a batch are as good as each other: who was promised first is served first by those that are not lost.
    What an order has no letter for comes from the pieces that go to nobody, and from what is still to begin.
    """
    told = []
    for order in open_orders(floor):
        day = promised_day(order)
        if day is not None:
            until = (end_of(floor, day) - found.hours.now_us) / MINUTE_US
            now = _share(order_ready(floor, found, order, claim), until)
            held = now if before is None else _share(order_ready(floor, before, order), until)
            told.append(PromiseCheck(order, now, held, short(floor, order)))
    return tuple(told)


def _share(ready_min: Floats, until_min: float) -> float:
    import numpy as np

    return float(np.mean(ready_min <= until_min))


def order_ready(floor: ShopFloor, found: Plan, order: CustomerOrder, claim: Claim | None = None) -> Floats:
    """Return when all of an open order is there, in minutes from now (draws); infinite where too many are lost.

    Its letters are there when their batches are done with enough for it and those promised before it; the rest once
    so many go round. `claim`: one more that is served before it where its turn comes first.
    """
    import numpy as np

    needs, row = Counter[int](), open_orders(floor)
    for other in row[: row.index(order) + 1]:
        needs += Counter(piece.batch_id for piece in pieces_of(floor, other) if piece.outcome is None)
    own = set(batches_of(floor, order))
    parts = [
        np.where(found.forecasts[i].finished >= needs[batch.batch_id], found.done(i), np.inf)
        for i, batch in enumerate(found.batches)
        if batch.batch_id is not None and batch.batch_id in own
    ]
    if lacks := missing(floor, order):
        turn = Claim(order.pattern_id, lacks, order.promised, order.id)
        more = claim.wanted if claim is not None and claim.pattern_id == order.pattern_id and claim < turn else 0
        wanted = owed(floor, order.pattern_id, turn) + more + lacks
        parts.append(found.ready(found.free(floor, order.pattern_id), wanted))
    ready_min: Floats = np.max([np.zeros(found.run.ends.shape[1]), *parts], axis=0)
    return ready_min


TIMES = ((0.95, "19 times in 20"), (0.9, "9 times in 10"), (0.8, "8 times in 10"), (0.5, "5 times in 10"))


def times_text(share: float) -> str:
    """Say how often something holds: 8 times in 10."""
    if share >= 0.975:
        return "nearly always"
    if share < 0.05:
        return "hardly ever"
    tenths = max(1, round(share * 10))
    few = "once in 10" if tenths == 1 else f"{tenths} times in 10"
    return next((said for least, said in TIMES if share >= least), few)


def promise_text(floor: ShopFloor, found: Promise, wanted_by: date | None) -> str:
    """Say the answer in one line: the day that was asked for, the days that hold, and whom it makes late."""
    what = counted(floor, "finished", found.wanted)
    if wanted_by is not None and wanted_by < shop_time(found.plan.hours.now_us, zone_of(floor)).date():
        raise ShopError(f"{day_text(wanted_by)} has gone by. Choose a day from today on.")
    if not found.plan.dated:
        return f"{_by_hours(floor, found, what, wanted_by)}. {late_text(found)}"
    days = {share: found.day(floor, share) for share in (LIKELY, SURER)}
    told = [f"by {day_text(day)}, {times_text(share)}" for share, day in days.items() if day and day != wanted_by]
    share = found.holds(floor, wanted_by) if wanted_by is not None else 0.0
    if wanted_by is not None and share >= LIKELY:
        said = "; ".join([f"{what} by {day_text(wanted_by)} holds {times_text(share)}", *told])
        return f"{said}. {late_text(found)}"
    no = f"Not by {day_text(wanted_by)}: that holds {times_text(share)}. " if wanted_by is not None else ""
    told = [f"{what} {told[0]}", *told[1:]] if told else []
    return f"{no}{'; '.join(told) or NEVER.format(what=what)}. {late_text(found)}"


NEVER = "{what} can't be told for any day within two years: too many are lost, or too few hours are worked"


def _by_hours(floor: ShopFloor, found: Promise, what: str, wanted_by: date | None) -> str:
    """Say what holds if all planned hours are worked, and if half are: under four weeks no more can be said."""
    half = at(found.plan.hours.at_half(found.ready_min), LIKELY)
    zone, day, later = zone_of(floor), found.day(floor, LIKELY), found.plan.instant(half)
    if day is None:
        return NEVER.format(what=what)
    slow = shop_time(later, zone).date() if later is not None else None
    if wanted_by is not None:
        asked = f"{what} by {day_text(wanted_by)}"
        if day > wanted_by:
            return f"{asked} is too early even {ALL_WORKED}: that brings {day_text(day)}"
        also = "and also" if slow is not None and slow <= wanted_by else "but not"
        return f"{asked} holds {ALL_WORKED}, {also} {HALF_WORKED}"
    beside = f"by {day_text(slow)}" if slow is not None else "on no day within two years"
    return f"{what} by {day_text(day)} {ALL_WORKED}, {beside} {HALF_WORKED}"


WORSE = 0.05


def late_text(found: Promise) -> str:
    """Say whom a promise makes late, and who is late already: later still where it holds less often by a twentieth."""
    late = [other for other in found.checks if other.held < LIKELY]
    worse = [other for other in late if other.holds < other.held - WORSE]
    parts = {
        "It makes late": found.late,
        "Late already, and later by it": worse,
        "Late already": [other for other in late if other not in worse],
    }
    said = [f"{name}: {', '.join(one.order.who for one in ones)}." for name, ones in parts.items() if ones]
    return " ".join(said if found.late or worse else ["It makes nobody else late.", *said])


def days_rule(floor: ShopFloor, found: Promise, wanted_by: date | None) -> DaysRule:
    """Return the days that hold, and the promised ones, as they lie on a rule.

    With fewer than four known weeks: if all planned hours are worked, and if half are.
    """
    zone, now_us = zone_of(floor), found.plan.hours.now_us
    if found.plan.dated:
        told = [(found.day(floor, share), times_text(share), share == LIKELY) for share in (0.5, LIKELY, SURER)]
    else:
        slow = found.plan.instant(at(found.plan.hours.at_half(found.ready_min), LIKELY))
        half = shop_time(slow, zone).date() if slow is not None else None
        told = [(found.day(floor, LIKELY), ALL_WORKED, True), (half, HALF_WORKED, False)]
    days = tuple(ToldDay(day, words, leads) for day, words, leads in told if day is not None)
    late = {held.order.id for held in found.late}
    return DaysRule(shop_time(now_us, zone).date(), days, promised_days(floor, found.checks, late), wanted_by)


def promised_days(
    floor: ShopFloor, checks: Iterable[PromiseCheck], late: Container[int] = ()
) -> tuple[PromisedDay, ...]:
    """Return the days that orders were promised for; `late` are the orders that something new makes late."""
    found = []
    for held in checks:
        day = promised_day(held.order)
        if day is not None:
            own = frozenset(batches_of(floor, held.order))
            found.append(PromisedDay(held.order.who, day, own, held.holds >= LIKELY, held.order.id in late))
    return tuple(found)


LIKE_THE_LAST = 6
"""Where nothing has to be started, a price is told for a batch of so many."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A question's answer: the date in one sentence, the price in one, what is asked, and what both rest on.

    `pays` is the amount that pays 8 times in 10, with tax; "" where none can be told. `days` and `prices` are the same
    as they lie on a rule. `next_day`: the day that holds 8 times in 10, where the one asked for doesn't.
    """

    date: str
    price: str
    asked: str
    pays: str
    work: str
    notes: tuple[str, ...]
    days: DaysRule
    prices: PricesRule | None
    next_day: Day | None = None


def can_be_promised(
    path: str, pattern_id: int, wanted: int, day: date | None, now_us: int, manner: Manner, draws: int = DRAWS
) -> Answer:
    """Answer "so many by this day, at what price?" from a record; ShopError where it can't be told."""
    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.floor
        pattern = floor.get(Pattern, pattern_id)
        planner = Planner(floor, reading.reads, now_us)
        found = promise(planner, pattern, wanted, day, draws)
        told = _batch(planner, pattern, found, draws)
        over = spread(floor, planner.rows, now_us)
        batches = word(floor, "batch").many
        prices, price, asks, pays = _price(floor, told, pattern, over, manner)
        return Answer(
            promise_text(floor, found, day),
            price,
            asks,
            pays,
            f"{_from(floor, found)} {_hours(floor, told)}",
            tuple(note for note in (told.said(batches), planner.rests_on, NO_ADVICE) if note),
            days_rule(floor, found, day),
            prices,
            found.day(floor, LIKELY) if day is not None and found.holds(floor, day) < LIKELY else None,
        )


def _batch(planner: Planner, pattern: Pattern, found: Promise, draws: int) -> Forecast:
    """Return what the batch takes that is to be started; without one, a batch as large as was asked for."""
    if found.blanks:
        return found.plan.forecasts[found.told]
    new = planner.new(pattern, max(found.wanted, LIKE_THE_LAST))
    job = job_of(planner.knowledge.history, pattern.id, new.pieces, new.stages)
    return forecast(planner.knowledge, job, draws)


def _from(floor: ShopFloor, found: Promise) -> str:
    """Say where the pieces come from."""
    names = [f"{n} unpromised of {floor.get(Batch, batch).name}" for batch, n in found.taken.items()]
    where = f"add to {floor.get(Batch, found.into).name}" if found.into is not None else "start"
    start = [f"{where} {counted(floor, 'piece', found.blanks)}"] if found.blanks else []
    line = ", ".join(names + start)
    lacks = over_promised(floor).get(found.pattern.id, 0)
    also = f" {lacks} of them are promised already." if start and lacks else ""
    return f"{line[:1].upper()}{line[1:]}.{also}" if line else ""


def _hours(floor: ShopFloor, told: Forecast) -> str:
    n = counted(floor, "piece", told.job.pieces)
    if not told.tells:
        return f"How long {n} take can't be told yet."
    low, likely, high = (told.hours(share) for share in (0.1, 0.8, 0.9))
    return f"{n} take {told.at_least}{figure(low)} to {figure(high)} h of work, {figure(likely)} h 8 times in 10."


def _price(
    floor: ShopFloor, told: Forecast, pattern: Pattern, over: Overhead, manner: Manner
) -> tuple[PricesRule | None, str, str, str]:
    """Say between which prices it pays, what is asked and what that earns, and what pays; why it can't be told."""
    own = rates(floor)
    try:
        prices = price_range(floor, told, pattern, over, (0.1, 0.8, 0.9))
    except ShopError as error:
        return None, str(error), "", ""
    if len(prices) < 3:
        return None, "No price can be told: too often no piece is finished.", "", ""
    asks = asked(floor, pattern)
    each = [with_tax(price, own) for price in prices.values()]
    rule = PricesRule(each[0], each[1], each[2], with_tax(asks, own) if asks is not None else None, own.currency)
    low, likely, high = (money_text(price, own.currency, manner) for price in (rule.low, rule.likely, rule.high))
    taxed = " with tax" if own.sales_tax else ""
    line = f"Lowest price that pays: {low} to {high}{taxed}; {likely} is enough 8 times in 10."
    if own.hour <= 0:
        line += " No rate for an hour is set, so the work counts as nothing."
    return rule, line, _asked(floor, told, pattern, over, manner), likely


def _asked(floor: ShopFloor, told: Forecast, pattern: Pattern, over: Overhead, manner: Manner) -> str:
    price, own = asked(floor, pattern), rates(floor)
    if price is None:
        return ""
    cost = piece_cost(made_median(told), costs_of(floor, pattern), own, over)
    return asked_said(price, cost, own, manner)


def orders_held(path: str, now_us: int, draws: int = DRAWS) -> dict[int, float]:
    """Return how surely each promised order holds, by its number; ShopError where no plan can be made."""
    with ReadOnlyRecord.open(Path(path)) as reading:
        planner = Planner(reading.floor, reading.reads, now_us)
        found = planner.plan_of((*planner.open, *planner.owed(draws)), draws)
        checks = promises(reading.floor, found)
        if not found.dated:  # how often it holds can't be told; what can't hold is
            return {held.order.id: 0.0 for held in checks if held.holds < LIKELY}
        return {held.order.id: held.holds for held in checks}
