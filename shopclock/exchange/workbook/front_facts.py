"""What the front sheet shows: sums, minutes by stage of the newest batches, and one stage from batch to batch."""

from collections import Counter, defaultdict, deque
from dataclasses import dataclass, field

from shopclock.exchange.workbook.figure_sheets import BatchLine

STACKED = 12
"""Batches in the chart of stages: as many as are read at a glance."""
FOLLOWED = 60
"""Batches in the chart of one stage."""
STAGES_SHOWN = 8
"""Stages with a colour of their own; the others are one."""


@dataclass(frozen=True, slots=True)
class FrontBatch:
    """A batch as the charts need it; minutes by stage: per finished piece, and of run per piece that passed."""

    name: str
    pattern: str
    started_us: int
    settled: bool
    whole_min: float | None
    finished_min: dict[str, float]
    passed_min: dict[str, float]


@dataclass(slots=True)
class Sums:
    """Batches, their finished and lost pieces, and everything spent on them."""

    batches: int = 0
    finished: int = 0
    lost: int = 0
    spent_us: int = 0

    def add(self, line: BatchLine) -> None:
        """Count a batch."""
        self.batches += 1
        self.finished += line.figures.finished
        self.lost += line.row.scrapped
        self.spent_us += line.figures.whole.all_us


@dataclass(slots=True)
class FrontFacts:
    """Gathers them while the batches are written; no more than the newest stay in memory.

    Settled are the batches that are closed and were timed from the first step: only their sums mean what they say.
    Where there is none the front shows the others so far.
    """

    settled: Sums = field(default_factory=Sums)
    every: Sums = field(default_factory=Sums)
    newest: deque[FrontBatch] = field(default_factory=lambda: deque(maxlen=FOLLOWED))
    _spent: Counter[str] = field(default_factory=Counter)
    _places: dict[str, list[float]] = field(default_factory=lambda: defaultdict(lambda: [0.0, 0.0]))
    _stacked: deque[FrontBatch] = field(default_factory=lambda: deque(maxlen=STACKED))

    def add(self, line: BatchLine) -> None:
        """Count a batch; they come oldest first."""
        settled = not (line.figures.so_far or line.figures.at_least)
        self.every.add(line)
        if settled:
            self.settled.add(line)
        for place, (name, stage) in enumerate(zip(line.stages, line.figures.stages, strict=True), start=1):
            self._spent[name] += stage.all_us
            self._places[name][0] += place / len(line.stages)
            self._places[name][1] += 1
        batch = _front_batch(line, settled=settled)
        self.newest.append(batch)
        if settled and batch.whole_min is not None:
            self._stacked.append(batch)

    @property
    def so_far(self) -> bool:
        """Tell whether there is no settled batch."""
        return self.settled.batches == 0

    @property
    def sums(self) -> Sums:
        """Return the sums of settled batches; of the others where there is none."""
        return self.every if self.so_far else self.settled

    @property
    def stages(self) -> list[str]:
        """All stages by name, in the order in which pieces come to them."""
        return sorted(self._places, key=lambda name: (self._places[name][0] / self._places[name][1], name))

    @property
    def shown(self) -> list[str]:
        """The stages with the most minutes, in the order in which pieces come to them."""
        most = {name for name, spent_us in self._spent.most_common(STAGES_SHOWN) if spent_us}
        return [name for name in self.stages if name in most]

    @property
    def others(self) -> bool:
        """Tell whether there are minutes at a stage that isn't shown."""
        return sum(spent_us > 0 for spent_us in self._spent.values()) > STAGES_SHOWN

    @property
    def stacked(self) -> list[FrontBatch]:
        """The newest settled batches in which something finished, oldest first; else the others."""
        if not self.so_far:
            return list(self._stacked)
        return [batch for batch in self.newest if batch.whole_min is not None][-STACKED:]

    @property
    def patterns(self) -> list[str]:
        """The patterns of the newest batches, by name."""
        return sorted({batch.pattern for batch in self.newest})

    def first_choice(self) -> tuple[str, str]:
        """Return the stage with the most minutes, and the pattern that has passed it in the most batches."""
        for stage, _ in self._spent.most_common():
            passed = Counter(batch.pattern for batch in self.newest if stage in batch.passed_min)
            if passed:
                return stage, passed.most_common(1)[0][0]
        return self.stages[0], self.newest[-1].pattern


def _front_batch(line: BatchLine, *, settled: bool) -> FrontBatch:
    named = list(zip(line.stages, line.figures.stages, strict=True))
    return FrontBatch(
        name=line.row.name,
        pattern=line.row.pattern,
        started_us=line.row.started_us,
        settled=settled,
        whole_min=line.figures.whole.per_finished_min,
        finished_min={name: stage.per_finished_min for name, stage in named if stage.per_finished_min is not None},
        passed_min={name: stage.per_piece_min for name, stage in named if stage.per_piece_min is not None},
    )
