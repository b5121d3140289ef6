"""An invented workshop with a clock that tests set: a file record, routes to start from, a Bench without a window."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopclock.record.press.record import Record
from shopclock.screens.bench.presenter import BenchPresenter
from shopclock.screens.bench.state import Verb
from shopclock.shop.setup import patterns
from shopclock.shop.state.keys import action_of
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Batch, Interval, Pattern, Piece, Step
from shopclock.shop.work import batches
from shopclock.views.button import Press
from tests.fake_dialogs import FakeDialogs
from tests.shop.starters import starters

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.screens.bench.state import BenchState
    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.views.button import Button

START_US = 1_795_720_440_000_000
"""Thursday 26 November 2026, 20:14 in Vienna's winter time."""
MINUTE_US = 60_000_000


class FakeClock:
    """Stands still until it is told to go on."""

    def __init__(self) -> None:
        self.now_us = START_US - 200 * MINUTE_US

    def moment(self) -> Moment:
        boot = self.now_us - START_US + 10**12
        return Moment(self.now_us, boot, boot, "boot", 60)

    def go(self, minutes: float) -> None:
        self.now_us += round(minutes * MINUTE_US)


@dataclass
class Workshop:
    """A record, its Bench, and short ways to press and to look."""

    record: Record
    clock: FakeClock
    dialogs: FakeDialogs = field(default_factory=FakeDialogs)
    went: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.bench = BenchPresenter(self.record, self.dialogs, self.usual_at, self.go)

    def go(self, tab_key: str, _number: int | None = None) -> None:
        self.went.append(tab_key)

    def usual_at(self, *numbers: int | None) -> Usual | None:
        return self.record.reads.usual(*numbers[:3], self.record.instant(), *numbers[3:])

    @classmethod
    def open(cls, path: Path) -> Workshop:
        clock = FakeClock()
        return cls(Record.open(path, clock, make=True, zone="Europe/Vienna"), clock)

    def batch(self, pattern: str, n: int, route: str = "Stock removal, carbon steel") -> Batch:
        floor = self.record.floor
        known = next((p for p in floor.all(Pattern) if p.name == pattern), None)
        if known is None:
            chosen = next(r for r in starters() if r.name == route)
            known, _ = self.record.press("Route", lambda tx: patterns.copy_route(tx, chosen, pattern))
        made, _ = self.record.press(
            "Batch", lambda tx: batches.start_batch(tx, known, n, batches.batch_name(tx.floor, tx.now_us))
        )
        return made

    def step(self, name: str, batch: Batch | None = None) -> Step:
        shown = batch or self.record.floor.open_batches()[0]
        return next(s for s in self.record.floor.steps(shown.id) if s.name == name)

    def press(self, press: Press | Verb, after_min: float = 0, answers: tuple[str | None, ...] = ()) -> BenchState:
        """Let time pass, then press; questions get these answers."""
        self.clock.go(after_min)
        self.dialogs.answers = list(answers)
        self.bench.press(press if isinstance(press, Press) else Press(press), self.clock.moment())
        return self.state

    def start(self, name: str, batch: Batch | None = None, after_min: float = 0) -> BenchState:
        return self.press(Press(Verb.START, self.step(name, batch).id), after_min)

    def key(self, name: str) -> str:
        """Press a key or pedal; why it did nothing, empty where it did or is for nothing."""
        action = action_of(self.record.floor, name)
        return self.bench.act(action, self.clock.moment()) if action is not None else ""

    @property
    def state(self) -> BenchState:
        return self.bench.state(self.record.instant())

    def clock_shown(self) -> str:
        """The running clock as it is drawn now."""
        now_us = self.record.instant()
        self.bench.state(now_us)
        return self.bench.clock(now_us)

    @property
    def running(self) -> list[Interval]:
        return sorted(self.record.floor.running.values(), key=lambda i: i.id)

    def running_names(self) -> list[str]:
        return [self.record.floor.get(Step, i.step_id).name for i in self.running if i.step_id is not None]

    def letter(self, mark: str) -> Press:
        """What a press on a letter of the plate says."""
        key = next(item.key for item in self.state.plate.letters if item.letter == mark)
        assert isinstance(key, Press)
        return key

    def in_out(self, mark: str) -> Press:
        """What a press on a letter of the page of pieces says."""
        key = next(item.key for item in self.state.plate.in_hand if item.letter == mark)
        assert isinstance(key, Press)
        return key

    def words(self) -> str:
        """The letters and the words they wear: A through, B to go."""
        return ", ".join(f"{item.letter} {item.shown}" for item in self.state.plate.letters)

    def bottom(self) -> dict[str, Button]:
        return {button.verb: button for button in self.state.bottom}

    def letters(self) -> str:
        """The letters and their states: A done, B in, C out."""
        return ", ".join(f"{item.letter} {item.state}" for item in self.state.plate.letters)

    def piece(self, mark: str, batch: Batch | None = None) -> Piece:
        shown = batch or self.record.floor.open_batches()[0]
        return next(p for p in self.record.floor.pieces(shown.id) if p.mark == mark)

    def asked(self) -> str:
        return self.dialogs.asked[-1].words

    def offered(self) -> list[str]:
        return [choice.key for choice in self.dialogs.asked[-1].choices]
