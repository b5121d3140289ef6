"""What is left to do, step by step, as the plan reckons with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Task:
    """A step of a batch that is still to do, in a list by rank: who comes first is done first if it can be.

    `batch` is the batch's place in the order of promise, `needs` the tasks that come before. Work has `labour` by
    draw, in minutes; a wait has none and lasts `wait_min`, `loads` times one after the other in its `tool`, of which it
    `fills` so much (1: all of it) at a `setting`. `by_hand`: it follows another wait and doesn't begin by itself.
    `lying`: it is in its tool already.
    """

    batch: int
    step_id: int
    name: str
    needs: tuple[int, ...]
    labour: Floats | None
    wait_min: float = 0.0
    loads: int = 1
    tool: int | None = None
    by_hand: bool = False
    fills: float = 1.0
    setting: str = ""
    lying: bool = False
