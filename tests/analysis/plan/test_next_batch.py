"""What the next batch takes: blanks, hours by stage and in sum, by the shop's own record or by the route."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.forecast.stage_forecast import StageForecast, StageJob
from shopclock.analysis.plan.next_batch import NextBatch, next_batch, rests_on, table
from shopclock.shop.values.errors import ShopError
from tests.analysis.planned import planned_shop

if TYPE_CHECKING:
    from tests.record.on_disk import DiskShop


def told(disk: DiskShop, wanted: int, methods: tuple[tuple[int, int], ...] = ()) -> NextBatch:
    return next_batch(str(disk.path), disk.pattern.id, wanted, methods, disk.clock.now_us, 2000)


def minutes(said: str) -> int:
    hours, _, rest = said.replace(" min", "").rpartition(" h")
    return int(hours or 0) * 60 + int(rest or 0)


def test_surer_takes_more_blanks_and_more_work(disk: DiskShop) -> None:
    found = told(disk, 6)
    assert found.blanks == tuple(sorted(found.blanks))
    assert found.blanks[0] >= 6
    for takes in (found.takes, *(stage.takes for stage in found.stages if stage.rests_on != "nothing known")):
        assert list(map(minutes, takes)) == sorted(map(minutes, takes))


def test_the_middle_of_a_stage_without_a_record_is_the_routes_minutes_for_all_blanks(disk: DiskShop) -> None:
    """Bevelling is told with 30 minutes each; what is lost on the way is worked for a part of it only."""
    found = told(disk, 6)
    bevel = next(stage for stage in found.stages if stage.name == "Bevel")
    assert bevel.rests_on == "the route"
    assert 30 * 6 * 0.85 <= minutes(bevel.takes[0]) <= 30 * found.blanks[1] * 1.05
    harden = next(stage for stage in found.stages if stage.name == "Harden")
    assert (harden.takes, harden.rests_on) == (("–", "–", "–"), "nothing known")
    assert "at least" in found.whole
    assert found.notes[0].endswith(
        "Nothing is known of Harden yet, neither from a route nor timed: the hours are without it."
    )


def test_all_work_is_no_more_than_the_sum_of_the_lines_where_all_go_badly(disk: DiskShop) -> None:
    found = told(disk, 6)
    assert minutes(found.takes[2]) <= sum(minutes(s.takes[2]) for s in found.stages if s.takes[2] != "–")


def test_more_than_sixty_blanks_are_refused(disk: DiskShop) -> None:
    with pytest.raises(ShopError, match="60 would take more than 60 blanks"):
        told(disk, 60)


def test_the_table_has_a_line_for_each_stage(disk: DiskShop) -> None:
    found = told(disk, 6)
    lines = table(("one", "two", "three"), found).splitlines()
    assert lines[0] == "|  | one | two | three | rests on |"
    assert len(lines) == 4 + len(found.stages)
    assert lines[3].startswith(f"| **All work for {found.work_for}** | **")


@pytest.mark.parametrize(
    ("n", "known", "said"),
    [(14, True, "14 batches"), (1, True, "1 batch"), (0, True, "the route"), (0, False, "nothing known")],
)
def test_what_it_rests_on_is_said(n: int, known: bool, said: str) -> None:
    stage = StageForecast(StageJob(1, "Saw", None, 10.0), 10.0, 0.0, n, known=known)
    assert rests_on(planned_shop(1).floor, stage) == said
