"""Waits that begin by themselves, a piece at a time, and end over night: one word about them, not one each."""

from pathlib import Path

import pytest

from shopclock.shop.values.kinds import Kind
from tests.walks.walk import MUGS, at_the_window, new_record, walk

STORY = f"""
{MUGS}
work 6
press Done: A
work 6
press Done: B
work 6
press Next: Stiffen
work 1100
"""


@pytest.mark.parametrize(("answer", "waiting"), [("Take out", 0), ("Seen", 3)])
def test_pieces_that_came_out_one_by_one_are_told_of_once(
    answer: str, waiting: int, tmp_path: Path, qapp: object
) -> None:
    with at_the_window(new_record(tmp_path / "pots.shopclock")) as hand:
        walk(hand, STORY)
        waits = [i for i in hand.record.floor.running.values() if i.kind is Kind.WAIT]
        assert [len(wait.pieces) for wait in waits] == [1, 1, 2]
        assert hand.reach[:2] == ["Seen", "Take out"]
        hand.press(answer)
        assert len(hand.record.floor.running) == waiting
        assert "Start: Trim" in hand.reach
