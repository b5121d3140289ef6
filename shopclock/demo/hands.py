"""The maker's hands at a step: start, set up, piece by piece or in rounds, next or stop."""

from dataclasses import replace

from shopclock.demo.bench import DemoBench
from shopclock.demo.breaks import LATE_MIN, Breaks
from shopclock.demo.clock import MINUTE_US
from shopclock.demo.dice import dice
from shopclock.demo.mishaps import Mishaps
from shopclock.shop.values.entities import Interval, Piece, Step
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work import acts, adjust, finish, pieces
from shopclock.shop.work.loads import fits

WORTH_MIN = 12
"""So little time left isn't worth a new stage."""
OVER_MIN = 8
"""So much longer stays who is nearly through."""


class DemoHands:
    """Works steps by the presses that a maker makes."""

    def __init__(self, bench: DemoBench, breaks: Breaks, seed: int) -> None:
        self._bench = bench
        self._breaks = breaks
        self._seed = seed
        self.mishaps = Mishaps(bench)
        self._ahead_min = 0.0
        self._set_up_for: set[int] = set()
        self._rounds_left: dict[int, float] = {}
        self._numbers = 0

    def work(self, step: Step, until_us: int, most: int = 0) -> None:
        """Work at a step, and on along the route, until the evening is over or so many are done."""
        self._begin(step)
        here: Step | None = step
        while here is not None:
            play = self._one_by_one if here.one_by_one else self._in_rounds
            self._set_up(here)
            here = self._further(here, until_us) if play(here, until_us, most) else None

    def _begin(self, step: Step) -> None:
        late, self._breaks.late = self._breaks.late, False
        if late:
            self._bench.clock.go(LATE_MIN)
        method = self._bench.method(step)
        number = method.id if method is not None else None
        begun = self._bench.press(f"Start {step.name}", lambda tx: acts.put_in(tx, step, method_id=number))
        if late:
            since = self._bench.clock.now_us - LATE_MIN * MINUTE_US
            self._bench.press(f"Since {LATE_MIN} min", lambda tx: adjust.start_since(tx, begun, since))
            self._ahead_min = LATE_MIN

    def _set_up(self, step: Step) -> None:
        if step.id in self._set_up_for or not step.setup_us:
            return
        self._set_up_for.add(step.id)
        plan, stage = self._bench.plan(step), self._bench.stage(step)
        minutes = self._bench.paces.setup(plan, stage, step.setup_us / MINUTE_US)
        pressed = dice(self._seed, "set-up pressed", plan.days, stage).random()
        if pressed > self._bench.shop.chances["setup_pressed"] or self._ahead_min:
            self._pass(minutes)
            return
        self._bench.press("Set-up", lambda tx: adjust.set_up(tx, self._bench.running))
        self._pass(minutes)
        self._bench.press("Running", lambda tx: adjust.now_running(tx, self._bench.running))

    def _pass(self, minutes: float) -> None:
        """Let work go on for minutes, less what was done before it was pressed."""
        done = min(self._ahead_min, minutes)
        self._ahead_min -= done
        self._breaks.let_pass(minutes - done)

    def _one_by_one(self, step: Step, until_us: int, most: int) -> bool:
        """Do a piece after the other; tell whether all are through but the last press."""
        done = 0
        while (piece := self._next_with_more_in(step)) is not None:
            if not self._one(step, piece):
                continue
            done += 1
            if self._is_last(piece):
                return True
            self._done(step, piece)
            if done == most or self._has_to_go(step, until_us):
                self._breaks.stop()
                return False
        return self._bench.in_hand is not None

    def _next_with_more_in(self, step: Step) -> Piece | None:
        """Put more into the load where there is room again; return the piece that comes next."""
        running = self._bench.in_hand
        if running is not None and running.load_id is not None:
            more = fits(self._bench.floor, step, self._bench.ready_beside(running))
            if more:
                wanted = (*running.pieces, *more)
                self._bench.press(f"Load {len(more)} in", lambda tx: pieces.cover(tx, running, wanted))
        return self._next_piece()

    def _next_piece(self) -> Piece | None:
        running = self._bench.in_hand
        return finish.next_done(self._bench.floor, running) if running is not None else None

    def _is_last(self, piece: Piece) -> bool:
        running = self._bench.running
        step = self._bench.floor.get(Step, running.step_id or 0)
        done = {tally.piece_id for tally in self._bench.floor.tallies_of(step)}
        return set(running.pieces) - done == {piece.id}

    def _one(self, step: Step, piece: Piece) -> bool:
        """Do one piece; tell whether it is through."""
        plan, stage = self._bench.plan(step), self._bench.stage(step)
        minutes = self._bench.paces.minutes(plan, stage, piece.mark)
        loss = self.mishaps.loss(step, piece.mark)
        self._pass(minutes * (loss.at if loss is not None else 1))
        if loss is not None:
            self.mishaps.lose(step, loss)
            return False
        self._bench.paces.made(plan, stage, 1)
        if stage == "Mark":
            self._number(piece)
        return True

    def _number(self, piece: Piece) -> None:
        self._numbers += 1
        number = f"{self._numbers:03d}"
        self._bench.press(
            f"Number {number}: {piece.mark}", lambda tx: tx.change(replace(tx.current(piece), number=number))
        )

    def _done(self, step: Step, piece: Piece) -> None:
        """Say that a piece is done; in rounds, that all are through."""
        running = self._bench.running
        if step.one_by_one:
            self._bench.press(f"Done: {piece.mark}", lambda tx: finish.one_done(tx, running, piece))
        else:
            self._bench.press("All through", lambda tx: finish.all_through(tx, step, running.pieces))

    def _has_to_go(self, step: Step, until_us: int) -> bool:
        """Tell whether there is no time for one more; hot steel is not left."""
        left = self._bench.left_min(until_us)
        another = self._bench.paces.minutes(self._bench.plan(step), self._bench.stage(step), "")
        return step.kind is not Kind.WATCH and left + OVER_MIN < another

    def _in_rounds(self, step: Step, until_us: int, _most: int) -> bool:
        """Work all pieces together; tell whether they are through but the last press."""
        kept = self._rounds_left.pop(step.id, None)
        left = kept if kept is not None else self._all_min(step)
        left = self._up_to_loss(step, left, until_us)
        left = self._rub(left, until_us)
        if left > 0:
            self._rounds_left[step.id] = left
            self._breaks.stop()
            return False
        self._bench.paces.made(self._bench.plan(step), self._bench.stage(step), len(self._bench.running.pieces))
        return True

    def _up_to_loss(self, step: Step, minutes: float, until_us: int) -> float:
        """Work on to where a piece is lost, if one is; return the minutes that are left."""
        loss = self.mishaps.loss(step)
        if loss is None:
            return minutes
        short = self._rub(minutes * loss.at, until_us)
        after = minutes * (1 - loss.at)
        if short > 0:
            return short + after
        before = len(self._bench.running.pieces)
        self.mishaps.lose(step, loss)
        return after * len(self._bench.running.pieces) / before

    def _rub(self, minutes: float, until_us: int) -> float:
        """Work on as far as the evening reaches; return the minutes that are left."""
        stay = self._bench.left_min(until_us)
        worked = minutes if minutes <= stay + OVER_MIN else max(stay, 0)
        self._pass(worked)
        return minutes - worked

    def _all_min(self, step: Step) -> float:
        plan, stage = self._bench.plan(step), self._bench.stage(step)
        marks = self._bench.floor.marks(self._bench.running.pieces)
        return sum(self._bench.paces.minutes(plan, stage, mark, i) for i, mark in enumerate(marks))

    def _further(self, step: Step, until_us: int) -> Step | None:
        """Go on to the next step with Next, or stop; return the step that runs then."""
        self.mishaps.while_running(step)
        following = finish.next_step(self._bench.floor, step, self._bench.running.pieces)
        if following is not None and self._goes_on(step, following, until_us):
            begun = self._bench.press(f"Next: {following.name}", lambda tx: acts.go_on(tx, self._bench.running))
            return self._arrived(begun)
        piece = self._next_piece()
        if piece is not None or not step.one_by_one:
            self._done(step, piece if piece is not None else self._bench.floor.living(step.batch_id)[0])
        self._breaks.stop(sure=self.mishaps.waiting(step))
        self.mishaps.after(step)
        return None

    def _goes_on(self, step: Step, following: Step, until_us: int) -> bool:
        if following.kind is Kind.WAIT:
            return not following.begins_itself and not self._bench.runs(following)
        left = self._bench.left_min(until_us)
        needs = self._bench.needs_min(following) if following.kind is Kind.WATCH else WORTH_MIN
        inclined = dice(self._seed, "next", step.id).random() < self._bench.shop.chances["next_pressed"]
        together = self._bench.to_do(following) == set(self._bench.running.pieces)
        open_to = self._bench.goes_there(following) and left > needs and together
        return inclined and open_to and not self.mishaps.waiting(step)

    def _arrived(self, begun: Interval | None) -> Step | None:
        """Return the step that runs by hand after Next, by the method of this batch."""
        if begun is None or begun.step_id is None or not begun.kind.attended:
            return None
        step = self._bench.floor.get(Step, begun.step_id)
        method = self._bench.method(step)
        if method is not None and method.id != begun.method_id:
            self._bench.press(f"Method: {method.name}", lambda tx: adjust.use_method(tx, begun, method))
        return step
