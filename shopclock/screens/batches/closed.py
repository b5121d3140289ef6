"""Closed batches by year and by pattern: two presses to any of them, however many there are."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.state.wording import counted, shop_time, zone_of
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.views.page import Body, PageContent, item

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.page import Action

MANY = 12
"""So many batches stand in a list by themselves; of more there are ways by year and by pattern."""


@dataclass(frozen=True, slots=True)
class Among:
    """Some of the batches: how they are found, how each is shown, and what they have in common so far."""

    found: Callable[[ShopFloor], list[Batch]]
    tile: Callable[[Batch], Action]
    body: Body
    year: int | None = None
    pattern_id: int | None = None

    def batches(self, floor: ShopFloor) -> list[Batch]:
        """Batches that are meant, in the order in which they are found."""
        return [
            batch
            for batch in self.found(floor)
            if self.year in (None, year_of(floor, batch)) and self.pattern_id in (None, batch.pattern_id)
        ]

    def years(self, floor: ShopFloor) -> Counter[int]:
        """Return how many there are of each year."""
        return Counter(year_of(floor, batch) for batch in self.batches(floor))

    def patterns(self, floor: ShopFloor) -> Counter[int]:
        """Return how many there are of each pattern, by its number."""
        return Counter(batch.pattern_id for batch in self.batches(floor))


def year_of(floor: ShopFloor, batch: Batch) -> int:
    """Return the year of the shop in which a batch was closed, or begun as long as it is open."""
    return shop_time(batch.closed_us or batch.started_us, zone_of(floor)).year


def jumps(stack: PagedPresenter, among: Among) -> list[Action]:
    """Buttons to the years and the patterns, where there are more than stand in a list by themselves."""
    floor, found = stack.floor, []
    if len(among.batches(floor)) > MANY:
        if among.year is None and len(among.years(floor)) > 1:
            found.append(item("by year", "By year", partial(DescribedPage, stack, partial(_by_year, among=among))))
        if among.pattern_id is None and len(among.patterns(floor)) > 1:
            by_pattern = partial(DescribedPage, stack, partial(_by_pattern, among=among))
            found.append(item("by pattern", "By pattern", by_pattern))
    return found


def _by_year(stack: PagedPresenter, among: Among) -> PageContent:
    """A tile for each year, the newest first."""
    floor, found = stack.floor, among.years(stack.floor)
    tiles = [
        _jump(stack, f"year {year}", str(year), n, replace(among, year=year))
        for year, n in sorted(found.items(), reverse=True)
    ]
    return PageContent(f"{_all(floor, among)}: which year?", tiles=tiles, body=Body.PIECES)


def _by_pattern(stack: PagedPresenter, among: Among) -> PageContent:
    """A tile for each pattern, the one made most first."""
    floor, found = stack.floor, among.patterns(stack.floor)
    tiles = [
        _jump(stack, f"pattern {number}", floor.get(Pattern, number).name, n, replace(among, pattern_id=number))
        for number, n in found.most_common()
    ]
    return PageContent(f"{_all(floor, among)}: which pattern?", tiles=tiles, body=Body.PIECES)


def _jump(stack: PagedPresenter, key: str, title: str, n: int, among: Among) -> Action:
    page = partial(DescribedPage, stack, partial(among_page, among=among))
    return item(key, title, page, counted(stack.floor, "batch", n))


def among_page(stack: PagedPresenter, among: Among) -> PageContent | None:
    """The batches that are meant, and the ways to fewer of them; left once an Undo took the last one away."""
    floor = stack.floor
    found = among.batches(floor)
    if not found:
        return None
    return PageContent(
        _all(floor, among), tiles=[among.tile(batch) for batch in found], actions=jumps(stack, among), body=among.body
    )


def _all(floor: ShopFloor, among: Among) -> str:
    """Name them: 48 batches; 48 batches of 2025; 12 batches of Paring 95 in 2025."""
    said = counted(floor, "batch", len(among.batches(floor)))
    if among.pattern_id is not None:
        return f"{said} of {floor.get(Pattern, among.pattern_id).name}{f' in {among.year}' if among.year else ''}"
    return f"{said} of {among.year}" if among.year else said
