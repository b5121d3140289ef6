"""What has to hold of a floor after any press, each found in another way than the program finds it."""

from collections import defaultdict
from collections.abc import Mapping
from itertools import combinations

import portion

from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.derive import derive
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import ENTITIES, Batch, Entity, Interval, Load, Step, Tally, Tool
from shopclock.shop.values.kinds import Kind, WorkKind


def unions_us(floor: ShopFloor, now_us: int) -> dict[int, int]:
    """How long each maker worked or watched, by a library for intervals that is none of ours."""
    worked: dict[int, portion.Interval] = {}
    for interval in floor.all(Interval):
        if interval.kind.attended:
            end_us = now_us if interval.end_us is None else interval.end_us
            before = worked.get(interval.maker_id, portion.empty())
            worked[interval.maker_id] = before | portion.closedopen(interval.start_us, end_us)
    return {maker: sum(part.upper - part.lower for part in parts) for maker, parts in worked.items()}


def labour_us(floor: ShopFloor, labour: Mapping[int, int]) -> dict[int, int]:
    """The labour of each maker, added up."""
    found: dict[int, int] = defaultdict(int)
    for number, us in labour.items():
        found[floor.get(Interval, number).maker_id] += us
    return dict(found)


def things(floor: ShopFloor) -> dict[type[Entity], dict[int, Entity]]:
    """All that stands on a floor."""
    return {kind: {thing.id: thing for thing in floor.all(kind)} for kind in ENTITIES}


def assert_sound(floor: ShopFloor, now_us: int, *, full: bool = True) -> None:
    """Both sums to the microsecond, derived rows, lengths, hands and strands, loads, figures that add up.

    Where a maker started what the record held to be blocked, a tool can be fuller than it was said to be: `full`
    leaves that out when it is false.
    """
    every = list(floor.all(Interval))
    until_now = derive(floor, [i.id for i in every], now_us)
    assert labour_us(floor, until_now.labour) == unions_us(floor, now_us)
    for interval in every:
        assert interval.end_us is None or interval.end_us >= interval.start_us
        if interval.pieces and interval.kind.attended:
            shares = until_now.shares[interval.id]
            assert sum(us for _, us in shares) == until_now.labour[interval.id]
            assert {piece for piece, _ in shares} == set(interval.pieces)
            assert all(us >= 0 for _, us in shares)
    anew = derive(floor, [i.id for i in every])
    assert floor.labour == anew.labour
    assert floor.shares == anew.shares
    _assert_apart(floor, every, now_us)
    if full:
        assert not too_full(floor)
    for batch in floor.all(Batch):
        _assert_figures(floor, batch, until_now.labour, now_us)


def _assert_apart(floor: ShopFloor, every: list[Interval], now_us: int) -> None:
    for one, other in combinations(every, 2):
        if min(_end(one, now_us), _end(other, now_us)) <= max(one.start_us, other.start_us):
            continue
        if one.kind is other.kind is Kind.HANDS_ON and one.maker_id == other.maker_id:
            assert one.together, (one, other)
            assert other.together, (one, other)
        if set(one.pieces) & set(other.pieces):
            assert _strand(floor, one) != _strand(floor, other), (one, other)


def too_full(floor: ShopFloor) -> list[str]:
    """Tools that hold more than they can, or two loads; what is done with by hand has come out."""
    found: list[str] = []
    for tool in floor.all(Tool):
        shares, loads = 0.0, set()
        for interval in floor.all(Interval):
            load = floor.find(Load, interval.load_id or 0)
            if load is None or load.tool_id != tool.id or interval.end_us is not None:
                continue
            step = floor.get(Step, interval.step_id or 0)
            assert step.tool_id == tool.id
            assert step.setting in ("", load.setting) or not load.setting
            since = interval if interval.work is WorkKind.REWORK else None
            while since is not None and since.continues_id is not None:
                since = floor.get(Interval, since.continues_id)
            marks = [t for t in floor.all(Tally) if t.step_id == step.id and interval.kind.attended]
            done = {t.piece_id for t in marks if since is None or t.at_us >= since.start_us}
            here = [piece for piece in interval.pieces if piece not in done]
            shares += step.tool_share * len(here)
            loads |= {load.id} if here else set()
        if (tool.capacity is not None and shares > tool.capacity + 1e-9) or len(loads) > 1:
            found.append(tool.name)
    return found


def _end(interval: Interval, now_us: int) -> int:
    return max(now_us, interval.start_us) + 1 if interval.end_us is None else interval.end_us


def _strand(floor: ShopFloor, interval: Interval) -> str:
    assert interval.step_id is not None
    return floor.get(Step, interval.step_id).strand


def _assert_figures(floor: ShopFloor, batch: Batch, labour: dict[int, int], now_us: int) -> None:
    """F × minutes per finished piece = what the finished got + carried = all labour, stage by stage."""
    found = figures(floor, batch.id, now_us)
    for stage in found.stages:
        own = [i for i in floor.of_batch(Interval, batch.id) if i.stage_id == stage.stage_id]
        assert stage.all_us == sum(labour.get(i.id, 0) for i in own)
    assert found.whole.all_us == sum(stage.all_us for stage in found.stages)
    assert found.whole.all_us == sum(labour.get(i.id, 0) for i in floor.of_batch(Interval, batch.id))
