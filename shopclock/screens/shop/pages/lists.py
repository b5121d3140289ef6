"""The shop's own lists: tools, reasons, the words it has for things, the ways of doing a stage."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.setup.list_edit import (
    add_note_word,
    add_reason,
    add_tool,
    holds_no_load,
    move_reason,
    new_method,
    put_away,
    reasons,
    rename,
    set_capacity,
    set_word,
)
from shopclock.shop.values.entities import Method, NoteWord, Stage, Tool, Word
from shopclock.shop.values.names import names_said
from shopclock.shop.work.noting import note_words
from shopclock.views.dialogs import Choice
from shopclock.views.field import Name, Number, choose, field
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Pattern, Reason
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

    Listed = Method | NoteWord | Pattern | Reason | Stage | Tool

MEANT = {
    "piece": "What is worked on",
    "finished": "What it is when finished",
    "batch": "What is started together",
    "stage": "A kind of work",
    "load": "What goes into an oven at once",
}
Answer = tuple[Choice, Callable[[], object]]
"""An answer, and what it does."""


def listed(
    stack: PagedPresenter, thing: Method | NoteWord | Reason | Tool, detail: str = "", more: Sequence[Answer] = ()
) -> Action:
    """A thing of a list; a press asks for another name, to put it away or bring it back, or one of `more`."""
    away = thing.put_away
    answers: list[Answer] = [
        (Choice("name", "Another name", "it stays the same, with its history"), lambda: new_name(stack, thing)),
        *more,
        (
            Choice("away", "Bring back") if away else Choice("away", "Put away", "what was done with it stays"),
            lambda: set_away(stack, thing),
        ),
    ]
    return field(
        f"{type(thing).__name__.lower()} {thing.id}",
        thing.name,
        "put away" if away else detail,
        choose(thing.name, answers),
        lambda do: do(),
        role="raised" if away else "plate",
    )


def new_name(stack: PagedPresenter, thing: Listed) -> Asking[object]:
    """Ask for another name and take it."""
    name = yield from Name(f"Another name for {thing.name}", thing.name)
    return stack.do(f"Name: {name}", lambda tx: rename(tx, thing, name))


def set_away(stack: PagedPresenter, thing: Listed) -> None:
    """Put a thing away, or bring it back."""
    what = "Brought back" if thing.put_away else "Put away"
    stack.do(f"{what}: {thing.name}", lambda tx: put_away(tx, thing, away=not thing.put_away))


def tools_page(stack: PagedPresenter) -> PageContent:
    """Every tool by name, those put away last."""

    def add(name: str) -> object:
        return stack.make(f"Added {name}", lambda tx: add_tool(tx, name), lambda tool: _capacity(stack, tool))

    tools = sorted(stack.floor.all(Tool), key=lambda tool: (tool.put_away, tool.name.casefold()))
    return PageContent(
        "Tools",
        ["What holds work: an oven with 5 places, 8 clamps. A step says what each piece takes of it."],
        [_tool(stack, tool) for tool in tools],
        [field("add", "Add a tool", "", Name("Name of the tool"), add, role="primary")],
    )


def _tool(stack: PagedPresenter, tool: Tool) -> Action:
    def empty() -> None:
        stack.do(f"{tool.name} holds no load", lambda tx: holds_no_load(tx, tool))

    holds = (Choice("holds", "What it holds at once", f"{held(tool)} now"), lambda: _capacity(stack, tool))
    none = (Choice("none", "Holds no load", "one after the other"), empty)
    return listed(stack, tool, held(tool), [holds] if tool.capacity is None else [holds, none])


def _capacity(stack: PagedPresenter, tool: Tool) -> Asking[None]:
    start = "" if tool.capacity is None else f"{tool.capacity:g}"
    typed = yield from Number(f"How many does {tool.name} hold at once", start)
    stack.do(f"{tool.name} holds {typed}", lambda tx: set_capacity(tx, tool, typed))


def held(tool: Tool) -> str:
    """Say what a tool holds at once: holds 5, or one after the other."""
    return "one after the other" if tool.capacity is None else f"holds {tool.capacity:g}"


def reasons_page(stack: PagedPresenter) -> PageContent:
    """The reasons in the order in which they are offered, those put away last."""

    def add(name: str) -> None:
        stack.do(f"Added {name}", lambda tx: add_reason(tx, name))

    shown = [*reasons(stack.floor), *reasons(stack.floor, away=True)]
    return PageContent(
        "Reasons",
        ["Asked for in this order when a piece is lost."],
        [_reason(stack, reason) for reason in shown],
        [
            field("add", "Add a reason", "", Name("A reason, in a word or two"), add, role="primary"),
            item("notes", "Words for notes", partial(DescribedPage, stack, note_words_page), "one press at the Bench"),
        ],
    )


def note_words_page(stack: PagedPresenter) -> PageContent:
    """The words for notes in the order in which they are offered, those put away last."""

    def add(name: str) -> None:
        stack.do(f"Added {name}", lambda tx: add_note_word(tx, name))

    offered = note_words(stack.floor)
    shown = [*offered, *(word for word in stack.floor.all(NoteWord) if word not in offered)]
    return PageContent(
        "Words for notes",
        ["Noted by one press about a stretch of work, a piece or a batch."],
        [listed(stack, note_word) for note_word in shown],
        [field("add", "Add a word", "", Name("A word or two for notes"), add, role="primary")],
    )


def _reason(stack: PagedPresenter, reason: Reason) -> Action:
    def move(by: int) -> None:
        stack.do(f"Moved {reason.name}", lambda tx: move_reason(tx, reason, by))

    moves = [(Choice("earlier", "Earlier"), lambda: move(-1)), (Choice("later", "Later"), lambda: move(1))]
    return listed(stack, reason, more=[] if reason.put_away else moves)


def words_page(stack: PagedPresenter) -> PageContent:
    """The shop's own words, one and many."""
    words = [_word(stack, word) for word in stack.floor.all(Word)]
    return PageContent("The shop's own words", ["Every screen, sheet and print uses them."], words)


def _word(stack: PagedPresenter, word: Word) -> Action:
    def ask() -> Asking[tuple[str, str]]:
        one = yield from Name(f"{MEANT[word.name]}: one", word.one)
        many = yield from Name(f"{MEANT[word.name]}: two or more", word.many if one == word.one else one)
        return one, many

    def take(said: tuple[str, str]) -> None:
        stack.do(f"Word: {said[0]}", lambda tx: set_word(tx, word, *said))

    return field(word.name, MEANT[word.name], f"one {word.one}, two {word.many}", ask(), take)


def methods_of(floor: ShopFloor, stage: Stage) -> list[Method]:
    """A stage's methods, those put away last."""
    own = [method for method in floor.all(Method) if method.stage_id == stage.id]
    return sorted(own, key=lambda method: method.put_away)


def methods_said(floor: ShopFloor, stage: Stage) -> str:
    """A stage's methods in one line."""
    return names_said([m.name for m in methods_of(floor, stage) if not m.put_away], "methods") or "none"


def methods_page(stack: PagedPresenter, stage: Stage) -> PageContent:
    """The methods of a stage, wherever it stands in a route."""

    def add(name: str) -> None:
        stack.do(f"Added {name}", lambda tx: new_method(tx, stage, name))

    return PageContent(
        f"Methods of {stage.name}",
        ["Minutes are kept apart by method, so that one way can be held against another."],
        [listed(stack, method) for method in methods_of(stack.floor, stage)],
        [field("add", "Add a method", "", Name(f"Another way of {stage.name}"), add, role="primary")],
    )
