"""What the last batch of a pattern leaves to the next one: its settings, its ways, its minutes, its "next time"."""

from dataclasses import dataclass

from shopclock.exchange.paper.source import Source
from shopclock.shop.floor import Floor
from shopclock.shop.stage_rows import StageRow
from shopclock.shop.values import Batch, Interval, Load, Method, Step
from shopclock.shop.wording import minutes_text


@dataclass(frozen=True, slots=True)
class LastBatch:
    """The last closed batch; nothing of it where there is none."""

    floor: Floor
    batch: Batch | None
    rows: tuple[StageRow, ...]

    @property
    def name(self) -> str:
        """What it is called: last: 26-07; "" where there is none."""
        return f"last: {self.batch.name}" if self.batch is not None else ""

    @property
    def next_time(self) -> str:
        """What was to be remembered, and from where."""
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
        """What the step was set to, where that is told and isn't what this one asks for."""
        if self.batch is None:
            return ""
        own = [s for s in self.floor.steps(self.batch.id) if (s.stage_id, s.name) == (step.stage_id, step.name)]
        loads = [_loaded(self.floor, s) or s.setting for s in own]
        return loads[-1] if loads and loads[-1] != step.setting else ""


def _loaded(floor: Floor, step: Step) -> str:
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
    return LastBatch(source.bring_batch(newest.id), newest, rows)
