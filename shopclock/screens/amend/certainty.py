"""How well the times of a stretch are known, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.review.change_text import SURE_WORDS
from shopclock.shop.values.kinds import Certainty, worse

if TYPE_CHECKING:
    from shopclock.shop.values.entities import Interval

ONE = {**SURE_WORDS, Certainty.PRESSED: ""}


def sure_text(interval: Interval) -> str:
    """Say what wasn't pressed, in one word: amended, guessed; nothing where both ends were pressed."""
    return ONE[worse(interval.start_sure, interval.end_sure)]


def sure_sentence(interval: Interval) -> str:
    """Say which end wasn't pressed."""
    ends = (("start", interval.start_sure), ("end", interval.end_sure))
    said = [f"The {name} is {ONE[sure]}." for name, sure in ends if ONE[sure]]
    return " ".join(said) if said else "Both ends were pressed." if interval.end_us is not None else "It still runs."
