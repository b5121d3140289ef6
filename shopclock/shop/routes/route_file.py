"""Route files: from a TOML file that a maker can write to a checked route, or a fault with its line."""

import re
import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import cast, overload

from shopclock.shop.routes.route_check import check_route
from shopclock.shop.routes.route_fault import Place, RouteFault, nearest, one_of, shown
from shopclock.shop.routes.route_length import length_s
from shopclock.shop.routes.starter_route import (
    Outline,
    ReadingSpec,
    StarterRoute,
    StarterRule,
    StarterStep,
    ToolSpec,
    key_of,
    tidy,
    tidy_note,
)
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Kind, RuleKind
from shopclock.shop.values.plain_file import NotPlain, TooLarge, read_plain

LARGEST = 100_000
"""Bytes of a route file; the longest among the resources has a twentieth of it."""
LONGEST_LINE = 2_000
"""Letters of a line: the reader's work for a key grows with the square of its dots."""


@dataclass(frozen=True, slots=True)
class RouteTable:
    """The keys and values of one table, and where in the file it stands."""

    values: dict[str, object]
    place: Place = ()

    def fault(self, key: str, what: str, expected: str) -> RouteFault:
        """Return what is wrong with a key of this table."""
        return RouteFault(self.place, key, f"{key} {what}", expected)

    def wrong(self, key: str, expected: str) -> RouteFault:
        """Return the fault of a key whose value is not what was expected."""
        return self.fault(key, f"is {shown(self.values[key])}", expected)

    def allow(self, keys: Sequence[str]) -> None:
        """Refuse a key that no table of this sort has."""
        for key in self.values:
            if key not in keys:
                where = f"[[{self._header()}]]" if self.place else "the head of a route"
                raise self.fault(key, f"is not known in {where}", nearest(key, keys))

    def text(self, key: str, default: str | None = None) -> str:
        """Return a line of text; without a default the key must be there."""
        if key not in self.values and default is not None:
            return default
        return tidy(self.raw_text(key))

    def raw_text(self, key: str) -> str:
        """Return text as it stands, line breaks and all."""
        if key not in self.values:
            raise self.fault(key, "is missing", f'a line {key} = "..." here')
        value = self.values[key]
        if not isinstance(value, str):
            raise self.wrong(key, 'text in "quotes"')
        return value

    def choice(self, key: str, choices: Sequence[str], default: str | None = None) -> str:
        """Return one of a closed list of words."""
        if key not in self.values and default is not None:
            return default
        if key in self.values and self.values[key] not in choices:
            raise self.wrong(key, one_of(choices))
        return self.text(key)

    def number(self, key: str) -> float | None:
        """Return a number, or None where it is not given."""
        value = self.values.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.wrong(key, "a number without quotes")
        try:
            return float(value)
        except OverflowError:
            raise self.wrong(key, "a smaller number") from None

    def yes(self, key: str) -> bool:
        """Return whether a key is set to true."""
        value = self.values.get(key, False)
        if not isinstance(value, bool):
            raise self.wrong(key, "true or false, without quotes")
        return value

    def length(self, key: str) -> int | None:
        """Return a length in seconds, or None where it is not given."""
        if key not in self.values:
            return None
        value = self.values[key]
        seconds = length_s(value) if isinstance(value, str) else None
        if seconds is None:
            raise self.wrong(key, 'a length such as "60 min", "1 h 30 min" or "3 days"')
        return seconds

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of lines of text, empty where it is not given."""
        value = self.values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            raise self.wrong(key, 'a list of texts such as ["freehand", "jig"]')
        return tuple(tidy(one) for one in value)

    def tables(self, key: str) -> tuple["RouteTable", ...]:
        """Return the tables written as [[key]] one after the other."""
        value = self.values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            raise self.wrong(key, f"each {key} under a line [[{self._header(key)}]]")
        found = cast("list[dict[str, object]]", value)
        return tuple(RouteTable(one, (*self.place, key, n)) for n, one in enumerate(found))

    def _header(self, *keys: str) -> str:
        return ".".join((*(str(part) for part in self.place[::2]), *keys))


Found = dict[tuple[Place, str], int]


def line_of(text: str, place: Place, key: str) -> int:
    """Return the line of a key, or of its table where the key is not given; counted from 1.

    The text must be TOML that can be read.
    """
    found = _all_lines(text)
    while (place, key) not in found and (place, "") not in found and place:
        place, key = place[:-2], str(place[-2])
    return found.get((place, key), found.get((place, ""), 1))


def _all_lines(text: str) -> Found:
    """Return the line of every table (under the key "") and of every key in it."""
    found: Found = {}
    seen: Counter[tuple[Place, str]] = Counter()
    place: Place = ()
    for line, header, values in _statements(text):
        if header:
            outer, name, place = _opened(values, seen)
            found.setdefault((outer, name), line)
            found.setdefault((place, ""), line)
        else:
            found.update({(place, key): line for key in values})
    return found


def _opened(values: dict[str, object], seen: Counter[tuple[Place, str]]) -> tuple[Place, str, Place]:
    """Return the outer place, the name and the place of the table that a header opens."""
    ((name, inner),) = values.items()
    outer: Place = ()
    while isinstance(inner, dict) and inner:
        outer = (*outer, name, seen[outer, name] - 1)
        ((name, inner),) = inner.items()
    seen[outer, name] += 1
    return outer, name, (*outer, name, seen[outer, name] - 1)


def _statements(text: str) -> Iterator[tuple[int, bool, dict[str, object]]]:
    """Yield the line of each statement, whether it is a header, and what it says by itself."""
    lines = text.replace("\r\n", "\n").split("\n")
    start = 0
    while start < len(lines):
        end, values = _statement(lines, start)
        if values:
            yield start + 1, lines[start].lstrip().startswith("["), values
        start = end


def _statement(lines: list[str], start: int) -> tuple[int, dict[str, object]]:
    """Return where a statement ends and its values: the fewest lines that can be read alone."""
    for end in range(start + 1, len(lines) + 1):
        try:
            return end, tomllib.loads("\n".join(lines[start:end]))
        except tomllib.TOMLDecodeError:
            continue
    return len(lines), {}


WORDS = ("finished", "finished_many", "batch", "batches")
HEAD = ("name", "outline", "piece", "pieces", *WORDS, "note", "tool", "step", "rule")
TOOL = ("name", "capacity")
READING = ("name", "unit", "low", "high", "target", "common_practice")
RULE = ("kind", "first", "then", "limit", "common_practice")
STEP = (
    "stage", "name", "key", "kind", "worked", "methods", "strand", "begins", "wait", "minutes",
    "setup", "tool", "share", "setting", "coldest", "warmest", "caution", "common_practice", "reading",
)  # fmt: skip

ONE_BY_ONE, IN_ROUNDS = "one by one", "in rounds"
BY_ITSELF, BY_A_PRESS = "by itself", "by a press"


def route_of(table: RouteTable) -> StarterRoute:
    """Return the route of a whole file. Types are right, the sense is not yet checked."""
    table.allow(HEAD)
    return StarterRoute(
        name=table.text("name"),
        outline=Outline(table.choice("outline", tuple(Outline), Outline.BAR)),
        piece=table.text("piece", "piece"),
        pieces=table.text("pieces", "pieces"),
        steps=tuple(_step(one) for one in table.tables("step")),
        rules=tuple(_rule(one) for one in table.tables("rule")),
        tools=tuple(_tool(one) for one in table.tables("tool")),
        note=tidy_note(table.raw_text("note")) if "note" in table.values else "",
        **{one: table.text(one, "") for one in WORDS},
    )


def _step(table: RouteTable) -> StarterStep:
    table.allow(STEP)
    stage = table.text("stage")
    name = table.text("name", stage)
    share = table.number("share")
    return StarterStep(
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


def _tool(table: RouteTable) -> ToolSpec:
    table.allow(TOOL)
    return ToolSpec(name=table.text("name"), capacity=table.number("capacity"))


def _reading(table: RouteTable) -> ReadingSpec:
    table.allow(READING)
    return ReadingSpec(
        name=table.text("name"),
        unit=table.text("unit", ""),
        low=table.number("low"),
        high=table.number("high"),
        target=table.number("target"),
        common_practice=table.yes("common_practice"),
    )


def _rule(table: RouteTable) -> StarterRule:
    table.allow(RULE)
    return StarterRule(
        kind=RuleKind(table.choice("kind", tuple(RuleKind))),
        first=table.text("first"),
        then=table.text("then"),
        limit_s=table.length("limit"),
        common_practice=table.yes("common_practice"),
    )


class RouteFileError(ShopError):
    """A route file that can't be used: file, line, what is wrong and what was expected."""

    def __init__(self, file: str, line: int | None, said: str) -> None:
        super().__init__(f"{file}: {said}" if line is None else f"{file}, line {line}: {said}")
        self.file = file
        self.line = line


