"""A wait that is over says so on the whole screen; once seen, on a strip until its pieces are out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.alarms.state import AlarmState, AlarmVerb
from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.bench.texts import letters_text, name_of, of_batch
from shopclock.shop.recovery.questions import seen, was_seen
from shopclock.shop.state.wording import LATELY_US, ended_text, when_text, zone_of
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work import finish
from shopclock.shop.work.piece_progress import over, ready_at
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Interval


class WaitAlarm(BasePresenter):
    """The first wait that is over and that nobody has seen, with the others of its step: Done begins one a piece."""

    def state(self, now_us: int) -> AlarmState | None:
        """Alarm of the wait that is over, or nothing."""
        waits = self._unseen(now_us)
        if not waits:
            return None
        wait, zone = waits[0], zone_of(self.floor)
        at = when_text(ready_at(self.floor, wait) or now_us, now_us, zone)
        who = letters_text(self.floor, [piece for i in waits for piece in i.pieces])
        return AlarmState(
            about=f"wait {wait.id}",
            role="green",
            title=f"{name_of(self.floor, wait)} of {of_batch(self.floor, wait)} is ready",
            line=f"{who}, since {at}",
            answers=(
                Button("Seen", role="primary", key=Press(AlarmVerb.WAIT_SEEN, wait.id)),
                Button("Take out", who, key=Press(AlarmVerb.WAIT_OUT, wait.id)),
            ),
        )

    def press(self, press: Press, moment: Moment | None) -> bool:
        """Note that they were seen, or take the pieces out."""
        if press.verb not in (AlarmVerb.WAIT_SEEN, AlarmVerb.WAIT_OUT):
            return False
        waits = self._unseen(self.record.instant(moment))
        if not any(wait.id == press.number for wait in waits):
            return True
        if press.verb is AlarmVerb.WAIT_OUT:
            self._press(f"Out: {name_of(self.floor, waits[0])}", lambda tx: _all_out(tx, waits), moment)
        else:
            self._press("Seen", lambda tx: _all_seen(tx, waits), moment, undoable=False)
        return True

    def strip(self, now_us: int) -> str:
        """Say of what was seen how long ago it ended: Temper 1 of 26-12 ended 14 min ago.

        Long after that the Bench and Today alone say so.
        """
        ended: dict[int | None, str] = {}
        for i in self._over(now_us):
            at = ready_at(self.floor, i)
            if at is not None and now_us - at < LATELY_US and was_seen(self.floor, i, at):
                name = f"{name_of(self.floor, i)} of {of_batch(self.floor, i)}"
                ended.setdefault(i.step_id, f"{name} {ended_text(at, now_us, zone_of(self.floor))}")
        return "   ·   ".join(ended.values())

    def _unseen(self, now_us: int) -> list[Interval]:
        """Return the first wait that nobody has seen, and those at the same step."""
        found = [i for i in self._over(now_us) if not was_seen(self.floor, i, ready_at(self.floor, i) or now_us)]
        return [wait for wait in found if wait.step_id == found[0].step_id]

    def _over(self, now_us: int) -> list[Interval]:
        waits = [i for i in self.floor.running.values() if i.kind is Kind.WAIT and over(self.floor, i, now_us)]
        return sorted(waits, key=lambda i: (ready_at(self.floor, i) or 0, i.id))


def _all_out(tx: Transaction, waits: Iterable[Interval]) -> None:
    for wait in waits:
        finish.out(tx, wait)


def _all_seen(tx: Transaction, waits: Iterable[Interval]) -> None:
    for wait in waits:
        seen(tx, wait, ready_at(tx.floor, wait) or wait.start_us)
