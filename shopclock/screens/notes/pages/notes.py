"""Pages of one file of old notes: its columns, names, batches and refused rows; what would be made, and taking it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from shopclock.exchange.notes.columns import What, letter
from shopclock.exchange.notes.notes import NotesAnswers
from shopclock.exchange.notes.time import DateOrder, LengthUnit
from shopclock.screens.notes import texts
from shopclock.shop.notes.entries import NO_NAME
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import ImportFile, Pattern, Stage
from shopclock.shop.work.batches import MOST_PIECES
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.page import Body, Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from shopclock.exchange.notes.match import Match
    from shopclock.exchange.notes.notes_in import NotesPreview
    from shopclock.screens.notes.bringing import Bringing
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action


class NotesStagesPage(Page):
    """Which of the shop's stages each name is taken for."""

    def __init__(self, stack: PagedPresenter, notes: NotesPage) -> None:
        self._stack = stack
        self._notes = notes

    def title(self) -> str:
        """What it is."""
        return f"What the names of {word(self._stack.floor, 'stage').many} mean"

    def offers(self) -> Sequence[Action]:
        """The names, those that are guessed first."""
        seen = self._notes.seen
        stages = sorted(seen.stages, key=lambda one: (not one.likely, one.known)) if seen is not None else []
        return [self._name(one) for one in stages]

    def _name(self, one: Match) -> Action:
        role = "straw" if one.likely else "plate"
        ask = calling(lambda: self._stack.open(NotesStagePage(self._stack, self._notes, one)))
        return action(f"name {one.written}", one.written, ask, detail=texts.match_said(one), role=role)


class NotesStagePage(Page):
    """Which of the shop's stages one name is."""

    def __init__(self, stack: PagedPresenter, notes: NotesPage, one: Match) -> None:
        self._stack = stack
        self._notes = notes
        self._one = one

    def title(self) -> str:
        """What is asked."""
        return f"What {self._one.written} is"

    def offers(self) -> Sequence[Action]:
        """The shop's stages, and a new one of this name; what it is taken for comes first."""
        names = [stage.name for stage in self._stack.floor.all(Stage) if not stage.put_away]
        if self._one.written not in names:
            names.append(self._one.written)
        names.sort(key=lambda name: name != self._one.name)
        return [self._stage(name) for name in names]

    def _stage(self, name: str) -> Action:
        new = self._stack.floor.stage_by_name(name) is None
        detail = "a new one" if new else ""
        take = calling(partial(self._take, name))
        return action(f"stage {name}", name, take, detail=detail, checked=name == self._one.name)

    def _take(self, name: str) -> None:
        self._stack.back()
        self._notes.say(stages={**self._notes.said.stages, self._one.written: name})


class OpenPage(Page):
    """Which batches are still in work; the others are finished."""

    def __init__(self, stack: PagedPresenter, notes: NotesPage) -> None:
        self._stack = stack
        self._notes = notes
        self._names = notes.seen.batches if notes.seen is not None else ()

    def title(self) -> str:
        """What is asked."""
        return f"Which {word(self._stack.floor, 'batch').many} are still in work?"

    def lines(self) -> Sequence[TextLine]:
        """What happens to the others."""
        return (TextLine("All others are closed with their last row, their pieces finished."),)

    def offers(self) -> Sequence[Action]:
        """The newest first."""
        return [self._batch(name) for name in reversed(self._names)]

    def _batch(self, name: str) -> Action:
        is_open = name in self._notes.said.open_batches
        detail = "in work" if is_open else "finished"
        return action(f"batch {name}", name, calling(partial(self._turn, name)), detail=detail, checked=is_open)

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
        return texts.left_out_said(made) if made is not None else "Nothing is left out"

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


class ColumnsPage(Page):
    """The columns of one file."""

    body = Body.TABLE

    def __init__(self, stack: PagedPresenter, notes: NotesPage) -> None:
        self._stack = stack
        self._notes = notes

    def title(self) -> str:
        """What is asked."""
        return "What each column is"

    def lines(self) -> Sequence[TextLine]:
        """How it is changed, and what is missing."""
        seen = self._notes.seen
        if seen is not None and seen.missing:
            return (TextLine(f"No column is the {' or the '.join(seen.missing)} yet. Press the one that is.", "straw"),)
        return (TextLine("Press a column to say what it is."),)

    def offers(self) -> Sequence[Action]:
        """The columns."""
        return [self._head(place) for place in range(self._width())]

    def rows(self) -> Sequence[tuple[str, ...]]:
        """The first rows, under what stands over them in the file."""
        seen = self._notes.seen
        if seen is None:
            return ()
        heads = [seen.columns.heads] if seen.columns.heads else []
        return [*heads, *seen.rows]

    def _width(self) -> int:
        return max((len(row) for row in self.rows()), default=0)

    def _head(self, place: int) -> Action:
        seen = self._notes.seen
        meant = texts.meaning_at(seen.columns, place) if seen is not None else None
        said = meant.value.capitalize() if meant is not None else "Nothing"
        role = "raised" if meant is None else "plate"
        return action(f"column {place}", said, calling(partial(self._ask, place)), detail=letter(place), role=role)

    def _ask(self, place: int) -> None:
        seen = self._notes.seen
        if seen is not None:
            take = on_answer(partial(self._take, place))
            self._stack.dialogs.ask(f"What column {letter(place)} is", texts.meanings(seen.columns, place), take)

    def _take(self, place: int, key: str) -> None:
        """What one column is no other is: the one that was guessed before goes by this too."""
        meant = None if key == texts.NOTHING else What(key)
        others = {at: what for at, what in self._notes.said.columns.items() if what is not meant or what is None}
        self._notes.say(columns={**others, place: meant})


