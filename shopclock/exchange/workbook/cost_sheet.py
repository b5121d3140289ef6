"""The sheet of money: what a finished piece of each batch cost, what it was sold for, and what an hour earned."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from shopclock.analysis.money.cost import NO_ADVICE, PieceCost, lowest_price
from shopclock.analysis.money.earnings import Earned, YearHours, earned
from shopclock.exchange.workbook.cells import Holds, Sheet, SheetColumn, yes
from shopclock.exchange.workbook.sheets import BatchLine
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


def cost_line(floor: ShopFloor, line: BatchLine, own_floor: ShopFloor, hours: YearHours) -> CostLine:
    """Return what a batch, whole on a floor of its own, cost and earned by the costs and rates of the shop."""
    own = rates(floor)
    try:
        return CostLine(line, own, earned(floor, line.figures, hours.over(floor), own_floor), "")
    except ShopError as error:
        return CostLine(line, own, None, str(error))


def costs_in(unit: str) -> Sheet[CostLine]:
    """Return the sheet of costs, with the currency of all its amounts in the heads, rounded to its smallest coin."""

    def money(head: str, of: Callable[[Earned, Rates], Decimal | None], tells: str) -> SheetColumn[CostLine]:
        def cell(row: CostLine) -> Decimal | None:
            value = of(row.earned, row.rates) if row.earned is not None else None
            return None if value is None else rounded(value, row.rates.currency)

        return Holds.MONEY(f"{head} ({unit})", 12, cell, tells)

    def part(head: str, of: Callable[[PieceCost], Decimal], tells: str) -> SheetColumn[CostLine]:
        return money(f"{head} a piece", lambda row, _: of(row.cost), tells)

    not_yet = "empty while pieces have a step to go"
    mean = "Mean of its pieces: ordered ones at their price, others as asked for, seconds at their share of it."
    columns: tuple[SheetColumn[CostLine], ...] = (
        Holds.TEXT("Batch", 12, lambda r: r.batch.row.name, "The batch."),
        Holds.TEXT("Pattern", 12, lambda r: r.batch.row.pattern, "Its pattern."),
        Holds.COUNT("Finished (pieces)", 10, lambda r: r.batch.figures.finished, "Over which the costs go."),
        part("Labour", lambda cost: cost.labour, "Its own hours at the rate that is wished."),
        part("Material", lambda cost: cost.material, "Its own, and its share of the batch's."),
        part("Consumables", lambda cost: cost.consumables, "Belts, epoxy and the like."),
        part("Bought out", lambda cost: cost.bought_out, "Work that others did."),
        money("Fees a piece", lambda row, _: row.fees, "Fees kept as costs, and those of a sale at its price."),
        part("Overhead", lambda cost: cost.overhead, "Rent, power and the shop's own hours."),
        part("Carried", lambda cost: cost.carried, "All that went into pieces which didn't finish."),
        money("Cost of a piece", lambda row, _: row.total, "The sum of these, without tax."),
        money("Cost of all", lambda row, _: row.cost_of_all, "Of all its finished pieces."),
        money(
            "Lowest price",
            lambda row, own: lowest_price(row.cost, own) if row.told.worked_out else None,
            f"The lowest that pays, without tax; {not_yet}.",
        ),
        money("Price of a piece", lambda row, _: row.price, mean),
        money("Price of all", lambda row, _: row.price_of_all, "Of all its finished pieces, without tax."),
        money("Earned an hour", lambda row, _: row.hour, f"What is left of the price, over the hours; {not_yet}."),
        Holds.TEXT("So far", 8, lambda r: yes(r.batch.figures.so_far), "yes while the batch is open."),
        Holds.TEXT("Why not", 10, lambda r: r.why, f"Why a batch has no amounts. {NO_ADVICE}"),
    )
    return Sheet("Costs", columns, places=places(unit))
