"""Whether a route makes sense, wherever it comes from: a file or the shop's own buttons."""

from collections.abc import Iterable
from itertools import pairwise
from math import isfinite

from shopclock.shop.cure import HIGH_C, LOW_C
from shopclock.shop.kinds import Kind
from shopclock.shop.route import ReadingSpec, Route, RouteStep, ToolSpec, key_of, tidy, tidy_note
from shopclock.shop.route_fault import Place, RouteFault, nearest, shown
from shopclock.shop.route_length import LONGEST_S
from shopclock.shop.route_order import check_order

LABEL_MAX = 28
"""Letters that fit on a step's button at every size."""

NAME_MAX, CAUTION_MAX, UNIT_MAX = 40, 100, 12
MINUTES_MAX, CAPACITY_MAX = 10_000, 10_000


def check_route(route: Route) -> None:
    """Raise RouteFault for the first thing in a route that can't be."""
    _check_head(route)
    _check_once((("tool", n), "name", tool.name) for n, tool in enumerate(route.tools))
    for n, tool in enumerate(route.tools):
        _check_tool(("tool", n), tool)
    for n, step in enumerate(route.steps):
        _check_step(("step", n), step, route.tools)
    _check_once((("step", n), "key", step.key) for n, step in enumerate(route.steps))
    _check_stages(route.steps)
    check_order(route)


def _check_head(route: Route) -> None:
    _check_label((), "name", route.name, NAME_MAX)
    _check_label((), "piece", route.piece, LABEL_MAX)
    _check_label((), "pieces", route.pieces, LABEL_MAX)
    if route.note != tidy_note(route.note) or not route.note.replace("\n", "").isprintable():
        raise RouteFault((), "note", "note has a letter that can not be shown", "plain text")
    if not route.steps:
        raise RouteFault((), "step", "the route has no steps", "at least one [[step]]")


def _check_tool(place: Place, tool: ToolSpec) -> None:
    _check_label(place, "name", tool.name, LABEL_MAX)
    _check_number(place, "capacity", tool.capacity, CAPACITY_MAX)


def _check_step(place: Place, step: RouteStep, tools: tuple[ToolSpec, ...]) -> None:
    _check_labels(place, step)
    _check_methods(place, step.methods)
    _check_time(place, step)
    _check_share(place, step, tools)
    for n, reading in enumerate(step.readings):
        _check_reading((*place, "reading", n), reading)
    names = ((*place, "reading", n) for n in range(len(step.readings)))
    _check_once((at, "name", one.name) for at, one in zip(names, step.readings, strict=True))


def _check_labels(place: Place, step: RouteStep) -> None:
    _check_label(place, "stage", step.stage, LABEL_MAX)
    _check_label(place, "name", step.name, LABEL_MAX)
    _check_label(place, "strand", step.strand, LABEL_MAX, empty=True)
    _check_label(place, "setting", step.setting, LABEL_MAX, empty=True)
    _check_label(place, "caution", step.caution, CAUTION_MAX, empty=True)
    if not step.key or step.key != key_of(step.key):
        what = f"key is {shown(step.key)}"
        raise RouteFault(place, "key", what, "small letters and figures joined by -")


def _check_label(place: Place, key: str, text: str, most: int, *, empty: bool = False) -> None:
    if not text and not empty:
        raise RouteFault(place, key, f"{key} is empty", "a word or two")
    if text != tidy(text) or not text.isprintable():
        raise RouteFault(place, key, f"{key} has a letter that can not be shown", "plain text")
    if len(text) > most:
        what = f"{key} is {len(text)} letters long"
        raise RouteFault(place, key, what, f"at most {most}, so that it fits on the screen")


def _check_methods(place: Place, methods: tuple[str, ...]) -> None:
    for method in methods:
        _check_label(place, "methods", method, LABEL_MAX)
    _check_once((place, "methods", method) for method in methods)


def _check_once(named: Iterable[tuple[Place, str, str]]) -> None:
    """Refuse a name that stands twice; big and small letters are the same to a maker."""
    seen: set[str] = set()
    for place, key, name in named:
        if name.casefold() in seen:
            what = f"{key} {shown(name)} is given twice"
            raise RouteFault(place, key, what, "each one once")
        seen.add(name.casefold())


def _check_time(place: Place, step: RouteStep) -> None:
    _check_number(place, "minutes", step.minutes, MINUTES_MAX)
    _check_number(place, "setup", step.setup_minutes, MINUTES_MAX)
    if step.wait_s is not None and not 0 < step.wait_s <= LONGEST_S:
        what = "wait is nothing" if step.wait_s <= 0 else "wait is longer than a year"
        raise RouteFault(place, "wait", what, 'a length such as "24 h"')
    _check_warmth(place, step)
    _check_kind(place, step)


