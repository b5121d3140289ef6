"""When it is done: cases worked by hand, and bounds that no plan may break."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.forecast.remaining_work import Task
from shopclock.analysis.forecast.shop_hours import Hours, WorkedHours, drawn_yields, hours_from, merged
from shopclock.analysis.plan.simulation import Run, Simulation, Worker
from shopclock.shop.setup import list_edit, week
from shopclock.shop.values.entities import Tool
from shopclock.shop.values.errors import ShopError
from tests.analysis.planned import planned_shop, planner
from tests.shop.workshop import START_US, Paper

if TYPE_CHECKING:
    from collections.abc import Sequence

DAY = 1440.0
EVENINGS = [(i * DAY, i * DAY + 120.0) for i in range(60)]
"""Two hours at the start of each day; weeks of seven of them."""


def hours(intervals: Sequence[tuple[float, float]] = EVENINGS, a_week: int = 7) -> Hours:
    starts, ends = np.array(intervals).T
    lengths = ends - starts
    weeks = [lengths[i : i + a_week].sum() for i in range(0, len(lengths), a_week)]
    return Hours(0, starts, ends, np.concatenate([[0], lengths.cumsum()]), np.concatenate([[0], np.cumsum(weeks)]))


def run(tasks: Sequence[Task], own: Hours | None = None, worked: float = 1.0) -> Run:
    own = own or hours()
    draws = next((t.labour.size for t in tasks if t.labour is not None), 1)
    weeks = own.week_planned.size - 1
    drawn = np.full((weeks, draws), worked)
    return Simulation(tasks, [Worker(WorkedHours(own, drawn))], draws).run()


def work(minutes: float, *needs: int, batch: int = 0, tool: int | None = None) -> Task:
    return Task(batch, 0, "work", needs, np.array([minutes]), tool=tool)


def wait(minutes: float, *needs: int, batch: int = 0, loads: int = 1, tool: int | None = None) -> Task:
    return Task(batch, 0, "wait", needs, None, minutes, loads, tool)


def part(fills: float, minutes: float, setting: str = "", *, batch: int = 0, lying: bool = False) -> Task:
    """A wait that fills a part of the one tool."""
    return replace(wait(minutes, batch=batch, tool=0), fills=fills, setting=setting, lying=lying)


HAND_MADE = [
    pytest.param([work(60)], [60], id="one hour of work in an evening of two"),
    pytest.param([work(120)], [120], id="it fits to the minute"),
    pytest.param([work(180)], [DAY + 60], id="work goes on the next evening"),
    pytest.param([work(60), wait(600, 0), work(30, 1)], [60, 660, DAY + 30], id="a wait goes by at night"),
    pytest.param([work(60), wait(30, 0), work(30, 1)], [60, 90, 120], id="a short wait within the evening"),
    pytest.param([work(60), work(60, 0), work(60, 1)], [60, 120, DAY + 60], id="a chain"),
    pytest.param(
        [work(60), wait(DAY, 0), work(60, 1), work(90, batch=1)], [60, 1500, DAY + 120, DAY + 30], id="beside"
    ),
    pytest.param([work(60, batch=0), work(60, batch=1)], [60, 120], id="the earlier promise first"),
    pytest.param([wait(60, loads=2)], [120], id="two loads while somebody is there"),
    pytest.param([wait(600, loads=2)], [DAY + 600], id="the second load waits for the next evening"),
    pytest.param([wait(90, tool=0), wait(90, batch=1, tool=0)], [90, 180], id="one tool, one batch at a time"),
    pytest.param([wait(200, tool=0), wait(90, batch=1, tool=0)], [200, DAY + 90], id="it is free at night only"),
    pytest.param([wait(90, tool=0), work(10, batch=1, tool=0)], [90, 100], id="work waits for the tool"),
    pytest.param([wait(90, tool=0), work(20, batch=1)], [90, 20], id="other work doesn't"),
    pytest.param([part(0.5, 90), part(0.5, 60, batch=1)], [90, 60], id="two halves lie in it together"),
    pytest.param([part(0.5, 90), part(0.6, 10, batch=1)], [90, 100], id="what has no room waits"),
    pytest.param([part(0.5, 90), part(0.4, 30), part(0.5, 20)], [90, 30, 50], id="room is there once the first is out"),
    pytest.param([part(0.2, 90, "200 °C"), part(0.2, 20, "200 °c")], [90, 20], id="at one setting together"),
    pytest.param([part(0.2, 90, "200 °C"), part(0.2, 20, "300 °C")], [90, 110], id="another setting waits for it"),
    pytest.param([part(0.2, 90), part(0.2, 20, "300 °C")], [90, 20], id="where none is named any will do"),
    pytest.param([part(1, 60), part(1, 90, lying=True)], [150, 90], id="what lies in it already keeps its place"),
]


@pytest.mark.parametrize(("tasks", "ends"), HAND_MADE)
def test_cases_worked_by_hand(tasks: list[Task], ends: list[float]) -> None:
    assert run(tasks).ends[:, 0] == pytest.approx(ends)


def test_half_the_hours_worked_take_twice_as_long() -> None:
    assert run([work(90)], worked=0.5).ends[0, 0] == pytest.approx(DAY + 60)


def test_spells_of_past_weeks_stay_together_at_a_level_that_is_unsure() -> None:
    """Four good weeks and four bad ones: neighbours are alike in what is drawn, and whole futures differ."""
    drawn = drawn_yields((0.8, 0.8, 0.8, 0.8, 0.2, 0.2, 0.2, 0.2), 40, 4000, np.random.default_rng(1))
    assert drawn.shape == (40, 4000)
    assert np.corrcoef(drawn[0], drawn[1])[0, 1] > 0.5
    assert np.median(drawn.mean(axis=0)) == pytest.approx(0.5, rel=0.1)
    steady = drawn_yields((0.5,) * 12, 40, 4000, np.random.default_rng(1))
    assert np.ptp(steady, axis=0).max() == 0, "weeks all alike are drawn alike"
    # A week's spread is squeezed to √(2·.55²/13); the level's is that over √12 where weeks are independent, that itself
    # where they are wholly alike. Student's t of 13 degrees widens both.
    week = np.sqrt(2 * 0.55**2 / 13 * 13 / 11)
    assert week / np.sqrt(12) < np.std(np.log(steady[0])) < week, "their level is not sure all the same"
    assert (drawn_yields((0.4, 0.5, 0.6), 5, 3, np.random.default_rng(1)) == 1).all(), "three weeks tell nothing"


def test_a_week_in_which_nobody_comes_moves_work_to_the_next() -> None:
    own = hours()
    yields = np.ones((own.week_planned.size - 1, 2))
    yields[0, 1] = 0.0
    ends = Simulation([Task(0, 0, "work", (), np.full(2, 30.0))], [Worker(WorkedHours(own, yields))], 2).run().ends
    assert ends[0] == pytest.approx([30, 7 * DAY + 30])


def test_draws_don_t_touch_each_other() -> None:
    minutes = np.array([30.0, 200.0, 90.0])
    chain = [Task(0, 0, "a", (), minutes), wait(100, 0), Task(0, 0, "b", (1,), minutes[::-1].copy())]
    together = run(chain).ends
    for i in range(3):
        alone = [t if t.labour is None else replace(t, labour=t.labour[i : i + 1]) for t in chain]
        assert run(alone).ends[:, 0] == pytest.approx(together[:, i])


def test_a_circle_is_told() -> None:
    with pytest.raises(ShopError, match="Some steps wait for each other"):
        run([work(10, 1), work(10, 0)])


def test_more_than_the_hours_ahead_is_beyond() -> None:
    own = hours()
    ends = run([work(60 * 120 + 1)], own).ends
    assert own.beyond(ends).all()
    assert not own.beyond(run([work(60 * 120)], own).ends).any()


@st.composite
def shops(draw: st.DrawFn) -> list[Task]:
    """Two or three batches of work and waits in some order, one tool among them."""
    tasks: list[Task] = []
    for batch in range(draw(st.integers(1, 3))):
        first = len(tasks)
        for i in range(draw(st.integers(1, 6))):
            needs = tuple(draw(st.sets(st.integers(first, first + i - 1), max_size=2))) if i else ()
            minutes = draw(st.floats(1, 400))
            tool = draw(st.sampled_from([None, 0]))
            if draw(st.booleans()):
                tasks.append(work(minutes, *needs, batch=batch, tool=tool))
            else:
                found = wait(minutes, *needs, batch=batch, loads=draw(st.integers(1, 3)), tool=tool)
                fills, setting = draw(st.sampled_from([0.25, 0.4, 0.5, 1.0])), draw(st.sampled_from(["", "200", "300"]))
                tasks.append(replace(found, fills=fills, setting=setting))
    return tasks


@given(shops())
def test_never_earlier_than_the_chain_nor_with_fewer_hours_than_the_work(tasks: list[Task]) -> None:
    own = hours()
    done = run(tasks, own)
    ends, begins = done.ends[:, 0], done.begins[:, 0]
    for j, task in enumerate(tasks):
        length = task.wait_min * task.loads if task.labour is None else float(task.labour[0])
        chain = max((ends[k] for k in task.needs), default=0.0)
        assert begins[j] >= chain - 1e-6
        assert ends[j] >= begins[j] + length - 1e-6
    labour = sum(float(t.labour[0]) for t in tasks if t.labour is not None)
    last = max((ends[j] for j, t in enumerate(tasks) if t.labour is not None), default=0.0)
    assert own.planned_by(np.array([last]))[0] >= labour - 1e-6


@given(shops())
def test_the_maker_has_one_pair_of_hands(tasks: list[Task]) -> None:
    done = run(tasks)
    own = sorted((done.begins[j, 0], done.ends[j, 0]) for j, t in enumerate(tasks) if t.labour is not None)
    for (_, end), (start, _) in pairwise(own):
        assert start >= end - 1e-6


@given(shops())
def test_no_tool_holds_more_than_it_has_room_for_nor_two_settings(tasks: list[Task]) -> None:
    done = run(tasks)
    own = [(done.begins[j, 0], done.ends[j, 0], t) for j, t in enumerate(tasks) if t.labour is None and t.tool == 0]
    for begin, _, _ in own:
        there = [task for start, end, task in own if start <= begin < end - 1e-6]
        assert sum(task.fills for task in there) <= 1 + 1e-6
        assert len({task.setting for task in there if task.setting}) <= 1


def test_batches_share_a_tool_that_has_room_for_both() -> None:
    """Three handles of two clamps' shares each fill six of eight: they glue beside one, not beside another three."""
    cure = {}
    for beside in (1, 3):
        shop = planned_shop(3)
        shop.new_batch(beside)
        tasks = planner(shop).plan(draws=10).tasks
        cure[beside] = [task for task in tasks if task.name == "Cure"]
        assert [task.fills for task in cure[beside]] == [0.75, beside / 4]
        assert {task.loads for task in cure[beside]} == {1}
    assert cure[1][0].tool is not None


