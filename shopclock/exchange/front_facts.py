"""What the front sheet shows: sums, minutes by stage of the newest batches, and one stage from batch to batch."""

from collections import Counter, deque
from dataclasses import dataclass, field

from shopclock.exchange.figure_sheets import BatchLine

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
    started_us: int
    whole_min: float | None
    finished_min: dict[str, float]
    passed_min: dict[str, float]


@dataclass(slots=True)
class FrontFacts:
    """Gathers them while the batches are written; no more than the newest stay in memory."""

    batches: int = 0
    finished: int = 0
    lost: int = 0
    spent_us: int = 0
    spent_by_stage: Counter[str] = field(default_factory=Counter)
    newest: deque[FrontBatch] = field(default_factory=lambda: deque(maxlen=FOLLOWED))

    def add(self, line: BatchLine) -> None:
        """Count a batch; they come oldest first."""
        told = line.figures
        self.batches += 1
        self.finished += told.finished
        self.lost += line.row.scrapped
        self.spent_us += told.whole.all_us
        named = list(zip(line.stages, told.stages, strict=True))
        self.spent_by_stage.update({name: stage.all_us for name, stage in named})
        self.newest.append(
            FrontBatch(
                line.row.name,
                line.row.started_us,
                told.whole.per_finished_min,
                {name: stage.per_finished_min for name, stage in named if stage.per_finished_min is not None},
                {name: stage.per_piece_min for name, stage in named if stage.per_piece_min is not None},
            )
        )

    @property
    def stages(self) -> list[str]:
        """All stages by name, the one with the most minutes first."""
        return [name for name, _ in self.spent_by_stage.most_common()]

    @property
    def stacked(self) -> list[FrontBatch]:
        """The newest batches in which something finished, oldest first."""
        return [batch for batch in self.newest if batch.whole_min is not None][-STACKED:]
