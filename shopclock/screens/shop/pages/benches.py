"""Benches: which exchange with the shop's server, when each was last heard of, what waits; one sentence how it is."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Protocol

from shopclock.shop.state.wording import day_text, shop_time, zone_of
from shopclock.shop.values.entities import Bench
from shopclock.views.field import Text
from shopclock.views.page import Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.server.exchange import Standing
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MINUTE_US = 60_000_000
FIRST = "First bench"
"""The bench that was there before any other; nobody has to name it."""


class Exchanges(Protocol):
    """Parts of a window that know of its exchange with the server; `changed` is called when that is another."""

    standing: Standing
    changed: Callable[[], object]

    @property
    def waiting(self) -> int:
        """Number of own presses that the server has not got."""


class BenchesPage(Page):
    """A tile a bench; it tells, and nothing on it has to be pressed. This bench's own gives it another name."""

    def __init__(self, stack: PagedPresenter, exchanging: Exchanges) -> None:
        self._stack = stack
        self._exchanging = exchanging
        exchanging.changed = stack.changed

    def content(self) -> PageContent:
        """The sentence how it stands, and the benches."""
        exchanging = self._exchanging
        standing = exchanging.standing
        lines = [TextLine(told(standing, exchanging.waiting), "straw" if standing.sentence else "text")]
        return PageContent("Benches", lines, [self._bench(number) for number in range(len(standing.benches))])

    def _bench(self, place: int) -> Action:
        found, record = self._exchanging.standing.benches[place], self._stack.record
        here = found.bench_id == record.bench.id
        now_us = record.clock.moment().wall_us
        heard_us = round(found.heard.astimezone(UTC).timestamp() * 1e6)
        heard = "this bench" if here else f"heard {self._ago(heard_us, now_us)}"
        waits = f"{found.waiting} {'press waits' if found.waiting == 1 else 'presses wait'}" if found.waiting else ""
        known = record.floor.find(Bench, found.bench_id)
        name = (known.name if known is not None else found.name) or FIRST
        act = self._rename if here else lambda: None
        return item(str(found.bench_id), name, act, heard, note=waits, note_role="straw", enabled=here)

    def _rename(self) -> Asking[None]:
        bench = self._stack.floor.get(Bench, self._stack.record.bench.id)
        name = (yield from Text("Name of this bench", bench.name)).strip()
        if name:
            self._stack.do(f"Named {name}", lambda tx: tx.change(replace(tx.current(bench), name=name)))

    def _ago(self, heard_us: int, now_us: int) -> str:
        """Say how long ago something was heard; on another day, when."""
        ago_us = max(0, now_us - heard_us)
        if ago_us < MINUTE_US:
            return "just now"
        if ago_us < 60 * MINUTE_US:
            return f"{ago_us // MINUTE_US} min ago"
        at: datetime = shop_time(heard_us, zone_of(self._stack.floor))
        return f"{day_text(at.date())} {at:%H:%M}"


def told(standing: Standing, waiting: int) -> str:
    """Say in one sentence how a bench stands with the server."""
    if standing.sentence:
        waits = f" {waiting} {'press waits' if waiting == 1 else 'presses wait'} here." if waiting else ""
        return f"{standing.sentence}{waits if standing.away else ''}"
    if standing.to_take:
        return f"{standing.to_take} {'press comes' if standing.to_take == 1 else 'presses come'} from other benches."
    return "All benches that are reached have the same presses." if not waiting else "Sending."
