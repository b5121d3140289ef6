"""Readings that can be taken at a stage: the shop's list, and one of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.described import PageAbout
from shopclock.screens.readings.asking import units_from
from shopclock.shop.setup import reading_kinds
from shopclock.shop.values.entities import Pattern, ReadingKind, Stage
from shopclock.shop.values.measure import UNITS
from shopclock.shop.values.names import names_said
from shopclock.views.dialogs import MEASURED, Choice
from shopclock.views.field import Name, Number, Pick, Text, choose, field
from shopclock.views.page import PageContent, TextLine, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.setup.reading_kinds import Limit
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

LIMITS: tuple[tuple[Limit, str], ...] = (("low", "Lower limit"), ("target", "Target"), ("high", "Upper limit"))


def kinds_said(floor: ShopFloor, stage: Stage) -> str:
    """Readings of a stage, in one line."""
    names = dict.fromkeys(kind.name for kind in reading_kinds.kinds_of(floor, stage) if not kind.put_away)
    return names_said(list(names), "readings") or "none"


def reading_kinds_page(stack: PagedPresenter, stage: Stage) -> PageContent:
    """The readings of a stage, with the pattern that each is for."""
    return PageContent(
        f"Readings at {stage.name}",
        ["Offered at the Bench, never asked for."],
        [_kind(stack, kind) for kind in reading_kinds.kinds_of(stack.floor, stage)],
        [item("add", "Add a reading", lambda: _add(stack, stage), role="primary")],
    )


def _kind(stack: PagedPresenter, kind: ReadingKind) -> Action:
    return item(
        f"kind {kind.id}",
        kind.name,
        lambda: PageAbout(stack, kind, reading_kind_page),
        detail="put away" if kind.put_away else reading_kinds.limits_said(kind) or kind.unit,
        aside=_pattern_said(stack.floor, kind),
        role="raised" if kind.put_away else "plate",
    )


def _add(stack: PagedPresenter, stage: Stage) -> Asking[object]:
    name = yield from Name(f"What is measured at {stage.name}")
    unit = yield from _ask_unit(name)
    return stack.make(
        f"Added {name}",
        lambda tx: reading_kinds.add_kind(tx, stage=stage, name=name, unit=unit),
        lambda kind: PageAbout(stack, kind, reading_kind_page),
    )


def _ask_unit(name: str) -> Asking[str]:
    question = f"In which unit is {name}"
    units = [Choice(unit.name, unit.name, unit.measures) for unit in UNITS]
    unit = yield from Pick(question, [*units, Choice("other", "Another", "typed")])
    return (yield from Text(question)) if unit == "other" else unit


def _pattern_said(floor: ShopFloor, kind: ReadingKind) -> str:
    return floor.get(Pattern, kind.pattern_id).name if kind.pattern_id is not None else "every pattern"


def reading_kind_page(stack: PagedPresenter, kind: ReadingKind) -> PageContent:
    """One reading: name, unit, limits, target."""

    def rename(name: str) -> None:
        stack.do(f"Name: {name}", lambda tx: reading_kinds.rename_kind(tx, kind, name))

    def measure_in(unit: str) -> None:
        stack.do(f"Unit: {kind.name}", lambda tx: reading_kinds.set_unit(tx, kind, unit))

    def limit(which: Limit, title: str) -> Action:
        def take(typed: str) -> None:
            stack.do(f"Limits: {kind.name}", lambda tx: reading_kinds.set_limit(tx, kind, which, typed))

        value = reading_kinds.limit(kind, which)
        return field(which, title, str(value) if value is not None else "none", _ask_limit(kind, which, title), take)

    def put() -> None:
        what = "Brought back" if kind.put_away else "Put away"
        away = not kind.put_away
        stack.do(f"{what}: {kind.name}", lambda tx: reading_kinds.put_kind_away(tx, kind, away=away))

    line = TextLine("What was measured before is held to the limits as they are now.")
    if kind.common_practice:
        line = TextLine("Common practice, no source. Your own limits take its place.", "straw")
    away = "Bring back" if kind.put_away else "Put away"
    return PageContent(
        f"{kind.name}, {_pattern_said(stack.floor, kind)}",
        [line],
        [
            field("name", "Name", kind.name, Name(f"Another name for {kind.name}", kind.name), rename),
            field("unit", "Unit", kind.unit or "none", _ask_unit(kind.name), measure_in),
            *(limit(*one) for one in LIMITS),
            item("away", away, put, detail="what was measured stays", role="raised"),
        ],
    )


def _ask_limit(kind: ReadingKind, which: Limit, title: str) -> Asking[str]:
    """The limit as typed; nothing where it is no longer to be held to it."""
    value = reading_kinds.limit(kind, which)
    if value is not None:
        answers = ((Choice("type", "Another value"), True), (Choice("clear", "None", "no longer held to it"), False))
        if not (yield from choose(f"{title} {value}", answers)):
            return ""
    start = value.typed if value is not None else ""
    return (yield from Number(f"{title} of {kind.name}", start, units_from(kind.unit), signs=MEASURED))
