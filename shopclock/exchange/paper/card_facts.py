"""Facts on the card of a batch: pieces, steps, readings, and what the last batch of the pattern leaves to it."""

from dataclasses import dataclass

from shopclock.exchange.paper.source import Source, dated, day_of, shop_name
from shopclock.shop.figures.trend_rows import TrendRow
from shopclock.shop.planning.orders import order_of_piece
from shopclock.shop.setup.reading_kinds import limit, limits_said
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import counted, length_text, minutes_text
from shopclock.shop.values.entities import (
    Batch,
    Interval,
    Load,
    Method,
    Pattern,
    Piece,
    Reading,
    ReadingKind,
    Scales,
    Stage,
    Step,
)
from shopclock.shop.values.kinds import Kind, RuleKind, StepState
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.begin import caution_of
from shopclock.shop.work.order_rules import rules_of
from shopclock.shop.work.pairs import pair_of
from shopclock.shop.work.piece_progress import through
from shopclock.shop.work.readings import kinds_for, measured


@dataclass(frozen=True, slots=True)
class LastBatch:
    """The last closed batch; nothing of it where there is none."""

    floor: ShopFloor
    batch: Batch | None
    rows: tuple[TrendRow, ...]

    @property
    def name(self) -> str:
        """Name of the last batch: last: 26-07; "" where there is none."""
        return f"last: {self.batch.name}" if self.batch is not None else ""

    @property
    def next_time(self) -> str:
        """Line that was to be remembered, and from where."""
        said = self.batch.next_time if self.batch is not None else ""
        return f"Next time, from {self.batch.name}: {said}" if self.batch is not None and said else ""

    def said(self, step: Step, *, minutes: bool) -> str:
        """Say how a step was done: last 795 °C, jig, 14.6 min each. `minutes`: those of its stage too."""
        if self.batch is None:
            return ""
        rows = [row for row in self.rows if row.stage_id == step.stage_id and row.pieces]
        most = max(rows, key=lambda row: row.pieces, default=None) if minutes else None
        method = self.floor.find(Method, most.method_id or 0) if most is not None else None
        each = f"{minutes_text(most.per_piece_min)} min each" if most is not None else ""
        parts = [part for part in (self._setting(step), method.name if method else "", each) if part]
        return f"last {', '.join(parts)}" if parts else ""

    def _setting(self, step: Step) -> str:
        """Setting of the step, where that is told and isn't what this one asks for."""
        if self.batch is None:
            return ""
        own = [s for s in self.floor.steps(self.batch.id) if (s.stage_id, s.name) == (step.stage_id, step.name)]
        loads = [_loaded(self.floor, s) or s.setting for s in own]
        return loads[-1] if loads and loads[-1] != step.setting else ""


def _loaded(floor: ShopFloor, step: Step) -> str:
    """Return the setting of the last load that a step had, or ""."""
    own = [i for i in floor.of_batch(Interval, step.batch_id) if i.step_id == step.id and i.load_id is not None]
    last = max(own, key=lambda i: (i.start_us, i.id), default=None)
    load = floor.find(Load, last.load_id or 0) if last is not None else None
    return load.setting if load is not None else ""


def last_batch(source: Source, batch: Batch, now_us: int) -> LastBatch:
    """Return the newest closed batch of the same pattern that was begun before this one, whole on the floor."""
    earlier = [
        other
        for other in source.floor.all(Batch)
        if other.pattern_id == batch.pattern_id
        and other.closed_us is not None
        and (other.started_us, other.id) < (batch.started_us, batch.id)
    ]
    newest = max(earlier, key=lambda other: (other.started_us, other.id), default=None)
    if newest is None:
        return LastBatch(source.floor, None, ())
    rows = tuple(row for row in source.reads.stage_rows(now_us) if row.batch_id == newest.id)
    return LastBatch(source.load_batch(newest.id), newest, rows)


