"""The sheet of money: what a finished piece of each batch cost, what it was sold for, and what an hour earned."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from shopclock.analysis.money.cost import NO_ADVICE, PieceCost, lowest_price
from shopclock.analysis.money.earnings import Earned, YearHours, earned
from shopclock.exchange.workbook.cells import Holds, Sheet, SheetColumn, yes
from shopclock.exchange.workbook.figure_sheets import BatchLine
from shopclock.shop.setup.rates import Rates, rates
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import places, rounded


@dataclass(frozen=True, slots=True)
class CostLine:
    """A batch in money, or the sentence that says why it can't be told."""

    batch: BatchLine
    rates: Rates
    earned: Earned | None
    why: str


def cost_line(floor: ShopFloor, line: BatchLine, hours: YearHours) -> CostLine:
    """Return what a batch cost and earned, by the costs and rates that stand on the floor."""
    own = rates(floor)
    try:
        return CostLine(line, own, earned(floor, line.figures, hours.over(floor), line.floor), "")
    except ShopError as error:
        return CostLine(line, own, None, str(error))


def _money(head: str, of: Callable[[Earned, Rates], Decimal | None], tells: str) -> SheetColumn[CostLine]:
    """Return a column of amounts, each rounded to the currency's smallest coin as on screen."""

    def cell(row: CostLine) -> Decimal | None:
        value = of(row.earned, row.rates) if row.earned is not None else None
        return None if value is None else rounded(value, row.rates.currency)

    return SheetColumn(head, Holds.MONEY, 12, cell, tells)


def _part(head: str, of: Callable[[PieceCost], Decimal], tells: str) -> SheetColumn[CostLine]:
    return _money(head, lambda row, _: of(row.cost), tells)


def costs_in(currency: str) -> Sheet[CostLine]:
    """Return the sheet of costs, with the currency of all its amounts in the heads."""
    return Sheet("Costs", (*_batch(), *_cost(currency), *_earned(currency), *_said()), places=places(currency))


def _batch() -> tuple[SheetColumn[CostLine], ...]:
    return (
        SheetColumn("Batch", Holds.TEXT, 12, lambda row: row.batch.row.name, "The batch."),
        SheetColumn("Pattern", Holds.TEXT, 12, lambda row: row.batch.row.pattern, "Its pattern."),
        SheetColumn(
            "Finished (pieces)", Holds.COUNT, 10, lambda row: row.batch.figures.finished, "Over which the costs go."
        ),
    )


def _cost(unit: str) -> tuple[SheetColumn[CostLine], ...]:
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


def _earned(unit: str) -> tuple[SheetColumn[CostLine], ...]:
    lowest = "The lowest that pays, without tax."
    mean = "Mean of its pieces: ordered ones at their price, the others as asked for."
    return (
        _money(f"Lowest price ({unit})", lambda row, own: lowest_price(row.cost, own), lowest),
        _money(f"Price of a piece ({unit})", lambda row, _: row.price, mean),
        _money(f"Price of all ({unit})", lambda row, _: row.price_of_all, "Of all its finished pieces, without tax."),
        _money(f"Earned an hour ({unit})", lambda row, _: row.hour, "What is left of the price, over the hours."),
    )


def _said() -> tuple[SheetColumn[CostLine], ...]:
    return (
        SheetColumn("So far", Holds.TEXT, 8, lambda row: yes(row.batch.figures.so_far), "yes while the batch is open."),
        SheetColumn("Why not", Holds.TEXT, 10, lambda row: row.why, f"Why a batch has no amounts. {NO_ADVICE}"),
    )
