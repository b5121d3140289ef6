"""Pages of one file of old notes: its columns, names, batches and refused rows; what would be made, and taking it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from shopclock.exchange.notes.columns import What, letter
from shopclock.exchange.notes.notes import NotesAnswers
from shopclock.exchange.notes.time import DateOrder, LengthUnit
from shopclock.screens.notes import texts
from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.notes.entries import NO_NAME
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import ImportFile, Method, Pattern, Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.batches import MOST_PIECES
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.field import Number, Pick, Text, ask, choose, field
from shopclock.views.page import Body, Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from shopclock.exchange.notes.match import Match
    from shopclock.exchange.notes.notes_in import NotesPreview
    from shopclock.exchange.notes.rows import Trouble
    from shopclock.screens.notes.bringing import Bringing
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MOST_NAMED = 11


def names_page(stack: PagedPresenter, notes: NotesPage) -> PageContent:
    """Names in the notes and the shop's stage that each is taken for, those that are guessed first."""
    stages = notes.seen.stages if notes.seen is not None else ()
    return PageContent(
        f"What the names of {word(stack.floor, 'stage').many} mean",
        tiles=[
            item(
                f"name {one.written}",
                one.written,
                partial(DescribedPage, stack, partial(name_page, notes=notes, one=one)),
                texts.match_said(one),
                role="straw" if one.likely else "plate",
            )
            for one in sorted(stages, key=lambda one: (not one.likely, one.known))
        ],
    )


def name_page(stack: PagedPresenter, notes: NotesPage, one: Match) -> PageContent:
    """Stages of the shop that one name can be, or a new one of this name; what it is taken for comes first.

    The method that the name says is a field of its own: bevels free hand is bevels, freehand.
    """
    methods = notes.said.methods
    method = methods.get(one.written, one.method)

    def take(name: str) -> None:
        stack.back()
        notes.say(replace(notes.said, stages={**notes.said.stages, one.written: name}, methods=kept(method)))

    def kept(method: str) -> dict[str, str]:
        return {**methods, one.written: method}

    def take_method(key: str) -> None:
        notes.say(replace(notes.said, methods=kept(key)))

    def stage(name: str) -> Action:
        detail = "a new one" if stack.floor.stage_by_name(name) is None else ""
        return item(f"stage {name}", name, lambda: take(name), detail, checked=name == one.name)

    names = [stage.name for stage in stack.floor.all(Stage) if not stage.put_away]
    if one.written not in names:
        names.append(one.written)
    names.sort(key=lambda name: name != one.name)
    ways = dict.fromkeys(m.name for m in stack.floor.all(Method) if not m.put_away) | ({method: None} if method else {})
    choices = [Choice(way, way, checked=way == method) for way in [*ways][:MOST_NAMED]]
    which = Pick(f"Which method {one.written} says", [*choices, Choice("", "None", checked=not method)])
    return PageContent(
        f"What {one.written} is",
        tiles=[stage(name) for name in names],
        actions=[field("method", "Method", method or "none", which, take_method, role="raised")],
    )


def open_page(stack: PagedPresenter, notes: NotesPage, names: tuple[str, ...]) -> PageContent:
    """Batches that are still in work, the newest first; the others are finished."""
    still = notes.said.open_batches

    def turn(name: str) -> None:
        notes.say(replace(notes.said, open_batches=tuple(sorted({*still} ^ {name}))))

    return PageContent(
        f"Which {word(stack.floor, 'batch').many} are still in work?",
        ["All others are closed with their last row, their pieces finished."],
        [
            item(
                f"batch {name}",
                name,
                partial(turn, name),
                "in work" if name in still else "finished",
                checked=name in still,
            )
            for name in reversed(names)
        ],
    )


def left_out_page(_stack: PagedPresenter, notes: NotesPage) -> PageContent:
    """The rows that can't be taken, each to be put right; what is more than can be listed is counted."""
    seen = notes.seen
    if seen is None or seen.counts is None or not seen.troubles:
        return PageContent("Nothing is left out")
    more = seen.counts.left_out - len(seen.troubles)
    lines = ["Press one to put it right. The file itself stays as it is."]
    return PageContent(
        texts.left_out_said(seen.counts),
        [*lines, *([f"{more} more are not listed."] if more else [])],
        [_refused(notes, one) for one in seen.troubles],
    )


