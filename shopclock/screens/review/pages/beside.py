"""Choosing a batch to review, and two of a pattern side by side."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.closed import MANY, Among, jumps
from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.described import PageAbout
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.review.sentences import answer, beside_text, common
from shopclock.shop.state.wording import day_text, shop_time, word, zone_of
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.views.page import Body, ChartView, PageContent, item
from shopclock.views.review_pictures import beside

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.review.reviewing import Reviewing
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.page import Action


def every_batch_page(stack: Reviewing) -> PageContent:
    """The newest batches first, the others by year and by pattern; a press reviews one."""
    now = stack.batch_id()

    def one(batch: Batch) -> Action:
        return _batch(stack.floor, batch, partial(stack.choose, batch.id), checked=batch.id == now)

    among = Among(_newest_first, one, Body.TILES)
    found = _newest_first(stack.floor)
    return PageContent(
        f"Which {word(stack.floor, 'batch').one}?",
        tiles=[one(batch) for batch in (found[:MANY] if jumps(stack, among) else found)],
        actions=jumps(stack, among),
    )


def _newest_first(floor: ShopFloor) -> list[Batch]:
    return sorted(floor.all(Batch), key=lambda batch: (-batch.started_us, -batch.id))


def _batch(floor: ShopFloor, batch: Batch, press: Callable[[], object], *, checked: bool = False) -> Action:
    """A batch with when it was closed: closed Thu 26 Nov 2026; or open."""
    said = "open"
    if batch.closed_us is not None:
        day = shop_time(batch.closed_us, zone_of(floor)).date()
        said = f"closed {day_text(day)} {day.year}"
    return item(f"batch {batch.id}", batch_title(floor, batch), press, said, checked=checked)


def same_pattern_page(stack: Reviewing, batch: Batch) -> PageContent:
    """The other batches of the same pattern; a press puts one beside this."""
    pattern, name = stack.floor.get(Pattern, batch.pattern_id), word(stack.floor, "batch").one

    def find(floor: ShopFloor) -> list[Batch]:
        same = (other for other in _newest_first(floor) if other.pattern_id == pattern.id)
        return [other for other in same if other.id != batch.id]

    def tile(one: Batch) -> Action:
        return _batch(stack.floor, one, partial(PageAbout, stack, batch, partial(beside_page, other_id=one.id)))

    others, among = find(stack.floor), Among(find, tile, Body.TILES)
    title = f"{batch.name} is the only {name} of {pattern.name}; there is none to put beside it."
    if others:
        title = f"{batch.name} beside which {name} of {pattern.name}?"
    shown = others[:MANY] if jumps(stack, among) else others
    return PageContent(title, tiles=[tile(one) for one in shown], actions=jumps(stack, among))


def beside_page(stack: Reviewing, batch: Batch, other_id: int) -> PageContent | None:
    """Two batches stage by stage, the one above the other; nothing once an Undo took the other away."""
    if stack.floor.find(Batch, other_id) is None:
        return None
    one, other = reviewed(stack, batch.id), reviewed(stack, other_id)
    chart = ChartView(beside(stack.floor, one, other)) if common(one, other) else None
    lines = [f"{found.figures.batch.name}: {answer(stack.floor, found.figures)}" for found in (one, other)]
    return PageContent(beside_text(stack.floor, one, other), lines, body=Body.CHART, chart=chart)
