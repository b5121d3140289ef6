"""On which line of a route file a key stands, which the TOML reader does not tell."""

import tomllib
from collections import Counter
from collections.abc import Iterator

from shopclock.shop.route_fault import Place

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
