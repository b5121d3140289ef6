"""Readings taken, put right, taken away; and how each lies to its limits."""

from dataclasses import replace

from shopclock.shop.setup.reading_kinds import limit
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Interval, Load, Piece, Reading, ReadingKind, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.measure import Measure, parse
from shopclock.shop.work.loads import holder, load_in, load_text
from shopclock.shop.work.piece_progress import order_of, through


def kinds_for(floor: ShopFloor, batch: Batch, step: Step | None = None) -> tuple[ReadingKind, ...]:
    """Return what can be measured in a batch, what belongs to a step's stage first."""
    stages = {s.stage_id for s in floor.steps(batch.id)}
    here = step.stage_id if step is not None else None
    found = (
        kind
        for kind in floor.all(ReadingKind)
        if not kind.put_away and kind.stage_id in stages and kind.pattern_id in (None, batch.pattern_id)
    )
    return tuple(sorted(found, key=lambda kind: (kind.stage_id != here, kind.id)))


def step_for(floor: ShopFloor, kind: ReadingKind, batch: Batch, piece: Piece | None, now: Step | None) -> Step:
    """Return the step that a reading belongs to: the one in hand, else the last of its stage the piece is through."""
    own = [step for step in order_of(floor, batch.id).timed if step.stage_id == kind.stage_id]
    own = own or [step for step in floor.steps(batch.id) if step.stage_id == kind.stage_id]
    if now is not None and now.id in {step.id for step in own}:
        return now
    reached = through(floor, batch.id)
    done = [s for s in own if piece is not None and piece.id in reached.get(s.id, frozenset())]
    if not own:
        raise Refusal(f"{kind.name} is not measured in {batch.name}. Nothing was kept.")
    return done[-1] if done else own[0]


def take(tx: Transaction, kind: ReadingKind, step: Step, piece: Piece | None, typed: str) -> Reading:
    """Keep what was measured, as typed, beside the target of now; outside its limits it is said in a warning."""
    measured = parse(typed, kind.unit)
    reading = tx.add(
        Reading(
            kind_id=kind.id,
            step_id=step.id,
            piece_id=piece.id if piece is not None else None,
            load_id=load_at(tx.floor, step) if piece is None else None,
            target=kind.target,
            target_unit=kind.unit,
            measured=measured.text,
            unit=measured.unit,
            at_us=tx.now_us,
        )
    )
    _warn(tx, reading)
    return reading


def load_at(floor: ShopFloor, step: Step) -> int | None:
    """Return the load that lies in a step's tool, else the last that the step had, or nothing."""
    tool = holder(floor, step)
    there = load_in(floor, tool) if tool is not None else None
    own = [i for i in floor.of_batch(Interval, step.batch_id) if i.step_id == step.id and i.load_id is not None]
    if there is not None and any(i.load_id == there.id for i in own):
        return there.id
    return max(own, key=lambda i: (i.start_us, i.id)).load_id if own else None


def measure_again(tx: Transaction, reading: Reading, typed: str) -> Reading:
    """Put another value in a reading's place."""
    measured = parse(typed, reading.unit)
    changed = tx.change(replace(tx.current(reading), measured=measured.text, unit=measured.unit))
    _warn(tx, changed)
    return changed


def set_target(tx: Transaction, reading: Reading, typed: str) -> Reading:
    """Say what a reading should have been; the kind keeps its own target."""
    target = parse(typed, reading.target_unit)
    return tx.change(replace(tx.current(reading), target=target.text, target_unit=target.unit))


def take_away(tx: Transaction, reading: Reading) -> None:
    """Take a reading out of the record."""
    tx.drop(reading)


def _warn(tx: Transaction, reading: Reading) -> None:
    if outside(tx.floor, reading):
        tx.warnings.append(f"{whose(tx.floor, reading)}: {reading_text(tx.floor, reading)}.")


def measured(reading: Reading) -> Measure:
    """Return what was measured."""
    return Measure(reading.measured, reading.unit)


def target(reading: Reading) -> Measure | None:
    """Return what it should have been, or nothing."""
    return Measure(reading.target, reading.target_unit) if reading.target is not None else None


def outside(floor: ShopFloor, reading: Reading) -> str:
    """Say how a reading lies outside its limits as they are now, such as: below 57 HRC. Nothing when it doesn't."""
    return beyond(floor.get(ReadingKind, reading.kind_id), measured(reading))


def beyond(kind: ReadingKind, value: Measure) -> str:
    """Say how a value lies outside the limits of what it measures; nothing when it doesn't."""
    size = value.size
    low, high = limit(kind, "low"), limit(kind, "high")
    if low is not None and size < low.size:
        return f"below {low}"
    return f"above {high}" if high is not None and size > high.size else ""


def reading_text(floor: ShopFloor, reading: Reading) -> str:
    """Say a reading: Hardness 56 HRC, below 57 HRC."""
    told = f"{floor.get(ReadingKind, reading.kind_id).name} {measured(reading)}"
    wrong = outside(floor, reading)
    return f"{told}, {wrong}" if wrong else told


def whose(floor: ShopFloor, reading: Reading) -> str:
    """Say whose reading it is: a mark, or the step when it is of all in it."""
    if reading.piece_id is not None:
        return floor.get(Piece, reading.piece_id).mark
    if reading.load_id is not None:
        return load_text(floor, floor.get(Load, reading.load_id))
    return floor.get(Step, reading.step_id).name


def of_piece(floor: ShopFloor, piece: Piece) -> tuple[Reading, ...]:
    """Return a piece's readings, and those of the loads that it was in, the newest first."""
    loads = {i.load_id for i in floor.of_batch(Interval, piece.batch_id) if piece.id in i.pieces}
    own = (r for r in floor.of_batch(Reading, piece.batch_id) if r.load_id is None and r.piece_id in (None, piece.id))
    with_it = (r for r in floor.all(Reading) if r.load_id is not None and r.load_id in loads)
    found = {reading.id: reading for reading in (*own, *with_it)}.values()
    return tuple(sorted(found, key=lambda r: (r.at_us, r.id), reverse=True))


def outside_of(floor: ShopFloor, piece: Piece) -> tuple[Reading, ...]:
    """Return a piece's own readings that lie outside their limits, of each kind at each step the newest alone."""
    newest: dict[tuple[int, int], Reading] = {}
    for reading in of_piece(floor, piece):
        if reading.piece_id is not None:
            newest.setdefault((reading.kind_id, reading.step_id), reading)
    return tuple(reading for reading in newest.values() if outside(floor, reading))
