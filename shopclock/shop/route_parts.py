"""The tables of a route file as the parts of a route, each value of its type."""

from shopclock.shop.kinds import Kind, RuleKind
from shopclock.shop.route import Outline, ReadingSpec, Route, RouteRule, RouteStep, ToolSpec, key_of, tidy_note
from shopclock.shop.route_table import Table

HEAD = ("name", "outline", "piece", "pieces", "note", "tool", "step", "rule")
TOOL = ("name", "capacity")
READING = ("name", "unit", "low", "high", "target", "common_practice")
RULE = ("kind", "first", "then", "limit", "common_practice")
STEP = (
    "stage", "name", "key", "kind", "worked", "methods", "strand", "begins", "wait", "minutes",
    "setup", "tool", "share", "setting", "coldest", "warmest", "caution", "common_practice", "reading",
)  # fmt: skip

ONE_BY_ONE, IN_ROUNDS = "one by one", "in rounds"
BY_ITSELF, BY_A_PRESS = "by itself", "by a press"


def route_of(table: Table) -> Route:
    """Return the route of a whole file. Types are right, the sense is not yet checked."""
    table.allow(HEAD)
    return Route(
        name=table.text("name"),
        outline=Outline(table.choice("outline", tuple(Outline), Outline.BAR)),
        piece=table.text("piece", "piece"),
        pieces=table.text("pieces", "pieces"),
        steps=tuple(_step(one) for one in table.tables("step")),
        rules=tuple(_rule(one) for one in table.tables("rule")),
        tools=tuple(_tool(one) for one in table.tables("tool")),
        note=tidy_note(table.raw_text("note")) if "note" in table.values else "",
    )


def _step(table: Table) -> RouteStep:
    table.allow(STEP)
    stage = table.text("stage")
    name = table.text("name", stage)
    share = table.number("share")
    return RouteStep(
        key=table.text("key", key_of(name)),
        stage=stage,
        name=name,
        kind=Kind(table.choice("kind", tuple(Kind))),
        one_by_one=table.choice("worked", (ONE_BY_ONE, IN_ROUNDS), IN_ROUNDS) == ONE_BY_ONE,
        methods=table.texts("methods"),
        strand=table.text("strand", ""),
        begins_itself=table.choice("begins", (BY_ITSELF, BY_A_PRESS), BY_A_PRESS) == BY_ITSELF,
        wait_s=table.length("wait"),
        minutes=table.number("minutes"),
        setup_minutes=table.number("setup"),
        tool=table.text("tool") if "tool" in table.values else None,
        share=1.0 if share is None else share,
        setting=table.text("setting", ""),
        caution=table.text("caution", ""),
        readings=tuple(_reading(one) for one in table.tables("reading")),
        common_practice=table.yes("common_practice"),
        coldest_c=table.number("coldest"),
        warmest_c=table.number("warmest"),
    )


def _tool(table: Table) -> ToolSpec:
    table.allow(TOOL)
    return ToolSpec(name=table.text("name"), capacity=table.number("capacity"))


def _reading(table: Table) -> ReadingSpec:
    table.allow(READING)
    return ReadingSpec(
        name=table.text("name"),
        unit=table.text("unit", ""),
        low=table.number("low"),
        high=table.number("high"),
        target=table.number("target"),
        common_practice=table.yes("common_practice"),
    )


def _rule(table: Table) -> RouteRule:
    table.allow(RULE)
    return RouteRule(
        kind=RuleKind(table.choice("kind", tuple(RuleKind))),
        first=table.text("first"),
        then=table.text("then"),
        limit_s=table.length("limit"),
        common_practice=table.yes("common_practice"),
    )
