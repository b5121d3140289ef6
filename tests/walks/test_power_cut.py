"""The power goes while work runs and an oven is on: all is there, and what nobody can know is asked once."""

from pathlib import Path

from shopclock.record.check.check import check
from shopclock.shop.values.entities import Interval, Step
from shopclock.shop.values.kinds import Certainty
from tests.walks.walk import at_the_window, new_record, walk, walk_and_be_killed

TO_THE_CUT = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 4
press Go
press Whole route
press Temper 1
work 20
press Start: Saw scales
work 15
"""
OFF_US = 95 * 60_000_000


def test_after_a_power_cut_the_wait_went_on_and_the_work_is_asked_about(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    cut = walk_and_be_killed(path, TO_THE_CUT)
    with at_the_window(path, cut.at_us + OFF_US, boot_id="after the cut") as hand:
        floor = hand.record.floor
        running = {floor.get(Step, i.step_id or 0).name: i for i in floor.running.values()}
        assert running.keys() == {"Temper 1", "Saw scales"}
        answers = [words for words in hand.reach if words.startswith("Stopped at")]
        assert answers, hand.reach
        assert "It went on all the time" in hand.reach
        hand.press(answers[0])
        work = hand.record.floor.get(Interval, running["Saw scales"].id)
        assert work.end_us is not None
        assert 0 <= cut.at_us - work.end_us <= 30_000_000
        assert work.end_sure is Certainty.AMENDED
        assert "Seen" in hand.reach or "Take out" in hand.reach
        walk(hand, "press Take out")
        wait = hand.record.floor.get(Interval, running["Temper 1"].id)
        assert wait.end_us == cut.at_us + OFF_US
        assert wait.end_sure is Certainty.PRESSED
    assert check(path) == []
