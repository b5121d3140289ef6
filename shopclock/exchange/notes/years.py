"""Years of days that are written without one: what the rows around them say, else the name over them, else today."""

import datetime as dt
import re
from collections.abc import Sequence
from enum import StrEnum

from shopclock.exchange.notes.time import EARLIEST, WrittenDay

BACK_COSTS = 2
"""Notes go on: a day before the one above it is half as likely as one as far after."""
_YEAR = re.compile(r"(?<!\d)(?:19|20)\d{2}(?!\d)")


class YearFrom(StrEnum):
    """Sources of a year that no row says."""

    ROWS = "the rows around them"
    NAME = "the name of the file or what stands above the columns"
    TODAY = "today: the last of them can't be in the future"


def year_in(texts: Sequence[str], latest: dt.date) -> int | None:
    """Return the first year that is named in some texts and not in the future; nothing where none is."""
    found = (int(year) for text in texts for year in _YEAR.findall(text))
    return next((year for year in found if EARLIEST <= year <= latest.year), None)


def with_years(
    written: Sequence[WrittenDay | None], latest: dt.date, named: int | None
) -> tuple[list[int | None], YearFrom]:
    """Return the year of each day of a table from its top down, none later than `latest` where that can be.

    `named` is the year of the first where no row says one. What is no day has no year.
    """
    if any(one is not None and one.year is not None for one in written):
        return _forward(written, latest, None), YearFrom.ROWS
    if named is not None:
        return _forward(written, latest, named), YearFrom.NAME
    back = _forward(written[::-1], latest, latest.year, back=True)
    return back[::-1], YearFrom.TODAY


def _forward(
    written: Sequence[WrittenDay | None], latest: dt.date, first: int | None, *, back: bool = False
) -> list[int | None]:
    """Go from day to day, each as near as can be to the one before and to the next that says its year."""
    below = _next_said(written)
    above = latest if back else None
    found: list[int | None] = []
    for one, next_said in zip(written, below, strict=True):
        if one is None:
            found.append(None)
            continue
        if one.year is None and above is None and next_said is None and first is not None:
            day = one.in_year(first)
        else:
            day = _nearest(one, above, next_said, latest, back=back)
        found.append(day.year if day is not None else None)
        above = day or above
    return found


def _next_said(written: Sequence[WrittenDay | None]) -> list[dt.date | None]:
    below: dt.date | None = None
    found: list[dt.date | None] = []
    for one in reversed(written):
        if one is not None and one.year is not None:
            below = one.in_year(one.year) or below
        found.append(below)
    return found[::-1]


def _nearest(
    one: WrittenDay, above: dt.date | None, below: dt.date | None, latest: dt.date, *, back: bool
) -> dt.date | None:
    if one.year is not None:
        return one.in_year(one.year)
    years = {near.year + n for near in (above, below) if near is not None for n in (-1, 0, 1)} or {latest.year}
    days = [day for year in sorted(years) if (day := one.in_year(year)) is not None]
    past = [day for day in days if day <= latest] or days
    return min(past, key=lambda day: _cost(day, above, below, back=back), default=None)


def _cost(day: dt.date, above: dt.date | None, below: dt.date | None, *, back: bool) -> int:
    steps = [(day - above).days * (-1 if back else 1)] if above is not None else []
    steps += [(below - day).days] if below is not None else []
    return sum(step if step >= 0 else -BACK_COSTS * step for step in steps)
