"""One file of old notes: what would be made of it, what can be said of it, and bringing it in."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.exchange.notes import Said
from shopclock.exchange.notes_columns import What
from shopclock.exchange.notes_time import Order, Unit
from shopclock.screens.notes import words
from shopclock.screens.notes.pages.columns import ColumnsPage
from shopclock.screens.notes.pages.lists import LeftOutPage, OpenPage, StagesPage
from shopclock.screens.paged.offers import calling, offer, on_answer
from shopclock.screens.paged.page import Line, Page
from shopclock.shop.batches import MOST_PIECES
from shopclock.shop.imported import ImportFile
from shopclock.shop.old_notes import NO_NAME
from shopclock.shop.values import Pattern
from shopclock.shop.wording import word
from shopclock.widgets.dialogs import COUNT, Choice

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from shopclock.exchange.notes_in import Look
    from shopclock.screens.notes.bringing import Bringing
    from shopclock.screens.paged.page import Offer
    from shopclock.screens.paged.stack import PageStack

MOST_NAMED = 11


class NotesPage(Page):
    """A file as it was read with what the maker has said of it; each answer has it read anew."""

    def __init__(self, stack: PageStack, bringing: Bringing, file: Path) -> None:
        self._stack = stack
        self._bringing = bringing
        self._file = file
        self.said = Said()
        self.seen: Look | None = None
        self._why = ""
        self._used = False
        self._bring_then = False
        self._read()

    def say(self, **said: object) -> None:
        """Take an answer of the maker's, and read the file with it."""
        self.said = replace(self.said, **said)  # type: ignore[arg-type]  # fields of Said, each with its type
        self._read()

    def title(self) -> str:
        """What would be made, what was made, or why nothing can be."""
        if self._is_in():
            return f"{self._file.name} is in the record."
        if self._why:
            return self._why
        return words.title_of(self._stack.floor, self.seen) if self.seen is not None else f"Reading {self._file.name}"

    def lines(self) -> Sequence[Line]:
        """What is estimated, what is left out."""
        if self._is_in():
            return (Line("Undo takes all of it back. The same file adds nothing a second time."),)
        made = self.seen.counts if self.seen is not None else None
        if made is None:
            return ()
        out = f"{words.left_out_said(made)}: see Left out."
        return (*map(Line, words.lines_of(made)), *([Line(out, "straw")] if made.left_out else []))

    def offers(self) -> Sequence[Offer]:
        """All that can be said otherwise."""
        if self.seen is None or self._is_in():
            return ()
        return [*self._of_reading(self.seen), *(self._of_making(self.seen) if self.seen.counts is not None else [])]

    def actions(self) -> Sequence[Offer]:
        """Bring it in."""
        made = self.seen.counts if self.seen is not None else None
        if self._is_in() or made is None:
            return ()
        some = made.left_out > 0
        return [
            offer(
                "bring",
                "Bring in the rest" if some else "Bring all in",
                calling(self._bring),
                detail=words.left_out_said(made) if some else "one Undo takes it back",
                role="primary",
                enabled=made.stretches > 0 and not self._bringing.busy,
            )
        ]

    def _is_in(self) -> bool:
        sha256 = self.seen.sha256 if self.seen is not None else None
        return any(file.sha256 == sha256 for file in self._stack.floor.all(ImportFile))

    def _of_reading(self, seen: Look) -> list[Offer]:
        """How the file is read."""
        made = [self._tile("Columns", words.columns_said(seen.columns), self.open_columns, lacks=bool(seen.missing))]
        if seen.dates is not None or self.said.asked.order is not None:
            order = self.said.asked.order
            made.append(
                self._tile("Dates", order.value if order else f"{seen.dates}?", self._ask_dates, lacks=not order)
            )
        if seen.numbers is not None or self.said.asked.unit is not None:
            unit = self.said.asked.unit
            made.append(self._tile("Numbers", f"are {unit.value}" if unit else "?", self._ask_numbers, lacks=not unit))
        return made

    def _of_making(self, seen: Look) -> list[Offer]:
        """What is made of it."""
        floor, counts = self._stack.floor, seen.counts
        stages = word(floor, "stage").many.capitalize()
        made = [self._tile(stages, words.stages_said(seen.stages), lambda: self._open(StagesPage(self._stack, self)))]
        if What.PATTERN in seen.lacks or self.said.pattern:
            said = self.said.pattern or f"no row says it: {NO_NAME}"
            made.append(self._tile("Pattern", said, self._ask_pattern, lacks=not self.said.pattern))
        if What.PIECES in seen.lacks or self.said.pieces:
            said = str(self.said.pieces or "no row says how many")
            many = word(floor, "piece").many.capitalize()
            made.append(self._tile(many, said, self._ask_pieces, lacks=not self.said.pieces))
        if counts is not None and (counts.estimated or self.said.measured):
            said = "were timed" if self.said.measured else "count as estimated"
            made.append(self._tile("Lengths", said, lambda: self.say(measured=not self.said.measured)))
        if seen.batches:
            n = len(self.said.open_batches)
            made.append(self._tile("Still in work", str(n or "none: all are finished"), self._open_batches))
        if seen.troubles:
            made.append(self._tile("Left out", "row, column, why", self._open_left_out, lacks=True))
        return made

    def _tile(self, title: str, detail: str, act: Callable[[], object], *, lacks: bool = False) -> Offer:
        key, role = f"say {title}", "straw" if lacks else "plate"
        return offer(key, title, calling(act), detail=detail, role=role, enabled=not self._bringing.busy)

    def _open(self, page: Page) -> None:
        self._stack.open(page)

    def open_columns(self) -> None:
        """Show which column is what."""
        self._open(ColumnsPage(self._stack, self))

    def _open_batches(self) -> None:
        self._open(OpenPage(self._stack, self))

    def _open_left_out(self) -> None:
        self._open(LeftOutPage(self))

    def _read(self) -> None:
        self._bringing.look(self._file, self.said, self._know, self._wrong)
        self._stack.changed()

    def _know(self, seen: Look) -> None:
        """Take what was read, and ask once what has to be asked."""
        self.seen, self._why, self._used = seen, "", False
        self._stack.changed()
        if self._bring_then:
            self._bring_then = False
            self._bring()
        if seen.dates is not None:
            self._ask_dates()
        elif seen.numbers is not None:
            self._ask_numbers()

    def _wrong(self, why: str) -> None:
        self._why = why or "Stopped. Nothing was changed. Go back and choose the file again."
        self._stack.changed()

    def _ask_dates(self) -> None:
        example = (self.seen.dates if self.seen is not None else None) or "7/3/26"
        take = on_answer(lambda key: self.say(asked=replace(self.said.asked, order=Order(key))))
        self._stack.dialogs.ask(f"Which day is {example} in {self._file.name}", words.date_choices(example), take)

    def _ask_numbers(self) -> None:
        example = (self.seen.numbers if self.seen is not None else None) or "80"
        take = on_answer(lambda key: self.say(asked=replace(self.said.asked, unit=Unit(key))))
        self._stack.dialogs.ask(f"What is {example} in {self._file.name}", words.number_choices(example), take)

    def _ask_pattern(self) -> None:
        names = [pattern.name for pattern in self._stack.floor.all(Pattern) if not pattern.put_away][:MOST_NAMED]
        choices = [*(Choice(name, name) for name in names), Choice("", NO_NAME, "leave it open")]
        self._stack.dialogs.ask("What was made", choices, on_answer(lambda name: self.say(pattern=name)))

    def _ask_pieces(self) -> None:
        asked = f"How many in a batch, where no row says it (1 to {MOST_PIECES})"
        self._stack.dialogs.number(asked, "", on_answer(self._take_pieces), signs=COUNT)

    def _take_pieces(self, text: str) -> None:
        if text.isdigit() and 1 <= int(text) <= MOST_PIECES:
            self.say(pieces=int(text))
        else:
            self._stack.dialogs.tell(f"That is no number from 1 to {MOST_PIECES}. Nothing was changed.")

    def _bring(self) -> None:
        """Bring it in; what was brought in and taken back has to be worked out anew before."""
        if self.seen is None:
            return
        if self._used:
            self._used, self._bring_then = False, True
            self._read()
        else:
            self._used = True
            self._bringing.take(self.seen, self._brought)
        self._stack.changed()

    def _brought(self, why: str | None) -> None:
        """All is there; where it was stopped or spoilt the file is read anew: what was worked out is gone."""
        if why is not None:
            self._read()
        if why:
            self._stack.dialogs.tell(why)
        self._stack.changed()
