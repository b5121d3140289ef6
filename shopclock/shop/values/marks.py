"""Marks that can be scratched into steel and read again."""

from collections.abc import Iterator
from functools import cache
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


@cache
def place_of(mark: str) -> int:
    """Return where a mark comes among all of them: A is 1, Z 23, AA 24."""
    place = 0
    for letter in mark:
        place = place * len(LETTERS) + LETTERS.index(letter) + 1
    return place


def spoken(letters: list[str]) -> str:
    """Say a sorted run of marks shortly: A–G, or A, C, F. Two benches may have given one twice: then it is C.2."""
    if any("." in letter for letter in letters):
        return ", ".join(letters)
    places = [place_of(letter) for letter in letters]
    if len(places) > 2 and places == list(range(places[0], places[0] + len(places))):
        return f"{letters[0]}–{letters[-1]}"
    return ", ".join(letters)
