"""The clock of the demo shop: it stands until somebody moves it."""

from datetime import datetime
from zoneinfo import ZoneInfo

from shopclock.shop.values.clock import US, Moment

MINUTE_US = 60 * US
HOUR_US = 60 * MINUTE_US
MOMENT_MIN = 0.1
"""From one press to the next."""


class DemoClock:
    """Tells the time of a computer that is switched on for each evening."""

    def __init__(self, zone: ZoneInfo, now_us: int) -> None:
        self.now_us = now_us
        self._zone = zone
        self._on_us = now_us
        self._evenings = 0

    def moment(self) -> Moment:
        """Read all clocks at once."""
        offset = datetime.fromtimestamp(self.now_us / US, self._zone).utcoffset()
        minutes = int(offset.total_seconds()) // 60 if offset else 0
        up_us = self.now_us - self._on_us
        return Moment(self.now_us, up_us, up_us, f"evening {self._evenings}", minutes)

    def go(self, minutes: float) -> None:
        """Let minutes pass."""
        self.now_us += round(minutes * MINUTE_US)

    def switch_on(self, now_us: int) -> None:
        """Begin an evening, at an instant that lies ahead."""
        self.now_us = max(self.now_us, now_us)
        self._on_us = self.now_us
        self._evenings += 1
