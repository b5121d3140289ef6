"""Hundreds of batches: each is found in a few presses; the open ones say what is to come."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from shopclock.analysis.plan.to_come import hours_to_come
from shopclock.screens.batches.closed import MANY
from shopclock.screens.long_work.background import AtOnce
from shopclock.shop.planning import orders
from shopclock.shop.values.entities import Pattern
from tests.screens.batches.reading import press, tile, titles
from tests.screens.batches.story import DAY_MIN

if TYPE_CHECKING:
    from shopclock.screens.batches.presenter import BatchesPresenter
    from shopclock.shop.values.entities import Batch
    from tests.screens.batches.story import Shop


def three_years(shop: Shop) -> list[Batch]:
    """Nine batches a year of each of two patterns, and one open."""
    paring, oyster = shop.pattern("Paring 95"), shop.pattern("Oyster")
    made = []
    for number in range(18 * 3):
        batch = shop.batch((paring, oyster)[number % 2], 2)
        shop.clock.go(20 * DAY_MIN)
        shop.close(batch)
        made.append(batch)
    shop.batch(oyster, 3)
    return made


def test_a_batch_of_years_ago_is_four_presses_away(shop: Shop, presenter: BatchesPresenter) -> None:
    """However many there are: its year, its pattern, itself."""
    made = three_years(shop)
    assert len(titles(presenter)) == 1 + MANY, "the open one, and those closed last"
    assert [action.title for action in presenter.state().actions] == [
        "New batch",
        "By year",
        "By pattern",
        "A spreadsheet",
    ]
    press(presenter, "By year")
    years = titles(presenter)
    assert years == sorted(years, reverse=True)
    assert sum(int(tile(presenter, year).detail.split()[0]) for year in years) == len(made)
    press(presenter, years[1], "By pattern", "Oyster")
    state = presenter.state()
    assert state.title == f"{len(state.tiles)} batches of Oyster in {years[1]}"
    assert len(state.tiles) <= MANY
    assert {title.split(" ", 1)[1] for title in titles(presenter)} == {"Oyster"}
    press(presenter, titles(presenter)[-1])
    assert presenter.state().title.endswith(" Oyster")


def test_each_batch_is_reached_by_its_year_and_by_its_pattern(shop: Shop, presenter: BatchesPresenter) -> None:
    made = {batch.id for batch in three_years(shop)}
    for way in ("By year", "By pattern"):
        found = set()
        press(presenter, way)
        for title in titles(presenter):
            press(presenter, title)
            found |= {int(str(button.key).split()[1]) for button in presenter.state().tiles}
            presenter.back()
        presenter.back()
        assert found == made


def test_few_stand_in_one_list(shop: Shop, presenter: BatchesPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    for _ in range(MANY):
        shop.close(shop.batch(pattern, 2))
    assert len(titles(presenter)) == MANY
    assert [action.title for action in presenter.state().actions] == ["New batch", "A spreadsheet"]


def test_many_of_one_pattern_in_one_year_have_no_ways_and_lose_none(shop: Shop, presenter: BatchesPresenter) -> None:
    pattern = shop.pattern("Paring 95")
    for _ in range(MANY + 3):
        shop.close(shop.batch(pattern, 2))
    assert len(titles(presenter)) == MANY + 3
    assert [action.title for action in presenter.state().actions] == ["New batch", "A spreadsheet"]


def test_an_undo_leaves_the_list_of_what_is_no_longer_closed(shop: Shop, presenter: BatchesPresenter) -> None:
    paring, oyster = shop.pattern("Paring 95"), shop.pattern("Oyster")
    for _ in range(MANY):
        shop.close(shop.batch(paring, 2))
    shop.close(shop.batch(oyster, 2), skipped=False)
    press(presenter, "By pattern", "Oyster")
    assert presenter.state().title == "1 batch of Oyster"
    shop.record.undo()
    assert presenter.state().title.endswith("which pattern?")


def test_an_open_one_says_its_hours_to_come_and_its_promise(
    shop: Shop, presenter: BatchesPresenter, batch: Batch
) -> None:
    shown = tile(presenter, f"{batch.name} Paring 95")
    assert (shown.note, shown.role) == ("– h to come", "plate"), "the room is kept until it is worked out"
    pattern = shop.floor.get(Pattern, batch.pattern_id)
    made, _ = shop.record.press(
        "order",
        lambda tx: orders.take_order(
            tx, who="Brook, by the mill", pattern=pattern, wanted=1, promised=date(2026, 10, 20)
        ),
    )
    piece = shop.floor.pieces(batch.id)[0]
    shop.record.press("tie", lambda tx: orders.tie(tx, order=made, piece=piece))
    presenter.reckon_by(AtOnce())
    presenter.changed()
    presenter.state()
    told = hours_to_come(str(shop.record.path), shop.record.instant())[batch.id]
    assert 0 < told.low < told.high
    note = tile(presenter, f"{batch.name} Paring 95").note
    assert note.endswith(" h to come · Brook by Tue 20 Oct")
    assert note.startswith(f"{told.low:.0f} to {told.high:.0f} h")
