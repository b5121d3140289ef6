"""The buttons around the plate: open batches at the top, other work beside it, the whole route, the bottom row."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.screens.bench import texts
from shopclock.screens.bench.act_words import (
    JUST_STOPPED,
    NO_PIECE,
    carry_on_button,
    going_text,
    held_up_text,
    next_button,
    said,
    stop_button,
    taken,
    through_button,
)
from shopclock.screens.bench.current_work import running_by
from shopclock.screens.bench.state import Mode, Verb
from shopclock.shop.state.wording import counted, time_text, zone_of
from shopclock.shop.values.entities import Batch, Interval, Load, Pattern, Piece, Stage, Step, Tool
from shopclock.shop.values.kinds import Kind, StepState, WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.values.names import columns
from shopclock.shop.work.acts import Act
from shopclock.shop.work.begin import usual_method
from shopclock.shop.work.finish import next_done
from shopclock.shop.work.loads import blocked, blocked_text, fits, load_text, room
from shopclock.shop.work.makers import name_of_maker, several
from shopclock.shop.work.piece_progress import order_of, over, ready, runs_by_hand, theirs, through
from shopclock.views.button import NO_PUT_BACK, NO_UNDO, Button, Press
from shopclock.views.route_state import RouteState

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from shopclock.screens.bench.bench_acts import BenchActs
    from shopclock.screens.bench.current_work import CurrentWork, Selection
    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.work.piece_progress import Ready

    UsualAt = Callable[[int, int | None, int | None], Usual | None]
    """What is usual at a stage by a method for a pattern, each by its number."""

TWO_LINES = 36
"""Letters that the two lines of a button for shop work hold."""
LONG_NAME = 24
"""Letters of a name of a step or a tool that have room on a tile of the whole route beside all that is said there."""
TOP_MOST = 5
"""More open batches than this: the last button names the rest."""
HALF_MOST = 2
"""So many have a button each on half a Bench; of more, the one in sight has."""


def waits_of(floor: ShopFloor, batch_id: int | None = None) -> list[Interval]:
    """Return what waits or is away, the soonest ready first; of one batch if it is given."""
    found = [i for i in floor.running.values() if not i.kind.attended and (batch_id is None or i.batch_id == batch_id)]
    return sorted(found, key=lambda i: (i.start_us, i.id))


def top(floor: ShopFloor, eye: Selection, maker_id: int, now_us: int, *, half: bool = False) -> tuple[Button, ...]:
    """A button for each open batch, and shop work; before them who works here, where there are several makers.

    On a `half` the batch in sight stands for all where there are more than two: its press asks which.
    """
    batches = floor.open_batches()
    most = TOP_MOST - 1 if several(floor) else TOP_MOST
    if half:
        most = HALF_MOST if len(batches) <= HALF_MOST else 1
    shown = list(batches[:most])
    rest = [b for b in batches if b not in shown]
    in_sight = next((b for b in rest if b.id == eye.batch_id), None)
    if in_sight is not None:
        rest[rest.index(in_sight)] = shown[-1]
        shown[-1] = in_sight
    running = running_by(floor, maker_id)
    buttons = [_who_tile(floor, maker_id)] if several(floor) else []
    for batch in shown:
        detail, edge = _where(floor, batch, maker_id, now_us)
        key, here = Press(Verb.BATCHES) if half and rest else Press(Verb.BATCH, batch.id), batch.id == eye.batch_id
        name = texts.batch_text(floor, batch)
        buttons.append(Button(name, detail, checked=here, detail_role=edge or "quiet", edge=edge, tile=True, key=key))
    if rest and not half:
        buttons.append(Button(f"{len(rest)} more", "open batches", tile=True, key=Press(Verb.BATCHES)))
    sweeping = next((texts.name_of(floor, i) for i in running if i.batch_id is None), "")
    kinds = [s.name.lower() for s in floor.all(Stage) if s.shop_work and not s.put_away]
    edge = "dye_text" if sweeping else ""
    detail, key = sweeping or _as_fit(kinds), Press(Verb.SHOP_WORK)
    return (*buttons, Button("Shop work", detail, detail_role=edge or "quiet", edge=edge, tile=True, key=key))


def _as_fit(names: list[str]) -> str:
    """Name the first of them, as many as two lines hold whole."""
    found = names[0] if names else ""
    for name in names[1:]:
        if len(found) + len(name) > TWO_LINES:
            break
        found += f", {name}"
    return found


def _who_tile(floor: ShopFloor, maker_id: int) -> Button:
    """Name of whose hands these are; a press asks who comes and who goes."""
    return Button(name_of_maker(floor, maker_id), "who is here", role="raised", tile=True, key=Press(Verb.WHO))


def _where(floor: ShopFloor, batch: Batch, maker_id: int, now_us: int) -> tuple[str, str]:
    """Say where the pieces of a batch are, and the colour of its edge: none where nothing runs and nothing waits.

    What a maker can do comes before what another has in hand.
    """
    worked = next((i for i in running_by(floor, maker_id) if i.batch_id == batch.id), None)
    if worked is not None:
        pieces = len(floor.pieces(batch.id))
        return f"{texts.name_of(floor, worked)}  ·  {len(worked.pieces)} of {pieces}", _edge(worked)
    waits, open_now = waits_of(floor, batch.id), _free(floor, batch.id, maker_id, now_us)
    first = next((i for i in waits if over(floor, i, now_us)), waits[0] if waits else None)
    startable = next((r for r in open_now if room(floor, r.step, r.pieces, (), now_us)), None)
    most = startable is not None and len(startable.pieces) > sum(len(i.pieces) for i in waits)
    if first is not None and (over(floor, first, now_us) or not most):
        return f"{texts.name_of(floor, first)} {texts.wait_text(floor, first, now_us)}", "straw"
    if startable is None and open_now:
        startable = open_now[0]
    if startable is not None:
        return f"{startable.step.name}  ·  {counted(floor, 'piece', len(startable.pieces))}", ""
    other = next((i for i in floor.running.values() if i.kind.attended and i.batch_id == batch.id), None)
    if other is not None:
        return f"{texts.name_of(floor, other)}  ·  {name_of_maker(floor, other.maker_id)}", _edge(other)
    return "all through" if floor.living(batch.id) else "no piece left", ""


def _free(floor: ShopFloor, batch_id: int, maker_id: int, now_us: int) -> list[Ready]:
    """Return the steps that can be started in a batch with what no other maker has under the hands."""
    found = []
    for one in ready(floor, batch_id, now_us):
        others = theirs(floor, maker_id, one.step)
        if free := tuple(piece for piece in one.pieces if piece not in others):
            found.append(replace(one, pieces=free))
    return found


def _edge(interval: Interval) -> str:
    """Colour of the edge of what runs: blue by hand, straw where it is stayed by or waits."""
    return "dye_text" if interval.kind is Kind.HANDS_ON else "straw"


def side_tiles(acts: BenchActs, batch_id: int, usual_at: UsualAt) -> tuple[Button, ...]:
    """Tiles of what runs beside, waits and is ready in the batch in sight, and in no other."""
    floor, hand, now_us = acts.floor, acts.hand, acts.now_us
    plate_id = hand.interval.id if hand.interval is not None else None
    loads: dict[tuple[int | None, int], list[Interval]] = {}  # of one load all together, the last to be ready last
    for wait in waits_of(floor, batch_id):
        loads.setdefault((wait.step_id, wait.load_id or -wait.id), []).append(wait)
    here = hand.batch is not None and hand.batch.id == batch_id
    beside = [i for i in running_by(floor, acts.maker_id) if i.id != plate_id and i.batch_id == batch_id]
    return (
        *_more_tile(floor, hand, now_us),
        *(_running_tile(floor, i) for i in beside),
        *_others_tiles(acts, batch_id),
        *(_wait_tile(floor, waits, now_us) for waits in loads.values() if waits[0].id != plate_id),
        *(
            _ready_tile(acts, found.step, usual_at)
            for found in ready(floor, batch_id, now_us)
            if (not here or hand.step is None or found.step.id != hand.step.id) and not _at_it(floor, found)
        ),
    )


def _others_tiles(acts: BenchActs, batch_id: int) -> Iterator[Button]:
    """Yield a tile for each step that another maker runs in a batch."""
    running = sorted(acts.floor.running.values(), key=lambda i: (i.start_us, i.id))
    for interval in running:
        step = acts.floor.find(Step, interval.step_id)
        if step is None or interval.batch_id != batch_id or interval.maker_id == acts.maker_id:
            continue
        if interval.kind.attended and (acts.hand.step is None or acts.hand.step.id != step.id):
            yield _theirs_tile(acts, step, interval)


def _at_it(floor: ShopFloor, found: Ready) -> bool:
    """Tell whether all that are ready for a step are at it already."""
    there = {p for i in floor.running.values() if i.step_id == found.step.id for p in i.pieces}
    return there.issuperset(found.pieces)


def corners(acts: BenchActs, shown: tuple[Button, ...]) -> tuple[Button | None, ...]:
    """Return, for each tile that starts work by hand while some runs, the corner that starts it in addition."""
    by_hand = any(i.kind is Kind.HANDS_ON for i in running_by(acts.floor, acts.maker_id))

    def corner(tile: Button) -> Button | None:
        step = acts.floor.find(Step, tile.key.number if isinstance(tile.key, Press) else None)
        if not by_hand or tile.verb != Verb.START or step is None or step.kind is not Kind.HANDS_ON:
            return None
        act = acts.start(step, together=True)
        if act is None:
            return None
        detail = said(taken(acts.floor, acts.maker_id, act)) or "at once"
        return Button("Both", detail, role="raised", key=Press(Verb.START_BOTH, step.id))

    return tuple(corner(tile) for tile in shown)


def more_ready(floor: ShopFloor, running: Interval, now_us: int) -> tuple[int, ...]:
    """Return the pieces that are ready for the step that runs and in nobody's hands."""
    found = next((r for r in ready(floor, running.batch_id or 0, now_us) if r.step.id == running.step_id), None)
    if found is None:
        return ()
    held = {*running.pieces, *theirs(floor, running.maker_id, found.step)}
    return tuple(piece for piece in found.pieces if piece not in held)