def test_a_tool_that_holds_no_load_keeps_nobody_waiting() -> None:
    shop = planned_shop(3)
    for tool in list(shop.floor.all(Tool)):
        shop.press(lambda tx, tool=tool: list_edit.holds_no_load(tx, tool))
    assert {task.tool for task in planner(shop).plan(draws=10).tasks} == {None}


VIENNA_DAY = date(2026, 10, 27)


def test_hours_are_those_of_the_week_from_now_on() -> None:
    """Now is Saturday 24 October 2026, 21:00 in Vienna; the clocks go back that night."""
    shop = Paper()
    for weekday, start, end in ((5, 20 * 60, 22 * 60), (1, 19 * 60, 21 * 60)):
        shop.press(lambda tx, w=weekday, s=start, e=end: week.add_hours(tx, w, s, e))
    shop.press(lambda tx: week.add_day_off(tx, date(2026, 11, 3), date(2026, 11, 3)))
    own = hours_from(shop.floor, START_US, 3)
    starts = [datetime.fromtimestamp(START_US / 1e6 + 60 * m, UTC).isoformat()[:16] for m in own.starts]
    assert own.starts[0] == 0
    assert starts[1:] == ["2026-10-27T18:00", "2026-10-31T19:00", "2026-11-07T19:00"]
    assert own.week_planned == pytest.approx([0, 60, 60 + 240, 60 + 240 + 120], abs=0.01)