def _check_warmth(place: Place, step: RouteStep) -> None:
    """Hold a cure to a span of the shop's warmth that there is a figure for."""
    given = {"coldest": step.coldest_c, "warmest": step.warmest_c}
    for key, value in given.items():
        other = next(name for name in given if name != key)
        if value is None and given[other] is not None:
            raise RouteFault(place, other, f"{other} is given alone", f"{key} too")
        if value is not None and not LOW_C <= value <= HIGH_C:
            raise RouteFault(place, key, f"{key} is {shown(value)}", f"°C from {LOW_C:g} to {HIGH_C:g}")
    if step.coldest_c is None or step.warmest_c is None:
        return
    if step.coldest_c > step.warmest_c:
        raise RouteFault(place, "coldest", "coldest is above warmest", "coldest not above warmest")
    if step.kind is not Kind.WAIT or step.setting:
        what = f"coldest is given for a step {'with a setting' if step.setting else f'of kind {step.kind.value}'}"
        raise RouteFault(place, "coldest", what, "it for a wait in the shop's own warmth alone")


def _check_kind(place: Place, step: RouteStep) -> None:
    """Hold a kind to its own sort of time: by hand in minutes, unattended as a wait."""
    if step.kind is Kind.WAIT and step.wait_s is None:
        raise RouteFault(place, "wait", "wait is missing", 'a line such as wait = "24 h"')
    if step.kind.attended and step.wait_s is not None:
        what = f"wait is given for a {step.kind.value} step"
        raise RouteFault(place, "wait", what, "it only where kind is wait or away")
    for key, minutes in (("minutes", step.minutes), ("setup", step.setup_minutes)):
        if not step.kind.attended and minutes is not None:
            what = f"{key} is given for a step of kind {step.kind.value}"
            raise RouteFault(place, key, what, 'its length as wait = "24 h"')


def _check_number(place: Place, key: str, value: float | None, most: float) -> None:
    if value is not None and not (isfinite(value) and 0 < value <= most):
        what = f"{key} is {shown(value)}"
        raise RouteFault(place, key, what, f"a number above 0 and at most {most:g}")


def _check_share(place: Place, step: RouteStep, tools: tuple[ToolSpec, ...]) -> None:
    capacity = {tool.name: tool.capacity for tool in tools}
    if step.tool is None:
        if step.share != 1:
            raise RouteFault(place, "share", "share is given without a tool", 'tool = "..." too')
        return
    if step.tool not in capacity:
        expected = nearest(step.tool, tuple(capacity)) if tools else "a [[tool]] of this name"
        raise RouteFault(place, "tool", f"tool is {shown(step.tool)}", expected)
    most = capacity[step.tool]
    if most is None and step.share != 1:
        raise RouteFault(place, "share", f"share is given, but {shown(step.tool)} holds no load", "its capacity too")
    _check_number(place, "share", step.share, most if most is not None else 1)


def _check_reading(place: Place, reading: ReadingSpec) -> None:
    _check_label(place, "name", reading.name, LABEL_MAX)
    _check_label(place, "unit", reading.unit, UNIT_MAX, empty=True)
    given = (("low", reading.low), ("target", reading.target), ("high", reading.high))
    limits = [(key, value) for key, value in given if value is not None]
    for key, value in limits:
        if not isfinite(value):
            raise RouteFault(place, key, f"{key} is {shown(value)}", "a plain number")
    for (lower, small), (upper, large) in pairwise(limits):
        if small > large:
            what = f"{lower} is {small:g} and {upper} is {large:g}"
            raise RouteFault(place, upper, what, f"{upper} not below {lower}")


def _check_stages(steps: tuple[RouteStep, ...]) -> None:
    """Kind and way of working belong to the stage, so all its steps agree in them."""
    first: dict[str, RouteStep] = {}
    for n, step in enumerate(steps):
        one = first.setdefault(step.stage, step)
        if one.kind is not step.kind:
            what = f"stage {shown(step.stage)} is {step.kind.value} here"
            raise RouteFault(("step", n), "kind", what, f"{one.kind.value} as before")
        if one.one_by_one is not step.one_by_one:
            what = f"stage {shown(step.stage)} is worked in another way before"
            raise RouteFault(("step", n), "worked", what, "the same way for all its steps")
