"""A route as the text of a route file, for a maker with a text editor."""

from collections.abc import Iterator

from shopclock.shop.route import ReadingSpec, Route, RouteRule, RouteStep, ToolSpec, key_of
from shopclock.shop.route_length import length_text


def dump_route(route: Route) -> str:
    """Return the route file that reads back as this same route."""
    head = _lines(
        ("name", route.name), ("outline", route.outline.value),
        ("piece", route.piece), ("pieces", route.pieces), ("note", route.note or None),
    )  # fmt: skip
    blocks = ["\n".join(head)]
    blocks += [_block("[[tool]]", _tool(tool)) for tool in route.tools]
    blocks += [_block("[[step]]", _step(step)) for step in route.steps]
    blocks += [_block("[[rule]]", _rule(rule)) for rule in route.rules]
    return "\n\n".join(blocks) + "\n"


def _block(header: str, lines: Iterator[str]) -> str:
    return "\n".join((header, *lines))


def _tool(tool: ToolSpec) -> Iterator[str]:
    return _lines(("name", tool.name), ("capacity", tool.capacity))


def _step(step: RouteStep) -> Iterator[str]:
    yield from _lines(
        ("stage", step.stage),
        ("name", step.name if step.name != step.stage else None),
        ("key", step.key if step.key != key_of(step.name) else None),
        ("kind", step.kind.value),
        ("worked", "one by one" if step.one_by_one else None),
        ("methods", step.methods or None),
        ("strand", step.strand or None),
        ("begins", "by itself" if step.begins_itself else None),
        ("wait", _length(step.wait_s)),
        ("minutes", step.minutes),
        ("setup", step.setup_minutes),
        ("tool", step.tool),
        ("share", step.share if step.share != 1 else None),
        ("setting", step.setting or None),
        ("coldest", step.coldest_c),
        ("warmest", step.warmest_c),
        ("caution", step.caution or None),
        ("common_practice", step.common_practice or None),
    )
    for reading in step.readings:
        yield from ("", "[[step.reading]]", *_reading(reading))


def _reading(reading: ReadingSpec) -> Iterator[str]:
    return _lines(
        ("name", reading.name), ("unit", reading.unit or None),
        ("low", reading.low), ("high", reading.high), ("target", reading.target),
        ("common_practice", reading.common_practice or None),
    )  # fmt: skip


def _rule(rule: RouteRule) -> Iterator[str]:
    return _lines(
        ("kind", rule.kind.value), ("first", rule.first), ("then", rule.then),
        ("limit", _length(rule.limit_s)), ("common_practice", rule.common_practice or None),
    )  # fmt: skip


def _length(seconds: int | None) -> str | None:
    return None if seconds is None else length_text(seconds)


Written = str | bool | float | tuple[str, ...] | None


def _lines(*pairs: tuple[str, Written]) -> Iterator[str]:
    """Yield a line for every key that has something to say."""
    return (f"{key} = {_value(value)}" for key, value in pairs if value is not None)


def _value(value: Written) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, tuple):
        return f"[{', '.join(_quoted(one) for one in value)}]"
    if isinstance(value, str):
        return _quoted(value)
    return repr(value).removesuffix(".0")


def _quoted(text: str) -> str:
    """Return text between quotes; several lines stand below each other."""
    escaped = "\n".join("".join(map(_escaped, line)) for line in text.split("\n"))
    return f'"""\n{escaped}"""' if "\n" in text else f'"{escaped}"'


def _escaped(letter: str) -> str:
    if letter in ('"', "\\"):
        return f"\\{letter}"
    return letter if letter.isprintable() else f"\\U{ord(letter):08x}"
