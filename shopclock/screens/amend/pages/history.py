"""Changes, press by press: when, what, before and after."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.review.change_text import change_texts
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import when_text, zone_of
from shopclock.views.page import Body, PageContent, TextLine, item

if TYPE_CHECKING:
    from shopclock.record.read.history import HistoryRow, OfBatch, OfTime
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

_HISTORY: Memo[tuple[OfBatch | OfTime, int | None], tuple[HistoryRow, ...]] = Memo()
SHOWN = 6
"""So many lines of one press stand on its page; the rest are counted."""


@dataclass(frozen=True, slots=True)
class About:
    """Subject of a history: its title, how it is read, and what the button to it says."""

    title: str
    of: OfBatch | OfTime
    button: str = ""


def history_page(
    stack: PagedPresenter, about: About, other: About | None = None, before_press: int | None = None
) -> PageContent:
    """The presses that changed one batch or one day, the newest first, a page at a time."""
    rows = _read(stack, about, before_press)
    last, actions = rows[-1].press_id if rows else None, []
    if last is not None and _read(stack, about, last):
        older = partial(history_page, about=about, before_press=last)
        actions.append(item("older", "Further back", partial(DescribedPage, stack, older)))
    if other is not None:
        whole = partial(history_page, about=other)
        actions.append(item("other", other.button, partial(DescribedPage, stack, whole)))
    said = [] if rows else ["Nothing was changed."]
    return PageContent(about.title, said, [_press(stack, row) for row in rows], actions, Body.ROUTES)


def _read(stack: PagedPresenter, about: About, before_press: int | None) -> tuple[HistoryRow, ...]:
    """Read a page once until the next press."""
    found, key = stack.floor.memo(_HISTORY), (about.of, before_press)
    if key not in found:
        found[key] = stack.record.reads.history(about.of, before_press)
    return found[key]


def _press(stack: PagedPresenter, row: HistoryRow) -> Action:
    lines = change_texts(stack.floor, row.changes)
    more = f" · and {len(lines) - 1} more" if len(lines) > 1 else ""
    when = when_text(row.at_us, stack.record.instant(), zone_of(stack.floor))
    whole = partial(press_page, row=row, title=f"{when}: {row.what}")
    return item(
        f"press {row.press_id}",
        f"{when}   {row.what}",
        partial(DescribedPage, stack, whole),
        f"{lines[0].text}{more}" if lines else "",
        aside="taken back" if row.taken_back else "",
        note=row.reason,
        role="raised" if row.taken_back else "plate",
    )


def press_page(stack: PagedPresenter, row: HistoryRow, title: str) -> PageContent:
    """One press: when, what it was called, and each thing that it changed, before and after."""
    lines = change_texts(stack.floor, row.changes)
    said = [TextLine(f"Reason: {row.reason}", "straw")] if row.reason else []
    said += [TextLine(line.text, "text") for line in lines[:SHOWN]]
    if len(lines) > SHOWN:
        said.append(TextLine(f"and {len(lines) - SHOWN} more"))
    if row.taken_back:
        said.append(TextLine("It was taken back later.", "straw"))
    return PageContent(title, said)
