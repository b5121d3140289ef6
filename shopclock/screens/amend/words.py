"""How well the times of a stretch are known, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.kinds import Certainty, worse
from shopclock.shop.told import SURE_WORDS

if TYPE_CHECKING:
    from shopclock.shop.values import Interval

ONE = {**SURE_WORDS, Certainty.PRESSED: ""}


def sure_text(stretch: Interval) -> str:
    """Say what wasn't pressed, in one word: amended, guessed; nothing where both ends were pressed."""
    return ONE[worse(stretch.start_sure, stretch.end_sure)]


def sure_sentence(stretch: Interval) -> str:
    """Say which end wasn't pressed."""
    ends = (("start", stretch.start_sure), ("end", stretch.end_sure))
    said = [f"The {name} is {ONE[sure]}." for name, sure in ends if ONE[sure]]
    return " ".join(said) if said else "Both ends were pressed." if stretch.end_us is not None else "It still runs."