def _more_tile(floor: ShopFloor, hand: CurrentWork, now_us: int) -> tuple[Button, ...]:
    """Tile of what else can go into the load that is worked on the plate."""
    interval, step = hand.interval, hand.step
    if not hand.running or interval is None or step is None or interval.load_id is None:
        return ()
    more = more_ready(floor, interval, now_us)
    if not more:
        return ()
    going, found = fits(floor, step, more), blocked(floor, step, more, (), now_us)
    out = taken(floor, interval.maker_id, Act(starts=step, going=going))
    wait, key = f"{counted(floor, 'piece', len(more))} wait", Press(Verb.LOAD_IN, step.id)
    if not going and found is not None:
        return (Button(wait, blocked_text(floor, found, now_us), detail_role="straw", tile=True, key=key),)
    return (Button(f"Load {len(going)} in", said([step.name, wait, *out]), role="raised", tile=True, key=key),)


def _running_tile(floor: ShopFloor, interval: Interval) -> Button:
    since = time_text(interval.start_us, zone_of(floor))
    detail = f"{'stay by it' if interval.kind is Kind.WATCH else 'by hand'}, since {since}"
    key = Press(Verb.SHOW, interval.step_id or 0)
    return Button(texts.name_of(floor, interval), detail, edge=_edge(interval), tile=True, key=key)