class StarterRoutes(Sequence[StarterRoute]):
    """Every route of a folder, in the order of their file names; each file is read when its route is first asked for.

    Raises RouteFileError where there is no such folder, and later for whatever is wrong with a file.
    """

    def __init__(self, folder: Path) -> None:
        if not folder.is_dir():
            raise RouteFileError(str(folder), None, "there is no such folder; expected route files.")
        self._paths = sorted(folder.glob("*.toml"))
        self._load = cache(load_route)

    def __len__(self) -> int:
        return len(self._paths)

    @overload
    def __getitem__(self, place: int) -> StarterRoute: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[StarterRoute]: ...

    def __getitem__(self, place: int | slice) -> StarterRoute | Sequence[StarterRoute]:
        """Route at a place, or those of a slice."""
        if isinstance(place, slice):
            return tuple(self._load(path) for path in self._paths[place])
        return self._load(self._paths[place])


def load_route(path: Path) -> StarterRoute:
    """Return the route in a file. Raises RouteFileError, one sentence, for whatever is wrong."""
    return read_route(_decoded(_bytes(path), str(path)), str(path))


def read_route(text: str, name: str) -> StarterRoute:
    """Return the route that a text tells; `name` is what errors call the file."""
    try:
        route = route_of(RouteTable(_parsed(text, name)))
        check_route(route)
    except RouteFault as fault:
        raise RouteFileError(name, line_of(text, fault.place, fault.key), str(fault)) from None
    return route