def _refused(notes: NotesPage, one: Trouble) -> Action:
    place = one.place
    if place is None:
        return item(
            f"row {one.row}", f"Row {one.row}, {one.column}", lambda: None, one.why, why_not="Put it right in the file."
        )

    def put_right(typed: str, rows: Sequence[int]) -> None:
        said = {**notes.said.cells, **{(row, place): typed for row in rows}}
        notes.say(replace(notes.said, cells=said))

    def asking() -> Asking[None]:
        typed = yield from Text(f"Row {one.row} ({one.says}): {one.column} {one.why}. What is it?", one.cell)
        seen = notes.seen
        troubles = seen.troubles if seen is not None and one.cell else ()
        alike = [other.row for other in troubles if (other.place, other.cell) == (place, one.cell)]
        rows = [one.row]
        if len(alike) > 1:
            all_of_them = f"All {len(alike)} rows that say {one.cell}"
            rows = yield from choose("Where", [(Choice("one", "This row"), rows), (Choice("all", all_of_them), alike)])
        put_right(typed, rows)

    return item(f"row {one.row}", f"Row {one.row}, {one.column}", asking, one.why)


def columns_page(_stack: PagedPresenter, notes: NotesPage) -> PageContent:
    """The columns of a file over its first rows, under what stands over them there."""
    seen, title = notes.seen, "What each column is"
    if seen is None:
        return PageContent(title, ["Press a column to say what it is."], body=Body.TABLE)
    rows = [*([seen.columns.heads] if seen.columns.heads else []), *seen.rows]
    line = TextLine("Press a column to say what it is.")
    if seen.missing:
        line = TextLine(f"No column is the {' or the '.join(seen.missing)} yet. Press the one that is.", "straw")
    heads = [_head(notes, seen, place) for place in range(max((len(row) for row in rows), default=0))]
    return PageContent(title, [line], heads, body=Body.TABLE, rows=rows)


