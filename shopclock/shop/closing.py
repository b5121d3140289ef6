"""Closing a batch: how each of its pieces ends, in one press."""

from collections.abc import Mapping
from dataclasses import dataclass

from shopclock.shop.batches import close_batch
from shopclock.shop.kinds import Outcome
from shopclock.shop.pieces import end_piece
from shopclock.shop.turn import Turn
from shopclock.shop.values import Batch, Piece, Step


@dataclass(frozen=True, slots=True)
class Ending:
    """How a piece ends; a lost one with the step where it happened and why."""

    outcome: Outcome
    step: Step | None = None
    reason: str = ""


def close_with(turn: Turn, batch: Batch, endings: Mapping[int, Ending], next_time: str) -> Batch:
    """Close a batch with these endings by piece number; the other living pieces are finished (or second)."""
    plain: dict[int, Outcome] = {}
    for number, ending in endings.items():
        if ending.outcome is Outcome.SCRAPPED:
            end_piece(turn, turn.floor.get(Piece, number), Outcome.SCRAPPED, ending.step, ending.reason)
        else:
            plain[number] = ending.outcome
    return close_batch(turn, batch, plain, next_time)
