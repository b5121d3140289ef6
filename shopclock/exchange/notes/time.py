"""Dates, times of day and lengths in the ways that people write them."""

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache

from shopclock.exchange.notes.language import ABOUT, month_named, plain, unit_words, weekdays

EARLIEST = 1990
"""Years before are what spreadsheets make of an empty or broken date."""
HOURS_OF_A_DAY = 24
LEAP_YEAR = 2024
"""A year that has all days."""


class DateOrder(StrEnum):
    """Order of day and month in 7/3/26."""

    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


class LengthUnit(StrEnum):
    """Unit of a bare number in a column."""

    MINUTES = "minutes"
    HOURS = "hours"


class Unreadable(ValueError):
    """Fault of a text that is no date, time or length: what its sentence says after the text itself."""


@dataclass(frozen=True, slots=True)
class TypedSpan:
    """A time of day and another: 19:10–20:35, in seconds since midnight; the end may be the next day's."""

    start_s: int
    end_s: int


@dataclass(frozen=True, slots=True)
class WrittenDay:
    """A day as it is written: without a year where the notes leave it to the page they stand on."""

    year: int | None
    month: int
    day: int

    def in_year(self, year: int) -> dt.date | None:
        """Return the day of a year, its own where it says one; nothing where that has no such day."""
        try:
            return dt.date(self.year if self.year is not None else year, self.month, self.day)
        except ValueError:
            return None


_NUMBERS = re.compile(r"(\d{1,2})([/.-])(\d{1,2})(?:\2(\d{4}|\d{2})?)?")
_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_ORDINAL = r"(?:st|nd|rd|th|er|[ºª°.])?"
_OF = r"(?:(?:of|the|de|del|den) )?"
_YEAR = r"(?:[ ,-]+(?:de |del )?'?(\d{4}|\d{2}))?"
_WORDS = re.compile(rf"(\d{{1,2}}){_ORDINAL}[ -]*{_OF}([^\W\d_]{{3,12}})\.?{_YEAR}")
_WORDS_US = re.compile(rf"([^\W\d_]{{3,12}})\.?[ -]*{_OF}(\d{{1,2}}){_ORDINAL}{_YEAR}")
_WEEKDAY = re.compile(r"([^\W\d_]{2,10})[.,]?\s+(?=\S)")
_MIDNIGHT = re.compile(r"[ t]0{1,2}:00(?::00)?$")
_NOT_A_DAY = re.compile(r"\d{1,2}[.,-]\d{1,2}")
"""1.5 is a number wherever no head says that it is a day."""


@lru_cache(maxsize=4096)
def date_of(text: str, order: DateOrder | None, year: int | None = None) -> dt.date:
    """Return the day that a text names, in `year` where it says none; 7/3/26 as `order` says.

    Unreadable where it names none.
    """
    written = written_day(text, order)
    if written.year is None and year is None:
        raise Unreadable("is no date with day, month and year")
    found = written.in_year(year or 0)
    if found is None:
        raise Unreadable("is no day of the calendar")
    if found.year < EARLIEST:
        raise Unreadable(f"is before {EARLIEST}")
    return found


@lru_cache(maxsize=4096)
def written_day(text: str, order: DateOrder | None) -> WrittenDay:
    """Return the day as a text has it; Unreadable where that is none of any year."""
    bare = _MIDNIGHT.sub("", text.strip().lower())
    match = _WEEKDAY.match(bare)
    if match and plain(match[1]) in weekdays() and not (month_named(match[1]) and _WORDS_US.fullmatch(bare)):
        bare = bare[match.end() :]
    if not bare:
        raise Unreadable("is no date")
    year, month, day = _parts(bare, order)
    found = WrittenDay(year + 2000 if year is not None and year < 100 else year, month, day)
    if found.in_year(LEAP_YEAR) is None:
        raise Unreadable("is no day of the calendar")
    return found


def looks_like_a_day(text: str) -> bool:
    """Tell whether a text is a day and nothing else, whatever stands over it: 7/3/26, 15 Jan, not 1.5."""
    if _NOT_A_DAY.fullmatch(text.strip()):
        return False
    for order in DateOrder:
        try:
            written_day(text, order)
        except Unreadable:
            continue
        return True
    return False


