"""The watch and the alarms of one window, at each tick."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.record.press.watch import Watch
from shopclock.screens.alarms.presenter import AlarmPresenter
from shopclock.screens.alarms.screen import AlarmScreen

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.screens.bench.presenter import BenchPresenter
    from shopclock.views.dialogs import Dialogs
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style

LOOK_US = 1_000_000
"""What can come up by itself is looked for so often; a press shows at once."""


class Alarming:
    """Lets the watch look at the clocks, shows what it asks, and says on a strip what was seen."""

    def __init__(
        self,
        frame: Frame,
        look: Style,
        record: Record,
        dialogs: Dialogs,
        bench: BenchPresenter,
        strip: Callable[[str], None],
    ) -> None:
        self._record = record
        self._strip = strip
        self.watch = Watch(record)
        self.presenter = AlarmPresenter(record, dialogs, bench, self.watch.usual_of)
        self.screen = AlarmScreen(look, frame, self.presenter, record.clock.moment)
        self._next_us = record.clock.moment().boot_us
        self.watch.start()
        record.on_change(self.refresh)
        self.refresh()

    def tick(self) -> None:
        """Look at the clocks, and from time to time at what they have brought about."""
        moment = self._record.clock.moment()
        self.watch.tick(moment)
        if moment.boot_us >= self._next_us:
            self._next_us = moment.boot_us + LOOK_US
            self.refresh()

    def refresh(self) -> None:
        """Show what is so now."""
        self.screen.refresh()
        self._strip(self.presenter.strip())
