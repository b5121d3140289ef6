"""Words that notes write days and lengths with, in the languages of workshops: Unicode's own data (CLDR), by Babel."""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cache

from babel import Locale
from babel.core import UnknownLocaleError, default_locale
from babel.units import format_unit

LANGUAGES = ("en", "de", "fr", "es", "it", "nl", "pt", "da", "sv", "nb")
"""Besides that of the machine. Words that mean one month here and another there name none."""
_WIDTHS = ("wide", "abbreviated")
_WORD = re.compile(r"[^\W\d_]+")
_ALSO = {"hour": "h hr hrs hs std stdn", "minute": "m mn min mins", "second": "s sec secs sek"}
"""Short forms of notebooks that the data has not; common practice, no source."""
_GUESSES = "~ ≈ about around approx approximately ca circa c etwa ungefähr rund zirka env environ vers unos unas aprox"
ABOUT = frozenset(_GUESSES.split(" "))
"""Signs and words that say that what follows is a guess; common practice, no source."""
SAME_AGAIN = frozenset(['"', "''", "“", "”", "″", "〃", ",,", "„", "do", "do.", "ditto", "dto", "dto.", "dito", "idem",
                        "id.", "-“-", '-"-', '- " -', "—“—"])  # fmt: skip
"""Marks for "the same as above"; common practice, no source."""


def plain(word: str) -> str:
    """Return a word without capitals, accents and its point."""
    parted = unicodedata.normalize("NFKD", word.casefold())
    return "".join(sign for sign in parted if not unicodedata.combining(sign)).strip(".")


@cache
def months() -> dict[str, int]:
    """Return the month that each name or short form means, by its plain word."""
    meant: dict[str, set[int]] = {}
    for locale in _locales():
        for context in ("format", "stand-alone"):
            for width in _WIDTHS:
                for number, name in locale.months[context][width].items():
                    meant.setdefault(plain(name), set()).add(number)
    return {word: min(numbers) for word, numbers in meant.items() if len(numbers) == 1}


def month_named(word: str) -> int | None:
    """Return the month of a name, a short form or the beginning of names of one month alone; else nothing."""
    wanted = plain(word)
    if wanted in months():
        return months()[wanted]
    begun = {number for name, number in months().items() if len(wanted) >= 3 and name.startswith(wanted)}
    return begun.pop() if len(begun) == 1 else None


@cache
def weekdays() -> frozenset[str]:
    """Return the plain words of days of the week."""
    found = (
        name
        for locale in _locales()
        for context in ("format", "stand-alone")
        for width in (*_WIDTHS, "short")
        for name in locale.days[context].get(width, {}).values()
    )
    return frozenset(map(plain, found)) | {"tues", "thur", "thurs", "weds"}


@cache
def unit_words(unit: str) -> frozenset[str]:
    """Return the plain words for an hour, a minute or a second: h, Std, heures."""
    written = (
        format_unit(n, f"duration-{unit}", length, locale=locale)
        for locale in _locales()
        for length in ("long", "short", "narrow")
        for n in (1, 2)
    )
    return frozenset(_words(written)) | set(_ALSO[unit].split())


def _words(texts: Iterable[str]) -> Iterator[str]:
    for text in texts:
        yield from map(plain, _WORD.findall(text))


@cache
def _locales() -> tuple[Locale, ...]:
    return tuple(Locale.parse(name) for name in dict.fromkeys([*_own(), *LANGUAGES]))


def _own() -> Iterator[str]:
    """Yield the machine's language where the data has it."""
    with suppress(ValueError, UnknownLocaleError):
        yield Locale.parse(default_locale() or "en").language
