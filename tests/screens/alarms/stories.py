"""Alarms, each come about by presses and by what happens to a machine."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopclock.record.press.record import Record
from shopclock.record.press.watch import Watch
from shopclock.screens.alarms.presenter import AlarmPresenter
from shopclock.screens.alarms.state import AlarmVerb
from shopclock.screens.bench.at_bench import AtBench
from shopclock.screens.bench.state import Verb
from shopclock.shop.values.clock import Moment
from shopclock.views.button import Press
from tests.screens.bench.workshop import MINUTE_US, START_US, Workshop

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from shopclock.screens.alarms.state import AlarmState

BATTERY_US = 1_420_070_400_000_000
"""1 January 2015: where the clock of a machine with a flat battery begins."""


@dataclass
class Machine:
    """Three clocks that stand still until they are told to go on; it can sleep, be set, lose power."""

    now_us: int = START_US - 200 * MINUTE_US
    boot_us: int = 10**9
    awake_us: int = 10**9
    boot_id: str = "boot"

    def moment(self) -> Moment:
        return Moment(self.now_us, self.boot_us, self.awake_us, self.boot_id, 60)

    def go(self, minutes: float, *, awake: bool = True) -> None:
        us = round(minutes * MINUTE_US)
        self.now_us += us
        self.boot_us += us
        self.awake_us += us if awake else 0

    def restart(self, wall_us: int) -> None:
        self.now_us, self.boot_us, self.awake_us, self.boot_id = wall_us, 10**7, 10**7, f"boot at {wall_us}"


@dataclass
class Alarmed(Workshop):
    """A workshop with its watch and its alarms."""

    watch: Watch = field(init=False)
    at_bench: AtBench = field(init=False)
    alarms: AlarmPresenter = field(init=False)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.watch = Watch(self.record)
        self.watch.start()
        self.at_bench = AtBench(self.record, self.dialogs, self.usual_at, self.go)
        self.bench = self.at_bench.front
        self.alarms = AlarmPresenter(self.record, self.dialogs, self.at_bench, self.watch.usual_of)

    @classmethod
    def open(cls, path: Path) -> Alarmed:
        machine = Machine()
        return cls(Record.open(path, machine, make=True, zone="Europe/Vienna"), machine)  # type: ignore[arg-type]  # goes on alike

    def again(self) -> None:
        """Killed and started anew: nothing is closed tidily."""
        self.record._engine.dispose()
        self.record = Record.open(self.record.path, self.clock)
        self.__post_init__()

    def tick(self, minutes: float = 0) -> AlarmState | None:
        """Let time pass with a tick each half minute."""
        for _ in range(round(minutes * 2)):
            self.clock.go(0.5)
            self.watch.tick()
        self.watch.tick()
        return self.shown

    @property
    def shown(self) -> AlarmState | None:
        return self.alarms.state()

    def answer(self, verb: str) -> AlarmState | None:
        """Press the first button of the alarm that does this."""
        state = self.shown
        assert state is not None
        buttons = [*state.answers, *(b for _, b in state.times), *state.bottom, *([state.back] if state.back else [])]
        found = next(b for b in buttons if b.verb == verb)
        self.alarms.press(found.key, self.clock.moment())
        return self.shown


def still(shop: Alarmed) -> None:
    """Bevels one by one, nothing done for three pieces' time."""
    batch = shop.batch("Paring 95", 7)
    shop.start("Grind bevels", batch)
    shop.press(Verb.DONE, 15)
    shop.press(Verb.DONE, 15)
    shop.tick(100)


def which_step(shop: Alarmed) -> None:
    """It was another step."""
    still(shop)
    shop.answer(AlarmVerb.OTHER)


def ended_not_when(shop: Alarmed) -> None:
    """It has ended, not when."""
    still(shop)
    shop.clock.go(650)
    shop.tick()
    shop.answer(Verb.STOP)


def since_when(shop: Alarmed) -> None:
    """Since when."""
    which_step(shop)
    shop.answer(AlarmVerb.OTHER_STEP)


def power(shop: Alarmed) -> None:
    """The power failed."""
    batch = shop.batch("Paring 95", 7)
    shop.start("Grind bevels", batch)
    shop.tick(27)
    shop.clock.restart(shop.clock.now_us + 33 * MINUTE_US)
    shop.again()


def slept(shop: Alarmed) -> None:
    """The lid was shut."""
    batch = shop.batch("Paring 95", 7)
    shop.start("Finish grind", batch)
    shop.tick(20)
    shop.clock.go(33, awake=False)
    shop.tick()


def clock_set(shop: Alarmed) -> None:
    """An hour on."""
    shop.batch("Paring 95", 7)
    shop.tick(5)
    shop.clock.now_us += 61 * MINUTE_US
    shop.tick()


def clock_set_since(shop: Alarmed) -> None:
    """Seven minutes back, with work from before the program was started last in this boot too."""
    batch = shop.batch("Paring 95", 7)
    for _ in range(12):
        shop.start("Saw out", batch)
        shop.tick(5)
        shop.press(Verb.STOP)
    shop.tick(20)
    shop.again()
    shop.start("Saw out", batch)
    shop.tick(4)
    shop.clock.now_us -= 7 * MINUTE_US
    shop.tick()


def clock_set_before(shop: Alarmed) -> None:
    """An hour on, then started anew before anybody answered."""
    clock_set(shop)
    shop.clock.restart(shop.clock.now_us + 10 * MINUTE_US)
    shop.again()


def battery(shop: Alarmed) -> None:
    """A flat battery."""
    shop.batch("Paring 95", 7)
    shop.tick(5)
    shop.clock.restart(BATTERY_US)
    shop.again()


def ready(shop: Alarmed) -> None:
    """A wait that is over, while bevels run."""
    cooks = shop.batch("Cook's 180", 12, "Kitchen knife")
    paring = shop.batch("Paring 95", 7)
    shop.press(Press(Verb.BATCH, cooks.id))
    shop.start("Temper 1", cooks)
    shop.press(Press(Verb.BATCH, paring.id))
    shop.start("Grind bevels", paring, 115)
    shop.tick(6)


def hardening(shop: Alarmed, pieces: int = 3) -> None:
    """So many of seven hardened, three minutes each, the fourth in the oven."""
    batch = shop.batch("Paring 95", 7)
    shop.start("Harden", batch)
    for _ in range(pieces):
        shop.press(Verb.DONE, 3)


def spoils(shop: Alarmed) -> None:
    """Three are hardened, the hardening was stopped, forty minutes are gone."""
    hardening(shop)
    shop.press(Verb.STOP)
    shop.answer(AlarmVerb.WITHIN_SEEN)
    shop.tick(40)


def taken_away(shop: Alarmed) -> None:
    """The record's file was removed under the window."""
    still(shop)
    shop.record.path.unlink()
    shop.tick(0.5)


def older_state(shop: Alarmed) -> None:
    """An older state of the record has taken its place."""
    shop.record.rest()
    older = shop.record.path.with_name("older")
    shutil.copy(shop.record.path, older)
    still(shop)
    older.replace(shop.record.path)
    shop.tick(0.5)


STATES: dict[str, Callable[[Alarmed], None]] = {
    state.__name__: state
    for state in (
        still, which_step, since_when, power, slept, clock_set, clock_set_since, clock_set_before, battery, ready,
        spoils, ended_not_when, taken_away, older_state,
    )
}  # fmt: skip
