"""How much a long test tries: in parts, which spread over the cores, all of them by hand, few where CI is set."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, TypeVar

import hypothesis
import pytest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from hypothesis.strategies import SearchStrategy

T = TypeVar("T")
IN_CI = bool(os.environ.get("CI"))
"""Two runs of a commit say the same there, and end in time."""
OF_TEN = 1
"""So many of ten parts are played in CI."""


def parts(number: int, of_ten: float = OF_TEN) -> pytest.MarkDecorator:
    """Split a long test into so many parts, told by their numbers; at least one is played in CI too."""
    return pytest.mark.parametrize("part", range(max(1, int(number * of_ten / 10)) if IN_CI else number))


def few(things: Iterable[T]) -> list[T]:
    """Return what a long test goes through: all by hand, one of ten in CI, and the first at least."""
    found = list(things)
    kept = max(1, len(found) * OF_TEN // 10)
    return found[:: -(-len(found) // kept)] if IN_CI else found


def tried(check: Callable[[Any], None], of: SearchStrategy[Any], examples: int, part: int) -> None:
    """Check so many examples: in CI those of the part, else others at each run."""
    run = hypothesis.settings(max_examples=examples)(hypothesis.given(of)(check))
    (hypothesis.seed(part)(run) if IN_CI else run)()