@dataclass(frozen=True, slots=True)
class Cell:
    """A box of a piece: what is known already, whether it is done, whether the piece doesn't get there any more."""

    text: str = ""
    done: bool = False
    gone: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the card: a step, a reading or a number, two short notes, a box for each piece.

    `timed`: there is room to write from when to when.
    """

    name: str
    notes: tuple[str, str]
    cells: tuple[Cell, ...]
    timed: bool = False


@dataclass(frozen=True, slots=True)
class Card:
    """All that stands on a card."""

    shop: str
    batch: str
    about: str
    as_of: str
    whose: str
    marks: tuple[str, ...]
    gone: tuple[bool, ...]
    rows: tuple[Row, ...]
    cautions: tuple[str, ...]
    last: str
    next_time: str


def card_facts(source: Source, batch_id: int, now_us: int) -> Card:
    """Read off what the card of a batch says."""
    floor = source.load_batch(batch_id)
    batch = floor.get(Batch, batch_id)
    pieces, last = floor.pieces(batch_id), last_batch(source, batch, now_us)
    pattern = floor.get(Pattern, batch.pattern_id).name
    begun = f"{counted(floor, 'piece', len(pieces))}, begun {dated(day_of(floor, batch.started_us))}"
    gone = tuple(not piece.living and not (piece.outcome and piece.outcome.finished) for piece in pieces)
    return Card(
        shop=shop_name(floor),
        batch=batch.name,
        about=pattern,
        as_of=f"{begun}. As it stood on {dated(day_of(floor, now_us))}.",
        whose=_whose(source, pieces),
        marks=tuple(piece.mark for piece in pieces),
        gone=gone,
        rows=(*_numbers(source, pieces, gone), *_steps(source, batch, gone, last), *_readings(source, batch, gone)),
        cautions=_cautions(source, batch),
        last=last.name,
        next_time=last.next_time,
    )


def _whose(source: Source, pieces: tuple[Piece, ...]) -> str:
    """Say which letters go to whom: For Orla: A–C."""
    found: dict[str, list[str]] = {}
    for piece in pieces:
        order = order_of_piece(source.floor, piece)
        if order is not None:
            found.setdefault(order.who, []).append(piece.mark)
    return "; ".join(f"for {who}: {spoken(marks)}" for who, marks in found.items())


def _numbers(source: Source, pieces: tuple[Piece, ...], gone: tuple[bool, ...]) -> list[Row]:
    """The number of each piece; its pair of scales where the shop numbers those."""
    floor = source.floor
    rows = [Row("Number", ("", ""), _cells([piece.number for piece in pieces], gone))]
    if any(floor.all(Scales)):
        pairs = [pair_of(floor, piece) for piece in pieces]
        kinds = "; ".join(f"{p.number} {p.note}" for p in pairs if p is not None and p.note)
        rows.append(Row("Pair of scales", (kinds, ""), _cells([p.number if p else "" for p in pairs], gone)))
    return rows


def _cells(texts: list[str], gone: tuple[bool, ...]) -> tuple[Cell, ...]:
    return tuple(Cell(text, gone=left and not text) for text, left in zip(texts, gone, strict=True))


def _steps(source: Source, batch: Batch, gone: tuple[bool, ...], last: LastBatch) -> list[Row]:
    floor, reached = source.floor, through(source.floor, batch.id)
    rules = _rules(source, batch)
    rows, told = [], set[int]()
    for step in floor.steps(batch.id):
        if step.state is StepState.SKIPPED:
            continue
        now = ", ".join(part for part in (*rules.get(step.id, ()), step.setting, _wait(step)) if part)
        then = last.said(step, minutes=step.stage_id not in told)
        told.add(step.stage_id)
        rows.append(Row(step.name, (now, then), _boxes(source, step, reached.get(step.id, frozenset()), gone), True))
    return rows


def _boxes(source: Source, step: Step, reached: frozenset[int], gone: tuple[bool, ...]) -> tuple[Cell, ...]:
    before = step.state is StepState.NOT_TIMED
    return tuple(
        Cell(done=piece.id in reached or (before and not left), gone=left and piece.id not in reached)
        for piece, left in zip(source.floor.pieces(step.batch_id), gone, strict=True)
    )


def _wait(step: Step) -> str:
    if step.wait_us is None:
        return ""
    return f"{'away' if step.kind is Kind.AWAY else 'wait'} {length_text(step.wait_us)}"


def _rules(source: Source, batch: Batch) -> dict[int, list[str]]:
    """Say, at the step that has to be begun in time, within what and after which step."""
    found: dict[int, list[str]] = {}
    for rule, first, then in rules_of(source.floor, batch):
        if rule.kind is RuleKind.WITHIN and rule.limit_us is not None:
            found.setdefault(then.id, []).append(f"within {length_text(rule.limit_us)} of {first.name}")
    return found


def _readings(source: Source, batch: Batch, gone: tuple[bool, ...]) -> list[Row]:
    return [_reading(source, batch, kind, gone) for kind in kinds_for(source.floor, batch)]


def _reading(source: Source, batch: Batch, kind: ReadingKind, gone: tuple[bool, ...]) -> Row:
    """A reading with target and limits, the last value of another batch, and what was measured in this one."""
    floor, aim = source.floor, limit(kind, "target")
    targets = ", ".join(part for part in (str(aim) if aim is not None else "", limits_said(kind)) if part)
    last = source.reads.last_measured(kind.id, batch.id)
    own = sorted((r for r in floor.of_batch(Reading, batch.id) if r.kind_id == kind.id), key=lambda r: (r.at_us, r.id))
    values = {reading.piece_id: measured(reading).shown for reading in own}
    texts = [values.get(piece.id, values.get(None, "")) for piece in floor.pieces(batch.id)]
    unit = f", {kind.unit}" if kind.unit else ""
    return Row(f"{kind.name}{unit}", (targets, f"last {last}" if last is not None else ""), _cells(texts, gone))


def _cautions(source: Source, batch: Batch) -> tuple[str, ...]:
    """Say each caution once, after the names of the stages that it is for."""
    floor, found = source.floor, dict[str, list[str]]()
    for step in floor.steps(batch.id):
        caution = caution_of(floor, step.stage_id, step) if step.state is not StepState.SKIPPED else ""
        name = floor.get(Stage, step.stage_id).name
        if caution and name not in found.setdefault(caution, []):
            found[caution].append(name)
    return tuple(f"{', '.join(names)}: {caution}" for caution, names in found.items())
