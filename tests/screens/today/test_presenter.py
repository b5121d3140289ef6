"""Today without a window: what it says, and what its presses do."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.screens.bench.state import Verb
from shopclock.screens.start.opening import first_screen
from shopclock.screens.today.presenter import ALL_THROUGH, NO_BATCH, NO_ROUTE, TodayPresenter
from shopclock.screens.today.state import TodayVerb
from shopclock.shop.setup.patterns import copy_route
from shopclock.shop.setup.week import add_hours
from shopclock.shop.values.entities import Interval, Step
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Kind, StepState
from shopclock.shop.work import begin, finish
from shopclock.views.button import Press
from tests.screens.today import stories
from tests.shop.starters import starters
from tests.shop.workshop import MINUTE_US

if TYPE_CHECKING:
    from shopclock.screens.today.state import TodayState
    from shopclock.views.button import Button
    from tests.screens.bench.workshop import Workshop


class Gone:
    """Where the presenter asked to go."""

    def __init__(self) -> None:
        self.to: list[tuple[str, int | None]] = []

    def __call__(self, tab: str, batch_id: int | None = None, /) -> None:
        self.to.append((tab, batch_id))


class Visit:
    """Today in a workshop."""

    def __init__(self, shop: Workshop) -> None:
        self.shop, self.gone = shop, Gone()
        record = shop.record
        self.presenter = TodayPresenter(
            record, shop.dialogs, lambda: record.reads.stage_rows(record.instant()), shop.bench.begin, self.gone
        )

    @property
    def state(self) -> TodayState:
        return self.presenter.state(self.shop.record.instant())

    def press(self, press: Press | TodayVerb) -> None:
        press = press if isinstance(press, Press) else Press(press)
        self.presenter.press(press, self.shop.clock.moment())

    def tiles(self) -> dict[str, Button]:
        return {tile.title: tile for section in self.state.ready for tile in section.tiles}

    @property
    def runs(self) -> Interval:
        (found,) = [i for i in self.shop.running if i.step_id is not None]
        return found


@pytest.fixture
def visit(shop: Workshop) -> Visit:
    return Visit(shop)


def test_the_times_are_chosen_by_one_press_and_changed_by_ten_minutes(visit: Visit) -> None:
    assert [tile.title for tile in visit.state.times] == [
        *("20 min", "40 min", "60 min", "90 min", "half a day"),
        *("\N{MINUS SIGN}", "+"),
    ]
    assert [tile.title for tile in visit.state.times if tile.checked] == ["40 min"]
    visit.press(TodayVerb.MORE)
    assert visit.state.have == "I have 50 min"
    assert not any(tile.checked for tile in visit.state.times)
    visit.press(TodayVerb.MORE)
    assert visit.state.have == "I have"
    assert [tile.title for tile in visit.state.times if tile.checked] == ["60 min"]
    visit.press(Press(TodayVerb.HAVE, 240))
    visit.press(TodayVerb.LESS)
    assert visit.state.have == "I have 3 h 50"


def test_less_than_ten_minutes_can_not_be_had(visit: Visit) -> None:
    for _ in range(9):
        visit.press(TodayVerb.LESS)
    assert visit.state.have == "I have 10 min"


def test_an_empty_shop_says_in_a_sentence_where_to_begin(visit: Visit) -> None:
    assert visit.state.ready[0].heading == NO_ROUTE
    assert visit.state.way is not None
    visit.press(visit.state.way.key)
    route = next(iter(starters()))
    visit.shop.record.press("Route", lambda tx: copy_route(tx, route, "Paring 95"))
    assert visit.state.ready[0].heading == NO_BATCH
    visit.press(visit.state.way.key)
    assert visit.gone.to == [("copy", None), ("batches", None)]


def test_a_new_shop_is_offered_its_name_the_ruler_and_old_notes_until_it_has_a_route(visit: Visit) -> None:
    for key in [button.key for button in visit.state.offered]:
        visit.press(key)
    assert visit.gone.to == [("the shop", None), ("look and sizes", None), ("old notes", None)]
    route = next(iter(starters()))
    visit.shop.record.press("Route", lambda tx: copy_route(tx, route, "Paring 95"))
    assert visit.state.offered == ()


def test_an_open_batch_with_nothing_left_to_do_shows_the_way_to_batches(visit: Visit) -> None:
    batch = visit.shop.batch("Paring 95", 3)
    for step in visit.shop.record.floor.steps(batch.id):
        visit.shop.record.press("Skip", lambda tx, s=step: tx.change(replace(tx.current(s), state=StepState.SKIPPED)))
    assert visit.state.ready[0].heading == ALL_THROUGH
    assert visit.state.way is not None
    assert visit.state.way.verb == TodayVerb.TO_BATCHES


def test_from_the_cold_one_sees_what_to_do_first(visit: Visit) -> None:
    stories.cold(visit.shop)
    state = visit.state
    (band,) = state.bands
    assert band.title == "A–D: Temper 1 by 20:00"
    assert band.detail == "26-01  Cook's 180  ·  Harden 19:00  ·  1 min left  ·  oven has room for 5 blades"
    assert state.ready[0].heading == "Ready, and fits in 40 minutes"
    assert state.cooking is not None
    assert [tile.note for tile in state.cooking.tiles] == ["until tomorrow 18:54"]
    visit.shop.clock.go(5)
    assert visit.state.bands[0].title == "A–D: Temper 1 was due 20:00"
    assert "4 min over" in visit.state.bands[0].detail


def test_the_bands_button_starts_what_it_needs_at_the_bench(visit: Visit) -> None:
    stories.cold(visit.shop)
    visit.press(visit.state.bands[0].button.key)
    batch = visit.shop.record.floor.open_batches()[0]
    temper = max(visit.shop.running, key=lambda i: i.id)
    assert (temper.kind, temper.batch_id, len(temper.pieces)) == (Kind.WAIT, batch.id, 4)
    assert visit.gone.to == [("bench", batch.id)]
    assert visit.state.bands == ()


def test_too_late_it_is_started_all_the_same_and_said(visit: Visit) -> None:
    stories.cold(visit.shop)
    visit.shop.clock.go(30)
    visit.press(visit.state.bands[0].button.key)
    assert visit.shop.state.plate.line == "A–D: Temper 1 came too late after Harden."
    assert visit.gone.to[-1][0] == "bench"


def test_a_tile_starts_its_step_with_the_pieces_it_was_offered_for(visit: Visit) -> None:
    stories.fresh(visit.shop)
    tile = visit.tiles()["Saw out"]
    assert tile.detail == "26-01  Paring 95  ·  3 of 7 blades"
    assert tile.figure == "about 32 min"
    assert tile.fraction == pytest.approx(32 / 40)
    visit.press(tile.key)
    floor = visit.shop.record.floor
    assert floor.get(Step, visit.runs.step_id or 0).name == "Saw out"
    assert len(visit.runs.pieces) == 7
    assert visit.gone.to == [("bench", visit.runs.batch_id)]
    assert "Saw out" not in visit.tiles()


def test_a_tile_that_has_gone_meanwhile_does_nothing(visit: Visit) -> None:
    stories.fresh(visit.shop)
    key = visit.tiles()["Saw out"].key
    visit.press(key)
    before = visit.shop.running
    visit.press(key)
    assert visit.shop.running == before
    assert len(visit.gone.to) == 1


def test_what_does_not_fit_can_be_taken_up_again(visit: Visit) -> None:
    stories.fresh(visit.shop)
    visit.press(Press(TodayVerb.HAVE, 20))
    tile = visit.tiles()["Saw scales"]
    assert tile.detail.endswith("2 of 7 blades in 20 min  ·  can be taken up again")
    assert (tile.figure, tile.figure_role) == ("about 55 min", "straw")


def test_the_shops_own_minutes_are_said_without_about(visit: Visit) -> None:
    batch = visit.shop.batch("Paring 95", 3)
    visit.shop.start("Saw scales", batch)
    visit.shop.press(Verb.NEXT, 21)
    visit.shop.press(Verb.STOP)
    other = visit.shop.batch("Paring 95", 2)
    visit.press(Press(TodayVerb.HAVE, 60))
    found = [t for s in visit.state.ready for t in s.tiles if t.title == "Saw scales" and other.name in t.detail]
    assert [tile.figure for tile in found] == ["20 min"]
    assert found[0].detail.endswith("last 7.0 a blade")


def test_what_cooks_leads_to_its_batch(visit: Visit) -> None:
    stories.cures(visit.shop)
    assert visit.state.ready[0].heading == "Nothing else is ready."
    assert visit.state.cooking is not None
    visit.press(visit.state.cooking.tiles[1].key)
    assert visit.gone.to == [("bench", visit.shop.record.floor.open_batches()[1].id)]


def test_a_wait_that_is_over_says_since_when(visit: Visit) -> None:
    stories.cures(visit.shop)
    visit.shop.clock.go(24 * 60)
    assert visit.state.cooking is not None
    assert visit.state.cooking.tiles[0].note == "ended 1 h 20 ago"
    assert visit.state.cooking.tiles[0].note_role == "green"
    assert "Shape handle" in visit.tiles()


def test_what_was_sent_out_is_due_back_and_never_ready_by_itself(visit: Visit) -> None:
    batch = visit.shop.batch("Paring 95", 3)
    harden, days = visit.shop.step("Harden", batch), 2 * 24 * 60
    visit.shop.record.press(
        "Sent out",
        lambda tx: tx.change(replace(tx.current(harden), kind=Kind.AWAY, wait_us=days * MINUTE_US, tool_id=None)),
    )
    visit.shop.start("Harden", batch)
    notes = []
    for minutes in (60, days):
        visit.shop.clock.go(minutes)
        assert visit.state.cooking is not None
        (tile,) = visit.state.cooking.tiles
        notes.append((tile.note, tile.note_role))
    assert notes == [("back about Sat 28 Nov", "straw"), ("due back since Sat 28 Nov", "straw")]
    visit.shop.clock.go(1)
    assert visit.shop.state.top[0].detail == "Harden due back since 16:54"


def test_rows_that_can_not_be_read_are_told_and_the_routes_minutes_stand(visit: Visit) -> None:
    stories.fresh(visit.shop)

    def broken() -> list[None]:
        raise ShopError("The disk is gone. Nothing was changed.")

    presenter = TodayPresenter(visit.shop.record, visit.shop.dialogs, broken, visit.shop.bench.begin, visit.gone)  # type: ignore[arg-type]  # it never returns
    state = presenter.state(visit.shop.record.instant())
    assert visit.shop.asked() == "The disk is gone. Nothing was changed."
    assert state.ready[0].tiles


def test_the_program_opens_here_unless_somebody_is_needed_at_the_bench(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    assert first_screen(shop.record.floor) == "today"
    shop.start("Temper 1", batch)
    assert first_screen(shop.record.floor) == "today"
    shop.start("Saw scales", batch)
    assert first_screen(shop.record.floor) == "bench"
    shop.record.press("Stop", begin.stop)
    (temper,) = shop.running
    shop.record.press("Out", lambda tx: finish.out(tx, temper))
    shop.start("Harden", shop.batch("Oyster", 2))
    assert first_screen(shop.record.floor) == "bench"


def test_only_the_sessions_before_this_day_say_what_is_taken_off(visit: Visit) -> None:
    batch = visit.shop.batch("Paring 95", 3)
    step = visit.shop.step("Saw scales", batch)
    for _ in range(4):
        for minutes in (3, 3):
            visit.shop.record.press("Start", lambda tx: begin.begin(tx, step))
            visit.shop.clock.go(minutes)
            visit.shop.record.press("Stop", begin.stop)
            visit.shop.clock.go(2)
        visit.shop.clock.go(24 * 60 - 10)
    visit.press(Press(TodayVerb.HAVE, 90))
    now_us = visit.shop.record.instant()
    spent_min, each_min, setup_min = 24, 7, 6
    assert visit.presenter.state(now_us).ready
    whole = max(each_min + setup_min, setup_min + 3 * each_min - spent_min) / (6 / 8)
    assert visit.tiles()["Saw scales"].figure == f"about {-(-whole // 1):.0f} min"


def test_weeks_without_a_timed_minute_are_asked_about_by_one_press_that_undo_takes_back(visit: Visit) -> None:
    shop = visit.shop
    shop.batch("Paring 95", 3)
    shop.record.press("Hours", lambda tx: add_hours(tx, 1, 19 * 60, 21 * 60))
    assert visit.state.quiet is None
    shop.clock.go(3 * 7 * 1440)
    asked = visit.state.quiet
    assert asked is not None
    assert asked.question.endswith(": nothing was timed. Did you work?")
    assert [answer.title for answer in asked.answers] == ["Yes, not timed", "No", "Days off"]
    for answer in asked.answers:
        visit.press(answer.key)
        assert visit.state.quiet is None
        assert shop.record.next_undo is not None
        assert shop.record.next_undo.what.endswith(answer.title)
        shop.record.undo()
        assert visit.state.quiet == asked


def test_a_week_with_work_is_not_asked_about(visit: Visit) -> None:
    shop = visit.shop
    shop.batch("Paring 95", 3)
    shop.record.press("Hours", lambda tx: add_hours(tx, 1, 19 * 60, 21 * 60))
    for _ in range(3):
        shop.clock.go(7 * 1440)
        shop.start(next(s for s in shop.record.floor.steps(shop.record.floor.open_batches()[0].id)).name)
        shop.clock.go(30)
        shop.record.press("Stop", begin.stop)
    assert visit.state.quiet is None


def test_undo_is_named_in_full_away_from_the_bench_as_far_as_its_button_has_room(visit: Visit) -> None:
    shop = visit.shop
    batch = shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.STOP, 7)
    assert visit.state.undo == f"Stop, Saw out {batch.name}, 17:01"
    shop.clock.go(26 * 60)
    assert visit.state.undo == f"Stop, {batch.name}, yesterday 17:01"
    shop.start("Check and pack")
    assert visit.state.undo == "Start Check and pack, 19:01"
    shop.press(Verb.NEXT, 5)
    assert visit.state.undo == "Check and pack through, 19:06"
