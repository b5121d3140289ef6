"""Writing the calendar: the plan where there is one, and otherwise why there is none."""

from pathlib import Path

from shopclock.analysis.day_by_day import Stretch, day_by_day
from shopclock.analysis.planner import Planner
from shopclock.exchange.beside import written_beside
from shopclock.exchange.calendar import entries, shop_of, to_ical
from shopclock.exchange.calendar_before import dropped
from shopclock.record.reading import Reading
from shopclock.shop.errors import ShopError


def write_calendar(reading: Reading, path: Path, now_us: int) -> str:
    """Write plan, waits, promises and what spoils to an .ics file; return why there is no plan in it, or "".

    What an older file at this place had and is no longer so is in it as cancelled. That file stays until this one is
    whole.
    """
    if path.suffix.lower() != ".ics":
        raise ShopError(f"{path.name} doesn't end in .ics. Nothing was written. Name a file that does.")
    planned, why = _planned(reading, now_us)
    told = entries(reading.floor, planned, now_us)
    old = dropped(path.read_bytes(), told, shop_of(reading.floor), now_us) if path.is_file() else ()
    with written_beside(path) as part:
        part.write_bytes(to_ical((*told, *old), now_us))
    return why


def calendar_file(record: str, path: str, now_us: int) -> str:
    """Do the same for a record that is still to be opened: beside the window."""
    with Reading.open(Path(record)) as reading:
        return write_calendar(reading, Path(path), now_us)


def _planned(reading: Reading, now_us: int) -> tuple[tuple[Stretch, ...], str]:
    """Return the days of the plan, by the batch worked last; nothing, with the reason, where there is none."""
    try:
        planner = Planner(reading.floor, reading.reads, now_us)
        if not planner.open:
            return (), ""
        return day_by_day(planner.plan(), len(planner.open) - 1), ""
    except ShopError as error:
        return (), str(error)
