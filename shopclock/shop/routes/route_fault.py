"""Faults of a route, said in the words of its file."""

from collections.abc import Sequence
from difflib import get_close_matches

from shopclock.shop.routes.starter_route import tidy
from shopclock.shop.values.errors import Refusal

Place = tuple[str | int, ...]
"""Where in a route: () is its head, ("step", 2) its third step."""


class RouteFault(Refusal):
    """A route that can't be used: at which place and key, what is wrong, what was expected."""

    def __init__(self, place: Place, key: str, what: str, expected: str) -> None:
        super().__init__(one_line(f"{what}; expected {expected}."))
        self.place = place
        self.key = key


def one_line(text: str) -> str:
    """Return text on one line, with a mark for what no screen can show: it may quote a file."""
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in tidy(text))


def shown(value: object) -> str:
    """Say a value the way a route file writes it, cut where it is long."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, str):
        return f'"{value[:40]}…"' if len(value) > 40 else f'"{value}"'
    return f"{value:g}" if isinstance(value, float) else str(value)[:40]


def one_of(choices: Sequence[str]) -> str:
    """Say a list of choices: a, b or c."""
    *most, last = choices
    return f"{', '.join(most)} or {last}" if most else last


def nearest(word: str, choices: Sequence[str]) -> str:
    """Say the choice that was probably meant, or all of them."""
    close = get_close_matches(word, choices, n=1)
    return close[0] if close else one_of(choices)
