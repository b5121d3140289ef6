"""The commands that look ahead: a promise, the plan, the next batch, the orders."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopclock.commands.answers import json_option, pattern_of, tell
from shopclock.commands.common import instant_us, reading_of, record_option

if TYPE_CHECKING:
    from datetime import date, datetime
    from pathlib import Path

MOST = 200
ANSWER = ("date", "price", "asked", "pays", "work", "notes", "next_day")
"""Parts of an answer; its rules are for pictures alone."""


@click.command()
@click.argument("pattern")
@click.argument("wanted", type=click.IntRange(1, MOST))
@click.option("--by", "day", type=click.DateTime(["%Y-%m-%d"]), help="The day asked for: 2026-12-12.")
@record_option
@json_option
def promise(pattern: str, wanted: int, day: datetime | None, record: Path, as_json: bool) -> None:
    """Tell whether WANTED finished ones of PATTERN can be promised, for when, and at what price; nothing is taken."""
    from shopclock.analysis.plan.promise import can_be_promised
    from shopclock.shop.values.money import Manner

    with reading_of(record) as reading:
        found = pattern_of(reading.floor, pattern)
    by = day.date() if day is not None else None
    told = can_be_promised(str(record), found.id, wanted, by, instant_us(), Manner())
    lines = [line for line in (told.date, told.price, told.asked, told.work, *told.notes) if line]
    tell(
        as_json, lines, pattern=found.name, wanted=wanted, by=by, answer={name: getattr(told, name) for name in ANSWER}
    )


@click.command()
@record_option
@json_option
def plan(record: Path, as_json: bool) -> None:
    """Tell when each open batch is done, which promises no longer hold, and what holds the work up."""
    from shopclock.analysis.plan.plan_told import plan_told
    from shopclock.shop.planning.plan_order import in_order

    with reading_of(record) as reading:
        names = {batch.id: batch.name for batch in in_order(reading.floor)}
    if not names:
        tell(as_json, ["No batch is open, so there is nothing to plan."], batches=[])
        return
    told = plan_told(str(record), instant_us())
    batches = [
        {"batch": names[b.batch_id], "day": b.day, "sure": b.sure, "other": b.other, "other_if": b.other_if}
        for b in told.batches
    ]
    days = [
        f"{names[one.batch_id]}: {_day(one.day)}, {one.sure}; {_day(one.other)} {one.other_if}" for one in told.batches
    ]
    late = [f"No longer holds: {line}." for line in told.late]
    lines = [f"{told.whole}.", *days, *late, *(note for note in (told.held_up, *told.notes) if note)]
    tell(
        as_json, lines, batches=batches, whole=told.whole, late=told.late, held_up=told.held_up, notes=told.notes,
        days=told.days,
    )  # fmt: skip


def _day(day: date | None) -> str:
    from shopclock.shop.state.wording import day_text

    return f"{day_text(day)} {day.year}" if day is not None else "too far off"


@click.command("next-batch")
@click.argument("pattern")
@click.argument("wanted", type=click.IntRange(1, MOST))
@record_option
@json_option
def next_batch_(pattern: str, wanted: int, record: Path, as_json: bool) -> None:
    """Tell what WANTED finished ones of PATTERN take: blanks to start, hours in sum and stage by stage."""
    from shopclock.analysis.plan.next_batch import next_batch
    from shopclock.exchange.workbook.figures_text import table_text

    with reading_of(record) as reading:
        found = pattern_of(reading.floor, pattern)
    told = next_batch(str(record), found.id, wanted, (), instant_us())
    head = ("Stage", "Method", "5 times in 10", "8 times in 10", "19 times in 20", "Rests on")
    rows = [(one.name, one.method, *one.takes, one.rests_on) for one in told.stages]
    table = table_text([head, *rows, ("Whole", "", *told.takes, "")], right={2, 3, 4})
    tell(as_json, [f"{told.whole}.", *told.notes, "", table], pattern=found.name, wanted=wanted, answer=told)


@click.command()
@record_option
@json_option
def orders(record: Path, as_json: bool) -> None:
    """Tell the open orders by promise, what each lacks, and how surely it holds."""
    from shopclock.analysis.plan.promise import orders_held, times_text
    from shopclock.exchange.workbook.figures_text import table_text
    from shopclock.shop.planning.orders import missing, open_orders, pieces_of
    from shopclock.shop.values.entities import Pattern
    from shopclock.shop.values.errors import ShopError

    why = ""
    with reading_of(record) as reading:
        floor, listed = reading.floor, open_orders(reading.floor)
        try:
            held = orders_held(str(record), instant_us()) if any(o.promised for o in listed) else {}
        except ShopError as error:
            held, why = {}, str(error)
        found = [
            {
                "who": order.who,
                "pattern": floor.get(Pattern, order.pattern_id).name,
                "wanted": order.wanted,
                "promised": order.promised,
                "pieces": [piece.mark for piece in pieces_of(floor, order)],
                "lacks": missing(floor, order),
                "holds": held.get(order.id),
                "price": order.price,
                "currency": order.currency,
            }
            for order in listed
        ]
        rows = [
            (
                order.who,
                f"{order.wanted} {floor.get(Pattern, order.pattern_id).name}",
                order.promised or "no day",
                str(missing(floor, order) or ""),
                times_text(held[order.id]) if order.id in held else "",
            )
            for order in listed
        ]
    table = table_text([("Who", "What", "Promised", "Lacks", "Holds"), *rows], right={3})
    tell(as_json, [table if rows else "No open orders.", *([why] if why else [])], orders=found, why=why)