def _parts(bare: str, order: DateOrder | None) -> tuple[int | None, int, int]:
    if match := _YEAR_FIRST.fullmatch(bare):
        return int(match[1]), int(match[2]), int(match[3])
    if match := _NUMBERS.fullmatch(bare):
        first, second = int(match[1]), int(match[3])
        if match[2] != "." and order is None and first <= 12 and second <= 12 and first != second:
            raise Unreadable("may be day or month first")
        swapped = match[2] != "." and (order is DateOrder.MONTH_FIRST or (order is None and second > 12))
        return _whole(match[4]), *((first, second) if swapped else (second, first))
    if match := _WORDS.fullmatch(bare):
        return _whole(match[3]), _month(match[2]), int(match[1])
    if match := _WORDS_US.fullmatch(bare):
        return _whole(match[3]), _month(match[1]), int(match[2])
    raise Unreadable("is no date with day, month and year")


def _whole(digits: str | None) -> int | None:
    return int(digits) if digits else None


def _month(word: str) -> int:
    found = month_named(word)
    if found is None:
        raise Unreadable("names no month")
    return found


def order_of(texts: Iterable[str]) -> DateOrder | None:
    """Tell by a column's dates whether the day or the month comes first; nothing where none of them says.

    Where some say one and some the other, most count; the others are no days of the calendar then.
    """
    votes = {DateOrder.DAY_FIRST: 0, DateOrder.MONTH_FIRST: 0}
    for text in texts:
        match = _NUMBERS.fullmatch(_bare_day(text))
        if match and match[2] != ".":
            votes[DateOrder.DAY_FIRST] += int(match[1]) > 12
            votes[DateOrder.MONTH_FIRST] += int(match[3]) > 12
    return max(votes, key=votes.__getitem__) if any(votes.values()) else None


def _bare_day(text: str) -> str:
    return _WEEKDAY.sub("", text.strip().lower(), count=1)


def asks_order(texts: Iterable[str]) -> str | None:
    """Return the first date that may be day or month first; nothing where all are plain or the others tell."""
    some = list(texts)
    if order_of(some) is not None:
        return None
    return next((text for text in some if _unclear(text)), None)


def _unclear(text: str) -> bool:
    match = _NUMBERS.fullmatch(_bare_day(text))
    if match is None or match[2] == ".":
        return False
    return int(match[1]) <= 12 and int(match[3]) <= 12 and match[1] != match[3]


_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2})(?::(\d{2})(?:\.\d+)?)?)?\s*([ap])?\.?(?:m\.?)?", re.IGNORECASE)
_FOUR = re.compile(r"(\d{2})(\d{2})")


def clock_of(text: str) -> int:
    """Return a time of day in seconds since midnight: 19:10, 7:10 pm, 19h10, 1910."""
    bare = text.strip().lower().removesuffix("uhr").strip()
    bare = bare.split(" ", 1)[1] if _YEAR_FIRST.match(bare) and " " in bare else bare
    match = _FOUR.fullmatch(bare) or _CLOCK.fullmatch(bare)
    if match is None or (match.re is _CLOCK and match[2] is None and match[4] is None):
        raise Unreadable("is no time of day")
    hours, minutes = int(match[1]), int(match[2] or 0)
    seconds, half = (int(match[3] or 0), match[4]) if match.re is _CLOCK else (0, None)
    if half is not None:
        if not 1 <= hours <= 12:
            raise Unreadable("is no time of day")
        hours = hours % 12 + (12 if half == "p" else 0)
    if hours > 24 or minutes > 59 or seconds > 59 or (hours == 24 and minutes + seconds):
        raise Unreadable("is no time of day")
    return hours * 3600 + minutes * 60 + seconds


_NUMBER = r"\d{1,9}(?:[.,]\d{1,9})?|\d{0,3}\s*[½¼¾]"


@cache
def _spelt() -> re.Pattern[str]:
    """Return the pattern of hours, minutes and seconds with their words, in all languages."""
    hours, minutes, seconds = (
        "|".join(sorted(map(re.escape, unit_words(unit)), key=len, reverse=True))
        for unit in ("hour", "minute", "second")
    )
    return re.compile(
        rf"(?:(?P<h>{_NUMBER})\s*(?:{hours})\.?)?\s*"
        rf"(?:(?P<m>{_NUMBER})\s*(?:(?:{minutes})\.?|'|$))?\s*(?:(?P<s>\d{{1,4}})\s*(?:(?:{seconds})\.?|\"))?"
    )


