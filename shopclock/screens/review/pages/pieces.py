"""The pieces of a batch: a dot each where they were marked one by one, what was lost, what was right first time."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.learning.first_time import all_through, first_time
from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.described import PageAbout
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.review.review import losses, right_first_time, spreads
from shopclock.shop.review.sentences import counts_text, longest_text, losses_text, right_first_text, stands_out
from shopclock.shop.state.wording import minutes_text, word
from shopclock.shop.values.entities import Stage
from shopclock.views.page import Body, ChartView, PageContent, item
from shopclock.views.review_pictures import piece_dots

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.review.review import Spread
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Batch

NO_SPREAD = "None was marked one by one: there is no spread to show."


def pieces_page(stack: PagedPresenter, batch: Batch) -> PageContent:
    """A row of dots for each stage worked one by one; what was lost and what was right first time, a line each."""
    floor, now_us, told = stack.record.load_batch(batch.id), stack.record.instant(), reviewed(stack, batch.id).figures
    found, lost = spreads(floor, batch.id, now_us, least=1), losses(floor, batch.id, now_us)
    longest, counts = stands_out(found), f"{batch_title(floor, batch)}: {counts_text(floor, told)}"
    came = [one for one in first_time(floor, batch.id, now_us) if one.came]
    wrong = [(floor.get(Stage, one.stage_id).name, one.right, one.came) for one in came if one.right < one.came]
    share = all_through(one.share for one in came)
    right = right_first_text(floor, told, right_first_time(floor, batch.id, now_us), share, wrong)
    said = [f"{counts}. {losses_text(lost)}".strip(), *([right] if right else []), *([] if found else [NO_SPREAD])]
    return PageContent(
        longest_text(floor, longest) if longest is not None else f"{counts_text(floor, told)}.",
        said,
        actions=[
            item(
                "each",
                "Minutes each",
                partial(PageAbout, stack, batch, minutes_page),
                why_not="" if found else NO_SPREAD,
            )
        ],
        body=Body.CHART,
        chart=ChartView(piece_dots(floor, found, lost, longest)) if found else None,
    )


def minutes_page(stack: PagedPresenter, batch: Batch) -> PageContent:
    """Minutes of each piece at each stage worked one by one, as a table."""
    floor = stack.record.load_batch(batch.id)
    found = spreads(floor, batch.id, stack.record.instant(), least=1)
    title = f"Minutes of each {word(floor, 'piece').one}, {batch_title(floor, batch)}"
    return PageContent(title, body=Body.TEXT, text=_table(floor, batch, found) if found else NO_SPREAD)


def _table(floor: ShopFloor, batch: Batch, found: tuple[Spread, ...]) -> str:
    some = {mark for spread in found for mark, _ in spread.minutes}
    marked = [piece.mark for piece in floor.pieces(batch.id) if piece.mark in some]
    head = f"| {word(floor, 'stage').one.capitalize()} | {' | '.join(marked)} |"
    lines = [head, "|---" * (len(marked) + 1) + "|"]
    for spread in found:
        minutes = dict(spread.minutes)
        cells = " | ".join(minutes_text(minutes.get(mark)) for mark in marked)
        lines.append(f"| {floor.get(Stage, spread.stage_id).name.replace('|', '/')} | {cells} |")
    return "\n".join(lines)
