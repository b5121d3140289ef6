"""Number ranges: each bench gives numbers out of a range of its own, so that what is made apart never meets."""

import random
from collections.abc import Collection

ROOM = 2**32
"""So many numbers of each kind of thing a bench can give."""
FIRST_APART, LAST_APART = 1_024, 2**20 - 1
"""Numbers of benches that have a range of their own; those below share the first one, whose bench was there first."""


def range_of(number: int) -> int:
    """Return the range that a thing's number lies in; of a part cut off for another bench's work, that of its whole."""
    return (number if number >= 0 else whole_of(number)) // ROOM


def free_number(given: Collection[int]) -> int:
    """Return a number for a new bench, with a range of its own: drawn, for nobody else may be there to be asked."""
    while (number := random.randint(FIRST_APART, LAST_APART)) in given:  # noqa: S311  # no secret
        pass
    return number


def own_range(bench_id: int) -> int:
    """Return the range that a bench gives numbers out of."""
    if bench_id < FIRST_APART:
        return 0
    return bench_id if bench_id <= LAST_APART else range_of(bench_id)


PARTS = 1_024
"""So many parts can be cut off one interval."""


def part_of(number: int, part: int) -> int:
    """Return the number of a part that is cut off an interval: below nothing, and the same at every bench."""
    return -(number * PARTS + part)


def whole_of(number: int) -> int:
    """Return the interval that a part was cut off; of a whole one its own number."""
    return number if number >= 0 else -number // PARTS
