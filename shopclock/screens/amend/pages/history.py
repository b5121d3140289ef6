"""What was changed, press by press: when, what, before and after."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.shop.review.change_text import change_texts
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import when_text, zone_of
from shopclock.views.page import Body, Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.record.read.history import HistoryRow, OfBatch, OfTime
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

_HISTORY: Memo[tuple[OfBatch | OfTime, int | None], tuple[HistoryRow, ...]] = Memo()
SHOWN = 6
"""So many lines of one press stand on its page; the rest are counted."""


@dataclass(frozen=True, slots=True)
class About:
    """What a history is of: its title, how it is read, and what the button to it says."""

    title: str
    of: OfBatch | OfTime
    button: str = ""


class HistoryPage(Page):
    """The presses that changed one batch or one day, the newest first, a page at a time."""

    body = Body.ROUTES

    def __init__(
        self, stack: PagedPresenter, about: About, other: About | None = None, before_press: int | None = None
    ) -> None:
        self._stack = stack
        self._about = about
        self._other = other
        self._before = before_press

    def title(self) -> str:
        """What the history is of."""
        return self._about.title

    def lines(self) -> Sequence[TextLine]:
        """What to say where there is nothing."""
        return () if self._read() else (TextLine("Nothing was changed."),)

    def offers(self) -> Sequence[Action]:
        """The presses."""
        return [self._row(row) for row in self._read()]

    def actions(self) -> Sequence[Action]:
        """What lies further back, and the history of the whole batch."""
        found, other = [], self._other
        if self._rows_before(self._last()):
            found.append(action("older", "Further back", calling(self._open_older)))
        if other is not None:
            found.append(
                action("other", other.button, calling(lambda: self._stack.open(HistoryPage(self._stack, other))))
            )
        return found

    def _last(self) -> int | None:
        """The last press of this page."""
        rows = self._read()
        return rows[-1].press_id if rows else None

    def _open_older(self) -> None:
        self._stack.open(HistoryPage(self._stack, self._about, before_press=self._last()))

    def _read(self) -> tuple[HistoryRow, ...]:
        return self._rows_before(self._before, first=True)

    def _rows_before(self, press_id: int | None, *, first: bool = False) -> tuple[HistoryRow, ...]:
        """Read a page once until the next press; nothing comes before no press, but on the first page."""
        if press_id is None and not first:
            return ()
        found, key = self._stack.floor.memo(_HISTORY), (self._about.of, press_id)
        if key not in found:
            found[key] = self._stack.record.reads.history(self._about.of, press_id)
        return found[key]

    def _row(self, row: HistoryRow) -> Action:
        lines = change_texts(self._stack.floor, row.changes)
        more = f" · and {len(lines) - 1} more" if len(lines) > 1 else ""
        when = when_text(row.at_us, self._stack.record.instant(), zone_of(self._stack.floor))
        return action(
            f"press {row.press_id}",
            f"{when}   {row.what}",
            calling(lambda: self._stack.open(PressPage(self._stack, row, f"{when}: {row.what}"))),
            detail=f"{lines[0].text}{more}" if lines else "",
            aside="taken back" if row.taken_back else "",
            note=row.reason,
            role="raised" if row.taken_back else "plate",
        )


class PressPage(Page):
    """One press: each thing that it changed, before and after."""

    def __init__(self, stack: PagedPresenter, row: HistoryRow, title: str) -> None:
        self._stack = stack
        self._row = row
        self._title = title

    def title(self) -> str:
        """When, and what it was called."""
        return self._title

    def lines(self) -> Sequence[TextLine]:
        """The changes, a line each."""
        lines = change_texts(self._stack.floor, self._row.changes)
        reason = [TextLine(f"Reason: {self._row.reason}", "straw")] if self._row.reason else []
        said = [*reason, *(TextLine(line.text, "text") for line in lines[:SHOWN])]
        if len(lines) > SHOWN:
            said.append(TextLine(f"and {len(lines) - SHOWN} more"))
        if self._row.taken_back:
            said.append(TextLine("It was taken back later.", "straw"))
        return said
