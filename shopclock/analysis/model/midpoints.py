"""Places of lots in a maker's count: the piece that takes the mean of its lot."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]


class LotSums:
    """The piece numbers of lots first…last, laid end to end."""

    def __init__(
        self, first: Sequence[int] | npt.NDArray[np.int64], last: Sequence[int] | npt.NDArray[np.int64]
    ) -> None:
        import numpy as np

        starts, ends = np.asarray(first, np.int64), np.asarray(last, np.int64)
        self.sizes = ends - starts + 1
        self._starts = np.cumsum(self.sizes) - self.sizes
        pieces = np.arange(int(self.sizes.sum())) + np.repeat(starts - self._starts, self.sizes)
        self._logs = np.log(pieces)
        self._mean_logs = np.add.reduceat(self._logs, self._starts) / self.sizes
        self._ends = np.log(starts), np.log(ends)

    def log_midpoints(self, b: Floats | float) -> Floats:
        """Return ln K of each lot, K = [(1/Q)·Σ i^b]^(1/b) over its Q pieces i; one b for all, or one for each lot."""
        import numpy as np

        steep = np.broadcast_to(np.asarray(b, float), self.sizes.shape)
        flat = np.abs(steep) < 1e-6
        safe = np.where(flat, 1.0, steep)
        # Seen from the end that takes longest no power overflows, however steep b gets on the way.
        far = np.where(safe < 0, self._ends[0], self._ends[1])
        powers = np.expm1(np.repeat(safe, self.sizes) * (self._logs - np.repeat(far, self.sizes)))
        found = far + np.log1p(np.add.reduceat(powers, self._starts) / self.sizes) / safe
        logs: Floats = np.where(flat, self._mean_logs, found)
        return logs
