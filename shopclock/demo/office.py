"""What the demo shop plans, asks and owes: its hours, costs and rates from the start, its orders near the end."""

import tomllib
from datetime import date, datetime, time, timedelta
from functools import partial
from typing import Any

from shopclock.demo.bench import DemoBench
from shopclock.demo.shop import WEEK
from shopclock.places import resource
from shopclock.shop import costs, orders, rates, sent_out, week
from shopclock.shop.planned import CostKind, Per
from shopclock.shop.turn import Turn
from shopclock.shop.values import Pattern
from shopclock.shop.wording import shop_time, zone_of


def _office() -> dict[str, Any]:
    return tomllib.loads(resource("demo", "office.toml").read_text(encoding="utf-8"))


def furnish(bench: DemoBench, patterns: dict[str, Pattern], end: date) -> None:
    """Set the hours of the week, the days off around the end, rates, costs and prices."""
    bench.press("Hours and costs", partial(_furnish, patterns=patterns, end=end))


def _furnish(turn: Turn, patterns: dict[str, Pattern], end: date) -> None:
    office = _office()
    for hours in office["hours"]:
        for day in hours["weekdays"]:
            week.add_hours(turn, WEEK.index(day), _minute(hours["from"]), _minute(hours["to"]))
    for off in office["off"]:
        first, last = (date.fromisoformat(f"{end.year}-{off[name]}") for name in ("first", "last"))
        week.add_day_off(turn, first, last, off["why"])
    for name, typed in office["rates"].items():
        rates.set_rate(turn, name, typed)
    for one in office["cost"]:
        pattern = patterns.get(one.get("pattern", ""))
        item = costs.add_cost(turn, one["name"], CostKind(one["kind"]), Per(one["per"]), one["amount"], pattern=pattern)
        if "stage" in one:
            item = sent_out.stands_for(turn, item, turn.floor.stage_by_name(one["stage"]))
            sent_out.set_days(turn, item, one["days"])
    for key, typed in office["asked"].items():
        costs.ask(turn, patterns[key], typed)


def _minute(clock: str) -> int:
    at = time.fromisoformat(clock)
    return at.hour * 60 + at.minute


def take_orders(bench: DemoBench, patterns: dict[str, Pattern]) -> None:
    """Take the orders whose batch is open, and say which pieces go to whom."""
    today = shop_time(bench.clock.now_us, zone_of(bench.floor))
    for one in _office()["order"]:
        bench.press(f"Order of {one['who']}", partial(_take, one=one, pattern=patterns[one["pattern"]], today=today))


def _take(turn: Turn, one: dict[str, Any], pattern: Pattern, today: datetime) -> None:
    order = orders.take_order(turn, one["who"], pattern, one["wanted"], today.date() + timedelta(days=one["days"]))
    orders.set_price(turn, order, one["price"])
    order = orders.set_deposit(turn, order, one["deposit"])
    for batch in turn.floor.open_batches():
        if batch.pattern_id == pattern.id:
            for piece in [p for p in turn.floor.living(batch.id) if p.mark in one["pieces"]]:
                orders.tie(turn, order, piece)