def _wait_tile(floor: ShopFloor, waits: list[Interval], now_us: int) -> Button:
    """Tile of what waits, in which tool, until when; of one load all together, out by one press."""
    last = waits[-1]
    until = texts.wait_text(floor, last, now_us)
    load = floor.find(Load, last.load_id or 0)
    who = texts.letters_text(floor, [piece for wait in waits for piece in wait.pieces])
    return Button(
        f"Out: {texts.name_of(floor, last)}",
        f"{load_text(floor, load)}, {until}" if load is not None else until,
        aside=who,
        detail_role="straw",
        tile=True,
        key=Press(Verb.OUT, waits[0].id),
    )


def _ready_tile(acts: BenchActs, step: Step, usual_at: UsualAt) -> Button:
    floor, act, key = acts.floor, acts.start(step), Press(Verb.START, step.id)
    if act is None:
        return Button(step.name, why_not=NO_PIECE, tile=True, key=key)
    why, out = held_up_text(floor, act, acts.now_us), taken(floor, acts.maker_id, act)
    if why:
        return Button(step.name, said([why, going_text(floor, act), *out]), detail_role="straw", tile=True, key=key)
    pattern_id = floor.get(Batch, step.batch_id).pattern_id
    usually = usual_at(step.stage_id, usual_method(floor, step), pattern_id)
    detail = counted(floor, "piece", len(act.going)) if act.left is None else going_text(floor, act)
    detail = said([detail, *out])
    return Button(step.name, detail, aside=texts.usual_text(usually, texts.route_us(floor, step)), tile=True, key=key)


