"""Benches: which exchange with the shop's server, when each was last heard of, what waits; one sentence how it is."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING, Protocol

from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.review.change_text import entry_name, sides
from shopclock.shop.setup.the_shop import FIRST_BENCH, name_bench
from shopclock.shop.state.wording import clock_time, day_text, shop_time, zone_of
from shopclock.shop.values.entities import Bench, Interval, Piece, Step
from shopclock.shop.values.errors import ShopError
from shopclock.views.field import Name
from shopclock.views.page import Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.joining.apart import ChangedApart
    from shopclock.record.server.exchange import Standing
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.review.change_text import SidesText
    from shopclock.shop.values.entities import Tally
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MINUTE_US = 60_000_000
LISTED_US = 14 * 24 * 60 * MINUTE_US
"""So long an entry that two benches changed apart is listed; the later holds all the while."""

ONLY_TOLD = "This only tells: amend it on its day."


class Exchanges(Protocol):
    """Parts of a window that know of its exchange with the server; `changed` is called when that is another."""

    standing: Standing
    changed: Callable[[], object]

    @property
    def waiting(self) -> int:
        """Number of own presses that the server has not got."""

    def look(self) -> None:
        """Have a server that is away tried again at once."""


class BenchesPage(Page):
    """A tile a bench; it tells, and nothing on it has to be pressed. This bench's own gives it another name."""

    def __init__(self, stack: PagedPresenter, exchanging: Exchanges) -> None:
        self._stack = stack
        self._exchanging = exchanging
        exchanging.changed = stack.changed
        exchanging.look()

    def content(self) -> PageContent:
        """The sentence how it stands, and the benches."""
        exchanging = self._exchanging
        standing = exchanging.standing
        lines = [TextLine(told(standing, exchanging.waiting), "straw" if standing.sentence else "text")]
        apart = self._changed_apart()
        if apart:
            lines.append(
                TextLine("Changed at two benches apart. The later holds until a press says which does.", "straw")
            )
        doubtful = self._stack.record.doubtful(self._stack.record.instant() - LISTED_US)
        if doubtful:
            lines.append(TextLine("Said at two benches, and can't be both. Take back or amend what isn't so.", "straw"))
        benches = [self._bench(number) for number in range(len(standing.benches))]
        return PageContent("Benches", lines, [*benches, *map(self._apart, apart), *map(self._doubtful, doubtful)])

    def _apart(self, found: ChangedApart) -> Action:
        """Return the tile of an entry that two benches changed apart: a press asks which holds."""
        said, other, now = self._said(found)
        return item(
            f"apart {type(found.now).__name__} {found.now.id} {said[0].what}",
            entry_name(self._stack.floor, found.now),
            partial(DescribedPage, self._stack, partial(self._which, found)),
            f"{said[0].what} {said[0].shop} at {other}; {said[0].desk} at {now}, which holds now".strip(),
            note="to pick",
            note_role="straw",
        )

    def _which(self, found: ChangedApart, stack: PagedPresenter) -> PageContent | None:
        """Describe what each bench says; one press picks. Nothing where it has been changed or picked since."""
        if found not in self._changed_apart():
            return None
        said, other, now = self._said(found)
        first, second = (
            ", ".join(f"{one.what} {words}".strip() for one, words in zip(said, side, strict=True))
            for side in ([one.shop for one in said], [one.desk for one in said])
        )
        return PageContent(
            entry_name(stack.floor, found.now),
            ["Press the one that holds. The other stays in the journal."],
            [
                item("other", f"At {other}", lambda: self._pick(found, later=False), first, role="primary"),
                item("now", f"At {now}, later", lambda: self._pick(found, later=True), second, role="primary"),
            ],
        )

    def _said(self, found: ChangedApart) -> tuple[list[SidesText], str, str]:
        """Return what differs, as the earlier bench has it and as the later has, and the names of these benches."""
        said = sides(self._stack.floor, found.now, found.other, found.now)
        return said, self._name_of(found.other_bench), self._name_of(found.now_bench)

    def _doubtful(self, pressed: Interval | Tally) -> Action:
        """Return the tile of what was pressed and doesn't count; it only tells."""
        floor = self._stack.floor
        key = f"doubtful {type(pressed).__name__} {pressed.id}"
        if isinstance(pressed, Interval):
            detail = f"ended {self._clock(pressed.end_us)}, before it began {self._clock(pressed.start_us)}: no minutes"
            return item(key, entry_name(floor, pressed), lambda: None, detail, why_not=ONLY_TOLD)
        piece, step = floor.find(Piece, pressed.piece_id), floor.find(Step, pressed.step_id)
        lost = f"lost {self._clock(piece.ended_us)}" if piece is not None else "lost"
        detail = f"{lost}; through {self._clock(pressed.at_us)} doesn't count"
        mark, where = piece.mark if piece is not None else "", entry_name(floor, step) if step is not None else ""
        return item(key, ", ".join(filter(None, (mark, where))), lambda: None, detail, why_not=ONLY_TOLD)

    def _clock(self, at_us: int | None) -> str:
        return clock_time(shop_time(at_us or 0, zone_of(self._stack.floor)))

    def _pick(self, found: ChangedApart, *, later: bool) -> None:
        try:
            self._stack.record.pick(found, later=later)
        except ShopError as error:
            self._stack.dialogs.tell(str(error))

    def _changed_apart(self) -> list[ChangedApart]:
        record = self._stack.record
        return record.changed_apart(record.instant() - LISTED_US)

    def _name_of(self, bench_id: int, otherwise: str = "") -> str:
        known = self._stack.floor.find(Bench, bench_id)
        return (known.name if known is not None else otherwise) or FIRST_BENCH

    def _bench(self, place: int) -> Action:
        found, record = self._exchanging.standing.benches[place], self._stack.record
        here = found.bench_id == record.bench.id
        now_us = record.clock.moment().wall_us
        heard_us = round(found.heard.astimezone(UTC).timestamp() * 1e6)
        heard = "this bench" if here else f"heard {self._ago(heard_us, now_us)}"
        waits = f"{found.waiting} {'press waits' if found.waiting == 1 else 'presses wait'}" if found.waiting else ""
        name = self._name_of(found.bench_id, found.name)
        act = self._rename if here else lambda: None
        return item(
            str(found.bench_id),
            name,
            act,
            heard,
            note=waits,
            note_role="straw",
            why_not="" if here else "Each bench is named at its own window.",
        )

    def _rename(self) -> Asking[None]:
        bench = self._stack.floor.get(Bench, self._stack.record.bench.id)
        name = yield from Name("Name of this bench", bench.name)
        self._stack.do(f"Name: {name}", lambda tx: name_bench(tx, bench, name))

    def _ago(self, heard_us: int, now_us: int) -> str:
        """Say how long ago something was heard; on another day, when."""
        ago_us = max(0, now_us - heard_us)
        if ago_us < MINUTE_US:
            return "just now"
        if ago_us < 60 * MINUTE_US:
            return f"{ago_us // MINUTE_US} min ago"
        at: datetime = shop_time(heard_us, zone_of(self._stack.floor))
        return f"{day_text(at.date())} {clock_time(at)}"


def told(standing: Standing, waiting: int) -> str:
    """Say in one sentence how a bench stands with the server."""
    if standing.sentence:
        waits = f" {waiting} {'press waits' if waiting == 1 else 'presses wait'} here." if waiting else ""
        return f"{standing.sentence}{waits if standing.away else ''}"
    if standing.to_take:
        return f"{standing.to_take} {'press comes' if standing.to_take == 1 else 'presses come'} from other benches."
    return "All benches that are reached have the same presses." if not waiting else "Sending."
