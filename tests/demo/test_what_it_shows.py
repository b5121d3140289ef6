"""The demo shop has in it what the program is there to show."""

import sqlite3
from collections import Counter, defaultdict
from contextlib import closing
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import mean
from zoneinfo import ZoneInfo

import pytest

from shopclock.shop.figures.trend_rows import TrendRow, trend_rows
from shopclock.shop.values.entities import (
    Batch,
    Pattern,
    Piece,
    Question,
    Reading,
    ReadingKind,
    RuleBroken,
    Shop,
    Stage,
    Step,
)
from shopclock.shop.values.kinds import Certainty, Kind, Outcome, QuestionReason, StepState, WorkKind
from shopclock.shop.work import readings
from tests.demo.conftest import Written


def _names_open(demo: Written) -> list[str]:
    return [demo.floor.get(Pattern, batch.pattern_id).name for batch in demo.floor.open_batches()]


def _over_the_clock_change(demo: Written) -> list[str]:
    """Waits that lie over the night in which the clocks go back: longer than the wall says."""
    zone = ZoneInfo(next(demo.floor.all(Shop)).zone)
    longer = []
    for interval in demo.intervals():
        if interval.kind is Kind.WAIT and interval.end_us is not None:
            start, end = (datetime.fromtimestamp(us / 1e6, zone) for us in (interval.start_us, interval.end_us))
            wall = end.replace(tzinfo=None) - start.replace(tzinfo=None)
            if timedelta(microseconds=interval.end_us - interval.start_us) - wall == timedelta(hours=1):
                longer.append(demo.floor.get(Step, interval.step_id or 0).name)
    return longer


def test_three_batches_are_open_and_stand_at_different_steps(demo: Written) -> None:
    assert _names_open(demo) == ["Paring 95", "Cook's 180", "Oyster"]
    (running,) = demo.floor.running.values()
    assert running.kind is Kind.WAIT
    assert demo.floor.get(Step, running.step_id or 0).name == "Temper 2"
    assert running.start_us < demo.end_us < running.start_us + 2 * 3600 * 1_000_000


def test_the_open_paring_knives_are_in_the_middle_of_their_bevels(demo: Written) -> None:
    batch = demo.floor.open_batches()[0]
    bevels = next(step for step in demo.floor.steps(batch.id) if step.name == "Grind bevels")
    through = {tally.piece_id for tally in demo.floor.tallies_of(bevels)}
    assert demo.floor.marks(through) == ["A", "B"]
    assert [piece.mark for piece in demo.floor.living(batch.id)] == list("ABCDFG")


def test_about_25_batches_of_5_to_12_in_two_years(demo: Written) -> None:
    found = list(demo.floor.all(Batch))
    assert 24 <= len(found) <= 28
    assert {5, 6, 7, 8, 9, 10, 12} <= {_started(demo, batch) for batch in found}
    assert all(5 <= _started(demo, batch) <= 12 for batch in found)
    assert 700 <= (demo.end_us - min(b.started_us for b in found)) / 86_400e6 <= 740


def _started(demo: Written, batch: Batch) -> int:
    return sum(piece.from_piece_id is None for piece in demo.floor.pieces(batch.id))


def test_blades_are_lost_at_different_steps_for_different_reasons(demo: Written) -> None:
    lost = demo.lost()
    assert len({step for _, step in lost}) >= 4
    assert {"warped", "dropped", "cracked", "wrong hole", "too thin"} <= {reason for reason, _ in lost}
    assert Counter(lost)["warped", "Harden"] == 2


def test_one_load_warped_two_blades_of_one_batch(demo: Written) -> None:
    warped = [piece for piece in demo.floor.all(Piece) if piece.reason == "warped"]
    assert len({piece.batch_id for piece in warped}) == 1


@pytest.mark.parametrize("outcome", list(Outcome))
def test_every_way_to_end_happens(demo: Written, outcome: Outcome) -> None:
    assert any(piece.outcome is outcome for piece in demo.floor.all(Piece))


def test_a_cooks_blade_goes_on_as_a_paring_knife(demo: Written) -> None:
    (made,) = (piece for piece in demo.floor.all(Piece) if piece.from_piece_id is not None)
    before = demo.floor.get(Piece, made.from_piece_id or 0)
    patterns = [demo.floor.get(Pattern, demo.floor.get(Batch, p.batch_id).pattern_id).name for p in (before, made)]
    assert patterns == ["Cook's 180", "Paring 95"]
    assert before.outcome is Outcome.CUT_DOWN
    assert made.outcome is Outcome.FINISHED


def test_a_wait_lies_over_the_night_when_the_clocks_go_back(demo: Written) -> None:
    assert _over_the_clock_change(demo)


def test_some_stops_were_forgotten_and_only_the_rest_is_a_guess(demo: Written) -> None:
    guessed = [i for i in demo.intervals() if i.end_sure is Certainty.ESTIMATED]
    assert 3 <= len(guessed) <= 20
    assert all(i.start_sure is not Certainty.ESTIMATED for i in guessed)
    assert all(not demo.floor.hands.done_in(i) for i in guessed)


@pytest.mark.parametrize("end", ["start_sure", "end_sure"])
def test_some_times_were_put_right(demo: Written, end: str) -> None:
    assert sum(getattr(i, end) is Certainty.AMENDED for i in demo.intervals()) >= 3


