"""Facts on the front sheet: sums, minutes by stage of the newest batches, one stage from batch to batch."""

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from shopclock.exchange.workbook.sheets import BatchLine

STACKED = 12
"""Batches in the chart of stages: as many as are read at a glance."""
FOLLOWED = 60
"""Batches in the chart of one stage."""
STAGES_SHOWN = 8
"""Stages with a colour of their own; the others are one."""


@dataclass(frozen=True, slots=True)
class FrontFacts:
    """The batches of the book, oldest first, added while they are written.

    Settled are those that are closed and were timed from the first step: only their sums mean what they say.
    Where there is none the front shows the others so far.
    """

    every: list[BatchLine] = field(default_factory=list)

    @property
    def so_far(self) -> bool:
        """Tell whether there is no settled batch."""
        return not any(line.settled for line in self.every)

    @property
    def summed(self) -> list[BatchLine]:
        """The settled batches; the others where there is none."""
        return [line for line in self.every if line.settled] or self.every

    @property
    def newest(self) -> list[BatchLine]:
        """The batches in the chart of one stage."""
        return self.every[-FOLLOWED:]

    @property
    def stacked(self) -> list[BatchLine]:
        """The newest of those summed in which something finished."""
        return [line for line in self.summed if line.figures.finished][-STACKED:]

    @property
    def stages(self) -> list[str]:
        """All stages by name, in the order in which pieces come to them: by their mean place in the routes."""
        places: dict[str, list[float]] = defaultdict(list)
        for line in self.every:
            for place, (name, _) in enumerate(line.stages, start=1):
                places[name].append(place / len(line.stages))
        return sorted(places, key=lambda name: (sum(places[name]) / len(places[name]), name))

    @property
    def shown(self) -> list[str]:
        """The stages with the most minutes, in the order in which pieces come to them."""
        most = {name for name, spent_us in self._spent().most_common(STAGES_SHOWN) if spent_us}
        return [name for name in self.stages if name in most]

    @property
    def others(self) -> bool:
        """Tell whether there are minutes at a stage that isn't shown."""
        return sum(spent_us > 0 for spent_us in self._spent().values()) > STAGES_SHOWN

    def first_choice(self) -> tuple[str, str]:
        """Return the stage with the most minutes, and the pattern that has passed it in the most batches."""
        for stage, _ in self._spent().most_common():
            passed = Counter(line.row.pattern for line in self.newest if line.per_piece_min(stage) is not None)
            if passed:
                return stage, passed.most_common(1)[0][0]
        return self.stages[0], self.newest[-1].row.pattern

    def _spent(self) -> Counter[str]:
        spent = Counter[str]()
        for line in self.every:
            for name, stage in line.stages:
                spent[name] += stage.all_us
        return spent