def test_hours_more_are_added_without_counting_any_twice() -> None:
    shop = Paper()
    shop.press(lambda tx: week.add_hours(tx, 6, 600, 720))
    own = hours_from(shop.floor, START_US, 2, [(6, 660, 780), (0, 0, 60)])
    assert own.planned[-1] == pytest.approx(180 + 60 + 180, abs=0.01)


def test_no_hours_are_none() -> None:
    assert hours_from(Paper().floor, START_US, 2).none


def test_merged_stretches_count_once() -> None:
    assert merged([(5, 6), (0, 2), (1, 3), (3, 4)]) == [(0, 4), (5, 6)]


def two(tasks: Sequence[Task], own: Hours | None = None, sam: Hours | None = None, **stages: frozenset[int]) -> Run:
    """Ann and Sam at work, each in hours of their own, at the stages that each does."""
    ann = own or hours()
    whole = np.full((ann.week_planned.size - 1, 1), 1.0)
    workers = [
        Worker(WorkedHours(ann, whole), stages.get("ann_does", frozenset())),
        Worker(WorkedHours(sam or ann, whole), stages.get("sam_does", frozenset())),
    ]
    return Simulation(tasks, workers, 1).run()


def test_two_makers_do_two_things_at_once_and_the_one_who_is_free_takes_the_next() -> None:
    """60, 20 and 30 min with nothing between them: Sam is free after 20 and takes the third, done at 50."""
    found = two([work(60), work(20), work(30)])
    assert found.begins[:, 0].tolist() == [0, 0, 20]
    assert found.ends[:, 0].tolist() == [60, 20, 50]
    assert found.who[:, 0].tolist() == [0, 1, 1]
    assert run([work(60), work(20), work(30)]).ends[:, 0].tolist() == [60, 80, 110]


