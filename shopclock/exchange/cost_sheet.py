"""The sheet of money: what a finished piece of each batch cost, what it was sold for, and what an hour earned."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from shopclock.analysis.cost import NO_ADVICE, PieceCost, lowest_price
from shopclock.analysis.earnings import Earned, YearHours, earned
from shopclock.exchange.cells import Column, Holds, Sheet, yes
from shopclock.exchange.figure_sheets import BatchLine
from shopclock.shop.errors import ShopError
from shopclock.shop.floor import Floor
from shopclock.shop.money import places, rounded
from shopclock.shop.rates import Rates, rates


@dataclass(frozen=True, slots=True)
class CostLine:
    """A batch in money, or the sentence that says why it can't be told."""

    batch: BatchLine
    rates: Rates
    earned: Earned | None
    why: str


def cost_line(floor: Floor, line: BatchLine, hours: YearHours) -> CostLine:
    """Return what a batch cost and earned, by the costs and rates that stand on the floor."""
    own = rates(floor)
    try:
        return CostLine(line, own, earned(floor, line.figures, hours.over(floor), line.floor), "")
    except ShopError as error:
        return CostLine(line, own, None, str(error))


def _money(head: str, of: Callable[[Earned, Rates], Decimal | None], tells: str) -> Column[CostLine]:
    """Return a column of amounts, each rounded to the currency's smallest coin as on screen."""

    def cell(row: CostLine) -> Decimal | None:
        value = of(row.earned, row.rates) if row.earned is not None else None
        return None if value is None else rounded(value, row.rates.currency)

    return Column(head, Holds.MONEY, 12, cell, tells)


def _part(head: str, of: Callable[[PieceCost], Decimal], tells: str) -> Column[CostLine]:
    return _money(head, lambda row, _: of(row.cost), tells)


def costs_in(currency: str) -> Sheet[CostLine]:
    """Return the sheet of costs, with the currency of all its amounts in the heads."""
    return Sheet("Costs", (*_batch(), *_cost(currency), *_earned(currency), *_said()), places=places(currency))


def _batch() -> tuple[Column[CostLine], ...]:
    return (
        Column("Batch", Holds.TEXT, 12, lambda row: row.batch.row.name, "The batch."),
        Column("Pattern", Holds.TEXT, 12, lambda row: row.batch.row.pattern, "Its pattern."),
        Column(
            "Finished (pieces)", Holds.COUNT, 10, lambda row: row.batch.figures.finished, "Over which the costs go."
        ),
    )


def _cost(unit: str) -> tuple[Column[CostLine], ...]:
    return (
        _part(f"Labour a piece ({unit})", lambda cost: cost.labour, "Its own hours at the rate that is wished."),
        _part(f"Material a piece ({unit})", lambda cost: cost.material, "Its own, and its share of the batch's."),
        _part(f"Consumables a piece ({unit})", lambda cost: cost.consumables, "Belts, epoxy and the like."),
        _part(f"Bought out a piece ({unit})", lambda cost: cost.bought_out, "Work that others did."),
        _part(f"Fees a piece ({unit})", lambda cost: cost.fees, "Fees kept as costs."),
        _part(f"Overhead a piece ({unit})", lambda cost: cost.overhead, "Rent, power and the shop's own hours."),
        _part(f"Carried a piece ({unit})", lambda cost: cost.carried, "All that went into pieces which didn't finish."),
        _part(f"Cost of a piece ({unit})", lambda cost: cost.total, "The sum of these, without tax."),
        _money(f"Cost of all ({unit})", lambda row, _: row.cost_of_all, "Of all its finished pieces."),
    )


def _earned(unit: str) -> tuple[Column[CostLine], ...]:
    lowest = "The lowest that pays, without tax."
    mean = "Mean of its pieces: ordered ones at their price, the others as asked for."
    return (
        _money(f"Lowest price ({unit})", lambda row, own: lowest_price(row.cost, own), lowest),
        _money(f"Price of a piece ({unit})", lambda row, _: row.price, mean),
        _money(f"Price of all ({unit})", lambda row, _: row.price_of_all, "Of all its finished pieces, without tax."),
        _money(f"Earned an hour ({unit})", lambda row, _: row.hour, "What is left of the price, over the hours."),
    )


def _said() -> tuple[Column[CostLine], ...]:
    return (
        Column("So far", Holds.TEXT, 8, lambda row: yes(row.batch.figures.so_far), "yes while the batch is open."),
        Column("Why not", Holds.TEXT, 10, lambda row: row.why, f"Why a batch has no amounts. {NO_ADVICE}"),
    )
