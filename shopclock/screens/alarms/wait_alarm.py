"""A wait that is over says so on the whole screen; once seen, on a strip until its pieces are out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.alarms.state import AlarmState
from shopclock.screens.alarms.words import ago, of_batch
from shopclock.screens.bench.said import letters_text, name_of
from shopclock.screens.bench.state import Button
from shopclock.screens.pressing import Pressing
from shopclock.shop import finish
from shopclock.shop.kinds import Kind
from shopclock.shop.questions import seen, was_seen
from shopclock.shop.standing import over, ready_at
from shopclock.shop.values import Interval
from shopclock.shop.wording import when_text, zone_of

if TYPE_CHECKING:
    from shopclock.shop.clock import Moment

STRIP_US = 12 * 3600 * 1_000_000
"""So long after its end a wait stays on the strip; the Bench says it for as long as it lasts."""


class WaitAlarm(Pressing):
    """The first wait that is over and that nobody has seen."""

    def state(self, now_us: int) -> AlarmState | None:
        """What is ready, or nothing."""
        wait = next((i for i in self._over(now_us) if not was_seen(self.floor, i)), None)
        if wait is None:
            return None
        at = when_text(ready_at(self.floor, wait) or now_us, now_us, zone_of(self.floor))
        who = letters_text(self.floor, wait.pieces)
        return AlarmState(
            about=f"wait {wait.id}",
            role="green",
            title=f"{name_of(self.floor, wait)} of {of_batch(self.floor, wait)} is ready",
            line=f"{who}, since {at}",
            answers=(
                Button(f"wait-seen:{wait.id}", "Seen", role="primary"),
                Button(f"wait-out:{wait.id}", "Take out", who),
            ),
        )

    def press(self, verb: str, argument: str, moment: Moment | None) -> bool:
        """Note that it was seen, or take the pieces out."""
        if verb not in ("wait-seen", "wait-out"):
            return False
        wait = self.floor.find(Interval, int(argument))
        if wait is None or not wait.running:
            return True
        if verb == "wait-out":
            self._press(f"Out: {name_of(self.floor, wait)}", lambda turn: finish.out(turn, wait), moment)
        else:
            ready_us = ready_at(self.floor, wait) or wait.start_us
            self._press("Seen", lambda turn: seen(turn, wait, ready_us), moment, undoable=False)
        return True

    def strip(self, now_us: int) -> str:
        """Say of what was seen how long ago it ended: Temper 1 of 26-12 ended 14 min ago."""
        waits = [i for i in self._over(now_us) if was_seen(self.floor, i)]
        return "   ·   ".join(
            f"{name_of(self.floor, i)} of {of_batch(self.floor, i)} ended {ago(at, now_us)}"
            for i in waits
            if (at := ready_at(self.floor, i)) is not None and now_us - at < STRIP_US
        )

    def _over(self, now_us: int) -> list[Interval]:
        waits = [i for i in self.floor.running.values() if i.kind is Kind.WAIT and over(self.floor, i, now_us)]
        return sorted(waits, key=lambda i: (ready_at(self.floor, i) or 0, i.id))