MOST_NAMED = 11


class NotesPage(Page):
    """A file as it was read with what the maker has said of it; each answer has it read anew."""

    def __init__(self, stack: PagedPresenter, bringing: Bringing, file: Path) -> None:
        self._stack = stack
        self._bringing = bringing
        self._file = file
        self.said = NotesAnswers()
        self.seen: NotesPreview | None = None
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
        return texts.title_of(self._stack.floor, self.seen) if self.seen is not None else f"Reading {self._file.name}"

    def lines(self) -> Sequence[TextLine]:
        """What is estimated, what is left out."""
        if self._is_in():
            return (TextLine("Undo takes all of it back. The same file adds nothing a second time."),)
        made = self.seen.counts if self.seen is not None else None
        if made is None:
            return ()
        out = f"{texts.left_out_said(made)}: see Left out."
        return (*map(TextLine, texts.lines_of(made)), *([TextLine(out, "straw")] if made.left_out else []))

    def offers(self) -> Sequence[Action]:
        """All that can be said otherwise."""
        if self.seen is None or self._is_in():
            return ()
        return [*self._of_reading(self.seen), *(self._of_making(self.seen) if self.seen.counts is not None else [])]

    def actions(self) -> Sequence[Action]:
        """Bring it in."""
        made = self.seen.counts if self.seen is not None else None
        if self._is_in() or made is None:
            return ()
        some = made.left_out > 0
        return [
            action(
                "bring",
                "Bring in the rest" if some else "Bring all in",
                calling(self._bring),
                detail=texts.left_out_said(made) if some else "one Undo takes it back",
                role="primary",
                enabled=made.intervals > 0 and not self._bringing.busy,
            )
        ]

    def _is_in(self) -> bool:
        sha256 = self.seen.sha256 if self.seen is not None else None
        return any(file.sha256 == sha256 for file in self._stack.floor.all(ImportFile))

    def _of_reading(self, seen: NotesPreview) -> list[Action]:
        """How the file is read."""
        made = [self._tile("Columns", texts.columns_said(seen.columns), self.open_columns, lacks=bool(seen.missing))]
        if seen.dates is not None or self.said.asked.order is not None:
            order = self.said.asked.order
            made.append(
                self._tile("Dates", order.value if order else f"{seen.dates}?", self._ask_dates, lacks=not order)
            )
        if seen.numbers is not None or self.said.asked.unit is not None:
            unit = self.said.asked.unit
            made.append(self._tile("Numbers", f"are {unit.value}" if unit else "?", self._ask_numbers, lacks=not unit))
        return made

    def _of_making(self, seen: NotesPreview) -> list[Action]:
        """What is made of it."""
        floor, counts = self._stack.floor, seen.counts
        stages = word(floor, "stage").many.capitalize()
        made = [
            self._tile(stages, texts.stages_said(seen.stages), lambda: self._open(NotesStagesPage(self._stack, self)))
        ]
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

    def _tile(self, title: str, detail: str, act: Callable[[], object], *, lacks: bool = False) -> Action:
        key, role = f"say {title}", "straw" if lacks else "plate"
        return action(key, title, calling(act), detail=detail, role=role, enabled=not self._bringing.busy)

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

    def _know(self, seen: NotesPreview) -> None:
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
        take = on_answer(lambda key: self.say(asked=replace(self.said.asked, order=DateOrder(key))))
        self._stack.dialogs.ask(f"Which day is {example} in {self._file.name}", texts.date_choices(example), take)

    def _ask_numbers(self) -> None:
        example = (self.seen.numbers if self.seen is not None else None) or "80"
        take = on_answer(lambda key: self.say(asked=replace(self.said.asked, unit=LengthUnit(key))))
        self._stack.dialogs.ask(f"What is {example} in {self._file.name}", texts.number_choices(example), take)

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
