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
from shopclock.shop.money import rounded
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


def _money(head: str, width: int, of: Callable[[Earned, Rates], Decimal | None], tells: str) -> Column[CostLine]:
    """Return a column of amounts, each rounded to the currency's smallest coin as on screen."""

    def cell(row: CostLine) -> Decimal | None:
        value = of(row.earned, row.rates) if row.earned is not None else None
        return None if value is None else rounded(value, row.rates.currency)

    return Column(head, Holds.MONEY, width, cell, tells)


def _part(head: str, of: Callable[[PieceCost], Decimal], tells: str) -> Column[CostLine]:
    return _money(head, 12, lambda row, _: of(row.cost), tells)


COSTS: Sheet[CostLine] = Sheet(
    "Costs",
    (
        Column("Batch", Holds.TEXT, 12, lambda row: row.batch.row.name, "The batch."),
        Column("Pattern", Holds.TEXT, 22, lambda row: row.batch.row.pattern, "Its pattern."),
        Column("Currency", Holds.TEXT, 9, lambda row: row.rates.currency, "In which all amounts of the row are."),
        Column(
            "Finished (pieces)", Holds.COUNT, 10, lambda row: row.batch.figures.finished, "Over which the costs go."
        ),
        _part("Labour a piece", lambda cost: cost.labour, "Its own hours at the rate that is wished."),
        _part("Material a piece", lambda cost: cost.material, "What goes into it, and its share of the batch's."),
        _part("Consumables a piece", lambda cost: cost.consumables, "Belts, epoxy and the like."),
        _part("Bought out a piece", lambda cost: cost.bought_out, "Work that others did."),
        _part("Fees a piece", lambda cost: cost.fees, "Fees kept as costs."),
        _part("Overhead a piece", lambda cost: cost.overhead, "Rent, power and the shop's own hours, by its hours."),
        _part("Carried a piece", lambda cost: cost.carried, "All that went into pieces which did not finish."),
        _part("Cost of a piece", lambda cost: cost.total, "The sum of these, without tax."),
        _money("Lowest price that pays", 12, lambda row, own: lowest_price(row.cost, own), "Without tax."),
        _money("Price, mean", 12, lambda row, _: row.price, "Ordered ones at their price, the others as asked for."),
        _money("Earned an hour", 12, lambda row, _: row.hour, "What is left of the price, over the hours."),
        Column("So far", Holds.TEXT, 8, lambda row: yes(row.batch.figures.so_far), "yes while the batch is open."),
        Column("Why not", Holds.TEXT, 60, lambda row: row.why, f"Why a batch has no amounts. {NO_ADVICE}"),
    ),
)
