"""Dates, times of day and lengths in the ways that people write them."""

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

EARLIEST = 1990
"""Years before are what spreadsheets make of an empty or broken date."""


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


MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_NUMBERS = re.compile(r"(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})")
_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_WORDS = re.compile(r"(\d{1,2})(?:st|nd|rd|th|\.)?[ -]*([a-z]{3,9})\.?,?[ -]*(\d{4}|\d{2})")
_WORDS_US = re.compile(r"([a-z]{3,9})\.?[ -]*(\d{1,2})(?:st|nd|rd|th)?,?[ -]+(\d{4}|\d{2})")
_WEEKDAY = re.compile(r"^(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?[.,]?\s+")
_MIDNIGHT = re.compile(r"[ t]0{1,2}:00(?::00)?$")


@lru_cache(maxsize=4096)
def date_of(text: str, order: DateOrder | None) -> dt.date:
    """Return the day that a text names; 7/3/26 as `order` says. Unreadable where it names none."""
    bare = _MIDNIGHT.sub("", _WEEKDAY.sub("", text.strip().lower()))
    if not bare:
        raise Unreadable("is no date")
    year, month, day = _parts(bare, order)
    try:
        found = dt.date(year + 2000 if year < 100 else year, month, day)
    except ValueError as error:
        raise Unreadable("is no day of the calendar") from error
    if found.year < EARLIEST:
        raise Unreadable(f"is before {EARLIEST}")
    return found


def _parts(bare: str, order: DateOrder | None) -> tuple[int, int, int]:
    if match := _YEAR_FIRST.fullmatch(bare):
        return int(match[1]), int(match[2]), int(match[3])
    if match := _NUMBERS.fullmatch(bare):
        first, second = int(match[1]), int(match[3])
        if match[2] != "." and order is None and first <= 12 and second <= 12 and first != second:
            raise Unreadable("may be day or month first")
        swapped = match[2] != "." and (order is DateOrder.MONTH_FIRST or (order is None and second > 12))
        return int(match[4]), *((first, second) if swapped else (second, first))
    if match := _WORDS.fullmatch(bare):
        return int(match[3]), _month(match[2]), int(match[1])
    if match := _WORDS_US.fullmatch(bare):
        return int(match[3]), _month(match[1]), int(match[2])
    raise Unreadable("is no date with day, month and year")


def _month(word: str) -> int:
    if word[:3] not in MONTHS:
        raise Unreadable("names no month")
    return MONTHS.index(word[:3]) + 1


def order_of(texts: Iterable[str]) -> DateOrder | None:
    """Tell by a column's dates whether the day or the month comes first; nothing where none of them says.

    Where some say one and some the other, most count; the others are no days of the calendar then.
    """
    votes = {DateOrder.DAY_FIRST: 0, DateOrder.MONTH_FIRST: 0}
    for text in texts:
        match = _NUMBERS.fullmatch(_WEEKDAY.sub("", text.strip().lower()))
        if match and match[2] != ".":
            votes[DateOrder.DAY_FIRST] += int(match[1]) > 12
            votes[DateOrder.MONTH_FIRST] += int(match[3]) > 12
    return max(votes, key=votes.__getitem__) if any(votes.values()) else None


def asks_order(texts: Iterable[str]) -> str | None:
    """Return the first date that may be day or month first; nothing where all are plain or the others tell."""
    some = list(texts)
    if order_of(some) is not None:
        return None
    return next((text for text in some if _unclear(text)), None)


def _unclear(text: str) -> bool:
    match = _NUMBERS.fullmatch(_WEEKDAY.sub("", text.strip().lower()))
    if match is None or match[2] == ".":
        return False
    return int(match[1]) <= 12 and int(match[3]) <= 12 and match[1] != match[3]


_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2})(?::(\d{2})(?:\.\d+)?)?)?\s*([ap])?\.?(?:m\.?)?", re.IGNORECASE)
_FOUR = re.compile(r"(\d{2})(\d{2})")


def clock_of(text: str) -> int:
    """Return a time of day in seconds since midnight: 19:10, 7:10 pm, 19h10, 1910."""
    bare = text.strip().lower()
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
_SPELT = re.compile(
    rf"(?:(?P<h>{_NUMBER})\s*h(?:(?:ou)?rs?)?\.?)?\s*"
    rf"(?:(?P<m>{_NUMBER})\s*(?:m(?:in(?:ute)?s?)?\.?|'|$))?\s*(?:(?P<s>\d{{1,4}})\s*(?:s(?:ec(?:ond)?s?)?\.?|\"))?"
)
_COLONS = re.compile(r"(\d{1,4}):(\d{2})(?::(\d{2})(?:\.\d+)?)?(?:\s*h(?:ou)?(?:rs?)?)?")
_BARE = re.compile(_NUMBER)
_TO = re.compile(r"\s*(?:–|—|-|\bto\b|\buntil\b)\s*")
_HALVES = {"½": 0.5, "¼": 0.25, "¾": 0.75}


@lru_cache(maxsize=4096)
def length_of(text: str, unit: LengthUnit = LengthUnit.MINUTES) -> float:
    """Return a length in seconds: 1:20, 80, 1h20, 80 min, 1.3 h, 1½ h; a bare number is in `unit`."""
    bare = text.strip().lower().lstrip("~").strip()
    if bare.startswith(("-", "−")) and bare[1:].strip()[:1].isdigit():
        raise Unreadable("is less than nothing")
    found = _length(bare, unit)
    if found <= 0:
        raise Unreadable("is no length of time")
    return found


def _length(bare: str, unit: LengthUnit) -> float:
    if match := _COLONS.fullmatch(bare):
        if int(match[2]) > 59 or int(match[3] or 0) > 59:
            raise Unreadable("is no length of time")
        return int(match[1]) * 3600 + int(match[2]) * 60 + int(match[3] or 0)
    if _BARE.fullmatch(bare):
        return _number(bare) * (3600 if unit is LengthUnit.HOURS else 60)
    match = _SPELT.fullmatch(bare)
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
    ends = _TO.split(text.strip().lower())
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
    numbers = [text for text in (t.strip() for t in texts) if _BARE.fullmatch(text)]
    small = bool(numbers) and all(_number(text) <= 12 for text in numbers)
    return LengthUnit.HOURS if small and any(not text.isdigit() for text in numbers) else LengthUnit.MINUTES


def unclear_number(head: str, texts: Iterable[str]) -> str | None:
    """Return the first bare number of a column whose head doesn't say what its numbers are; else nothing."""
    if _unit_in(head) is not None:
        return None
    return next((text for text in texts if _BARE.fullmatch(text.strip())), None)


def _unit_in(head: str) -> LengthUnit | None:
    words = set(re.findall(r"[a-z]+", head.lower()))
    if words & {"h", "hr", "hrs", "hour", "hours"}:
        return LengthUnit.HOURS
    return LengthUnit.MINUTES if words & {"min", "mins", "minutes", "m"} else None
