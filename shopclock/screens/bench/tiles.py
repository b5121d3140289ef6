"""The tiles: open batches along the top, what waits and what is ready at the side, the whole route."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.screens.bench import texts
from shopclock.screens.bench.current_work import running_by
from shopclock.screens.bench.pace import route_us
from shopclock.screens.bench.state import BenchButton, RouteShown
from shopclock.shop.state.wording import counted, time_text, zone_of
from shopclock.shop.values.entities import Batch, Interval, Load, Pattern, Piece, Stage
from shopclock.shop.values.kinds import Kind, StepState
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.begin import usual_method
from shopclock.shop.work.loads import blocked, blocked_text, fits, load_text
from shopclock.shop.work.piece_progress import order_of, over, ready, through

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.screens.bench.current_work import CurrentWork, Selection
    from shopclock.screens.bench.pace import Usuals
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Step

TOP_MOST = 5
"""More open batches than this: the last button names the rest."""


def waits_of(floor: ShopFloor, batch_id: int | None = None) -> list[Interval]:
    """Return what waits or is away, the soonest ready first; of one batch if it is given."""
    found = [i for i in floor.running.values() if not i.kind.attended and (batch_id is None or i.batch_id == batch_id)]
    return sorted(found, key=lambda i: (i.start_us, i.id))


def top(floor: ShopFloor, eye: Selection, maker_id: int, now_us: int) -> tuple[BenchButton, ...]:
    """A button for each open batch, and shop work."""
    batches = floor.open_batches()
    shown = list(batches[:TOP_MOST])
    rest = [b for b in batches if b not in shown]
    in_sight = next((b for b in rest if b.id == eye.batch_id), None)
    if in_sight is not None:
        rest[rest.index(in_sight)] = shown[-1]
        shown[-1] = in_sight
    buttons = [_batch_button(floor, b, eye, maker_id, now_us) for b in shown]
    if rest:
        buttons.append(BenchButton("batches", f"{len(rest)} more", "open batches", tile=True))
    return (*buttons, _shop_work(floor, maker_id))


def _batch_button(floor: ShopFloor, batch: Batch, eye: Selection, maker_id: int, now_us: int) -> BenchButton:
    detail, role = where(floor, batch, maker_id, now_us)
    shown = batch.id == eye.batch_id
    return BenchButton(
        f"batch:{batch.id}",
        texts.batch_text(floor, batch),
        detail,
        role="dye" if shown else "plate",
        detail_role=role,
        tile=True,
    )


def where(floor: ShopFloor, batch: Batch, maker_id: int, now_us: int) -> tuple[str, str]:
    """Say where the pieces of a batch are, and in which colour role."""
    running = next((i for i in running_by(floor, maker_id) if i.batch_id == batch.id), None)
    if running is not None:
        pieces = len(floor.pieces(batch.id))
        return f"{texts.name_of(floor, running)}  ·  {len(running.pieces)} of {pieces}", "dye_text"
    waits = waits_of(floor, batch.id)
    first = next((i for i in waits if over(floor, i, now_us)), waits[0] if waits else None)
    if first is not None:
        return f"{texts.name_of(floor, first)} {texts.wait_text(floor, first, now_us)}", "straw"
    open_now = ready(floor, batch.id, now_us)
    if open_now:
        return f"{open_now[0].step.name}  ·  {counted(floor, 'piece', len(open_now[0].pieces))}", "quiet"
    return "all through" if floor.living(batch.id) else "no piece left", "quiet"


def _shop_work(floor: ShopFloor, maker_id: int) -> BenchButton:
    running = next((i for i in running_by(floor, maker_id) if i.batch_id is None), None)
    names = [s.name.lower() for s in floor.all(Stage) if s.shop_work and not s.put_away]
    if running is not None:
        return BenchButton("shop-work", "Shop work", texts.name_of(floor, running), detail_role="dye_text", tile=True)
    return BenchButton("shop-work", "Shop work", ", ".join(names[:3]), tile=True)


def side_tiles(
    floor: ShopFloor, hand: CurrentWork, eye: Selection, maker_id: int, usuals: Usuals, now_us: int
) -> tuple[BenchButton, ...]:
    """What runs beside, what waits and what is ready in the batch in sight; what can be done now first."""
    if eye.batch_id is None:
        return ()
    plate_id = hand.interval.id if hand.interval is not None else None
    running = [_running_tile(floor, i) for i in running_by(floor, maker_id) if i.id != plate_id]
    waits = [_wait_tile(floor, i, now_us) for i in _by_load(waits_of(floor, eye.batch_id)) if i[0].id != plate_id]
    more = _more_tile(floor, hand, now_us)
    work = [
        _ready_tile(floor, found.step, found.pieces, usuals, now_us)
        for found in ready(floor, eye.batch_id, now_us)
        if hand.step is None or found.step.id != hand.step.id
    ]
    return (*more, *running, *waits, *work)


def _by_load(waits: Iterable[Interval]) -> list[list[Interval]]:
    """Put together the waits of one step that lie in one load, the last to be ready last."""
    found: dict[tuple[int | None, int], list[Interval]] = {}
    for wait in waits:
        found.setdefault((wait.step_id, wait.load_id or -wait.id), []).append(wait)
    return list(found.values())


def more_ready(floor: ShopFloor, running: Interval, now_us: int) -> tuple[int, ...]:
    """Return the pieces that are ready for the step that runs and not in hand."""
    ready_now = ready(floor, running.batch_id or 0, now_us)
    return tuple(p for r in ready_now if r.step.id == running.step_id for p in r.pieces if p not in running.pieces)


def _more_tile(floor: ShopFloor, hand: CurrentWork, now_us: int) -> tuple[BenchButton, ...]:
    """What else can go into the load that is worked on the plate."""
    interval, step = hand.interval, hand.step
    if not hand.running or interval is None or step is None or interval.load_id is None:
        return ()
    more = more_ready(floor, interval, now_us)
    going, found = fits(floor, step, more), blocked(floor, step, more, (), now_us)
    if not more:
        return ()
    wait = f"{counted(floor, 'piece', len(more))} wait"
    if not going and found is not None:
        return (
            BenchButton(f"load-in:{step.id}", wait, blocked_text(floor, found, now_us), detail_role="straw", tile=True),
        )
    return (
        BenchButton(f"load-in:{step.id}", f"Load {len(going)} in", f"{step.name}  ·  {wait}", role="raised", tile=True),
    )


def _running_tile(floor: ShopFloor, interval: Interval) -> BenchButton:
    since = time_text(interval.start_us, zone_of(floor))
    kind = "stay by it" if interval.kind is Kind.WATCH else "by hand"
    detail = f"{kind}, since {since}"
    return BenchButton(
        f"show:{interval.step_id or 0}", texts.name_of(floor, interval), detail, role="raised", tile=True
    )


def _wait_tile(floor: ShopFloor, waits: list[Interval], now_us: int) -> BenchButton:
    """What waits, in which tool, until when; of one load all together, out by one press."""
    last = waits[-1]
    until = texts.wait_text(floor, last, now_us)
    load = floor.find(Load, last.load_id or 0)
    return BenchButton(
        f"out:{waits[0].id}",
        texts.name_of(floor, last),
        f"{load_text(floor, load)}, {until}" if load is not None else until,
        aside="Out"
        if over(floor, last, now_us)
        else texts.letters_text(floor, [piece for wait in waits for piece in wait.pieces]),
        detail_role="straw",
        tile=True,
    )


def _ready_tile(floor: ShopFloor, step: Step, pieces: tuple[int, ...], usuals: Usuals, now_us: int) -> BenchButton:
    found = blocked(floor, step, pieces, (), now_us)
    n = len(pieces) - (len(found.pieces) if found is not None else 0)
    if found is not None and not n:
        return BenchButton(
            f"start:{step.id}", step.name, blocked_text(floor, found, now_us), detail_role="straw", tile=True
        )
    usually = usuals.of(step, floor.get(Batch, step.batch_id), usual_method(floor, step))
    return BenchButton(
        f"start:{step.id}",
        step.name,
        counted(floor, "piece", len(pieces)) if found is None else f"Load {n} in  ·  {len(pieces) - n} wait",
        aside=texts.usual_text(usually, route_us(floor, step)),
        tile=True,
    )


def route_tiles(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[BenchButton, ...]:
    """Every step of a batch: how many are through, what waits, what is skipped."""
    reached, living = through(floor, batch_id), {p.id for p in floor.living(batch_id)}
    running = {i.step_id: i for i in floor.running.values() if i.batch_id == batch_id}
    open_now = {found.step.id for found in ready(floor, batch_id, now_us)}
    return tuple(
        _route_tile(floor, step, len(reached[step.id] & living), len(living), running.get(step.id), now_us)
        if step.id in running or step.id not in open_now
        else replace(_route_tile(floor, step, len(reached[step.id] & living), len(living), None, now_us), role="raised")
        for step in floor.steps(batch_id)
    )


def _route_tile(floor: ShopFloor, step: Step, n: int, of: int, running: Interval | None, now_us: int) -> BenchButton:
    detail, fraction = f"{n} of {of} through", n / of if of else 0.0
    if step.state is not StepState.TIMED:
        return BenchButton(f"step:{step.id}", step.name, str(step.state), enabled=False, tile=True)
    if running is None:
        return BenchButton(f"step:{step.id}", step.name, detail, fraction=fraction, tile=True)
    if running.kind.attended:
        return BenchButton(f"show:{step.id}", step.name, f"runs  ·  {detail}", role="dye", fraction=fraction, tile=True)
    wait = texts.wait_text(floor, running, now_us)
    return BenchButton(f"out:{running.id}", step.name, wait, detail_role="straw", fraction=fraction, tile=True)


def route_shown(floor: ShopFloor, batch: Batch) -> RouteShown:
    """The outline: how far each timed step is filled, and the letters where the pieces stand."""
    reached, order = through(floor, batch.id), order_of(floor, batch.id)
    living = {p.id: p for p in floor.living(batch.id)}
    fills = tuple(len(reached[s.id] & living.keys()) / len(living) if living else 0.0 for s in order.timed)
    standing: dict[int, list[Piece]] = {}
    for piece in living.values():
        place = next((i for i, s in enumerate(order.timed) if piece.id not in reached[s.id]), len(order.timed) - 1)
        standing.setdefault(place, []).append(piece)
    marks = tuple((place, spoken([p.mark for p in pieces])) for place, pieces in sorted(standing.items()))
    told = ", ".join(f"{letters} at {order.timed[place].name}" for place, letters in marks)
    return RouteShown(floor.get(Pattern, batch.pattern_id).outline, fills, marks, told)
