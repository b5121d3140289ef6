"""Interruptions: the telephone, a wrong press, a start pressed late, a stop forgotten."""

from collections.abc import Callable
from functools import partial

from shopclock.demo.bench import DemoBench
from shopclock.demo.clock import MINUTE_US, MOMENT_MIN
from shopclock.demo.dice import dice
from shopclock.demo.evenings import CATCH_UP_DAYS, Evening
from shopclock.shop.recovery import answers, questions
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Certainty, Kind, QuestionReason
from shopclock.shop.work import acts, adjust, amend, begin

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
        self._amends = False
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
        self._amends = thrown.random() < chances["amended"] and not quiet

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
        self._bench.press("Carry on", acts.carry_on)

    def _tea(self) -> None:
        self._bench.clock.go(LATE_MIN)
        self._bench.press(f"{LATE_MIN} min off", lambda tx: adjust.take_off(tx, LATE_MIN))

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
        sure_us = max([interval.start_us, *(t.at_us for t in self._bench.floor.hands.done_in(interval))])
        ask = partial(questions.ask, why=QuestionReason.STILL, interval=interval, sure_us=sure_us)
        asked, _ = self._bench.record.press(questions.ASKED, ask, by_itself=True)
        self._bench.press("It stopped earlier", partial(answers.stopped, question=asked, end_us=guess_us))

    def put_right(self) -> None:
        """Say that the last work ended sooner than its stop was pressed, on an evening when that comes to mind."""
        ended = (i for b in self._bench.floor.open_batches() for i in self._bench.floor.of_batch(Interval, b.id))
        by_hand = [i for i in ended if i.kind is Kind.HANDS_ON and i.end_us is not None]
        last = max(by_hand, key=lambda i: (i.end_us or 0, i.id), default=None)
        if not self._amends or last is None or last.end_us is None:
            return
        end_us = last.end_us - ROUND_MIN * MINUTE_US
        earlier = [last.start_us, *(t.at_us for t in self._bench.floor.hands.done_in(last))]
        if last.end_sure is Certainty.PRESSED and end_us > max(earlier):
            self._bench.record.load_since(last.start_us)
            self._bench.press("Amended an end", partial(_ended, interval=last, at_us=end_us))


def _ended(tx: Transaction, interval: Interval, at_us: int) -> Interval:
    tx.reason = "talked at the door before the stop"
    return amend.move_end(tx, interval, at_us)
