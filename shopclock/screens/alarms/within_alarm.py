"""Deadline that runs out first, on the whole screen; once seen, on a strip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.alarms.state import AlarmState, AlarmVerb
from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.bench.act_words import said, taken
from shopclock.screens.bench.texts import batch_text, letters_text
from shopclock.shop.planning.today import Spoils, spoils
from shopclock.shop.state.wording import length_text, when_text, zone_of
from shopclock.shop.work.acts import start_act
from shopclock.shop.work.loads import blocked_text
from shopclock.views.button import Button, Press

if TYPE_CHECKING:
    from shopclock.record.press.record import Record
    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.shop.values.clock import Moment
    from shopclock.views.dialogs import Dialogs

MINUTE_US = 60_000_000
AGAIN_US = (15 * MINUTE_US, 5 * MINUTE_US, 0)
"""So long before a rule runs out, and when it has, what was seen comes up again."""


@dataclass(frozen=True, slots=True)
class Sight:
    """Instant at which somebody saw what spoils, and for which pieces."""

    at_us: int
    pieces: frozenset[int]


class WithinAlarm(BasePresenter):
    """Alarm of what spoils. That it was seen is kept here alone: after a restart everything comes up again.

    While its first step is still worked, a rule that has only just begun goes straight to the strip:
    whoever stands at the quench knows, and needs the Bench.
    """

    def __init__(self, record: Record, dialogs: Dialogs, bench: AtBench) -> None:
        super().__init__(record, dialogs)
        self._bench = bench
        self._opened_us = record.instant()
        self._sights: dict[int, Sight] = {}

    def state(self, now_us: int) -> AlarmState | None:
        """Alarm of the deadline that runs out first and has not been seen, or nothing."""
        found = self._unseen(now_us)
        return self._shown(found, now_us) if found is not None else None

    def press(self, press: Press, moment: Moment | None) -> bool:
        """Note that it was seen, or start what it asks for."""
        if press.verb not in (AlarmVerb.WITHIN_SEEN, AlarmVerb.WITHIN_START):
            return False
        now_us = self.record.instant(moment)
        found = self._unseen(now_us)
        if found is None or press.number != found.then.id:
            return True
        if press.verb is AlarmVerb.WITHIN_START:
            self._bench.begin(found.then, found.takes or found.pieces, moment)
        else:
            self._sights[found.then.id] = Sight(now_us, frozenset(found.pieces))
        return True

    def strip(self, now_us: int) -> str:
        """Say what runs out first: C, D, F: Temper 1 within 41 min."""
        found = next(iter(spoils(self.floor, now_us)), None)
        if found is None:
            return ""
        who, left_us = letters_text(self.floor, found.pieces), found.until_us - now_us
        if left_us < 0:
            return f"{who}: {found.then.name} {length_text(-left_us)} late"
        return f"{who}: {found.then.name} within {length_text(left_us)}"

    def _unseen(self, now_us: int) -> Spoils | None:
        return next((s for s in spoils(self.floor, now_us) if self._comes_up(s, now_us)), None)

    def _comes_up(self, found: Spoils, now_us: int) -> bool:
        last_call_us = max((at for us in AGAIN_US if (at := found.until_us - us) <= now_us), default=0)
        sight = self._sights.get(found.then.id)
        if sight is None or sight.at_us < found.since_us:
            return found.since_us < self._opened_us or last_call_us > found.since_us or not self._at_it(found)
        return last_call_us > sight.at_us or not (sight.pieces.issuperset(found.pieces) or self._at_it(found))

    def _at_it(self, found: Spoils) -> bool:
        return any(i.step_id == found.first.id for i in self.floor.running.values())

    def _shown(self, found: Spoils, now_us: int) -> AlarmState:
        who, left_us = letters_text(self.floor, found.pieces), found.until_us - now_us
        rest = f"{length_text(left_us)} left" if left_us >= 0 else f"late by {length_text(-left_us)}"
        act = start_act(self.floor, self._bench.maker_id, found.then, now_us, found.takes or found.pieces)
        going = act.going if act is not None else ()
        takes = "" if set(going) == set(found.pieces) else letters_text(self.floor, going)
        takes = said([takes, *(taken(self.floor, self._bench.maker_id, act) if act is not None else ())])
        start = Press(AlarmVerb.WITHIN_START, found.then.id)
        return AlarmState(
            about=f"within {found.then.id}",
            role="red",
            title=f"{who}: {found.first.name} done, {found.then.name} not begun.",
            figure=rest,
            line=self._line(found, now_us),
            answers=(
                Button(f"Start: {found.then.name}", takes, role="primary", key=start),
                Button("Seen", key=Press(AlarmVerb.WITHIN_SEEN, found.then.id)),
            ),
        )

    def _line(self, found: Spoils, now_us: int) -> str:
        zone = zone_of(self.floor)
        since, until = (when_text(us, now_us, zone) for us in (found.since_us, found.until_us))
        parts = [batch_text(self.floor, found.batch), f"{found.first.name} {since}, {found.then.name} by {until}"]
        if found.blocked is not None:
            parts.append(blocked_text(self.floor, found.blocked, now_us))
        return "  ·  ".join(parts)
