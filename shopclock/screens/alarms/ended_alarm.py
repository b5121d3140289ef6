"""The page after a press that said that forgotten work has ended: what it was taken for, now, and other times."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.screens.alarms.state import AlarmState, AlarmVerb
from shopclock.screens.alarms.work_alarm import time_button, where_and_whose
from shopclock.screens.bench.texts import name_of
from shopclock.shop.recovery import answers
from shopclock.shop.recovery.forgotten import likely_times
from shopclock.shop.state.wording import time_example, when_text, zone_of
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.day import first_after
from shopclock.views.button import Button, Press
from shopclock.views.dialogs import CLOCK

if TYPE_CHECKING:
    from shopclock.record.press.record import Record
    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.screens.bench.ended import EndedPress
    from shopclock.shop.values.clock import Moment
    from shopclock.views.dialogs import Dialogs

LAST_US = 2**63
"""Later than any time."""


class EndedAlarm:
    """Offers *now* and other times after the press, one press each; what stands is left by the first button."""

    def __init__(self, record: Record, dialogs: Dialogs, bench: AtBench) -> None:
        self._record = record
        self._dialogs = dialogs
        self._bench = bench

    def state(self, now_us: int) -> AlarmState | None:
        """The page, as long as another time is offered."""
        ended = self._bench.ended
        if ended is None or now_us >= ended.until_us:
            return None
        floor, number = self._record.floor, ended.interval.id
        name, at = name_of(floor, ended.interval), self._at(ended.at_us, now_us)
        why = "when it usually ends" if ended.usual else "when something was last pressed"
        if ended.with_press:
            why = "with this press"
        all_along = Button("It ended now", "it went on all the time", key=Press(AlarmVerb.ENDED_NOW, number))
        if ended.goes_on:
            all_along = replace(all_along, title="It went on all the time", detail="and goes on")
        low_us = answers.earliest_end(floor, ended.interval)
        times = [at for at in likely_times((ended.at_us, ended.sure_us, now_us), low_us, now_us) if at != ended.at_us]
        return AlarmState(
            about=f"ended {number}",
            role="straw",
            title=f"{name} ended {at}, {why}. Was it then?",
            line="  ·  ".join(where_and_whose(floor, ended.interval)),
            maker_id=ended.interval.maker_id,
            answers=(
                Button(f"Ended {at}", "as it stands", role="primary", key=Press(AlarmVerb.ENDED_SO, number)),
                all_along,
            ),
            heading="Ended at",
            times=(
                (LAST_US, Button("Another time", key=Press(AlarmVerb.ENDED_TYPED, number))),
                *((at, time_button(floor, Press(AlarmVerb.ENDED_AT, number, at), now_us)) for at in times),
            ),
        )

    def press(self, press: Press, _moment: Moment | None) -> bool:
        """Leave it, or have it ended at another time."""
        ended = self._bench.ended
        if ended is None or press.number != ended.interval.id or press.verb not in _VERBS:
            return False
        if press.verb == AlarmVerb.ENDED_TYPED:
            self._ask_time(ended)
            return True
        self._bench.ended = None
        if press.verb == AlarmVerb.ENDED_NOW:
            ended.now()
        elif press.verb == AlarmVerb.ENDED_AT:
            ended.at_time(press.choice)
        return True

    def _ask_time(self, ended: EndedPress) -> None:
        floor = self._record.floor

        def take(text: str | None) -> None:
            if not text:
                return
            try:
                at_us = first_after(answers.earliest_end(floor, ended.interval), text, zone_of(floor))
            except Refusal as refused:
                self._dialogs.tell(str(refused))
                return
            self._bench.ended = None
            ended.at_time(at_us)

        self._dialogs.number(f"Ended at, such as {time_example()}", "", take, signs=CLOCK)

    def _at(self, at_us: int, now_us: int) -> str:
        return when_text(at_us, now_us, zone_of(self._record.floor))


_VERBS = (AlarmVerb.ENDED_SO, AlarmVerb.ENDED_NOW, AlarmVerb.ENDED_AT, AlarmVerb.ENDED_TYPED)
