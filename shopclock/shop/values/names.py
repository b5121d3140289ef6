"""Names that fit on a button and can't be taken for one another; numbers that were typed."""

from collections.abc import Iterable

from shopclock.shop.values.errors import Refusal

LONGEST = 28
"""Letters of a name; more would be cut on a button at the smallest window."""


def good_name(text: str, taken: Iterable[str] = ()) -> str:
    """Return a name with single spaces; refused when empty, too long, or one of `taken` in any capitals."""
    name = " ".join(text.split())
    if not name:
        raise Refusal("A name is needed. Nothing was changed.")
    if len(name) > LONGEST:
        raise Refusal(f"{name} is too long: {len(name)} of at most {LONGEST} letters. Nothing was changed.")
    if name.casefold() in {other.casefold() for other in taken}:
        raise Refusal(f"There is {name} already. Nothing was changed; choose another name.")
    return name


def good_number(typed: str, most: float) -> float | None:
    """Return a typed number above 0 and up to `most`, or nothing where it is none."""
    try:
        number = float(typed)
    except ValueError:
        return None
    return number if 0 < number <= most else None
