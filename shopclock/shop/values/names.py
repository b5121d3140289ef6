"""Names that fit on a button and can't be taken for one another; numbers that were typed."""

from collections.abc import Iterable, Sequence
from unicodedata import east_asian_width

from shopclock.shop.values.errors import Refusal

LONGEST = 40
"""Letters of a name; more would be cut on a button at the smallest window. One as wide as two counts as two."""


def columns(text: str) -> int:
    """Return how many letters of common width a text takes up: those of Chinese, Japanese and Korean take two."""
    return sum(2 if east_asian_width(letter) in "WF" else 1 for letter in text)


def good_name(text: str, taken: Iterable[str] = ()) -> str:
    """Return a name with single spaces; refused when empty, too long, or one of `taken` in any capitals."""
    name = " ".join(text.split())
    if not name:
        raise Refusal("A name is needed. Nothing was changed.")
    if columns(name) > LONGEST:
        wide = " A wide one counts as two." if columns(name) != len(name) else ""
        raise Refusal(f"{name} is too long: {columns(name)} of at most {LONGEST} letters.{wide} Nothing was changed.")
    if name.casefold() in {other.casefold() for other in taken}:
        raise Refusal(f"There is {name} already. Nothing was changed; choose another name.")
    return name


def names_said(names: Sequence[str], many: str, most: int | None = None) -> str:
    """Return the first names, or all, in one line no longer than a name may be, else how many there are: 4 methods."""
    said = ", ".join(names[:most])
    return said if columns(said) <= LONGEST else f"{len(names)} {many}"


def good_number(typed: str, most: float) -> float | None:
    """Return a typed number above 0 and up to `most`, or nothing where it is none."""
    try:
        number = float(typed)
    except ValueError:
        return None
    return number if 0 < number <= most else None