def test_forgotten_stops_were_asked_about_and_answered(demo: Written) -> None:
    asked = [q for q in demo.floor.all(Question) if q.why is QuestionReason.STILL]
    assert len(asked) >= 3
    assert {q.answer for q in asked} == {"stopped"}


def test_what_was_measured_lies_within_its_limits_but_for_a_few(demo: Written) -> None:
    found = list(demo.floor.all(Reading))
    outside = [reading for reading in found if readings.outside(demo.floor, reading)]
    assert len(found) > 50
    assert {demo.floor.get(ReadingKind, r.kind_id).unit for r in found} == {"HRC", "in"}
    assert 0 < len(outside) < len(found) / 5


def test_some_ends_were_amended_on_a_later_evening_with_a_reason(demo: Written) -> None:
    query = "SELECT COUNT(*) FROM press WHERE what = 'Amended an end' AND reason != ''"
    with closing(sqlite3.connect(demo.path)) as connection:
        assert connection.execute(query).fetchone()[0] >= 2


def test_rework_names_what_caused_it(demo: Written) -> None:
    again = [i for i in demo.intervals() if i.work is WorkKind.REWORK]
    causes = {demo.floor.get(Step, i.cause_step_id or 0).name for i in again}
    assert len(causes) >= 3


def test_set_up_is_pressed_in_most_batches_but_not_in_all(demo: Written) -> None:
    rows = [row for batch in demo.floor.all(Batch) for row in trend_rows(demo.floor, batch.id, demo.end_us)]
    pressed = sum(row.setup_us > 0 for row in rows) / len(rows)
    assert 0.7 < pressed < 0.95


def test_one_batch_was_begun_before_the_program_came(demo: Written) -> None:
    first = min(demo.floor.all(Batch), key=lambda batch: batch.started_us)
    states = Counter((step.batch_id, step.state) for step in demo.floor.all(Step))
    assert states[first.id, StepState.NOT_TIMED] > 3
    assert {b for b, state in states if state is StepState.NOT_TIMED} == {first.id}
    assert any(state is StepState.SKIPPED for _, state in states)


def test_shop_work_is_there_nearly_every_week_that_is_worked(demo: Written) -> None:
    weeks = defaultdict(set)
    for interval in demo.intervals():
        weeks[interval.start_us // (7 * 86_400_000_000)].add(interval.batch_id is None)
    assert sum(True in kinds for kinds in weeks.values()) / len(weeks) > 0.7
    done = {demo.floor.get(Stage, i.stage_id).name for i in demo.intervals() if i.batch_id is None}
    assert done == {"Sweeping", "Upkeep", "Post"}


def test_holidays_leave_weeks_without_work(demo: Written) -> None:
    starts = [interval.start_us for interval in demo.intervals()]
    longest = max(after - before for before, after in pairwise(starts))
    assert 10 < longest / 86_400e6 < 30


def test_a_broken_rule_was_noted(demo: Written) -> None:
    assert any(demo.floor.all(RuleBroken))


def test_finished_knives_are_numbered_each_by_its_own(demo: Written) -> None:
    numbers = [piece.number for piece in demo.floor.all(Piece) if piece.number]
    assert len(numbers) > 100
    assert len(set(numbers)) == len(numbers)


def test_most_closed_batches_leave_a_line_for_the_next_time(demo: Written) -> None:
    lines = [batch.next_time for batch in demo.closed() if batch.next_time]
    assert len(lines) >= len(demo.closed()) / 2


def _bevels(demo: Written, pattern: str, method: str) -> list[TrendRow]:
    rows = [row for batch in demo.closed() for row in trend_rows(demo.floor, batch.id, demo.end_us)]
    stage = demo.floor.stage_by_name("Grind bevels")
    assert stage is not None
    fitting = [r for r in rows if r.stage_id == stage.id and demo.method(r.method_id) == method]
    named = [r for r in fitting if demo.floor.get(Pattern, r.pattern_id).name == pattern]
    return sorted(named, key=lambda row: row.first_us)


@pytest.mark.parametrize("pattern", ["Paring 95", "Cook's 180"])
def test_both_methods_of_bevelling_can_be_compared(demo: Written, pattern: str) -> None:
    for method in ("freehand", "jig"):
        assert len(_bevels(demo, pattern, method)) >= 3, method


def test_freehand_gets_quicker_and_passes_the_jig_which_stays_as_it_is(demo: Written) -> None:
    free = [row.per_piece_min for row in _bevels(demo, "Paring 95", "freehand")]
    jig = [row.per_piece_min for row in _bevels(demo, "Paring 95", "jig")]
    assert free[0] > max(jig)
    assert mean(free[-2:]) < 0.7 * free[0]
    assert mean(free[-2:]) < min(jig)
    assert max(jig) < 1.35 * min(jig)


def test_the_first_autumn_is_mostly_jig_and_the_last_spring_mostly_freehand(demo: Written) -> None:
    rows = sorted(
        (row for p in ("Paring 95", "Cook's 180") for m in ("freehand", "jig") for row in _bevels(demo, p, m)),
        key=lambda row: row.first_us,
    )
    methods = [demo.method(row.method_id) for row in rows]
    half = len(methods) // 2
    assert methods[:half].count("jig") > methods[:half].count("freehand")
    assert methods[half:].count("freehand") > methods[half:].count("jig")
