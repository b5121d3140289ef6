"""Costs of a finished piece in its parts, for each pattern and each closed batch, beside its price."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.money.earnings import Earned, earned, fees_of_sale, one_currency, spread
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.setup.costs import asked
from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import rounded_parts
from shopclock.shop.values.entities import Batch, CostItem, Pattern
from shopclock.shop.values.money import places

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.setup.rates import Rates

PARTS = ("labour", "material", "consumables", "bought out", "overhead", "fees", "carried")
LAST = 3
"""So many last batches of a pattern tell what a piece of it costs now."""


@dataclass(frozen=True, slots=True)
class Cost:
    """Cost of a finished piece: `parts` in the order of PARTS, exact; `hours` of labour, those carried too.

    `labour` is what all these hours cost at the wished rate, `price` is without tax, `hour` what one of them earns.
    """

    parts: tuple[Decimal, ...]
    hours: Decimal
    labour: Decimal
    price: Decimal | None

    @property
    def total(self) -> Decimal:
        """All of it."""
        return sum(self.parts, Decimal(0))

    @property
    def hour(self) -> Decimal | None:
        """Money that an hour earns: what the price leaves of all that isn't labour."""
        if self.price is None or not self.hours:
            return None
        return (self.price - self.total + self.labour) / self.hours

    def rounded(self, currency: str) -> tuple[Decimal, ...]:
        """Return the parts in the coin of a currency, so that they add up to their rounded sum."""
        return tuple(rounded_parts(self.parts, places(currency)))


@dataclass(frozen=True, slots=True)
class BatchCost:
    """A closed batch: its finished pieces, how many of them are sold, and what each cost; `sale_fees` are in it."""

    batch_id: int
    name: str
    finished: int
    sold: int
    cost: Cost
    sale_fees: Decimal


@dataclass(frozen=True, slots=True)
class PatternCost:
    """A pattern by its last batches, at the price that is asked now; `batches`, the newest first, are all that tell."""

    pattern_id: int
    name: str
    cost: Cost
    over: int
    pieces: int
    batches: tuple[BatchCost, ...]


@dataclass(frozen=True, slots=True)
class CostsTold:
    """The patterns that have closed batches; `untold` batches had no piece finished, or were not timed throughout."""

    patterns: tuple[PatternCost, ...]
    untold: int


def costs_told(path: str, now_us: int) -> CostsTold:
    """Return what each pattern and each closed batch costs; ShopError where costs are in two currencies."""
    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.floor
        over = spread(floor, reading.reads.intervals(), now_us)
        one_currency(floor, floor.all(CostItem))
        closed = [batch for batch in floor.all(Batch) if batch.closed_us is not None]
        closed.sort(key=lambda batch: (batch.closed_us or 0, batch.id), reverse=True)
        by_pattern: dict[int, list[BatchCost]] = {}
        told = 0
        for batch in closed:
            own = figures(reading.load_batch(batch.id), batch.id, reading.newest_us)
            if own.at_least or not own.finished:
                continue
            told += 1
            by_pattern.setdefault(batch.pattern_id, []).append(_batch(earned(reading.floor, own, over)))
        patterns = [p for p in floor.all(Pattern) if p.id in by_pattern and not p.put_away]
        found = tuple(_pattern(p, by_pattern[p.id], asked(floor, p), rates(floor)) for p in patterns)
        return CostsTold(found, len(closed) - told)


def _batch(one: Earned) -> BatchCost:
    cost = one.cost
    parts = (
        cost.labour, cost.material, cost.consumables, cost.bought_out, cost.overhead, one.fees, cost.carried,
    )  # fmt: skip
    told = one.told
    told_cost = Cost(parts, cost.hours, cost.labour + cost.carried_labour, one.price)
    return BatchCost(told.batch.id, told.batch.name, told.finished, one.sold, told_cost, one.sale_fees)


def _pattern(pattern: Pattern, batches: Sequence[BatchCost], price: Decimal | None, own: Rates) -> PatternCost:
    """Return the mean over the pieces of the last batches; fees are those of a sale at what is asked now."""
    sale = fees_of_sale(price, own) if price is not None else Decimal(0)
    last = batches[:LAST]
    pieces = sum(one.finished for one in last)

    def mean(values: Sequence[Decimal]) -> Decimal:
        weighed = (one.finished * value for one, value in zip(last, values, strict=True))
        return sum(weighed, Decimal(0)) / pieces

    parts = [mean([one.cost.parts[n] for one in last]) for n in range(len(PARTS))]
    at = PARTS.index("fees")
    parts[at] += sale - mean([one.sale_fees for one in last])
    hours, labour = mean([one.cost.hours for one in last]), mean([one.cost.labour for one in last])
    return PatternCost(
        pattern.id, pattern.name, Cost(tuple(parts), hours, labour, price), len(last), pieces, tuple(batches)
    )
