"""Desk work of the demo shop: its hours, costs and rates from the start, its orders near the end."""

import tomllib
from datetime import date, datetime, time, timedelta
from functools import partial
from typing import Any

from shopclock.demo.bench import DemoBench
from shopclock.demo.shop import WEEK
from shopclock.places import resource
from shopclock.shop.planning import orders
from shopclock.shop.setup import costs, rates, sent_out, week
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import CostKind, Pattern, Per


def _office() -> dict[str, Any]:
    return tomllib.loads(resource("demo", "office.toml").read_text(encoding="utf-8"))


def furnish(bench: DemoBench, patterns: dict[str, Pattern], end: date) -> None:
    """Set the hours of the week, the days off around the end, rates, costs and prices."""
    bench.press("Hours and costs", partial(_furnish, patterns=patterns, end=end))


def _furnish(tx: Transaction, patterns: dict[str, Pattern], end: date) -> None:
    office = _office()
    for hours in office["hours"]:
        for day in hours["weekdays"]:
            week.add_hours(tx, WEEK.index(day), _minute(hours["from"]), _minute(hours["to"]))
    for off in office["off"]:
        first, last = (date.fromisoformat(f"{end.year}-{off[name]}") for name in ("first", "last"))
        week.add_day_off(tx, first, last, off["why"])
    for name, typed in office["rates"].items():
        rates.set_rate(tx, name, typed)
    for one in office["cost"]:
        pattern = patterns.get(one.get("pattern", ""))
        item = costs.add_cost(tx, one["name"], CostKind(one["kind"]), Per(one["per"]), one["amount"], pattern=pattern)
        if "stage" in one:
            item = sent_out.stands_for(tx, item, tx.floor.stage_by_name(one["stage"]))
            sent_out.set_days(tx, item, one["days"])
    for key, typed in office["asked"].items():
        costs.ask(tx, patterns[key], typed)


def _minute(clock: str) -> int:
    at = time.fromisoformat(clock)
    return at.hour * 60 + at.minute


def take_orders(bench: DemoBench, patterns: dict[str, Pattern]) -> None:
    """Take the orders whose batch is open, and say which pieces go to whom."""
    today = shop_time(bench.clock.now_us, zone_of(bench.floor))
    for one in _office()["order"]:
        bench.press(f"Order of {one['who']}", partial(_take, one=one, pattern=patterns[one["pattern"]], today=today))


def _take(tx: Transaction, one: dict[str, Any], pattern: Pattern, today: datetime) -> None:
    order = orders.take_order(tx, one["who"], pattern, one["wanted"], today.date() + timedelta(days=one["days"]))
    orders.set_price(tx, order, one["price"])
    order = orders.set_deposit(tx, order, one["deposit"])
    for batch in tx.floor.open_batches():
        if batch.pattern_id == pattern.id:
            for piece in [p for p in tx.floor.living(batch.id) if p.mark in one["pieces"]]:
                orders.tie(tx, order, piece)
