"""Writing the calendar: the plan where there is one, and otherwise why there is none."""

from pathlib import Path

from shopclock.analysis.day_by_day import Stretch, day_by_day
from shopclock.analysis.planner import Planner
from shopclock.exchange.beside import written_beside
from shopclock.exchange.calendar import entries, to_ical
from shopclock.record.reading import Reading
from shopclock.shop.errors import ShopError


def write_calendar(reading: Reading, path: Path, now_us: int) -> str:
    """Write plan, waits, promises and what spoils to an .ics file; return why there is no plan in it, or "".

    The old file stays until the new one is whole.
    """
    if path.suffix.lower() != ".ics":
        raise ShopError(f"{path.name} doesn't end in .ics. Nothing was written. Name a file that does.")
    planned, why = _planned(reading, now_us)
    with written_beside(path) as part:
        part.write_bytes(to_ical(entries(reading.floor, planned, now_us), now_us))
    return why


def _planned(reading: Reading, now_us: int) -> tuple[tuple[Stretch, ...], str]:
    """Return the days of the plan, by the batch worked last; nothing, with the reason, where there is none."""
    try:
        planner = Planner(reading.floor, reading.reads, now_us)
        if not planner.open:
            return (), ""
        return day_by_day(planner.plan(), len(planner.open) - 1), ""
    except ShopError as error:
        return (), str(error)
