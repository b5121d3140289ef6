"""Alarms that want the screen, and what each press on them does. Plain Python."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.screens.alarms.clock_alarm import ClockAlarm
from shopclock.screens.alarms.ended_alarm import EndedAlarm
from shopclock.screens.alarms.file_alarm import FileAlarm
from shopclock.screens.alarms.wait_alarm import WaitAlarm
from shopclock.screens.alarms.within_alarm import WithinAlarm
from shopclock.screens.alarms.work_alarm import WorkAlarm
from shopclock.screens.bench.state import Verb
from shopclock.shop.state.desk_copy import at_desk
from shopclock.shop.values.kinds import QuestionReason
from shopclock.shop.work.makers import name_of_maker

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from shopclock.record.press.record import Record
    from shopclock.screens.alarms.state import Alarm, AlarmState
    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.screens.bench.presenter import BenchPresenter
    from shopclock.shop.recovery.forgotten import UsualOf
    from shopclock.shop.values.clock import Moment
    from shopclock.views.button import Button, Press
    from shopclock.views.dialogs import Dialogs

BENCH_VERBS = (Verb.STOP, Verb.CARRY_ON, Verb.NEXT, Verb.DONE, Verb.THROUGH)
"""What stays live of the Bench."""


class AlarmPresenter:
    """One alarm at a time: the file itself, what spoils, recovery, waits that are over, still at it.

    At the desk only the first: what is timed is the shop's.
    """

    def __init__(
        self,
        record: Record,
        dialogs: Dialogs,
        bench: AtBench,
        usual_of: UsualOf,
        go_on: Callable[[Path], None] = lambda _: None,
    ) -> None:
        self._record = record
        self._bench = bench
        self._file = FileAlarm(record, dialogs, go_on)
        self._within, self._waits = WithinAlarm(record, dialogs, bench), WaitAlarm(record, dialogs)
        alarms: tuple[Alarm, ...] = (
            self._within,
            ClockAlarm(record, dialogs),
            EndedAlarm(record, dialogs, bench),
            WorkAlarm(record, dialogs, usual_of, (QuestionReason.POWER, QuestionReason.SLEPT)),
            self._waits,
            WorkAlarm(record, dialogs, usual_of, (QuestionReason.STILL,)),
        )
        self._maker_id: int | None = None
        self._alarms = alarms if at_desk(record.floor) is None else ()

    def state(self) -> AlarmState | None:
        """Alarm that has the whole screen now, with the Bench's row; nothing while all is quiet."""
        now_us = self._record.instant()
        if (of_file := self._file.state(now_us)) is not None:  # no press could be kept: the Bench's row is not there
            return of_file
        found = next((state for alarm in self._alarms if (state := alarm.state(now_us)) is not None), None)
        if found is None:
            return None
        self._maker_id = found.maker_id
        hands = self._bench.whose(found.maker_id)
        stopped = hands.just_stopped(now_us)  # its place takes nothing, and nothing else comes there
        row = (self._named(hands, b) for b in hands.bottom(now_us) if b.verb in BENCH_VERBS)
        return replace(found, bottom=tuple(b for b in row if b.enabled or (stopped and b.verb == Verb.STOP)))

    def _named(self, hands: BenchPresenter, button: Button) -> Button:
        """Have Stop say whose it is, where several are at the bench: it stands apart from their halves here."""
        several = len(self._bench.shown) > 1 and button.verb == Verb.STOP and not button.detail
        return replace(button, detail=name_of_maker(self._record.floor, hands.maker_id)) if several else button

    def strip(self) -> str:
        """Line of what was seen and is still so: what spoils, else waits; empty where there is nothing."""
        now_us = self._record.instant()
        return "" if not self._alarms else self._within.strip(now_us) or self._waits.strip(now_us)

    def press(self, press: Press, moment: Moment | None = None) -> None:
        """Do what a button says, at the moment the finger came down."""
        if press.verb in BENCH_VERBS:
            self._bench.whose(self._maker_id).press(press, moment)
            return
        if self._file.press(press, moment):
            return
        self._bench.wake(moment)  # whoever answers is there: what comes up after it is the Bench, not its far view
        for alarm in self._alarms:
            if alarm.press(press, moment):
                return

    def key(self, name: str, moment: Moment | None = None) -> str:
        """Do what a key or pedal of this name is for on the Bench; return why it did nothing, empty where it did."""
        return self._bench.key(name, moment)
