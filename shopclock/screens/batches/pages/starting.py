"""A new batch: pattern, how many, go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.about import PatternAbout
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.shop.work.batches import MOST_PIECES, batch_name, last_next_time, start_batch
from shopclock.views.dialogs import COUNT
from shopclock.views.page import Body, Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import RouteStep
    from shopclock.views.page import Action

ON_TILES = 12


def patterns_in_use(floor: ShopFloor) -> list[Pattern]:
    """The patterns that are not put away, the one started last first."""
    last = {batch.pattern_id: batch.started_us for batch in floor.all(Batch)}
    found = [pattern for pattern in floor.all(Pattern) if not pattern.put_away]
    return sorted(found, key=lambda pattern: (-last.get(pattern.id, 0), pattern.name.casefold()))


class PatternsToStart(Page):
    """Which pattern the new batch is of."""

    def __init__(self, stack: PagedPresenter) -> None:
        self._stack = stack

    @classmethod
    def open_on(cls, stack: PagedPresenter) -> None:
        """Ask which pattern."""
        stack.open(cls(stack))

    def title(self) -> str:
        """The question."""
        if patterns_in_use(self._stack.floor):
            return "Which pattern"
        return "There is no pattern yet"

    def lines(self) -> Sequence[TextLine]:
        """The way to a first pattern."""
        if patterns_in_use(self._stack.floor):
            return ()
        return (TextLine("Copy a route that comes near and give it a name. It can be put right later."),)

    def offers(self) -> Sequence[Action]:
        """A tile for each pattern."""
        return [self._pattern(pattern) for pattern in patterns_in_use(self._stack.floor)]

    def actions(self) -> Sequence[Action]:
        """The way to a first route where nothing can be started."""
        if patterns_in_use(self._stack.floor):
            return ()
        return [action("copy", "Copy a route", calling(lambda: self._stack.go("copy")), role="primary")]

    def _pattern(self, pattern: Pattern) -> Action:
        floor = self._stack.floor
        steps = route_steps(floor, newest_route(floor, pattern))
        made = sum(batch.pattern_id == pattern.id for batch in floor.all(Batch))
        said = last_next_time(floor, pattern)
        return action(
            f"pattern {pattern.id}",
            pattern.name,
            calling(lambda: self._stack.open(HowMany(self._stack, pattern.id))),
            detail=f"{len(steps)} steps · {counted(floor, 'batch', made)} so far",
            note=f"Next time: {said}" if said else "",
        )


class HowMany(PatternAbout):
    """How many pieces; where they stand if they are begun; go."""

    body = Body.SMALL

    def __init__(self, stack: PagedPresenter, pattern_id: int) -> None:
        super().__init__(stack, pattern_id)
        self._n: int | None = None
        self._first: RouteStep | None = None

    def title(self) -> str:
        """The question."""
        return f"How many {word(self._stack.floor, 'piece').many} of {self.pattern.name}"

    def lines(self) -> Sequence[TextLine]:
        """What was asked for the next time, and where the pieces stand."""
        asked = last_next_time(self._stack.floor, self.pattern)
        found = [TextLine(f"Next time: {asked}", "straw")] if asked else []
        if self._first is not None:
            found.append(TextLine(f"They stand at {self._first.name}; steps before it are not timed.", "text"))
        return found

    def offers(self) -> Sequence[Action]:
        """1 to 12, and more."""
        tiles = [self._number(n) for n in range(1, ON_TILES + 1)]
        more = self._n is not None and self._n > ON_TILES
        title = str(self._n) if more else "More"
        return [*tiles, action("more", title, calling(self._ask_more), checked=more)]

    def actions(self) -> Sequence[Action]:
        """Go, and where they stand."""
        floor, n = self._stack.floor, self._n
        go = f"Go: {counted(floor, 'piece', n)}" if n is not None else "Go"
        stands = self._first.name if self._first is not None else "if already begun"
        return [
            action("stand", "Where do they stand", calling(self._ask_where), detail=stands, role="raised"),
            action("go", go, self._start, role="primary", enabled=n is not None),
        ]

    def _number(self, n: int) -> Action:
        return action(f"n {n}", str(n), calling(lambda: self._choose(n)), checked=n == self._n)

    def _choose(self, n: int) -> None:
        self._n = n
        self._stack.changed()

    def _ask_more(self) -> None:
        question = f"How many {word(self._stack.floor, 'piece').many}, up to {MOST_PIECES}"
        self._stack.dialogs.number(question, "", on_answer(self._take_more), signs=COUNT)

    def _take_more(self, typed: str) -> None:
        if typed.isdigit() and 1 <= int(typed) <= MOST_PIECES:
            self._choose(int(typed))
        else:
            self._stack.dialogs.tell(f"{typed} is not a whole number from 1 to {MOST_PIECES}. Nothing was chosen.")

    def _ask_where(self) -> None:
        self._stack.open(WhereTheyStand(self._stack, self))

    def stand_at(self, step: RouteStep | None) -> None:
        """Begin timing at this step; from the start when there is none."""
        self._first = step

    def _start(self, moment: Moment | None) -> None:
        n, first, pattern = self._n or 0, self._first, self.pattern
        name = batch_name(self._stack.floor, self._stack.record.instant(moment))
        batch = self._stack.do(f"New {name}", lambda tx: start_batch(tx, pattern, n, name, first_timed=first), moment)
        if batch is not None:
            self._stack.home()
            self._stack.go("bench", batch.id)


class WhereTheyStand(Page):
    """At which step the pieces of a batch stand that was begun before it is timed."""

    def __init__(self, stack: PagedPresenter, asking: HowMany) -> None:
        self._stack = stack
        self._asking = asking

    def gone(self) -> bool:
        """Whether the pattern is no longer there."""
        return self._asking.gone()

    def title(self) -> str:
        """The question."""
        return f"Which step comes next for these {word(self._stack.floor, 'piece').many}"

    def lines(self) -> Sequence[TextLine]:
        """What the answer means."""
        return (TextLine("The steps before it are not timed; figures of the whole then say at least."),)

    def offers(self) -> Sequence[Action]:
        """The steps of the route."""
        pattern = self._asking.pattern
        steps = route_steps(self._stack.floor, newest_route(self._stack.floor, pattern))
        return [self._step(number, step) for number, step in enumerate(steps)]

    def _step(self, number: int, step: RouteStep) -> Action:
        chosen = step if number else None
        return action(f"step {step.id}", f"{number + 1}  {step.name}", calling(lambda: self._choose(chosen)))

    def _choose(self, step: RouteStep | None) -> None:
        self._asking.stand_at(step)
        self._stack.back()