def route_tiles(acts: BenchActs, batch_id: int, *, together: bool) -> tuple[Button, ...]:
    """Every step of a batch: how many are through, what waits, what is skipped; each says what its press does."""
    floor, now_us = acts.floor, acts.now_us
    reached, living = through(floor, batch_id), {p.id for p in floor.living(batch_id)}
    found = sorted(floor.running.values(), key=lambda i: i.maker_id == acts.maker_id)  # one's own go before others'
    running = {i.step_id: i for i in found if i.batch_id == batch_id}
    open_now = {found.step.id for found in ready(floor, batch_id, now_us)}

    def tile(step: Step) -> Button:
        n, of, now = len(reached[step.id] & living), len(living), running.get(step.id)
        detail, fraction = f"{n} of {of} through", n / of if of else 0.0
        if step.state is not StepState.TIMED:
            why = f"{step.name} is {step.state} in this batch."
            return Button(step.name, str(step.state), why_not=why, tile=True, key=Press(Verb.START, step.id))
        if now is not None and now.kind.attended:
            if now.maker_id != acts.maker_id:
                return _theirs_tile(acts, step, now, fraction)
            show = Press(Verb.SHOW, step.id)
            return Button(step.name, f"runs  ·  {detail}", edge=_edge(now), fraction=fraction, tile=True, key=show)
        if now is not None and step.id not in open_now:
            wait, out = texts.wait_text(floor, now, now_us), Press(Verb.OUT, now.id)
            return Button(f"Out: {step.name}", wait, detail_role="straw", fraction=fraction, tile=True, key=out)
        start = _start_tile(acts, step, now, detail, together=together)
        start = replace(start, detail=_beside_long_names(floor, step, start.detail, detail))
        return replace(start, role="raised" if step.id in open_now else start.role, fraction=fraction)

    return tuple(tile(step) for step in floor.steps(batch_id))


def _beside_long_names(floor: ShopFloor, step: Step, detail: str, how_many: str) -> str:
    """Words of a step on the whole route where names take their room: how many are through the line says too."""
    tool = floor.find(Tool, step.tool_id or 0)
    if tool is not None and columns(tool.name) > LONG_NAME:
        detail = re.sub(re.escape(tool.name), "its tool", detail, flags=re.IGNORECASE)
    if columns(step.name) > LONG_NAME and detail != how_many:
        detail = detail.removeprefix(said([how_many, detail]).removesuffix(detail))
    return detail


def _start_tile(acts: BenchActs, step: Step, now: Interval | None, detail: str, *, together: bool) -> Button:
    """A step that can be started, or can't: what its press does; `now` is the wait that some are in already."""
    act, floor, start = acts.start(step, together=together), acts.floor, Press(Verb.START, step.id)
    if act is None:
        others = theirs(floor, acts.maker_id, step)
        if others:
            return _theirs_tile(acts, step, next(iter(others.values())))
    elif act.how.get("work") is WorkKind.REWORK:
        detail = f"{detail}  ·  again"
    elif now is not None:
        detail = f"{going_text(floor, act)}  ·  {texts.wait_text(floor, now, acts.now_us)}"
    elif act.left is not None or act.in_spite is not None:
        detail = said([detail, held_up_text(floor, act, acts.now_us), going_text(floor, act)])
    if act is not None:
        detail = said([detail, *taken(floor, acts.maker_id, act)])
    return Button(step.name, detail, why_not="" if act is not None else NO_PIECE, tile=True, key=start)


