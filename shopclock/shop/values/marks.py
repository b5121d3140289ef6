"""Marks that can be scratched into steel and read again."""

from collections.abc import Iterator
from itertools import count, islice, product

LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"
"""No I, O or Q: scratched, they pass for 1 and 0."""


def all_marks() -> Iterator[str]:
    """Yield A, B … Z, then AA, AB …: marks without end, each one once."""
    for length in count(1):
        for letters in product(LETTERS, repeat=length):
            yield "".join(letters)


def marks(n: int, skip: int = 0) -> tuple[str, ...]:
    """Return n marks, leaving out the first `skip` that a batch has already given."""
    return tuple(islice(all_marks(), skip, skip + n))


def spoken(letters: list[str]) -> str:
    """Say a sorted run of marks shortly: A–G, or A, C, F."""
    given = list(islice(all_marks(), 600))
    places = [given.index(letter) for letter in letters]
    if len(places) > 2 and places == list(range(places[0], places[0] + len(places))):
        return f"{letters[0]}–{letters[-1]}"
    return ", ".join(letters)
