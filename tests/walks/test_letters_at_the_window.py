"""The shop is right: out of order, a blade dropped, and three marked at once afterwards, in the real window."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.values.entities import Batch, Interval, Piece
from shopclock.shop.values.kinds import Outcome
from tests.walks.walk import at_the_window, new_record, walk

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.tour.window_hand import WindowHand

FOUR = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 4
press Go
press Whole route
press Grind bevels
"""


def minutes(floor: ShopFloor, now_us: int) -> dict[str, float]:
    """Minutes of each piece of the one batch, rounded to what a stop watch tells."""
    (batch,) = floor.all(Batch)
    got = {piece.mark: 0.0 for piece in floor.pieces(batch.id)}
    for row in piece_labour(floor, batch.id, now_us):
        got[floor.get(Piece, row.piece_id).mark] += row.us / 60e6
    return {mark: round(one, 1) for mark, one in got.items()}


def walked(path: Path, *steps: str) -> tuple[dict[str, float], int, WindowHand]:
    """Walk, and return the minutes of each piece and how many intervals there are."""
    with at_the_window(path) as hand:
        walk(hand, FOUR + "\n".join(steps))
        return minutes(hand.record.floor, hand.clock.at_us), len(list(hand.record.floor.all(Interval))), hand


def test_c_before_a_and_b_is_one_press_and_leaves_no_splinter(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    got, intervals, _ = walked(path, "work 13", "press C", "work 15", "press A", "work 16", "press B", "press Stop")
    assert got == {"A": 15, "B": 16, "C": 13, "D": 0}
    assert intervals == 1
    assert check(path) == []


def test_a_blade_dropped_under_the_hands_carries_its_minutes(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    loss = ("press Not right", "press B", "press Lost", "press cracked")
    got, _, hand = walked(
        path, "work 15", "press Done: A", "work 14", *loss, "work 15", "press C", "work 15", "press D"
    )
    assert got == {"A": 15, "B": 14, "C": 15, "D": 15}
    with ReadOnlyRecord.open(path) as reading:
        (batch,) = reading.floor.all(Batch)
        bevels = next(s for s in figures(reading.floor, batch.id, hand.clock.at_us).stages if s.passed)
    assert (bevels.passed, round(bevels.per_piece_min or 0, 1)) == (3, 15.0)
    assert bevels.carried[Outcome.SCRAPPED] / 60e6 == pytest.approx(14, abs=0.01)


def test_one_press_says_that_it_was_not_in_hand(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    loss = ("press Not right", "press B", "press Lost", "press cracked", "press B")
    got, *_ = walked(path, "work 15", "press Done: A", "work 14", *loss, "work 15", "press C", "work 15", "press D")
    assert got == {"A": 15, "B": 0, "C": 29, "D": 15}


def test_three_blades_marked_at_once_afterwards_share(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    got, *_ = walked(path, "work 10", "press A", "work 45", "press Stop", "work 60", "press D", "press B", "press C")
    assert got == {"A": 10, "B": 15, "C": 15, "D": 15}
    assert check(path) == []
