"""A new batch: pattern, how many, go."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.marks import marks, spoken
from shopclock.shop.work.acts import put_in
from shopclock.shop.work.batches import MOST_PIECES, batch_name, last_next_time, start_batch
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.field import Number, choose, field
from shopclock.views.page import Body, Page, PageContent, TextLine, action, item, nothing_yet

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import RouteStep
    from shopclock.views.page import Action

ON_TILES = 12


def patterns_in_use(floor: ShopFloor) -> list[Pattern]:
    """The patterns that are not put away, the one started last first."""
    last = {batch.pattern_id: batch.started_us for batch in floor.all(Batch)}
    found = [pattern for pattern in floor.all(Pattern) if not pattern.put_away]
    return sorted(found, key=lambda pattern: (-last.get(pattern.id, 0), pattern.name.casefold()))


def new_batch(stack: PagedPresenter) -> Page:
    """First page of a new batch: which pattern, or how many where there is but one."""
    patterns = patterns_in_use(stack.floor)
    return HowMany(stack, patterns[0].id) if len(patterns) == 1 else DescribedPage(stack, patterns_page)


def patterns_page(stack: PagedPresenter) -> PageContent:
    """Patterns that the new batch can be of; the way to a first route where nothing can be started."""
    patterns = patterns_in_use(stack.floor)
    if not patterns:
        return nothing_yet(
            "There is no pattern yet",
            "Copy a route that comes near and give it a name. It can be put right later.",
            item("copy", "Copy a route", lambda: stack.go("copy")),
        )
    return PageContent("Which pattern", tiles=[_pattern(stack, pattern) for pattern in patterns])


def _pattern(stack: PagedPresenter, pattern: Pattern) -> Action:
    floor, said = stack.floor, last_next_time(stack.floor, pattern)
    steps = route_steps(floor, newest_route(floor, pattern))
    made = sum(batch.pattern_id == pattern.id for batch in floor.all(Batch))
    return item(
        f"pattern {pattern.id}",
        pattern.name,
        partial(HowMany, stack, pattern.id),
        f"{len(steps)} steps · {counted(floor, 'batch', made)} so far",
        note=f"Next time: {said}" if said else "",
    )


class HowMany(Page):
    """Size of a new batch; where its pieces stand if they are begun; go."""

    def __init__(self, stack: PagedPresenter, pattern_id: int) -> None:
        self._stack = stack
        self._pattern_id = pattern_id
        self._n: int | None = None
        self._first: RouteStep | None = None
        self._elsewhere: dict[int, RouteStep | None] = {}

    def content(self) -> PageContent | None:
        """1 to 12, and more; what was asked for the next time, and where the pieces stand."""
        floor, n = self._stack.floor, self._n
        pattern = floor.find(Pattern, self._pattern_id)
        if pattern is None:
            return None
        asked, pieces = last_next_time(floor, pattern), word(floor, "piece").many
        lines = [TextLine(f"Next time: {asked}", "straw")] if asked else []
        lines += [TextLine(line, "text") for line in self._stand_lines()]
        more = n is not None and n > ON_TILES
        many = Number(f"How many {pieces}, up to {MOST_PIECES}", signs=COUNT)
        where = partial(DescribedPage, self._stack, self._steps)
        return PageContent(
            f"How many {pieces} of {pattern.name}",
            lines,
            [
                *(item(f"n {i}", str(i), partial(self._choose, i), checked=i == n) for i in range(1, ON_TILES + 1)),
                field("more", str(n) if more else "Another", "number", many, self._take_more, checked=more),
            ],
            [
                item("stand", "Where do they stand", where, self._stand_detail(), role="raised"),
                action(
                    "go",
                    f"Go: {counted(floor, 'piece', n)}" if n is not None else "Go",
                    lambda moment: self._make(pattern, moment),
                    role="primary",
                    why_not="" if n is not None else "First say how many.",
                ),
                *self._start_now(pattern),
            ],
            Body.SMALL,
        )

    def _stand_detail(self) -> str:
        if self._elsewhere:
            return "piece by piece"
        return self._first.name if self._first is not None else "if already begun"

    def _stand_lines(self) -> list[str]:
        """Say where the pieces stand, and those that stand elsewhere."""
        first, n = self._first, self._n or 0
        lines = [f"They stand at {first.name}; steps before it are not timed."] if first is not None else []
        together: dict[str, list[str]] = {}
        for place, step in sorted(self._elsewhere.items()):
            together.setdefault(step.name if step is not None else "the first step", []).append(marks(n)[place])
        said = ", ".join(f"{spoken(own)} at {name}" for name, own in together.items())
        return [*lines, *([f"{said}."] if said else [])]

    def _choose(self, n: int) -> None:
        self._n = n
        self._elsewhere = {place: step for place, step in self._elsewhere.items() if place < n}
        self._stack.changed()

    def _take_more(self, typed: str) -> None:
        if not (typed.isdigit() and 1 <= int(typed) <= MOST_PIECES):
            raise Refusal(f"{typed} is not a whole number from 1 to {MOST_PIECES}. Nothing was chosen.")
        self._choose(int(typed))

    def _steps(self, stack: PagedPresenter) -> PageContent | None:
        """At which step the pieces of a batch stand that was begun before it is timed."""

        def choose(step: RouteStep | None) -> None:
            self._first, self._elsewhere = step, {}
            stack.back()

        pattern = stack.floor.find(Pattern, self._pattern_id)
        if pattern is None:
            return None
        steps = enumerate(route_steps(stack.floor, newest_route(stack.floor, pattern)))
        return PageContent(
            f"Which step comes next for these {word(stack.floor, 'piece').many}",
            ["The steps before it are not timed; figures of the whole then say at least."],
            [item(f"step {s.id}", f"{n + 1}  {s.name}", partial(choose, s if n else None)) for n, s in steps],
            [
                item(
                    "each",
                    "Piece by piece",
                    partial(DescribedPage, stack, self._each),
                    "where they differ",
                    role="raised",
                    why_not="" if self._n is not None else "First say how many.",
                )
            ],
        )

    def _each(self, stack: PagedPresenter) -> PageContent | None:
        """Page of where each piece stands, of a batch that is at several steps at once."""
        pattern = stack.floor.find(Pattern, self._pattern_id)
        if pattern is None:
            return None
        steps = route_steps(stack.floor, newest_route(stack.floor, pattern))
        return PageContent(
            f"Where does each {word(stack.floor, 'piece').one} stand",
            ["Steps before it are not timed for it; figures of the whole then say at least."],
            [self._stands(place, mark, steps) for place, mark in enumerate(marks(self._n or 0))],
            body=Body.PIECES,
        )

    def _stands(self, place: int, mark: str, steps: Sequence[RouteStep]) -> Action:
        now = self._elsewhere.get(place, self._first)
        answers = [
            (Choice(str(step.id), step.name, checked=step == (now or steps[0])), step if n else None)
            for n, step in enumerate(steps)
        ]

        def take(step: RouteStep | None) -> None:
            self._elsewhere[place] = step
            if step == self._first:
                del self._elsewhere[place]
            self._stack.changed()

        asking = choose(f"Which step comes next for {mark}", answers)
        return field(f"piece {place}", mark, (now or steps[0]).name, asking, take)

    def _start_now(self, pattern: Pattern) -> tuple[Action, ...]:
        """Go, and the clock of the first step with it: where all pieces stand at one, and somebody works at that."""
        steps = route_steps(self._stack.floor, newest_route(self._stack.floor, pattern))
        first = self._first or next(iter(steps), None)
        if self._n is None or self._elsewhere or first is None or not first.kind.attended:
            return ()
        press = partial(self._make, pattern, start=first)
        return (action("start", f"Start: {first.name}", press, "go, and its clock runs", role="raised"),)

    def _make(self, pattern: Pattern, moment: Moment | None, start: RouteStep | None = None) -> None:
        n, first, elsewhere = self._n or 0, self._first, dict(self._elsewhere)
        name = batch_name(self._stack.floor, self._stack.record.instant(moment))

        def rule(tx: Transaction) -> Batch:
            made = start_batch(tx, pattern, n, name, first, elsewhere)
            if start is not None:
                put_in(tx, next(s for s in tx.floor.steps(made.id) if s.route_step_id == start.id))
            return made

        batch = self._stack.do(f"New {name}", rule, moment)
        if batch is not None:
            self._stack.home()
            self._stack.go("bench", batch.id)
