"""Random histories of presses: each press a row of small numbers, so that hypothesis can make it smaller."""

from collections.abc import Callable
from typing import Any, Protocol, TypeVar

from hypothesis import strategies as st

from shopclock.shop.recovery import answers, questions
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Interval, Leaving, Method, Pattern, Piece, Stage, Step, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, Outcome, QuestionReason, StepState
from shopclock.shop.work import acts, adjust, batches, begin, finish, pieces
from shopclock.shop.work.begin import last_stopped
from tests.shop.sound import too_full
from tests.shop.workshop import MINUTE_US, ToyClock

T = TypeVar("T")
Rule = Callable[[Transaction], Any]


class Bench(Protocol):
    """What a history is played on: a floor on paper, or a record on disk."""

    clock: ToyClock
    floor: ShopFloor

    @property
    def pressed(self) -> int: ...
    def press(self, rule: Callable[[Transaction], T]) -> T: ...
    def undo(self) -> None: ...


GAPS_US = (0, 1, 999_983, MINUTE_US, 7 * MINUTE_US + 13, 3_600_000_001, 11 * 3600 * 1_000_000, 3 * 86_400 * 1_000_000)
"""From one press to the next: none, the least there is, odd ones, a night, a weekend."""

PRESS = st.tuples(
    st.integers(0, 10_000), st.integers(0, 63), st.integers(0, 63), st.sampled_from(GAPS_US)
)  # which press, on what, with which pieces, how long after the last one
HISTORIES = st.lists(PRESS, min_size=1, max_size=25)


def play(bench: Bench, history: list[tuple[int, int, int, int]]) -> int:
    """Press through a history; what makes no sense is refused and passed over. Returns the presses kept."""
    kept = 0
    for which, what, who, gap_us in history:
        bench.clock.on(us=gap_us)
        kept += press_one(bench, which, what, who)
    return kept


def press_one(bench: Bench, which: int, what: int, who: int) -> bool:
    make = _ACTIONS[which % len(_ACTIONS)]
    if make is _undo:
        if bench.pressed > SET_UP:
            bench.undo()
        return True
    rule = make(bench.floor, what, who)
    if rule is None:
        return False
    try:
        bench.press(rule)
    except Refusal:
        return False
    return True


SET_UP = 3
"""The presses that made the shop ready: a pattern and two batches."""


def _undo(_floor: ShopFloor, _what: int, _who: int) -> Rule | None:
    raise AssertionError  # pragma: no cover - played by press_one itself


def _pick(options: list[T], n: int) -> T | None:
    return options[n % len(options)] if options else None


def _batch(floor: ShopFloor, n: int) -> Batch | None:
    return _pick(list(floor.open_batches()), n)


def _a_step(floor: ShopFloor, what: int) -> Step | None:
    steps = [s for b in floor.open_batches() for s in floor.steps(b.id) if s.state is StepState.TIMED]
    return _pick(steps, what)


def _some(floor: ShopFloor, batch_id: int, who: int) -> tuple[int, ...]:
    """The living pieces whose bit is set; all where none is."""
    living = [p.id for p in floor.living(batch_id)]
    return tuple(p for i, p in enumerate(living) if who >> i & 1) or tuple(living)


def _runs(floor: ShopFloor, what: int, kinds: tuple[Kind, ...] = (Kind.HANDS_ON, Kind.WATCH)) -> Interval | None:
    found = sorted((i for i in floor.running.values() if i.kind in kinds), key=lambda i: i.id)
    return _pick(found, what)


def _living(floor: ShopFloor, what: int) -> Piece | None:
    return _pick([p for b in floor.open_batches() for p in floor.living(b.id)], what)


