"""Questions, one after another, and the field of a page that takes what they end in. Plain Python, no Qt."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol, TypeAlias, TypeVar

from shopclock.shop.routes.route_length import DAY_S, HOUR_S, LONGEST_S, MINUTE_S
from shopclock.shop.values.errors import Refusal, ShopError
from shopclock.shop.values.habits import marked
from shopclock.shop.values.names import good_name
from shopclock.views.dialogs import AMOUNT, Choice
from shopclock.views.page import item, void

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from typing import Unpack

    from shopclock.views.dialogs import Dialogs, Then
    from shopclock.views.page import Action, Look

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Prompt:
    """One question; `yield from` on it gives the answer as it was typed, or the key of what was chosen."""

    question: str

    def put(self, dialogs: Dialogs, then: Then) -> None:
        """Ask it."""
        raise NotImplementedError

    def __iter__(self) -> Asking[str]:
        """Ask it alone."""
        return (yield self)


Asking: TypeAlias = Generator[Prompt, str, T]
"""Questions, each put when the one before is answered; they end in a T. Each is made for one time of asking."""


class Asks(Protocol[T_co]):
    """One question, or an Asking, that ends in a T."""

    def __iter__(self) -> Asking[T_co]:
        """The questions."""


@dataclass(frozen=True, slots=True)
class Text(Prompt):
    """A line of text. What `check` refuses is told at once, and what was typed stands there to be put right."""

    start: str = ""
    check: Callable[[str], object] = void

    def put(self, dialogs: Dialogs, then: Then) -> None:
        """Ask it, until it is good or the maker goes back."""

        def typed(text: str | None) -> None:
            try:
                self.check(text) if text is not None else None
            except Refusal as refused:
                dialogs.tell(str(refused), lambda: replace(self, start=text or "").put(dialogs, then))
            else:
                then(text)

        dialogs.text(self.question, self.start, typed)


@dataclass(frozen=True, slots=True)
class Name(Text):
    """A name: neither empty nor too long."""

    check: Callable[[str], object] = good_name


@dataclass(frozen=True, slots=True)
class Number(Prompt):
    """A figure from the number pad; where there are units, the chosen one stands behind it."""

    start: str = ""
    units: Sequence[str] = ()
    note: str = ""
    signs: str = AMOUNT

    def put(self, dialogs: Dialogs, then: Then) -> None:
        """Ask it."""
        dialogs.number(self.question, self.start, then, self.units, self.note, self.signs)


@dataclass(frozen=True, slots=True)
class Pick(Prompt):
    """One of some choices, by its key."""

    choices: Sequence[Choice] = ()

    def put(self, dialogs: Dialogs, then: Then) -> None:
        """Ask it."""
        dialogs.ask(self.question, self.choices, then)


def choose(question: str, answers: Iterable[tuple[Choice, T]]) -> Asking[T]:
    """One of some choices, each with what it stands for."""
    found = list(answers)
    key = yield from Pick(question, [choice for choice, _ in found])
    return next(meant for choice, meant in found if choice.key == key)


def options(question: str, said: Mapping[T, tuple[str, str]], now: T) -> Asking[T]:
    """One of some values, each said in a title and a detail; the one that holds now is marked."""
    return choose(question, [(Choice(str(v), *words, checked=v == now), v) for v, words in said.items()])


UNITS = {"minutes": MINUTE_S, "hours": HOUR_S, "days": DAY_S}


def length(question: str) -> Asking[int]:
    """A length in seconds: in minutes, hours or days, then how many; refused beyond a minute to a year."""
    unit = yield from Pick(question, [Choice(unit, f"In {unit}") for unit in UNITS])
    typed = yield from Number(f"{question}, in {unit}")
    try:
        seconds = round(float(typed) * UNITS[unit])
    except (ValueError, OverflowError):
        seconds = 0
    if not MINUTE_S <= seconds <= LONGEST_S:
        raise Refusal(f"{marked(typed)} {unit} is no length from a minute to a year. Nothing was changed.")
    return seconds


def field(key: str, title: str, value: str, asks: Asks[T], take: Callable[[T], object], **look: Unpack[Look]) -> Action:
    """A field: its title, its value in words, what is asked when it is pressed and what takes the answer.

    What `take` gives is gone on with as with any press: a page is opened, further questions are asked.
    """

    def asking() -> Asking[object]:
        return take((yield from asks))

    return item(key, title, asking, value, **look)


def choice(
    key: str, title: str, question: str, said: Mapping[T, tuple[str, str]], now: T, take: Callable[[T], object]
) -> Action:
    """A field that has one of some values, each said in a title and a detail."""
    return field(key, title, said[now][0], options(question, said, now), take)


def ask(dialogs: Dialogs, asking: Asking[T], then: Callable[[T], object] = void) -> None:
    """Ask one question after another and go on with what they end in.

    Going back at one of them ends it and changes nothing; a refusal is told.
    """

    def answered(answer: str | None) -> None:
        if answer is not None:
            go_on(lambda: asking.send(answer))

    def go_on(step: Callable[[], Prompt]) -> None:
        try:
            question = step()
        except StopIteration as ended:
            then(ended.value)
        except ShopError as error:
            dialogs.tell(str(error))
        else:
            question.put(dialogs, answered)

    go_on(lambda: next(asking))
