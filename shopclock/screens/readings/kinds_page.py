"""What can be measured at a stage: the shop's list, and one of it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.about import StageAbout
from shopclock.screens.readings.asking import units_from
from shopclock.shop.setup import reading_kinds
from shopclock.shop.values.entities import Pattern, ReadingKind, Stage
from shopclock.shop.values.measure import UNITS
from shopclock.views.dialogs import MEASURED, Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.setup.reading_kinds import Limit
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.page import Action

OTHER = "other"
CLEAR = "clear"
LIMITS: tuple[tuple[Limit, str], ...] = (("low", "Lower limit"), ("target", "Target"), ("high", "Upper limit"))


def kinds_said(floor: ShopFloor, stage: Stage) -> str:
    """What is measured at a stage, in one line."""
    names = dict.fromkeys(kind.name for kind in reading_kinds.kinds_of(floor, stage) if not kind.put_away)
    return ", ".join(names) or "none"


def _ask_unit(stack: PagedPresenter, question: str, then: Callable[[str], object]) -> None:
    choices = [*(Choice(unit.name, unit.name, unit.measures) for unit in UNITS), Choice(OTHER, "Another", "typed")]

    def take(key: str) -> None:
        if key == OTHER:
            stack.dialogs.text(question, "", on_answer(then))
        else:
            then(key)

    stack.dialogs.ask(question, choices, on_answer(take))


class ReadingKindsPage(StageAbout):
    """The readings of a stage, with the pattern that each is for."""

    def title(self) -> str:
        """Of which stage."""
        return f"Readings at {self.stage.name}"

    def lines(self) -> Sequence[TextLine]:
        """What they are for."""
        return (TextLine("Offered at the Bench, never asked for."),)

    def offers(self) -> Sequence[Action]:
        """The readings."""
        return [self._one(kind) for kind in reading_kinds.kinds_of(self._stack.floor, self.stage)]

    def actions(self) -> Sequence[Action]:
        """One more."""
        return [action("add", "Add a reading", calling(self._ask_name), role="primary")]

    def _one(self, kind: ReadingKind) -> Action:
        return action(
            f"kind {kind.id}",
            kind.name,
            calling(lambda: self._stack.open(ReadingKindPage(self._stack, kind.id))),
            detail="put away" if kind.put_away else reading_kinds.limits_said(kind) or kind.unit,
            aside=pattern_said(self._stack.floor, kind),
            role="raised" if kind.put_away else "plate",
        )

    def _ask_name(self) -> None:
        self._stack.dialogs.text(f"What is measured at {self.stage.name}", "", on_answer(self._ask_unit))

    def _ask_unit(self, name: str) -> None:
        _ask_unit(self._stack, f"In which unit is {name}", partial(self._add, name))

    def _add(self, name: str, unit: str) -> None:
        rule = partial(reading_kinds.add_kind, stage=self.stage, name=name, unit=unit)
        kind = self._stack.do(f"Added {name}", rule)
        if kind is not None:
            self._stack.open(ReadingKindPage(self._stack, kind.id))


def pattern_said(floor: ShopFloor, kind: ReadingKind) -> str:
    """For which pattern a reading is."""
    return floor.get(Pattern, kind.pattern_id).name if kind.pattern_id is not None else "every pattern"


class ReadingKindPage(Page):
    """One reading: name, unit, limits, target."""

    def __init__(self, stack: PagedPresenter, kind_id: int) -> None:
        self._stack = stack
        self._kind_id = kind_id

    @property
    def kind(self) -> ReadingKind:
        """The reading as it is now."""
        return self._stack.floor.get(ReadingKind, self._kind_id)

    def gone(self) -> bool:
        """Whether an Undo took it away."""
        return self._stack.floor.find(ReadingKind, self._kind_id) is None

    def title(self) -> str:
        """Its name and pattern."""
        return f"{self.kind.name}, {pattern_said(self._stack.floor, self.kind)}"

    def lines(self) -> Sequence[TextLine]:
        """Where its limits come from."""
        if self.kind.common_practice:
            return (TextLine("Common practice, no source. Your own limits take its place.", "straw"),)
        return (TextLine("What was measured before is held to the limits as they are now."),)

    def offers(self) -> Sequence[Action]:
        """What can be changed."""
        kind, away = self.kind, not self.kind.put_away
        return [
            action("name", "Name", calling(self._ask_name), detail=kind.name),
            action("unit", "Unit", calling(self._ask_unit), detail=kind.unit or "none"),
            *(self._limit(which, title) for which, title in LIMITS),
            action(
                "away",
                "Put away" if away else "Bring back",
                calling(partial(self._put_away, away=away)),
                detail="what was measured stays",
                role="raised",
            ),
        ]

    def _limit(self, which: Limit, title: str) -> Action:
        value = reading_kinds.limit(self.kind, which)
        said = str(value) if value is not None else "none"
        return action(which, title, calling(partial(self._ask_limit, which, title)), detail=said)

    def _ask_limit(self, which: Limit, title: str) -> None:
        value = reading_kinds.limit(self.kind, which)
        if value is None:
            self._type_limit(which, title)
            return
        choices = (Choice("type", "Another value"), Choice(CLEAR, "None", "no longer held to it"))
        self._stack.dialogs.ask(
            f"{title} {value}",
            choices,
            on_answer(lambda key: self._set(which, "") if key == CLEAR else self._type_limit(which, title)),
        )

    def _type_limit(self, which: Limit, title: str) -> None:
        value = reading_kinds.limit(self.kind, which)
        self._stack.dialogs.number(
            f"{title} of {self.kind.name}",
            value.shown if value is not None else "",
            on_answer(partial(self._set, which)),
            units_from(self.kind.unit),
            signs=MEASURED,
        )

    def _set(self, which: Limit, typed: str) -> None:
        self._stack.do(f"Limits: {self.kind.name}", lambda tx: reading_kinds.set_limit(tx, self.kind, which, typed))

    def _ask_name(self) -> None:
        self._stack.dialogs.text(f"Another name for {self.kind.name}", self.kind.name, on_answer(self._rename))

    def _rename(self, name: str) -> None:
        self._stack.do(f"Name: {name}", lambda tx: reading_kinds.rename_kind(tx, self.kind, name))

    def _ask_unit(self) -> None:
        _ask_unit(self._stack, f"In which unit is {self.kind.name}", self._take_unit)

    def _take_unit(self, unit: str) -> None:
        self._stack.do(f"Unit: {self.kind.name}", lambda tx: reading_kinds.set_unit(tx, self.kind, unit))

    def _put_away(self, *, away: bool) -> None:
        what = "Put away" if away else "Brought back"
        self._stack.do(f"{what}: {self.kind.name}", lambda tx: reading_kinds.put_kind_away(tx, self.kind, away=away))
