"""Fields that several pages of Shop have: a name, putting away, how it is worked, warmth, settings."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol, TypeVar

from shopclock.screens.shop.texts import KINDS, WORKED
from shopclock.shop.routes import cure
from shopclock.shop.setup.list_edit import put_away, rename
from shopclock.shop.state import settings
from shopclock.shop.values.kinds import Kind
from shopclock.views.dialogs import Choice
from shopclock.views.field import Number, Text, choice, choose, field, options

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Method, Pattern, Reason, RouteStep, Stage, Tool
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

    Listed = Method | Pattern | Reason | Stage | Tool

T = TypeVar("T", str, int)
Answer = tuple[Choice, Callable[[], object]]
"""An answer, and what it does."""


def listed(
    stack: PagedPresenter, thing: Method | Reason | Tool, detail: str = "", more: Sequence[Answer] = ()
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
    name = yield from Text(f"Another name for {thing.name}", thing.name)
    return stack.do(f"Name: {name}", lambda tx: rename(tx, thing, name))


def set_away(stack: PagedPresenter, thing: Listed) -> None:
    """Put a thing away, or bring it back."""
    what = "Brought back" if thing.put_away else "Put away"
    stack.do(f"{what}: {thing.name}", lambda tx: put_away(tx, thing, away=not thing.put_away))


class Change(Protocol):
    """Takes the new value of a field of a stage or a step; `said` is the value in words."""

    def __call__(self, said: str, **fields: Kind | bool) -> None:
        """Press it."""


def working(thing: Stage | RouteStep, change: Change) -> list[Action]:
    """The fields of who is needed and how it is worked."""
    return [
        choice(
            "kind",
            "Who is needed",
            f"Who is needed for {thing.name}",
            KINDS,
            thing.kind,
            lambda kind: change(KINDS[kind][0], kind=kind),
        ),
        choice(
            "worked",
            "How it is worked",
            f"How is {thing.name} worked",
            WORKED,
            thing.one_by_one,
            lambda one: change(WORKED[one][0], one_by_one=one),
        ),
    ]


def can_be_asked(step: RouteStep) -> bool:
    """Tell whether a step could follow the shop's warmth: a wait with no heat of its own."""
    return step.kind is Kind.WAIT and not step.setting


def span_said(step: RouteStep) -> str:
    """Say between which temperatures a step follows."""
    said = cure.span_text(step)
    return f"followed, {said} °C" if said else "not followed"


def ask_span(step: RouteStep) -> Asking[Mapping[str, float | None]]:
    """Whether a step follows the shop's warmth, from how cold and to how warm, as its fields."""
    span = cure.span(step)
    answers = (
        (Choice("no", "No", "it lasts the same in any weather", checked=span is None), False),
        (Choice("follows", "Yes", "a cold shop cures slower", checked=span is not None), True),
    )
    if not (yield from choose(f"Does {step.name} follow the shop's warmth", answers)):
        return {"coldest_c": None, "warmest_c": None}
    low, high = span or (cure.LOW_C, cure.HIGH_C)
    coldest = yield from Number("The coldest shop that its makers allow, °C or °F", f"{low:g}")
    warmest = yield from Number("The warmest shop that its makers allow, °C or °F", f"{high:g}")
    return cure.set_span(coldest, warmest)


def setting(stack: PagedPresenter, title: str, spec: settings.Spec[T], said: Mapping[T, str]) -> Action:
    """A setting and its choices, each in the words of `said`."""
    now = settings.value(stack.floor, spec)

    def take(value: T) -> None:
        stack.do(title, lambda tx: settings.set_value(tx, spec, value))

    words = {value: (said[value].capitalize(), "") for value in spec.choices}
    return field(spec.name, title, said[now], options(spec.help, words, now), take)
