"""The shop's week and its days off: which hours of a day are planned for work."""

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import instant_of
from shopclock.shop.values.entities import DayOff, Maker, ShopHours
from shopclock.shop.values.errors import Refusal

DAY_MIN = 1440
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def add_hours(tx: Transaction, weekday: int, from_min: int, to_min: int, maker_id: int | None = None) -> ShopHours:
    """Plan a stretch of each week, Monday 0; refused where it is none or lies over another of the same maker's.

    What is no maker's is the first one's.
    """
    if not (0 <= weekday <= 6 and 0 <= from_min < to_min <= DAY_MIN):
        raise Refusal("Hours begin before they end, within one day. Nothing was changed.")
    _keep_apart(tx.floor, weekday, from_min, to_min, maker_id)
    return tx.add(ShopHours(weekday=weekday, from_min=from_min, to_min=to_min, maker_id=maker_id))


def _keep_apart(floor: ShopFloor, weekday: int, from_min: int, to_min: int, maker_id: int | None) -> None:
    for other in hours_of(floor, maker_id):
        if other.weekday == weekday and from_min < other.to_min and other.from_min < to_min:
            raise Refusal(f"{clock(other.from_min)} to {clock(other.to_min)} is planned already. Nothing was changed.")


def clock(minute: int) -> str:
    """Say a minute of a day: 19:05."""
    return f"{minute // 60}:{minute % 60:02d}"


def drop_hours(tx: Transaction, hours: ShopHours) -> None:
    """Take planned hours out of the week."""
    tx.drop(hours)


def add_day_off(tx: Transaction, first: date, last: date, why: str = "") -> DayOff:
    """Plan no work from one day to another, both included."""
    if last < first:
        raise Refusal("The last day off is before the first. Nothing was changed.")
    return tx.add(DayOff(first=first.isoformat(), last=last.isoformat(), why=" ".join(why.split())))


def drop_day_off(tx: Transaction, off: DayOff) -> None:
    """Work on these days after all."""
    tx.drop(off)


def week(floor: ShopFloor) -> tuple[ShopHours, ...]:
    """Return the hours of a week that are planned for the first maker, Monday first."""
    return hours_of(floor, None)


def hours_of(floor: ShopFloor, maker_id: int | None) -> tuple[ShopHours, ...]:
    """Return the hours of a week that are planned for a maker (nothing: the first), Monday first."""
    first = next(floor.all(Maker)).id
    own = (hours for hours in floor.all(ShopHours) if (hours.maker_id or first) == (maker_id or first))
    return tuple(sorted(own, key=lambda h: (h.weekday, h.from_min)))


def planned_makers(floor: ShopFloor) -> tuple[Maker, ...]:
    """Return the makers that a plan can count on: those with hours, the first at any rate."""
    found = [maker for maker in floor.all(Maker) if not maker.put_away]
    return tuple(maker for n, maker in enumerate(found) if not n or hours_of(floor, maker.id))


def is_off(floor: ShopFloor, day: date) -> bool:
    """Tell whether no work is planned on a day of this date."""
    said = day.isoformat()
    return any(off.first <= said <= off.last for off in floor.all(DayOff))


def planned_on(floor: ShopFloor, day: date, zone: ZoneInfo, maker_id: int | None = None) -> tuple[tuple[int, int], ...]:
    """Return the planned stretches of a maker's day as instants; the wall's hours, whatever the clocks do then."""
    if is_off(floor, day):
        return ()
    own = (h for h in hours_of(floor, maker_id) if h.weekday == day.weekday())
    found = ((_at(day, h.from_min, zone), _at(day, h.to_min, zone)) for h in own)
    return tuple((start, end) for start, end in found if end > start)


def _at(day: date, minute: int, zone: ZoneInfo) -> int:
    midnight = datetime.combine(day, time(), zone)
    return instant_of(midnight + timedelta(minutes=minute))


def week_minutes(floor: ShopFloor) -> int:
    """Return the planned minutes of a week without days off, of all makers."""
    return sum(h.to_min - h.from_min for maker in planned_makers(floor) for h in hours_of(floor, maker.id))
