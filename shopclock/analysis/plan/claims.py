"""Claims on pieces by draw: what the open batches leave for whom, and what still has to be begun for those promised."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import SEED, SURER, forecasts, job_of
from shopclock.analysis.forecast.history import MOST_BLANKS, blanks_for
from shopclock.shop.planning.orders import claims, owed, unpromised

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.forecast.remaining_work import RemainingWork
    from shopclock.analysis.forecast.stage_forecast import ShopEstimates
    from shopclock.shop.state.shop_floor import ShopFloor

    Ints = npt.NDArray[np.int64]


def to_go_round(floor: ShopFloor, batch_id: int | None, finished: Ints) -> Ints:
    """Return how many of a batch get finished beyond those that have a letter for somebody, by draw."""
    import numpy as np

    if batch_id is None:
        return finished
    free = next((len(f.pieces) for f in unpromised(floor) if f.batch.id == batch_id), 0)
    kept = sum(not piece.set_aside for piece in floor.living(batch_id)) - free
    left: Ints = np.clip(finished - kept, 0, None)
    return left


def lacking(wanted: int, free: Mapping[int, Ints], draws: int) -> Ints:
    """Return how many batches leave lacking of so many, by draw."""
    import numpy as np

    left: Ints = np.clip(wanted - sum(free.values(), np.zeros(draws, np.int64)), 0, None)
    return left


def still_to_begin(
    floor: ShopFloor, knowledge: ShopEstimates, open_batches: Sequence[RemainingWork], draws: int
) -> dict[int, int]:
    """Return by pattern how many blanks have to be begun for what is promised without a letter, 19 times in 20.

    Patterns of which the open batches leave enough are left out.
    """
    history = knowledge.history
    promised = dict.fromkeys(claim.pattern_id for claim in claims(floor))
    if not promised:
        return {}
    jobs = [job_of(history, b.pattern_id, b.pieces, b.stages, b.batch_id) for b in open_batches]
    told = forecasts(knowledge, jobs, draws)
    found = {}
    for pattern_id in promised:
        own = [i for i, batch in enumerate(open_batches) if batch.pattern_id == pattern_id]
        free = {i: to_go_round(floor, open_batches[i].batch_id, told[i].finished) for i in own}
        lacks = lacking(owed(floor, pattern_id), free, draws)
        if float((lacks == 0).mean()) < SURER:
            found[pattern_id] = blanks_for(lacks, history.batches, draws, SEED, SURER) or MOST_BLANKS
    return found
