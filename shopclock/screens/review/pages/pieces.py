"""The pieces of a batch: what the lost ones cost, the spread of those marked one by one, those right first time."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.learning.first_time import all_through, first_time
from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.described import PageAbout
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.review.review import losses, right_first_time, spreads
from shopclock.shop.review.sentences import counts_text, loss_text, right_first_text
from shopclock.shop.state.wording import length_text, minutes_text, range_text, word
from shopclock.shop.values.entities import Stage
from shopclock.views.page import PageContent, action, item, void

if TYPE_CHECKING:
    from shopclock.analysis.learning.first_time import FirstTime
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.review.review import Loss, Spread
    from shopclock.shop.values.entities import Batch
    from shopclock.views.page import Action


def pieces_page(stack: PagedPresenter, batch: Batch) -> PageContent:
    """A tile for each piece that did not finish, then one for each stage worked one by one."""
    floor, now_us, told = stack.record.load_batch(batch.id), stack.record.instant(), reviewed(stack, batch.id).figures
    said = (batch_title(floor, batch), right_first_text(floor, told, right_first_time(floor, batch.id, now_us)))
    lines = [": ".join(part for part in said if part) + "."]
    tiles = [
        *(_loss(loss) for loss in losses(floor, batch.id, now_us)),
        *(_spread(stack, spread) for spread in spreads(floor, batch.id, now_us)),
    ]
    if not tiles:
        lines.append("None was lost, and none was marked one by one: there is no spread to show.")
    right = item("right", "Right first time", partial(PageAbout, stack, batch, right_first_page))
    return PageContent(f"{counts_text(floor, told)}.", lines, tiles, [right])


def _loss(loss: Loss) -> Action:
    reason = loss.reason or "no reason noted"
    return action(f"loss {loss.piece.id}", loss_text(loss), void, reason, figure=length_text(loss.us))


def _spread(stack: PagedPresenter, spread: Spread) -> Action:
    """Tile of the slowest and quickest at a stage; a press tells each piece's minutes."""
    (_, least), (slowest, most) = spread.shortest, spread.longest
    name = stack.floor.get(Stage, spread.stage_id).name
    each = ", ".join(f"{mark} {minutes_text(minutes)}" for mark, minutes in spread.minutes)
    return item(
        f"spread {spread.stage_id}",
        name,
        lambda: stack.dialogs.tell(f"{name}, minutes each: {each}."),
        f"{range_text(least, most)} min",
        note=f"middle {minutes_text(spread.middle_min)}, longest {slowest}",
        role="raised",
    )


def right_first_page(stack: PagedPresenter, batch: Batch) -> PageContent:
    """Of the pieces that came to each stage, those neither lost there nor worked anew because of it.

    A tile for each stage that pieces came to, those with something wrong first.
    """
    floor = stack.record.load_batch(batch.id)
    found = [one for one in first_time(floor, batch.id, stack.record.instant()) if one.came]
    share, stage = all_through(one.share for one in found), word(floor, "stage")
    title = f"No {word(floor, 'piece').one} has come through a {stage.one} yet."
    if share is not None:
        so_far = " so far" if batch.closed_us is None else ""
        title = f"{100 * share:.0f} % right first time all through{so_far}"
    how = f"The shares of all {stage.many} multiplied. Work done anew counts where it was caused."

    def tile(one: FirstTime) -> Action:
        wrong = one.right < one.came
        return action(
            f"right {one.stage_id}",
            floor.get(Stage, one.stage_id).name,
            void,
            f"{one.right} of {one.came} right first time",
            figure=f"{100 * one.right / one.came:.0f} %",
            role="plate" if wrong else "raised",
        )

    tiles = [tile(one) for one in sorted(found, key=lambda one: one.right == one.came)]
    return PageContent(title, [f"{batch_title(floor, batch)}: {how}"], tiles)
