"""From what the clocks say to the instant that is stored."""

from dataclasses import dataclass

from shopclock.shop.clock import Moment


@dataclass(frozen=True, slots=True)
class Anchor:
    """Ties one boot to UTC: instant = utc_us + boot time. `last_us` is the newest entry."""

    boot_id: str
    utc_us: int
    last_us: int


def anchor_for(moment: Moment, last: Anchor | None) -> Anchor:
    """Return the anchor that holds at this moment.

    Within one boot the first anchor holds, so that lengths follow the steady clock. A new boot
    is tied to its wall clock, but never behind the last entry: a flat battery doesn't refuse
    a press, the record goes on from where it was.
    """
    if last is not None and last.boot_id == moment.boot_id:
        return last
    newest = last.last_us if last is not None else 0
    utc = max(moment.wall_us, newest) - moment.boot_us
    return Anchor(moment.boot_id, utc, newest)


def instant(moment: Moment, anchor: Anchor) -> int:
    """Return the UTC instant of a moment in microseconds, never before the newest entry."""
    return max(anchor.utc_us + moment.boot_us, anchor.last_us)
