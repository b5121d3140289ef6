"""Names in old notes matched to the shop's own: the same name, else the likely one; with the method that is in it."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher

from shopclock.exchange.notes.language import plain

LIKELY = 0.72
"""How alike two names are, from 0 to 1, for one to be offered for the other; found by trying misspellings."""
SAME_METHODS = (
    ("freehand", "by hand", "freihand", "à main levée", "a mano alzada", "a mano libera"),
    ("jig", "vorrichtung", "schablone", "gabarit", "plantilla", "dima"),
)
"""Ways of working as notes name them, each line one way; common practice, no source."""
_JOINED_BY = frozenset(
    ("with", "by", "on", "in", "using", "the", "a", "mit", "auf", "per", "von", "der", "die", "avec", "au", "sur", "en")
)
LONGEST_METHOD = 3
"""Words of a method within a name."""


@dataclass(frozen=True, slots=True)
class Match:
    """A name in the notes and what it is taken for; `likely` where that is a guess, nothing known where it is new.

    `method` is what the name says of how it was done: "bevels free hand" is bevels, freehand.
    """

    written: str
    name: str
    known: bool
    likely: bool
    method: str = ""


def match(written: Iterable[str], known: Iterable[str], said: Mapping[str, str]) -> tuple[Match, ...]:
    """Match names to those that are known; `said` is what the maker says some of them are.

    Names of nobody's likeness are new. Each name is there once, in the order it came.
    """
    names = list(known)
    answers = {name.casefold(): answer for name, answer in said.items()}
    return tuple(_one(name, names, answers.get(name.casefold())) for name in dict.fromkeys(written) if name)


def with_methods(found: Iterable[Match], stages: Mapping[str, Sequence[str]]) -> tuple[Match, ...]:
    """Part the method from names that are new or only likely: what is left of them is matched on its own.

    `stages` are the shop's, each with its methods. "bevels free hand" is likely Grind bevels where that alone has
    these words and this method; a way of working that the shop has not is called as the notes do.
    """
    known, new, parted = list(stages), dict[str, str](), list[Match]()
    own = [method for methods in stages.values() for method in methods]
    for whole in found:
        one = whole
        rest, method = ("", "") if one.known and not one.likely else part_method(one.written, own)
        if rest and method:
            own.append(method)
            one = replace(_one(rest, known, None), written=one.written, method=method)
            one = _by_its_method(one, rest, stages)
        if not one.known:
            one = replace(one, name=new.setdefault(one.name.casefold(), one.name))
        parted.append(one)
    return tuple(parted)


def _by_its_method(one: Match, rest: str, stages: Mapping[str, Sequence[str]]) -> Match:
    words = {plain(word) for word in rest.split()}
    alike = [
        name for name, methods in stages.items()
        if one.method in methods and words <= {plain(word) for word in name.split()}
    ]  # fmt: skip
    known = one.known and not one.likely
    return one if known or len(alike) != 1 else replace(one, name=alike[0], known=True, likely=True)


def part_method(written: str, methods: Iterable[str]) -> tuple[str, str]:
    """Return a name without the method at its end or beginning, and the method; the name whole where it has none."""
    words = re.findall(r"[\w'’]+", written)
    own = {_run(method): method for method in reversed(list(methods))}
    for n in range(min(LONGEST_METHOD, len(words) - 1), 0, -1):
        for said, others in ((words[-n:], words[:-n]), (words[:n], words[n:])):
            method, rest = _method(" ".join(said), own), _without_joint(others)
            if method and rest:
                return " ".join(rest), method
    return written, ""


def _without_joint(words: list[str]) -> list[str]:
    """Return words without a "with" at their end."""
    while words and words[-1].casefold() in _JOINED_BY:
        words = words[:-1]
    return words


def _method(said: str, own: Mapping[str, str]) -> str:
    """Return the shop's method that some words name, as they are or by another word for the same way; "" if none."""
    wanted = _run(said)
    if wanted in own:
        return own[wanted]
    for way in SAME_METHODS:
        runs = list(map(_run, way))
        if wanted in runs:
            return next((own[run] for run in own if run in runs), said)
    return ""


def _run(name: str) -> str:
    """Return a name's letters in one run: free hand and Free-hand are freehand."""
    return "".join(sign for sign in plain(name) if sign.isalnum())


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
