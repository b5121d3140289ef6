"""A machine to keep a record on: three clocks, sleep, a power cut, a clock that somebody sets."""

from dataclasses import dataclass

from shopclock.shop.values.clock import Moment

SECOND_US = 1_000_000
MINUTE_US = 60 * SECOND_US
HOUR_US = 60 * MINUTE_US
EVENING_US = 1_795_720_440_000_000
"""Thursday 26 November 2026, 20:14 in Vienna."""
BATTERY_US = 1_420_070_400_000_000
"""1 January 2015: where the clock of a machine with a flat battery begins."""


@dataclass
class Machine:
    """A machine with three clocks: it can sleep, stall, be set, lose power."""

    wall_us: int = EVENING_US
    boot_us: int = 10 * SECOND_US
    awake_us: int = 10 * SECOND_US
    boot_id: str = "first"
    offset_min: int = 60

    @property
    def now_us(self) -> int:
        return self.wall_us

    def moment(self) -> Moment:
        return Moment(self.wall_us, self.boot_us, self.awake_us, self.boot_id, self.offset_min)

    def on(self, minutes: float = 0, us: int = 0) -> None:
        self._go(round(minutes * MINUTE_US) + us)

    def _go(self, us: int, *, awake: bool = True) -> None:
        self.wall_us += us
        self.boot_us += us
        self.awake_us += us if awake else 0

    def sleep(self, minutes: float) -> None:
        self._go(round(minutes * MINUTE_US), awake=False)

    def set_by(self, minutes: float) -> None:
        self.wall_us += round(minutes * MINUTE_US)

    def restart(self, wall_us: int, boot_id: str = "second") -> None:
        self.wall_us, self.boot_us, self.awake_us, self.boot_id = wall_us, 5 * SECOND_US, 5 * SECOND_US, boot_id