def _start(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    step = _a_step(floor, what)
    return None if step is None else lambda tx: begin.begin(tx, step)


def _start_with(floor: ShopFloor, what: int, who: int) -> Rule | None:
    step = _a_step(floor, what)
    chosen = _some(floor, step.batch_id, who) if step is not None else ()
    return None if step is None or not chosen else lambda tx: begin.begin(tx, step, chosen)


def _start_both(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    step = _a_step(floor, what)
    return None if step is None else lambda tx: begin.begin(tx, step, together=True)


def _next(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    running = _runs(floor, what)
    return None if running is None else lambda tx: acts.go_on(tx, running)


def _done(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    running = _runs(floor, what)
    return None if running is None else lambda tx: finish.one_done(tx, running)


def _stop(_floor: ShopFloor, _what: int, _who: int) -> Rule:
    return begin.stop


def _carry_on(_floor: ShopFloor, _what: int, _who: int) -> Rule:
    """Carry on; as with every start here, not in spite of what the record holds to be in a tool."""

    def rule(tx: Transaction) -> object:
        last = next(iter(last_stopped(tx.floor, tx.maker_id)), None)
        act = acts.carry_on_act(tx.floor, tx.maker_id, last, tx.now_us) if last is not None else None
        if act is not None and act.in_spite is not None:
            raise Refusal("Its tool has no room, as the record holds.")
        return acts.carry_on(tx, last)

    return rule


def _letters(floor: ShopFloor, what: int, who: int) -> Rule | None:
    running = _runs(floor, what, tuple(Kind))
    if running is None or running.batch_id is None:
        return None
    chosen = _some(floor, running.batch_id, who)
    return lambda tx: pieces.cover(tx, running, chosen)


def _letter(floor: ShopFloor, what: int, who: int) -> Rule | None:
    """A letter of what runs, or was stopped last, not marked there yet: of others it says since when they are."""
    running = _runs(floor, what) or _pick(begin.last_stopped(floor, 1), what)
    if running is None or running.batch_id is None or running.step_id is None:
        return None
    piece = _pick(list(floor.living(running.batch_id)), who)
    if piece is None or piece.id in finish.marked_at(floor, running, floor.get(Step, running.step_id)):
        return None
    return lambda tx: finish.one_done(tx, running, piece)


def _not_yet(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    mark = _pick([t for b in floor.open_batches() for t in floor.of_batch(Tally, b.id)], what)
    if mark is None or not floor.get(Piece, mark.piece_id).living:
        return None
    step, piece = floor.get(Step, mark.step_id), floor.get(Piece, mark.piece_id)

    def rule(tx: Transaction) -> None:
        """Take the mark back; not where others have gone into the tool meanwhile that the piece is in again then."""
        before = too_full(tx.floor)
        finish.not_yet(tx, step, piece)
        if too_full(tx.floor) != before:
            raise Refusal("Its tool has no room, as the record holds.")

    return rule


def _not_in_hand(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    leaving = _pick(list(floor.all(Leaving)), what)
    return None if leaving is None else lambda tx: pieces.not_in_hand(tx, leaving)


def _end_one(outcome: Outcome) -> Callable[[ShopFloor, int, int], Rule | None]:
    def rule(floor: ShopFloor, what: int, who: int) -> Rule | None:
        piece = _living(floor, what)
        if piece is None:
            return None
        step = _pick(list(floor.steps(piece.batch_id)), who)
        return lambda tx: pieces.end_piece(tx, piece, outcome, step, "dropped")

    return rule


def _cut_down(floor: ShopFloor, what: int, who: int) -> Rule | None:
    piece, into = _living(floor, what), _batch(floor, who)
    if piece is None or into is None or into.id == piece.batch_id:
        return None
    return lambda tx: pieces.cut_down(tx, piece, into)


def _add(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    batch = _batch(floor, what)
    return None if batch is None else lambda tx: pieces.add_piece(tx, batch)


def _aside(floor: ShopFloor, what: int, who: int) -> Rule | None:
    piece = _living(floor, what)
    if piece is None:
        return None
    change = (pieces.set_aside, pieces.take_up, pieces.make_second)[who % 3]
    return lambda tx: change(tx, piece)


def _set_up(floor: ShopFloor, what: int, who: int) -> Rule | None:
    running = _runs(floor, what)
    change = (adjust.set_up, adjust.now_running)[who % 2]
    return None if running is None else lambda tx: change(tx, running)


def _method(floor: ShopFloor, what: int, who: int) -> Rule | None:
    running = _runs(floor, what)
    if running is None:
        return None
    method = _pick([m for m in floor.all(Method) if m.stage_id == running.stage_id], who)
    return None if method is None else lambda tx: adjust.use_method(tx, running, method)


def _rework(floor: ShopFloor, what: int, who: int) -> Rule | None:
    piece = _living(floor, what)
    if piece is None:
        return None
    steps = [s for s in floor.steps(piece.batch_id) if s.kind.attended and s.state is StepState.TIMED]
    step, cause = _pick(steps, who), _pick(steps, who // 8)
    if step is None or cause is None:
        return None
    return lambda tx: pieces.rework(tx, piece, step, cause)


def _shop_work(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    stage = _pick([s for s in floor.all(Stage) if s.shop_work], what)
    return None if stage is None else lambda tx: begin.begin_shop_work(tx, stage)


def _since(floor: ShopFloor, what: int, who: int) -> Rule | None:
    running = _runs(floor, what, tuple(Kind))
    if running is None:
        return None
    earliest = adjust.earliest_start(floor, running)
    at = earliest + (running.start_us - earliest) * who // 64
    return lambda tx: adjust.start_since(tx, running, at)


def _take_off(_floor: ShopFloor, what: int, _who: int) -> Rule:
    return lambda tx: adjust.take_off(tx, (1, 5, 15, 60)[what % 4])


def _out(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    waiting = _runs(floor, what, (Kind.WAIT, Kind.AWAY))
    return None if waiting is None else lambda tx: finish.out(tx, waiting)


def _all_through(floor: ShopFloor, what: int, who: int) -> Rule | None:
    step = _a_step(floor, what)
    if step is None:
        return None
    chosen = _some(floor, step.batch_id, who)
    return lambda tx: finish.all_through(tx, step, chosen)


def _skip(floor: ShopFloor, what: int, who: int) -> Rule | None:
    batch = _batch(floor, what)
    step = _pick(list(floor.steps(batch.id)), who) if batch is not None else None
    if step is None:
        return None
    state = StepState.SKIPPED if step.state is StepState.TIMED else StepState.TIMED
    return lambda tx: batches.set_state(tx, step, state)


def _close(floor: ShopFloor, what: int, who: int) -> Rule | None:
    batch = _batch(floor, what)
    if batch is None:
        return None
    outcomes = dict.fromkeys(_some(floor, batch.id, who)[:1], Outcome.SECOND)
    return lambda tx: batches.close_batch(tx, batch, outcomes, "thinner scales")


def _new_batch(floor: ShopFloor, what: int, _who: int) -> Rule | None:
    pattern, n = next(floor.all(Pattern), None), len(list(floor.all(Batch)))
    if pattern is None or n > 5:  # a bench that is still being filled has none
        return None
    return lambda tx: batches.start_batch(tx, pattern, 1 + what % 4, batches.batch_name(tx.floor, tx.now_us))


def _forgot(floor: ShopFloor, what: int, who: int) -> Rule | None:
    """A question about what runs and its answer: it stopped, or was another step from then on."""
    running = _runs(floor, what)
    if running is None:
        return None

    def rule(tx: Transaction) -> None:
        length = tx.now_us - running.start_us
        question = questions.ask(tx, QuestionReason.STILL, running, running.start_us + length * (who % 8) // 7)
        at_us, steps = running.start_us + length * (who // 8) // 7, answers.other_steps(floor, running)
        if what % 3 and steps:
            answers.other_step(tx, question, steps[what % len(steps)], at_us)
        else:
            answers.stopped(tx, question, at_us)

    return rule


PRESSES: dict[str, Callable[[ShopFloor, int, int], Rule | None]] = {
    "start": _start, "next": _next, "done": _done, "start with": _start_with, "letters": _letters, "stop": _stop,
    "carry on": _carry_on, "take off": _take_off, "since": _since, "both at once": _start_both,
    "lost": _end_one(Outcome.SCRAPPED), "kept": _end_one(Outcome.KEPT), "cut down": _cut_down, "add a blank": _add,
    "aside": _aside, "set-up": _set_up, "method": _method, "rework": _rework, "shop work": _shop_work, "out": _out,
    "letter": _letter, "not yet": _not_yet, "not in hand": _not_in_hand,
    "all through": _all_through, "skip": _skip, "close": _close, "new batch": _new_batch, "forgot": _forgot,
}  # fmt: skip
"""What can be pressed, by name; "forgot" is a question and its answer in one."""

_OFTEN = (
    "letter",
    "start",
    "next",
    "done",
    "start with",
    "letters",
    "stop",
    "carry on",
    "take off",
    "since",
    "both at once",
)

_ACTIONS = (
    *(_start, _next, _done, _letter) * 3,
    *(_start_with, _letters, _stop, _carry_on, _undo, _take_off, _since, _start_both) * 2,
    *(PRESSES[name] for name in PRESSES if name not in _OFTEN),
    *(_forgot,) * 2,
)
