"""Random amendments of random stretches: each a row of small numbers, as presses are."""

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from hypothesis import strategies as st

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Method, Stage, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work import amend
from tests.shop.histories import HISTORIES, PRESS, Bench, press_one
from tests.shop.workshop import MINUTE_US

T = TypeVar("T")
Rule = Callable[[Transaction], Any]
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


def _stretch(floor: ShopFloor, what: int) -> Interval | None:
    return _pick(sorted(floor.all(Interval), key=lambda i: i.id), what)


def _on(
    make: Callable[[ShopFloor, Interval, int, int], Rule | None],
) -> Callable[[ShopFloor, int, int, int], Rule | None]:
    def rule(floor: ShopFloor, what: int, who: int, us: int) -> Rule | None:
        interval = _stretch(floor, what)
        return None if interval is None else make(floor, interval, who, us)

    return rule


def _start(_floor: ShopFloor, interval: Interval, who: int, us: int) -> Rule:
    way = bool(who % 2)
    return lambda tx: amend.move_start(tx, interval, interval.start_us + us, others_give_way=way)


def _end(_floor: ShopFloor, interval: Interval, who: int, us: int) -> Rule:
    def rule(tx: Transaction) -> object:
        end_us = tx.now_us if interval.end_us is None else interval.end_us
        return amend.move_end(tx, interval, end_us + us, others_give_way=bool(who % 2))

    return rule


def _step(floor: ShopFloor, interval: Interval, who: int, _us: int) -> Rule | None:
    step = _pick(sorted(floor.all(Step), key=lambda s: s.id), who)
    return None if step is None or interval.step_id is None else lambda tx: amend.use_step(tx, interval, step)


def _pieces(floor: ShopFloor, interval: Interval, who: int, _us: int) -> Rule | None:
    if interval.batch_id is None:
        return None
    chosen = [p.id for i, p in enumerate(floor.pieces(interval.batch_id)) if who >> i & 1]
    return lambda tx: amend.use_pieces(tx, interval, chosen)


def _method(floor: ShopFloor, interval: Interval, who: int, _us: int) -> Rule:
    method = _pick([m for m in floor.all(Method) if m.stage_id == interval.stage_id], who)
    return lambda tx: amend.use_method(tx, interval, method.id if method is not None else None)


def _kind(_floor: ShopFloor, interval: Interval, who: int, _us: int) -> Rule:
    return lambda tx: amend.use_kind(tx, interval, tuple(Kind)[who % 4])


def _work(floor: ShopFloor, interval: Interval, who: int, _us: int) -> Rule:
    cause = _pick(floor.steps(interval.batch_id), who // 3) if interval.batch_id is not None else None
    return lambda tx: amend.use_work(tx, interval, tuple(WorkKind)[who % 3], cause)


def _together(_floor: ShopFloor, interval: Interval, who: int, _us: int) -> Rule:
    return lambda tx: amend.share_hands(tx, interval, together=bool(who % 2))


def _split(_floor: ShopFloor, interval: Interval, who: int, _us: int) -> Rule:
    def rule(tx: Transaction) -> object:
        end_us = tx.now_us if interval.end_us is None else interval.end_us
        return amend.split_at(tx, interval, interval.start_us + (end_us - interval.start_us) * who // 63)

    return rule


def _join(_floor: ShopFloor, interval: Interval, _who: int, _us: int) -> Rule:
    return lambda tx: amend.join_next(tx, interval)


def _remove(_floor: ShopFloor, interval: Interval, _who: int, _us: int) -> Rule:
    return lambda tx: amend.remove(tx, interval)


def _add(floor: ShopFloor, what: int, who: int, us: int) -> Rule | None:
    step = _pick(sorted(floor.all(Step), key=lambda s: s.id), what)
    if step is None:
        return None

    def rule(tx: Transaction) -> object:
        start = tx.now_us - (who + 1) * 11 * MINUTE_US
        return amend.add(tx, step, start, start + abs(us))

    return rule


def _add_shop_work(floor: ShopFloor, what: int, who: int, us: int) -> Rule | None:
    stage = _pick([s for s in floor.all(Stage) if s.shop_work], what)
    if stage is None:
        return None

    def rule(tx: Transaction) -> object:
        start = tx.now_us - (who + 1) * 11 * MINUTE_US
        return amend.add_shop_work(tx, stage, start, start + abs(us))

    return rule


AMENDMENTS: dict[str, Callable[[ShopFloor, int, int, int], Rule | None]] = {
    "start": _on(_start), "end": _on(_end), "step": _on(_step), "pieces": _on(_pieces), "split": _on(_split),
    "join": _on(_join), "add": _add, "method": _on(_method), "kind": _on(_kind), "work": _on(_work),
    "together": _on(_together), "remove": _on(_remove), "add shop work": _add_shop_work,
}  # fmt: skip
"""What can be amended, by name."""

_WEIGHTS = {"start": 3, "end": 3, "step": 2, "pieces": 2, "split": 4, "join": 4, "add": 2}
_ACTIONS = tuple(AMENDMENTS[name] for name in AMENDMENTS for _ in range(_WEIGHTS.get(name, 1)))