def _theirs_tile(acts: BenchActs, step: Step, work: Interval, fraction: float | None = None) -> Button:
    """A step whose pieces another maker has: a press brings it in sight at rest, and letters take of them."""
    where, show = f"in {name_of_maker(acts.floor, work.maker_id)}'s hands", Press(Verb.SHOW, step.id)
    why = "Stop what you have in hand first." if acts.hand.running else ""
    return Button(step.name, where, detail_role="dye_text", why_not=why, fraction=fraction, tile=True, key=show)


def route_shown(floor: ShopFloor, batch: Batch) -> RouteState:
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
    return RouteState(floor.get(Pattern, batch.pattern_id).outline, fills, marks, told, runs_by_hand(floor, batch.id))


def bottom(acts: BenchActs, eye: Selection, names: tuple[str, str], *, just_stopped: bool) -> tuple[Button, ...]:
    """Stop or Carry on, Next, Done or All through where either has a use, Not right, Undo and Put back.

    `names` are those of the presses that Undo takes back and Put back puts back, empty where there is none.
    `just_stopped`: the place of *Stop* takes nothing, for who is unsure presses twice.
    """
    floor, hand, (undo, back) = acts.floor, acts.hand, names
    batch_id = hand.batch.id if hand.batch is not None else eye.batch_id
    why = "" if batch_id is not None and floor.living(batch_id) else "There is no piece in work."
    elsewhere = hand.batch.name if hand.batch is not None and hand.batch.id != eye.batch_id else ""
    return (
        _first(acts, just_stopped=just_stopped),
        next_button(floor, acts.maker_id, acts.next(), hand.interval, elsewhere),
        *_done(acts, elsewhere),
        Button("Not right", role="raised", why_not=why, key=Press(Verb.NOT_RIGHT)),
        Button("Undo", undo, role="raised", why_not="" if undo else NO_UNDO, key=Press(Verb.UNDO)),
        Button("Put back", back, role="raised", why_not="" if back else NO_PUT_BACK, key=Press(Verb.PUT_BACK)),
    )


def _first(acts: BenchActs, *, just_stopped: bool) -> Button:
    """Stop what runs, or carry on with what was stopped."""
    floor, stop = acts.floor, acts.stop()
    if just_stopped:
        return Button("Stopped", role="raised", why_not=JUST_STOPPED, key=Press(Verb.STOP))
    if acts.hand.running and stop is not None:
        return stop_button(floor, stop, named=len(running_by(floor, acts.maker_id)) > 1)
    stopped, carry_on = acts.stopped, acts.carry_on()
    if stopped is None or carry_on is None:
        return Button("Stop", role="raised", why_not="Nothing runs by hand.", key=Press(Verb.STOP))
    return carry_on_button(floor, acts.maker_id, carry_on, stopped)


def _done(acts: BenchActs, elsewhere: str) -> tuple[Button, ...]:
    """Done for the piece that is next by letter; after Stop also all that are left at once."""
    hand, through = acts.hand, acts.through()
    if hand.mode not in (Mode.RUNNING, Mode.STOPPED) or hand.step is None:
        return ()
    found = []
    if hand.step.one_by_one:
        title = done_title(acts.floor, hand)
        why = "" if title else "All in hand are through."
        found.append(Button(title or "All done", elsewhere, role="green", why_not=why, key=Press(Verb.DONE)))
    following = acts.next()
    if through is not None and following is not None and following.starts is not None:
        found.append(through_button(acts.floor, through, role="raised" if found else "green"))
    return tuple(found)


def done_title(floor: ShopFloor, hand: CurrentWork) -> str:
    """Return what *Done* would mark: Done: C; nothing where it has no use."""
    if hand.interval is None or hand.step is None or not hand.step.one_by_one or hand.mode is Mode.WAITING:
        return ""
    piece = next_done(floor, hand.interval)
    return f"Done: {piece.mark}" if piece is not None else ""
