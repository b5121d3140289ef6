"""Names in old notes matched to the shop's own: the same name, else the likely one."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher

LIKELY = 0.72
"""How alike two names are, from 0 to 1, for one to be offered for the other; found by trying misspellings."""


@dataclass(frozen=True, slots=True)
class Match:
    """A name in the notes and what it is taken for; `likely` where that is a guess, nothing known where it is new."""

    written: str
    name: str
    known: bool
    likely: bool


def match(written: Iterable[str], known: Iterable[str], said: Mapping[str, str]) -> tuple[Match, ...]:
    """Match names to those that are known; `said` is what the maker says some of them are.

    Names of nobody's likeness are new. Each name is there once, in the order it came.
    """
    names = list(known)
    answers = {name.casefold(): answer for name, answer in said.items()}
    return tuple(_one(name, names, answers.get(name.casefold())) for name in dict.fromkeys(written) if name)


def _one(written: str, names: list[str], said: str | None) -> Match:
    wanted = said if said is not None else written
    same = next((name for name in names if name.casefold() == wanted.casefold()), None)
    if same is not None or said is not None:
        return Match(written, same or wanted, known=same is not None, likely=False)
    alike = max(names, key=lambda name: likeness(written, name), default=None)
    if alike is not None and likeness(written, alike) >= LIKELY:
        return Match(written, alike, known=True, likely=True)
    return Match(written, written, known=False, likely=False)


def likeness(one: str, other: str) -> float:
    """Return how alike two names are, from 0 to 1, whatever their capitals and order of words."""
    as_written = SequenceMatcher(None, one.casefold(), other.casefold()).ratio()
    return max(as_written, SequenceMatcher(None, _sorted(one), _sorted(other)).ratio())


def _sorted(name: str) -> str:
    return " ".join(sorted(name.casefold().replace("-", " ").split()))
