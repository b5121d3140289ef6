"""One batch: its pieces, and the ways to its steps and its close."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.amend.pages.day import DayPage
from shopclock.screens.batches.pages.closing import ClosePage
from shopclock.screens.batches.pages.piece import piece_page
from shopclock.screens.batches.pages.steps import steps_page
from shopclock.screens.batches.where import age_text, batch_title, outcome_words, route_look, stands_at
from shopclock.screens.paged.described import PageAbout
from shopclock.screens.readings.noting import ask_note
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.state.wording import counted, length_text, minutes_text, word
from shopclock.shop.values.entities import Batch, Interval
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work.pieces import add_piece
from shopclock.views.page import Body, Page, PageContent, TextLine, action, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Piece
    from shopclock.views.page import Action


def open_batch(stack: PagedPresenter, batch: Batch) -> Page:
    """The page of a batch, which is whole on the floor then."""
    stack.record.load_batch(batch.id)
    return PageAbout(stack, batch, batch_page)


def batch_page(stack: PagedPresenter, batch: Batch) -> PageContent:
    """The pieces of a batch, with where each stands or how it ended; its card for the wall while it is open."""
    floor, now_us, is_open = stack.floor, stack.record.instant(), batch.closed_us is None
    said = [TextLine(_so_far(floor, batch, now_us) if is_open else _came_of_it(floor, batch, now_us), "text")]
    if batch.next_time:
        said.append(TextLine(f"Next time: {batch.next_time}", "straw"))
    tiles = [_piece(stack, piece) for piece in floor.pieces(batch.id)]
    actions = [
        item("review", "Review", lambda: stack.go("review", batch.id)),
        item("steps", "Steps", partial(PageAbout, stack, batch, steps_page)),
        item("amend", "Amend times", lambda: last_day(stack, batch)),
    ]
    if is_open:
        name = word(floor, "piece").one

        def add(moment: Moment | None) -> None:
            stack.do(f"Added {name}", lambda tx: add_piece(tx, batch), moment)

        tiles.append(item("card", "Card", lambda: _card(stack, batch), "for the wall", role="raised"))
        actions = [
            item("bench", "To the bench", lambda: stack.go("bench", batch.id), role="primary"),
            action("add", f"One more {name}", add),
            *actions,
            item("close", "Close", partial(ClosePage, stack, batch.id)),
        ]
    tiles.append(item("note", "Note", partial(ask_note, floor, stack.do, batch, batch.name), role="raised"))
    outline = route_look(floor, batch) if is_open else None
    return PageContent(batch_title(floor, batch), said, tiles, actions, Body.PIECES, outline)


def _so_far(floor: ShopFloor, batch: Batch, now_us: int) -> str:
    took = figures(floor, batch.id, now_us).whole.all_us
    living, begun = len(floor.living(batch.id)), len(floor.pieces(batch.id))
    counts = counted(floor, "piece", begun) if living == begun else f"{living} of {counted(floor, 'piece', begun)}"
    return f"{counts}, {length_text(took)} {age_text(batch, now_us)}."


def _came_of_it(floor: ShopFloor, batch: Batch, now_us: int) -> str:
    told = figures(floor, batch.id, now_us)
    finished = f"{told.finished} of {told.started} {word(floor, 'finished').many}"
    seconds = f", {told.seconds} of them second" if told.seconds else ""
    per = told.whole.per_finished_min
    if per is None:
        return f"{finished}; {length_text(told.whole.all_us)} went into it."
    least = "at least " if told.at_least else ""
    return f"{finished}{seconds}; {least}{minutes_text(per)} min each."


def _piece(stack: PagedPresenter, piece: Piece) -> Action:
    return item(
        f"piece {piece.id}",
        f"{piece.mark}  {piece.number}" if piece.number else piece.mark,
        partial(PageAbout, stack, piece, piece_page),
        _detail(stack.floor, piece),
        role="plate" if piece.living else "raised",
    )


def _detail(floor: ShopFloor, piece: Piece) -> str:
    if piece.outcome is Outcome.SCRAPPED and piece.reason:
        return f"lost, {piece.reason}"
    if piece.outcome is not None:
        return outcome_words(floor)[piece.outcome]
    if piece.set_aside:
        return "set aside"
    step = stands_at(floor, piece)
    place = step.name if step is not None else "through"
    return f"second, {place}" if piece.second else place


def last_day(stack: PagedPresenter, batch: Batch) -> Page:
    """The last day on which this batch was worked on."""
    starts = [interval.start_us for interval in stack.floor.of_batch(Interval, batch.id)]
    return DayPage(stack, max(starts, default=None), batch.id)


def _card(stack: PagedPresenter, batch: Batch) -> None:
    """Put the card for the wall on paper, as the batch stands now."""
    from shopclock.exchange.paper.card import card_pages
    from shopclock.exchange.paper.card_facts import card_facts

    card = card_facts(stack.record, batch.id, stack.record.instant())
    stack.paper.put(f"Card {batch.name}", lambda size: card_pages(card, size))