def _head(notes: NotesPage, seen: NotesPreview, place: int) -> Action:
    def take(key: str) -> None:
        """Take a meaning for one column that no other has then: the one that was guessed before goes by this too."""
        meant = None if key == texts.NOTHING else What(key)
        others = {at: what for at, what in notes.said.columns.items() if what is not meant or what is None}
        notes.say(replace(notes.said, columns={**others, place: meant}))

    meant = texts.meaning_at(seen.columns, place)
    said = meant.value.capitalize() if meant is not None else "Nothing"
    what = Pick(f"What column {letter(place)} is", texts.meanings(seen.columns, place))
    return field(f"column {place}", said, letter(place), what, take, role="raised" if meant is None else "plate")


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

    def say(self, said: NotesAnswers) -> None:
        """Take what the maker says now, and read the file with it."""
        self.said = said
        self._read()

    def content(self) -> PageContent:
        """Contents of the notes: what would be made, with all that can be said otherwise; what was made, or why not."""
        seen, floor = self.seen, self._stack.floor
        if seen is not None and any(file.sha256 == seen.sha256 for file in floor.all(ImportFile)):
            undo = "Undo takes all of it back. The same file adds nothing a second time."
            return PageContent(f"{seen.name} is in the record.", [undo], [*self._other_sheets(seen), *self._on()])
        if seen is None:
            return PageContent(self._why or f"Reading {self._file.name}")
        tiles, made, lines, actions = self._of_reading(seen), seen.counts, [], []
        if made is not None:
            tiles += self._of_making(seen)
            lines = [TextLine(line) for line in (*texts.lines_of(made), seen.years) if line]
            if made.left_out:
                lines.append(TextLine(f"{texts.left_out_said(made)}: see Left out.", "straw"))
            bring = item(
                "bring",
                "Bring in the rest" if made.left_out else "Bring all in",
                self._bring,
                texts.left_out_said(made) if made.left_out else "one Undo takes it back",
                role="primary",
                why_not=self._why_not() if made.intervals else "No row can be taken.",
            )
            actions = [bring]
        return PageContent(self._why or texts.title_of(floor, seen), lines, tiles, actions)

    def _of_reading(self, seen: NotesPreview) -> list[Action]:
        """Actions about how the file is read."""
        order, unit = self.said.asked.order, self.said.asked.unit
        columns = texts.columns_said(seen.columns)
        found = [self._tile("Columns", columns, self._page(columns_page), lacks=bool(seen.missing))]
        if len(seen.sheets) > 1:
            found.append(self._tile("Sheet", f"{seen.sheet}, 1 of {len(seen.sheets)}", self._ask_sheet))
        if seen.dates is not None or order is not None:
            said = order.value if order else f"{seen.dates}?"
            found.append(self._tile("Dates", said, self._ask_dates, lacks=not order))
        if seen.numbers is not None or unit is not None:
            said = f"are {unit.value}" if unit else "?"
            found.append(self._tile("Numbers", said, self._ask_numbers, lacks=not unit))
        return found

    def _of_making(self, seen: NotesPreview) -> list[Action]:
        """Actions about what is made of it."""
        floor, told, counts = self._stack.floor, self.said, seen.counts
        stages = word(floor, "stage").many.capitalize()
        found = [self._tile(stages, texts.stages_said(seen.stages), self._page(names_page))]
        if What.PATTERN in seen.lacks or told.pattern:
            said = told.pattern or f"no row says it: {NO_NAME}"
            found.append(self._tile("Pattern", said, self._ask_pattern, lacks=not told.pattern))
        if What.PIECES in seen.lacks or told.pieces:
            many = word(floor, "piece").many.capitalize()
            said = str(told.pieces or "no row says how many")
            found.append(self._tile(many, said, self._ask_pieces, lacks=not told.pieces))
        if counts is not None and (counts.estimated or told.measured is not None):
            said = "were timed" if told.measured else "count as estimated"
            found.append(self._tile("Lengths", said, self._ask_measured, lacks=told.measured is None))
        if seen.batches:
            still = str(len(told.open_batches) or "none: all are finished")
            found.append(self._tile("Still in work", still, self._page(partial(open_page, names=seen.batches))))
        if seen.troubles:
            found.append(self._tile("Left out", "row, column, why", self._page(left_out_page), lacks=True))
        return found

    def _on(self) -> list[Action]:
        """Ways to what the notes have become."""
        go, stages = self._stack.go, word(self._stack.floor, "stage").many
        batches = word(self._stack.floor, "batch").many
        return [
            item("trends", "To Trends", lambda: go("trends"), f"what they tell of the {stages}"),
            item("batches", f"To {batches.capitalize()}", lambda: go("batches"), f"{batches} that were made of them"),
        ]

    def _other_sheets(self, seen: NotesPreview) -> list[Action]:
        """Sheets of the workbook that are not in the record yet, each to be looked at by a press."""
        known = {file.sha256 for file in self._stack.floor.all(ImportFile)}
        left = [name for name, sha256 in seen.sheets if sha256 not in known]
        return [
            item(f"sheet {name}", name, partial(self._turn_to, name), "the same file's next sheet") for name in left
        ]

    def _turn_to(self, sheet: str) -> None:
        """Look at another sheet with the answers given so far; what was put right is another sheet's."""
        self.say(replace(self.said, sheet=sheet, cells={}, open_batches=()))

    def _why_not(self) -> str:
        """Say why nothing can be changed now; empty where it can."""
        return "They are being brought in." if self._bringing.busy else ""

    def _tile(self, title: str, detail: str, press: Callable[[], object], *, lacks: bool = False) -> Action:
        role = "straw" if lacks else "plate"
        return item(f"say {title}", title, press, detail, role=role, why_not=self._why_not())

    def _page(self, describe: Callable[..., PageContent]) -> Callable[[], Page]:
        return partial(DescribedPage, self._stack, partial(describe, notes=self))

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
            ask(self._stack.dialogs, self._ask_dates())
        elif seen.numbers is not None:
            ask(self._stack.dialogs, self._ask_numbers())

    def _wrong(self, why: str) -> None:
        self._why = why or "Stopped. Nothing was changed. Go back and choose the file again."
        self._stack.changed()

    def _ask_dates(self) -> Asking[None]:
        example = (self.seen.dates if self.seen is not None else None) or "7/3/26"
        key = yield from Pick(f"Which day is {example} in {self._file.name}", texts.date_choices(example))
        self.say(replace(self.said, asked=replace(self.said.asked, order=DateOrder(key))))

    def _ask_numbers(self) -> Asking[None]:
        example = (self.seen.numbers if self.seen is not None else None) or "80"
        key = yield from Pick(f"What is {example} in {self._file.name}", texts.number_choices(example))
        self.say(replace(self.said, asked=replace(self.said.asked, unit=LengthUnit(key))))

    def _ask_sheet(self) -> Asking[None]:
        sheets = self.seen.sheets if self.seen is not None else ()
        known, now = {file.sha256 for file in self._stack.floor.all(ImportFile)}, self.seen and self.seen.sheet
        choices = [
            Choice(name, name, "is in the record" if sha256 in known else "", checked=name == now)
            for name, sha256 in sheets
        ]
        self._turn_to((yield from Pick("Which sheet", choices)))

    def _ask_measured(self) -> Asking[None]:
        key = yield from Pick("How long each took, where no time of day stands", texts.measured_choices())
        self.say(replace(self.said, measured=key == texts.TIMED))

    def _ask_pattern(self) -> Asking[None]:
        names = [pattern.name for pattern in self._stack.floor.all(Pattern) if not pattern.put_away][:MOST_NAMED]
        choices = [*(Choice(name, name) for name in names), Choice("", NO_NAME, "leave it open")]
        self.say(replace(self.said, pattern=(yield from Pick("What was made", choices))))

    def _ask_pieces(self) -> Asking[None]:
        question = f"How many in a batch, where no row says it (1 to {MOST_PIECES})"
        typed = yield from Number(question, signs=COUNT)
        if not (typed.isdigit() and 1 <= int(typed) <= MOST_PIECES):
            raise Refusal(f"That is no number from 1 to {MOST_PIECES}. Nothing was changed.")
        self.say(replace(self.said, pieces=int(typed)))

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
