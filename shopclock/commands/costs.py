"""The command that tells what a finished piece costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopclock.commands.answers import json_option, tell
from shopclock.commands.common import instant_us, reading_of, record_option

if TYPE_CHECKING:
    from decimal import Decimal
    from pathlib import Path

    from shopclock.analysis.money.pattern_costs import Cost


@click.command()
@record_option
@json_option
def costs(record: Path, as_json: bool) -> None:
    """Tell what a finished piece of each pattern and each closed batch costs, part by part, beside its price."""
    from shopclock.analysis.money.cost import NO_ADVICE
    from shopclock.analysis.money.pattern_costs import PARTS, costs_told
    from shopclock.exchange.workbook.figures_text import table_text
    from shopclock.shop.setup.rates import rates

    with reading_of(record) as reading:
        own = rates(reading.floor).currency
    told = costs_told(str(record), instant_us())
    head = ("", *(name.capitalize() for name in PARTS), "Cost", "Price", "An hour")
    rows = [
        row
        for pattern in told.patterns
        for row in [
            (f"{pattern.name}, last {pattern.over}", *_row(pattern.cost, own)),
            *((f"  {one.name}", *_row(one.cost, own)) for one in pattern.batches),
        ]
    ]
    left = f"{told.untold} batches are left out: no piece finished, or not timed throughout." if told.untold else ""
    table = table_text([head, *rows], right=set(range(1, len(head)))) if rows else "No closed batch tells a cost yet."
    found = [
        {
            "pattern": pattern.name,
            "over_batches": pattern.over,
            **_values(pattern.cost, own),
            "batches": [
                {"batch": one.name, "pieces": one.finished, "sold": one.sold, **_values(one.cost, own)}
                for one in pattern.batches
            ],
        }
        for pattern in told.patterns
    ]
    lines = [f"{own} for each finished piece, without tax.", table, *([left] if left else []), NO_ADVICE]
    tell(as_json, lines, currency=own, patterns=found, left_out=told.untold)


def _row(cost: Cost, currency: str) -> list[str]:
    parts = cost.rounded(currency)
    return [*map(str, parts), str(sum(parts)), _shown(cost.price, currency), _shown(cost.hour, currency)]


def _shown(value: Decimal | None, currency: str) -> str:
    from shopclock.shop.values.money import rounded

    return str(rounded(value, currency)) if value is not None else "–"


def _values(cost: Cost, currency: str) -> dict[str, object]:
    """Return the rounded parts, which add up to the cost; exact decimals are texts in JSON."""
    from shopclock.analysis.money.pattern_costs import PARTS
    from shopclock.shop.values.money import rounded

    parts = cost.rounded(currency)
    known = {name.replace(" ", "_"): part for name, part in zip(PARTS, parts, strict=True)}
    price, hour = (rounded(value, currency) if value is not None else None for value in (cost.price, cost.hour))
    return {**known, "cost": sum(parts), "price": price, "earned_hour": hour}