_COLONS = re.compile(r"(\d{1,4}):(\d{2})(?::(\d{2})(?:\.\d+)?)?(?:\s*([^\W\d_]+)\.?)?")
_ABOUT = re.compile(r"(?P<word>[~≈]|[^\W\d_]+\.?)\s*(?=\S)")
_BARE = re.compile(_NUMBER)
TO = re.compile(r"\s*(?:–|—|-|\b(?:to|until|till|bis|à|hasta|fino a)\b)\s*")
"""What stands between a time of day and another."""
_HALVES = {"½": 0.5, "¼": 0.25, "¾": 0.75}


@lru_cache(maxsize=4096)
def length_of(text: str, unit: LengthUnit = LengthUnit.MINUTES) -> float:
    """Return a length in seconds: 1:20, 80, 1h20, 80 min, 1.3 h, 1½ h; a bare number is in `unit`."""
    bare = exact(text)
    if bare.startswith(("-", "−")) and bare[1:].strip()[:1].isdigit():
        raise Unreadable("is less than nothing")
    found = _length(bare, unit)
    if found <= 0:
        raise Unreadable("is no length of time")
    return found


def exact(text: str) -> str:
    """Return a length without what says that it is a guess."""
    bare = text.strip().lower().rstrip("?").strip()
    while (match := _ABOUT.match(bare)) and match["word"].rstrip(".") in ABOUT:
        bare = bare[match.end() :]
    return bare


def is_guess(text: str) -> bool:
    """Tell whether a length says of itself that it is one: ca 36, ~2 h, 40?."""
    return exact(text) != text.strip().lower()


def _length(bare: str, unit: LengthUnit) -> float:
    match = _COLONS.fullmatch(bare)
    if match and (match[4] is None or match[4] in unit_words("hour")):
        if int(match[2]) > 59 or int(match[3] or 0) > 59:
            raise Unreadable("is no length of time")
        return int(match[1]) * 3600 + int(match[2]) * 60 + int(match[3] or 0)
    if _BARE.fullmatch(bare):
        return _number(bare) * (3600 if unit is LengthUnit.HOURS else 60)
    match = _spelt().fullmatch(bare)
    if match is None or not any(match.groups()):
        raise Unreadable("is no length of time")
    return _number(match["h"]) * 3600 + _number(match["m"]) * 60 + _number(match["s"])


def _number(text: str | None) -> float:
    if not text:
        return 0.0
    whole = text.rstrip("½¼¾")
    part = sum(_HALVES[sign] for sign in text[len(whole) :])
    return float(whole.strip().replace(",", ".") or 0) + part


def typed_span(text: str) -> TypedSpan:
    """Return the two times of day in 19:10–20:35; an end before the start is the next day's."""
    ends = TO.split(text.strip().lower())
    if len(ends) != 2:
        raise Unreadable("is no time from and to")
    start_s, end_s = (clock_of(end) for end in ends)
    if start_s == end_s:
        raise Unreadable("ends when it starts")
    return TypedSpan(start_s, end_s if end_s > start_s else end_s + 24 * 3600)


def unit_of(head: str, texts: Iterable[str]) -> LengthUnit:
    """Tell what the bare numbers of a column are: as its head says, else hours where all are small and some broken."""
    said = _unit_in(head)
    if said is not None:
        return said
    numbers = [text for text in map(exact, texts) if _BARE.fullmatch(text)]
    small = bool(numbers) and all(_number(text) <= 12 for text in numbers)
    return LengthUnit.HOURS if small and any(not text.isdigit() for text in numbers) else LengthUnit.MINUTES


def unclear_number(head: str, texts: Iterable[str]) -> str | None:
    """Return the first bare number of a column whose head doesn't say what its numbers are; else nothing.

    Numbers that would be longer than a day tell by themselves: nobody works so many hours at half of what is done.
    """
    bare = [text for text in texts if _BARE.fullmatch(exact(text))]
    long = sum(_number(exact(text)) > HOURS_OF_A_DAY for text in bare)
    return None if _unit_in(head) is not None or 2 * long >= len(bare) > 0 else next(iter(bare), None)


def _unit_in(head: str) -> LengthUnit | None:
    words = set(map(plain, re.findall(r"[^\W\d_]+", head))) - {"time"}
    if words & unit_words("hour"):
        return LengthUnit.HOURS
    return LengthUnit.MINUTES if words & unit_words("minute") else None
