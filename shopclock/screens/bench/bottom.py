"""The row along the bottom: Stop or Carry on, Next, Done or All through, Not right, Undo."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench import texts
from shopclock.screens.bench.letters import done_title
from shopclock.screens.bench.state import BenchButton, Mode
from shopclock.shop.values.entities import Batch
from shopclock.shop.work.begin import last_stopped
from shopclock.shop.work.finish import next_step
from shopclock.shop.work.loads import blocked, blocked_text

if TYPE_CHECKING:
    from shopclock.screens.bench.current_work import CurrentWork, Selection
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Step


def bottom(
    floor: ShopFloor, hand: CurrentWork, eye: Selection, maker_id: int, undo_names: str, now_us: int
) -> tuple[BenchButton, ...]:
    """Return the row; *Done* is only there for a stage that is worked one by one."""
    third = _third(floor, hand)
    return (
        first(floor, hand, eye, maker_id),
        following(floor, hand, now_us),
        *([third] if third is not None else []),
        BenchButton("not-right", "Not right", role="raised", enabled=_has_pieces(floor, hand, eye)),
        BenchButton("undo", "Undo", undo_names, role="raised", enabled=bool(undo_names)),
    )


def first(floor: ShopFloor, hand: CurrentWork, eye: Selection, maker_id: int) -> BenchButton:
    """Stop what runs, or carry on with what was stopped last."""
    if hand.running:
        return BenchButton("stop", "Stop", role="red")
    stopped = last_stopped(floor, maker_id)
    if not stopped:
        return BenchButton("stop", "Stop", role="raised", enabled=False)
    name, batch_id = texts.name_of(floor, stopped[0]), stopped[0].batch_id
    if batch_id is not None and batch_id != eye.batch_id:
        return BenchButton("carry-on", f"Carry on: {name}", floor.get(Batch, batch_id).name, role="dye")
    return BenchButton("carry-on", f"Carry on: {name}", role="dye")


def following(floor: ShopFloor, hand: CurrentWork, now_us: int) -> BenchButton:
    """Next: the pieces in hand are through, and the step that follows begins with those its tool has room for."""
    nothing = BenchButton("next", "Next", role="raised", enabled=False)
    if hand.mode not in (Mode.RUNNING, Mode.STOPPED) or hand.step is None or not hand.pieces:
        return nothing
    step = next_step(floor, hand.step, hand.pieces)
    if step is not None:
        return _next_in(floor, hand, step, now_us)
    return BenchButton("next", "All through", role="primary") if hand.running else nothing


def _next_in(floor: ShopFloor, hand: CurrentWork, step: Step, now_us: int) -> BenchButton:
    leaving = (hand.interval.id,) if hand.interval is not None else ()
    found = blocked(floor, step, hand.pieces, leaving, now_us)
    if found is None:
        return BenchButton("next", f"Next: {step.name}", role="primary")
    n = len(hand.pieces) - len(found.pieces)
    if n:
        return BenchButton("next", f"Next: {step.name}", f"Load {n} in", role="primary")
    why = blocked_text(floor, found, now_us)
    if hand.running:
        return BenchButton("next", "All through", why, role="primary")
    return BenchButton("next", f"Next: {step.name}", why, role="raised", enabled=False)


def _third(floor: ShopFloor, hand: CurrentWork) -> BenchButton | None:
    if hand.mode is Mode.STOPPED and hand.step is not None and hand.pieces:
        return BenchButton("through", "All through", texts.letters_text(floor, hand.pieces), role="green")
    title = done_title(floor, hand)
    if title:
        return BenchButton("done", title, role="green")
    if hand.running and hand.step is not None and hand.step.one_by_one:
        return BenchButton("done", "All done", role="green", enabled=False)
    return None


def _has_pieces(floor: ShopFloor, hand: CurrentWork, eye: Selection) -> bool:
    batch_id = hand.batch.id if hand.batch is not None else eye.batch_id
    return batch_id is not None and bool(floor.living(batch_id))