def test_two_makers_wait_for_what_comes_before() -> None:
    found = two([work(60), work(30, 0), work(10, 1)])
    assert found.ends[:, 0].tolist() == [60, 90, 100]


def test_a_maker_is_given_nothing_of_a_stage_that_is_not_done_and_what_nobody_does_is_done_by_all() -> None:
    tasks = [replace(work(minutes), stage_id=stage) for minutes, stage in ((60, 1), (20, 1), (30, 2), (5, 3))]
    found = two(tasks, ann_does=frozenset({1}), sam_does=frozenset({2}))
    assert found.who[:, 0].tolist()[:3] == [0, 0, 1]
    assert found.ends[:, 0].tolist() == [60, 80, 30, 35]


def test_a_helper_works_in_hours_of_the_helpers_own() -> None:
    """Ann is there from minute 0 on, Sam from 100 to 160: what Sam begins then ends in Sam's hours."""
    sam = hours([(100, 160)] * 1 + [(10_000 + n, 10_001 + n) for n in range(6)])
    ann = hours([(0, 1000)] + [(10_000 + n, 10_001 + n) for n in range(6)])
    found = two([work(120), work(120), work(50)], ann, sam)
    assert found.begins[:, 0].tolist()[:2] == [0, 100]
    assert found.who[:, 0].tolist() == [0, 1, 0]
    assert found.ends[2, 0] == 170
