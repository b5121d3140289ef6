"""The maker's evening in the demo shop: what is done first, begun, closed and swept."""

from functools import partial

from shopclock.demo.bench import DemoBench
from shopclock.demo.breaks import Breaks
from shopclock.demo.dice import about, dice
from shopclock.demo.evenings import Evening
from shopclock.demo.hands import OVER_MIN, WORTH_MIN, DemoHands
from shopclock.demo.measured import measure
from shopclock.demo.shop import BatchPlan, LastStep
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.values.entities import Batch, Pattern, RouteStep, Stage, Step
from shopclock.shop.values.kinds import Kind, StepState
from shopclock.shop.work import acts, batches, begin
from shopclock.shop.work.piece_progress import ready

MOST_OPEN = 3
AT_ONCE = 2
"""So many batches are worked side by side; one more is begun only when nothing else can be done."""


class DemoMaker:
    """Comes in, looks what is ready, works, goes home."""

    def __init__(self, bench: DemoBench, patterns: dict[str, Pattern], seed: int) -> None:
        self._bench = bench
        self._patterns = patterns
        self._seed = seed
        self._breaks = Breaks(bench, seed)
        self._hands = DemoHands(bench, self._breaks, seed)
        self._planned = list(bench.shop.batches)
        self._begun: list[Batch] = []

    def evening(self, evening: Evening) -> None:
        """Spend an evening in the shop."""
        if evening.spare and not self._behind(evening):
            return
        self._bench.clock.switch_on(evening.start_us)
        self._breaks.throw(evening)
        self._breaks.answer()
        self._breaks.put_right()
        self._close_finished()
        told = [step for step in self._bench.shop.last if step.days == evening.days]
        for step in told:
            self._do(step, evening)
        worked = bool(told)
        while not told and self._worth_it(evening) and self._work(evening):
            worked = True
            self._bench.clock.go(dice(self._seed, "walk", self._bench.clock.now_us).uniform(1, 4))
        if worked and not self._breaks.left_running:
            self._shop_work(evening)

    def _worth_it(self, evening: Evening) -> bool:
        return not self._breaks.left_running and self._bench.left_min(evening.end_us) > WORTH_MIN

    def _behind(self, evening: Evening) -> bool:
        """Tell whether something could be done on an evening that is usually free."""
        due = bool(self._planned) and self._planned[0].days >= evening.days
        return due or any(self._jobs(batch, evening) for batch in self._bench.floor.open_batches())

    def _do(self, told: LastStep, evening: Evening) -> None:
        """Do one step that the plan names."""
        step = self._bench.step_named(self._begun[told.batch - 1].id, told.step)
        if step.kind is Kind.WAIT:
            self._begin_wait(step)
        else:
            self._hands.work(step, evening.end_us, told.pieces)

    def _work(self, evening: Evening) -> bool:
        """Do what comes first; tell whether there was something."""
        opened = self._bench.floor.open_batches()
        for batch in opened:
            self._tend(batch)
        jobs = [job for batch in opened for job in self._jobs(batch, evening)]
        if self._planned and self._planned[0].days >= evening.days and self._may_begin(len(opened), bool(jobs)):
            self._begin_batch(self._planned.pop(0))
            return True
        if not jobs:
            return False
        self._hands.work(jobs[0], evening.end_us)
        self._close_finished()
        return True

    def _may_begin(self, n_open: int, busy: bool) -> bool:
        return n_open < (AT_ONCE if busy else MOST_OPEN) or bool(self._bench.plans and self._planned[0].hold)

    def _tend(self, batch: Batch) -> None:
        """Begin the waits that are begun by a press: they need no hands."""
        for one in ready(self._bench.floor, batch.id, self._bench.clock.now_us):
            waits = one.step.kind is Kind.WAIT and self._bench.goes_there(one.step)
            if waits and self._bench.has_room(one.step, one.pieces):
                self._begin_wait(one.step)

    def _begin_wait(self, step: Step) -> None:
        self._bench.press(f"Start {step.name}", lambda tx: acts.put_in(tx, step))
        self._bench.clock.go(1.5)

    def _jobs(self, batch: Batch, evening: Evening) -> list[Step]:
        """Return what can be worked in a batch now: all its pieces stay together."""
        self._hands.mishaps.bring_back(batch)
        left = self._bench.left_min(max(evening.end_us, self._bench.clock.now_us))
        found = []
        for one in ready(self._bench.floor, batch.id, max(self._bench.clock.now_us, evening.start_us)):
            step = one.step
            attended = step.kind.attended and self._bench.goes_there(step)
            together = self._bench.to_do(step) == set(one.pieces) and self._bench.has_room(step, one.pieces)
            if attended and together and (step.kind is not Kind.WATCH or self._bench.needs_min(step) < left + OVER_MIN):
                found.append(step)
        return found

    def _begin_batch(self, plan: BatchPlan) -> None:
        """Begin a batch, with what is special about it."""
        pattern = self._patterns[plan.pattern]
        first = self._route_step(pattern, plan.first_timed) if plan.first_timed else None
        now_us = self._bench.clock.now_us
        name = batches.batch_name(self._bench.floor, now_us)
        batch = self._bench.press(
            f"New batch {name}", lambda tx: batches.start_batch(tx, pattern, plan.pieces, name, first)
        )
        self._bench.plans[batch.id] = plan
        self._begun.append(batch)
        self._hands.mishaps.expect(batch)
        if plan.skip:
            step = self._bench.step_named(batch.id, plan.skip)
            self._bench.press(f"Skip {step.name}", lambda tx: batches.set_state(tx, step, StepState.SKIPPED))

    def _route_step(self, pattern: Pattern, name: str) -> RouteStep:
        floor = self._bench.floor
        return next(step for step in route_steps(floor, newest_route(floor, pattern)) if step.name == name)

    def _close_finished(self) -> None:
        """Close the batches whose pieces are through everything."""
        for batch in self._bench.floor.open_batches():
            if not batches.not_through(self._bench.floor, batch) and self._bench.in_hand is None:
                measure(self._bench, batch, self._seed)
                line = self._bench.plans[batch.id].next_time
                close = partial(batches.close_batch, batch=batch, outcomes={}, next_time=line)
                self._bench.clock.go(2)
                self._bench.press(f"Close {batch.name}", close)

    def _shop_work(self, evening: Evening) -> None:
        """Sweep, look after the machines, bring parcels away."""
        thrown = dice(self._seed, "shop work", evening.days)
        for work in self._bench.shop.shop_work:
            comes, minutes = thrown.random() < work.chance, work.minutes * about(thrown, 0.3)
            if comes and evening.days > 0:
                stage = next(s for s in self._bench.floor.all(Stage) if s.shop_work and s.name == work.stage)
                self._bench.press(stage.name, partial(begin.begin_shop_work, stage=stage))
                self._bench.clock.go(minutes)
                self._bench.press("Stop", begin.stop)
