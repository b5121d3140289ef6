"""Random amendments of random stretches: each a row of small numbers, as presses are."""

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from hypothesis import strategies as st

from shopclock.shop import amend, amend_cut
from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Kind, Work
from shopclock.shop.turn import Turn
from shopclock.shop.values import Interval, Method, Stage, Step
from tests.shop.histories import HISTORIES, PRESS, Bench, press_one
from tests.shop.workshop import MINUTE_US

T = TypeVar("T")
Rule = Callable[[Turn], Any]
Amendment = tuple[int, int, int, int]
MOVES_US = (-1, 1, 999_983, -5 * MINUTE_US, 5 * MINUTE_US, -55 * MINUTE_US, 12 * 3_600_000_000)

AMENDMENT = st.tuples(st.integers(0, 10_000), st.integers(0, 63), st.integers(0, 63), st.sampled_from(MOVES_US))
AMENDED = st.tuples(
    HISTORIES, st.lists(st.one_of(AMENDMENT, AMENDMENT, PRESS.map(lambda p: (-1 - p[0], *p[1:]))), max_size=14)
)
"""A history, then amendments with presses in between; a press has a number below nothing."""


def amend_one(bench: Bench, amendment: Amendment) -> bool:
    """Do one amendment, or the press that stands for one; tells whether anything was kept."""
    which, what, who, us = amendment
    if which < 0:
        bench.clock.on(us=max(0, us))
        return press_one(bench, -1 - which, what, who)
    bench.clock.on(us=MINUTE_US)
    rule = _ACTIONS[which % len(_ACTIONS)](bench.floor, what, who, us)
    if rule is None:
        return False
    try:
        bench.press(rule)
    except Refusal:
        return False
    return True


def _pick(options: Sequence[T], n: int) -> T | None:
    return options[n % len(options)] if options else None


def _stretch(floor: Floor, what: int) -> Interval | None:
    return _pick(sorted(floor.all(Interval), key=lambda i: i.id), what)


def _on(make: Callable[[Floor, Interval, int, int], Rule | None]) -> Callable[[Floor, int, int, int], Rule | None]:
    def rule(floor: Floor, what: int, who: int, us: int) -> Rule | None:
        stretch = _stretch(floor, what)
        return None if stretch is None else make(floor, stretch, who, us)

    return rule


def _start(_floor: Floor, stretch: Interval, who: int, us: int) -> Rule:
    way = bool(who % 2)
    return lambda turn: amend.move_start(turn, stretch, stretch.start_us + us, others_give_way=way)


def _end(_floor: Floor, stretch: Interval, who: int, us: int) -> Rule:
    def rule(turn: Turn) -> object:
        end_us = turn.now_us if stretch.end_us is None else stretch.end_us
        return amend.move_end(turn, stretch, end_us + us, others_give_way=bool(who % 2))

    return rule


def _step(floor: Floor, stretch: Interval, who: int, _us: int) -> Rule | None:
    step = _pick(sorted(floor.all(Step), key=lambda s: s.id), who)
    return None if step is None or stretch.step_id is None else lambda turn: amend.use_step(turn, stretch, step)


def _pieces(floor: Floor, stretch: Interval, who: int, _us: int) -> Rule | None:
    if stretch.batch_id is None:
        return None
    chosen = [p.id for i, p in enumerate(floor.pieces(stretch.batch_id)) if who >> i & 1]
    return lambda turn: amend.use_pieces(turn, stretch, chosen)


def _method(floor: Floor, stretch: Interval, who: int, _us: int) -> Rule:
    method = _pick([m for m in floor.all(Method) if m.stage_id == stretch.stage_id], who)
    return lambda turn: amend.use_method(turn, stretch, method.id if method is not None else None)


def _kind(_floor: Floor, stretch: Interval, who: int, _us: int) -> Rule:
    return lambda turn: amend.use_kind(turn, stretch, tuple(Kind)[who % 4])


def _work(floor: Floor, stretch: Interval, who: int, _us: int) -> Rule:
    cause = _pick(floor.steps(stretch.batch_id), who // 3) if stretch.batch_id is not None else None
    return lambda turn: amend.use_work(turn, stretch, tuple(Work)[who % 3], cause)


def _together(_floor: Floor, stretch: Interval, who: int, _us: int) -> Rule:
    return lambda turn: amend.share_hands(turn, stretch, together=bool(who % 2))


def _split(_floor: Floor, stretch: Interval, who: int, _us: int) -> Rule:
    def rule(turn: Turn) -> object:
        end_us = turn.now_us if stretch.end_us is None else stretch.end_us
        return amend_cut.split_at(turn, stretch, stretch.start_us + (end_us - stretch.start_us) * who // 63)

    return rule


def _join(_floor: Floor, stretch: Interval, _who: int, _us: int) -> Rule:
    return lambda turn: amend_cut.join_next(turn, stretch)


def _remove(_floor: Floor, stretch: Interval, _who: int, _us: int) -> Rule:
    return lambda turn: amend_cut.remove(turn, stretch)


def _add(floor: Floor, what: int, who: int, us: int) -> Rule | None:
    step = _pick(sorted(floor.all(Step), key=lambda s: s.id), what)
    if step is None:
        return None

    def rule(turn: Turn) -> object:
        start = turn.now_us - (who + 1) * 11 * MINUTE_US
        return amend_cut.add(turn, step, start, start + abs(us))

    return rule


def _add_shop_work(floor: Floor, what: int, who: int, us: int) -> Rule | None:
    stage = _pick([s for s in floor.all(Stage) if s.shop_work], what)
    if stage is None:
        return None

    def rule(turn: Turn) -> object:
        start = turn.now_us - (who + 1) * 11 * MINUTE_US
        return amend_cut.add_shop_work(turn, stage, start, start + abs(us))

    return rule


AMENDMENTS: dict[str, Callable[[Floor, int, int, int], Rule | None]] = {
    "start": _on(_start), "end": _on(_end), "step": _on(_step), "pieces": _on(_pieces), "split": _on(_split),
    "join": _on(_join), "add": _add, "method": _on(_method), "kind": _on(_kind), "work": _on(_work),
    "together": _on(_together), "remove": _on(_remove), "add shop work": _add_shop_work,
}  # fmt: skip
"""What can be amended, by name."""

_WEIGHTS = {"start": 3, "end": 3, "step": 2, "pieces": 2, "split": 4, "join": 4, "add": 2}
_ACTIONS = tuple(AMENDMENTS[name] for name in AMENDMENTS for _ in range(_WEIGHTS.get(name, 1)))