def _bytes(path: Path) -> bytes:
    try:
        return read_plain(path, LARGEST)
    except FileNotFoundError:
        said = "there is no such file; expected a route file (.toml)."
    except NotPlain as error:
        said = f"this is {error.kind}; expected a route file (.toml)."
    except TooLarge as error:
        said = f"this is larger than {error.most}; expected a route file (.toml)."
    except OSError as error:
        said = f"it can not be read ({error.strerror}); expected a file that is yours to read."
    raise RouteFileError(str(path), None, said)


def _decoded(data: bytes, name: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        said = "this is not UTF-8 text; expected a file saved as UTF-8."
        raise RouteFileError(name, line, said) from None


def _parsed(text: str, name: str) -> dict[str, object]:
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            raise RouteFileError(name, number, f"this is longer than {LONGEST_LINE} letters; expected short lines.")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RouteFileError(name, *_syntax(str(error), text)) from None
    except (ValueError, RecursionError):
        said = "a number is too long or brackets stand too deep; expected short values."
        raise RouteFileError(name, None, said) from None


def _syntax(message: str, text: str) -> tuple[int, str]:
    """Return line and sentence of what the TOML reader can't read; only its line is used."""
    match = re.search(r"\(at line (\d+)", message)
    line = int(match[1]) if match else max(text.count("\n", 0, len(text.rstrip())) + 1, 1)
    if "overwrite" in message or "twice" in message:
        return line, "this stands here for the second time; expected each key once in its table."
    return line, 'this can not be read; expected key = value, with texts in "quotes".'
