"""What comes between: the telephone, a wrong press, a start pressed late, a stop forgotten."""

from collections.abc import Callable

from shopclock.demo.bench import DemoBench
from shopclock.demo.clock import MINUTE_US, MOMENT_MIN
from shopclock.demo.dice import dice
from shopclock.demo.evenings import CATCH_UP_DAYS, Evening
from shopclock.shop import adjust, begin
from shopclock.shop.kinds import Certainty, Kind
from shopclock.shop.stretch import open_at
from shopclock.shop.turn import Turn
from shopclock.shop.values import Interval

Break = Callable[[], None]
LATE_MIN = 10
ROUND_MIN = 5


class Breaks:
    """One evening's interruptions, thrown when it begins."""

    def __init__(self, bench: DemoBench, seed: int) -> None:
        self._bench = bench
        self._seed = seed
        self._break: Break | None = None
        self._break_us = 0
        self._gap_min = 0.0
        self.late = False
        self.forgets = False
        self._forgotten: tuple[int, int] | None = None

    @property
    def left_running(self) -> bool:
        """Tell whether the maker went home with something running by hand."""
        return self._forgotten is not None

    def throw(self, evening: Evening) -> None:
        """Throw what an evening brings; the last ones are quiet."""
        thrown = dice(self._seed, "breaks", evening.days)
        chances = self._bench.shop.chances
        quiet = evening.days <= CATCH_UP_DAYS
        self.late = thrown.random() < chances["started_late"] and not quiet
        self.forgets = thrown.random() < chances["stop_forgotten"] and not quiet
        kinds = {self._telephone: "interrupted", self._tea: "short_break", self._wrong: "pressed_wrongly"}
        came = [what for what, name in kinds.items() if thrown.random() < chances[name] and not quiet]
        self._break = came[0] if came else None
        self._break_us = evening.start_us + round(thrown.uniform(12, 80) * MINUTE_US)
        self._gap_min = thrown.uniform(3, 16)

    def let_pass(self, minutes: float) -> None:
        """Work on for so many minutes, with the break that falls into them."""
        before = (self._break_us - self._bench.clock.now_us) / MINUTE_US
        running = self._bench.in_hand
        if self._break is None or not 1 < before < minutes or running is None or running.kind is not Kind.HANDS_ON:
            self._bench.clock.go(minutes)
            return
        self._bench.clock.go(before)
        happens, self._break = self._break, None
        happens()
        self._bench.clock.go(minutes - before)

    def _telephone(self) -> None:
        self._bench.press("Stop", begin.stop)
        self._bench.clock.go(self._gap_min)
        self._bench.press("Carry on", begin.carry_on)

    def _tea(self) -> None:
        self._bench.clock.go(LATE_MIN)
        self._bench.press(f"{LATE_MIN} min off", lambda turn: adjust.take_off(turn, LATE_MIN))

    def _wrong(self) -> None:
        self._bench.press("Stop", begin.stop)
        self._bench.clock.go(MOMENT_MIN)
        self._bench.record.undo()

    def stop(self, *, sure: bool = False) -> None:
        """Press Stop; where it isn't sure, it may be forgotten."""
        running = self._bench.in_hand
        if running is None:
            return
        self._bench.clock.go(MOMENT_MIN)
        forgets = self.forgets and not sure
        if forgets and running.kind is Kind.HANDS_ON and running.batch_id is not None:
            self._forgotten = running.id, self._bench.clock.now_us
            return
        self._bench.press("Stop", begin.stop)

    def answer(self) -> None:
        """Say when it was that work stopped the last time, as well as one remembers."""
        if self._forgotten is None:
            return
        (number, real_us), self._forgotten = self._forgotten, None
        interval = self._bench.floor.get(Interval, number)
        guess_us = -(-real_us // (ROUND_MIN * MINUTE_US)) * ROUND_MIN * MINUTE_US
        self._bench.press("It stopped earlier", lambda turn: stopped_at(turn, interval, guess_us))


def stopped_at(turn: Turn, interval: Interval, end_us: int) -> None:
    """End an interval at a guessed instant: up to its last sure moment it is pressed, then estimated."""
    sure_us = max([interval.start_us, *(t.at_us for t in turn.floor.hands.done_in(interval))])
    if sure_us > interval.start_us:
        turn.edit(interval, end_us=sure_us, end_sure=Certainty.PRESSED)
        kept = {name: getattr(interval, name) for name in _KEPT}
        interval = open_at(turn, sure_us, **kept, continues_id=interval.id)
    turn.edit(interval, end_us=end_us, end_sure=Certainty.ESTIMATED)


_KEPT = (
    "batch_id",
    "step_id",
    "stage_id",
    "maker_id",
    "method_id",
    "kind",
    "work",
    "cause_step_id",
    "together",
    "pieces",
)
