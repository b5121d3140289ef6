"""One table of a route file: gives each key as the type it must have, or tells what is wrong."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from shopclock.shop.route import tidy
from shopclock.shop.route_fault import Place, RouteFault, nearest, one_of, shown
from shopclock.shop.route_length import length_s


@dataclass(frozen=True, slots=True)
class Table:
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

    def tables(self, key: str) -> tuple["Table", ...]:
        """Return the tables written as [[key]] one after the other."""
        value = self.values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            raise self.wrong(key, f"each {key} under a line [[{self._header(key)}]]")
        found = cast("list[dict[str, object]]", value)
        return tuple(Table(one, (*self.place, key, n)) for n, one in enumerate(found))

    def _header(self, *keys: str) -> str:
        return ".".join((*(str(part) for part in self.place[::2]), *keys))
