"""The pace line: minutes so far against about as many as it takes, never a verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.bench.presenter import BenchPresenter
from shopclock.screens.bench.state import Verb
from shopclock.screens.bench.texts import usual_text
from shopclock.shop.figures.trend_rows import TrendRow, Usual, usual

if TYPE_CHECKING:
    from tests.screens.bench.workshop import Workshop


def row(shop: Workshop, minutes: float, n: int) -> TrendRow:
    """An earlier batch of seven that was bevelled freehand."""
    step = shop.step("Grind bevels")
    method = next(p.key.number for p in shop.state.plate.picks if p.checked)
    run_us = round(minutes * 7 * 60e6)
    return TrendRow(
        batch_id=-n, pattern_id=1, stage_id=step.stage_id, method_id=method, mixed=False, complete=True, pieces=7,
        run_us=run_us, setup_us=0, rework_us=0, estimated_us=0, shared_us=0, first_us=n, middle_us=n,
    )  # fmt: skip


def with_rows(shop: Workshop, minutes: list[float]) -> None:
    """Let the Bench know of earlier batches."""
    rows = [row(shop, each, n + 1) for n, each in enumerate(minutes)]
    shop.bench = BenchPresenter(shop.record, shop.dialogs, lambda *key: usual(rows, *key), shop.went.append)
    shop.record.floor.forget()


def test_without_earlier_batches_the_route_says_about_how_long(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Grind bevels")
    shop.clock.go(72)
    plate = shop.state.plate
    assert plate.line == "72 of about 112 min in this batch  ·  about 16 a blade"
    assert plate.share == pytest.approx(72 / 112)


def test_under_four_batches_it_is_the_last(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Grind bevels")
    with_rows(shop, [18.0, 14.6])
    shop.clock.go(51.1)
    assert shop.state.plate.line == "51 of about 102 min in this batch  ·  last 14.6 a blade"


def test_from_four_batches_it_is_the_usual_range(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Grind bevels")
    with_rows(shop, [14.0, 15.0, 16.0, 17.0, 18.0])
    shop.clock.go(20)
    assert shop.state.plate.line == "20 of about 112 min in this batch  ·  usual 15.0 to 17.0 a blade"


def test_one_by_one_from_the_second_piece_done_it_is_minutes_per_piece_done(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Grind bevels")
    with_rows(shop, [14.0, 15.0, 16.0, 17.0, 18.0])
    shop.press(Verb.DONE, 15)
    assert "so far" not in shop.state.plate.line
    shop.press(Verb.DONE, 19)
    shop.clock.go(4)
    assert shop.state.plate.line == "17.0 a blade so far  ·  usual 15.0 to 17.0"


def test_a_lost_piece_no_longer_counts_among_those_to_come(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Finish grind")
    before = shop.state.plate.line
    shop.press(Verb.NOT_RIGHT, 0, ("E", "lost", "warped"))
    assert shop.state.plate.line != before


@pytest.mark.parametrize(
    ("usual", "route_us", "text"),
    [
        (Usual(5, 15.0, 15.2, 17.0, 19.6), None, "usual 15.2 to 19.6"),
        (Usual(5, 30.0, 29.2, 30.0, 37.4), None, "usual 29 to 37"),
        (Usual(2, 14.6, None, None, None), None, "last 14.6"),
        (None, 9 * 60_000_000, "about 9"),
        (None, None, ""),
    ],
)
def test_what_is_usual_is_said_shortly(usual: Usual | None, route_us: int | None, text: str) -> None:
    assert usual_text(usual, route_us) == text


def test_what_was_stopped_says_by_which_method_it_was(shop: Workshop) -> None:
    """While it runs the method is there to be pressed; a stage with one method alone says none."""
    shop.batch("Paring 95", 7)
    shop.start("Grind bevels")
    with_rows(shop, [14.0, 15.0, 16.0, 17.0, 18.0])
    shop.clock.go(20)
    [method] = [button.title for button in shop.state.plate.picks if button.checked]
    assert method not in shop.state.plate.line
    stopped = shop.press(Verb.STOP).plate
    assert stopped.line.startswith(f"{method}  ·  20 of about 112 min in this batch")
    assert stopped.picks == ()
    shop.start("Check and pack")
    shop.clock.go(3)
    assert shop.state.plate.picks == ()
    assert shop.press(Verb.STOP).plate.line.startswith("3 of about ")
