"""The lists of a file of old notes: names of stages, batches that are still in work, rows that can't be taken."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.notes import words
from shopclock.screens.paged.offers import calling, offer
from shopclock.screens.paged.page import Body, Line, Page
from shopclock.shop.values import Stage
from shopclock.shop.wording import word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.exchange.notes_match import Match
    from shopclock.screens.notes.pages.notes import NotesPage
    from shopclock.screens.paged.page import Offer
    from shopclock.screens.paged.stack import PageStack


class StagesPage(Page):
    """Which of the shop's stages each name is taken for."""

    def __init__(self, stack: PageStack, notes: NotesPage) -> None:
        self._stack = stack
        self._notes = notes

    def title(self) -> str:
        """What it is."""
        return f"What the names of {word(self._stack.floor, 'stage').many} mean"

    def offers(self) -> Sequence[Offer]:
        """The names, those that are guessed first."""
        seen = self._notes.seen
        stages = sorted(seen.stages, key=lambda one: (not one.likely, one.known)) if seen is not None else []
        return [self._name(one) for one in stages]

    def _name(self, one: Match) -> Offer:
        role = "straw" if one.likely else "plate"
        ask = calling(lambda: self._stack.open(StagePage(self._stack, self._notes, one)))
        return offer(f"name {one.written}", one.written, ask, detail=words.match_said(one), role=role)


class StagePage(Page):
    """Which of the shop's stages one name is."""

    def __init__(self, stack: PageStack, notes: NotesPage, one: Match) -> None:
        self._stack = stack
        self._notes = notes
        self._one = one

    def title(self) -> str:
        """What is asked."""
        return f"What {self._one.written} is"

    def offers(self) -> Sequence[Offer]:
        """The shop's stages, and a new one of this name; what it is taken for comes first."""
        names = [stage.name for stage in self._stack.floor.all(Stage) if not stage.put_away]
        if self._one.written not in names:
            names.append(self._one.written)
        names.sort(key=lambda name: name != self._one.name)
        return [self._stage(name) for name in names]

    def _stage(self, name: str) -> Offer:
        new = self._stack.floor.stage_by_name(name) is None
        detail = "a new one" if new else ""
        take = calling(partial(self._take, name))
        return offer(f"stage {name}", name, take, detail=detail, checked=name == self._one.name)

    def _take(self, name: str) -> None:
        self._stack.back()
        self._notes.say(stages={**self._notes.said.stages, self._one.written: name})


class OpenPage(Page):
    """Which batches are still in work; the others are finished."""

    def __init__(self, stack: PageStack, notes: NotesPage) -> None:
        self._stack = stack
        self._notes = notes
        self._names = notes.seen.batches if notes.seen is not None else ()

    def title(self) -> str:
        """What is asked."""
        return f"Which {word(self._stack.floor, 'batch').many} are still in work?"

    def lines(self) -> Sequence[Line]:
        """What happens to the others."""
        return (Line("All others are closed with their last row, their pieces finished."),)

    def offers(self) -> Sequence[Offer]:
        """The newest first."""
        return [self._batch(name) for name in reversed(self._names)]

    def _batch(self, name: str) -> Offer:
        is_open = name in self._notes.said.open_batches
        detail = "in work" if is_open else "finished"
        return offer(f"batch {name}", name, calling(partial(self._turn, name)), detail=detail, checked=is_open)

    def _turn(self, name: str) -> None:
        now = set(self._notes.said.open_batches) ^ {name}
        self._notes.say(open_batches=tuple(sorted(now)))


class LeftOutPage(Page):
    """The rows that can't be taken: row, column, why."""

    body = Body.TEXT

    def __init__(self, notes: NotesPage) -> None:
        self._notes = notes

    def title(self) -> str:
        """How many there are."""
        made = self._notes.seen.counts if self._notes.seen is not None else None
        return words.left_out_said(made) if made is not None else "Nothing is left out"

    def text(self) -> str:
        """A line each; what is more than can be listed is counted."""
        seen = self._notes.seen
        if seen is None or seen.counts is None:
            return ""
        rows = [f"- **Row {one.row}, {_plain(one.column)}**: {_plain(one.why)}" for one in seen.troubles]
        more = seen.counts.left_out - len(seen.troubles)
        return "\n".join([*rows, *([f"- and {more} more"] if more else [])])


def _plain(text: str) -> str:
    """Have what stands in a cell shown as it is, whatever signs it has."""
    return "".join(f"\\{sign}" if sign in "\\`*_{}[]<>()#+-.!|&~" else sign for sign in text)
