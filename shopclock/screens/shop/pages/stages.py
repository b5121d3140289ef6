"""The kinds of work that the shop has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.about import StageAbout
from shopclock.screens.readings.kinds_page import ReadingKindsPage, kinds_said
from shopclock.screens.shop.pages.made_before import MadeBeforePage, ask_whole, before_said
from shopclock.screens.shop.pages.methods import MethodsPage, methods_said
from shopclock.screens.shop.renaming import ask_name, set_away
from shopclock.screens.shop.texts import KINDS, WORKED
from shopclock.shop.setup.list_edit import add_stage, change_stage
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.kinds import Kind
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

WHICH = (
    Choice("piece", "Work on pieces", "a step of routes"),
    Choice("shop", "Shop work", "sweeping, post: for no piece"),
)


class StagesPage(Page):
    """Every stage by name; shop work and those put away last."""

    def __init__(self, stack: PagedPresenter) -> None:
        self._stack = stack

    def title(self) -> str:
        """In the shop's own word."""
        return word(self._stack.floor, "stage").many.capitalize()

    def lines(self) -> Sequence[TextLine]:
        """What a name is worth."""
        return (TextLine("Each keeps its history under any name."),)

    def offers(self) -> Sequence[Action]:
        """The stages."""
        stages = list(self._stack.floor.all(Stage))
        stages.sort(key=lambda s: (s.put_away, s.shop_work, s.name.casefold()))
        return [self._stage(stage) for stage in stages]

    def actions(self) -> Sequence[Action]:
        """One more; where the count of whole pieces starts."""
        one, pieces = word(self._stack.floor, "stage").one, word(self._stack.floor, "piece").many
        return [
            action("add", f"New {one}", calling(self._ask_which), role="primary"),
            action("before", f"Whole {pieces} made before", calling(lambda: ask_whole(self._stack))),
        ]

    def _stage(self, stage: Stage) -> Action:
        return action(
            f"stage {stage.id}",
            stage.name,
            calling(lambda: self._stack.open(StagePage(self._stack, stage.id))),
            detail=self._detail(stage),
            role="raised" if stage.put_away else "plate",
        )

    def _detail(self, stage: Stage) -> str:
        if stage.put_away:
            return "put away"
        if stage.shop_work:
            return "shop work"
        said = KINDS[stage.kind][0].casefold()
        methods = methods_said(self._stack.floor, stage)
        return said if methods == "none" else f"{said} · {methods}"

    def _ask_which(self) -> None:
        self._stack.dialogs.ask("What kind of work", WHICH, on_answer(self._ask_name))

    def _ask_name(self, which: str) -> None:
        question = f"Name of the {word(self._stack.floor, 'stage').one}"
        self._stack.dialogs.text(question, "", on_answer(lambda name: self._add(name, shop_work=which == "shop")))

    def _add(self, name: str, *, shop_work: bool) -> None:
        stage = self._stack.do(f"Added {name}", lambda tx: add_stage(tx, name, shop_work=shop_work))
        if stage is not None:
            self._stack.open(StagePage(self._stack, stage.id))


class StagePage(StageAbout):
    """One stage. What is set here is where a new step of it begins; steps that there are stay as they are."""

    def title(self) -> str:
        """Its name."""
        return self.stage.name

    def lines(self) -> Sequence[TextLine]:
        """What a change touches."""
        said = "Shop work belongs to no piece." if self.stage.shop_work else "New steps begin so; steps in routes stay."
        return (TextLine(said), *((TextLine(self.stage.caution, "straw"),) if self.stage.caution else ()))

    def offers(self) -> Sequence[Action]:
        """What can be changed."""
        stage = self.stage
        away = "Bring back" if stage.put_away else "Put away"
        name = action("name", "Name", calling(lambda: ask_name(self._stack, self.stage)), detail=stage.name)
        put = action(
            "away",
            away,
            calling(lambda: set_away(self._stack, self.stage, away=not self.stage.put_away)),
            detail="its history stays",
            role="raised",
        )
        return [name, *(() if stage.shop_work else self._worked()), put]

    def _worked(self) -> list[Action]:
        stage = self.stage
        return [
            action("kind", "Who is needed", calling(self._ask_kind), detail=KINDS[stage.kind][0]),
            action("worked", "How it is worked", calling(self._ask_worked), detail=WORKED[stage.one_by_one][0]),
            action(
                "methods",
                "Methods",
                calling(lambda: self._stack.open(MethodsPage(self._stack, stage.id))),
                detail=methods_said(self._stack.floor, stage),
            ),
            action(
                "readings",
                "Readings",
                calling(lambda: self._stack.open(ReadingKindsPage(self._stack, stage.id))),
                detail=kinds_said(self._stack.floor, stage),
            ),
            action(
                "before",
                "Made before timing began",
                calling(lambda: self._stack.open(MadeBeforePage(self._stack, stage.id))),
                detail=before_said(self._stack.floor, stage),
            ),
        ]

    def _ask_kind(self) -> None:
        choices = [Choice(k, title, said, checked=k is self.stage.kind) for k, (title, said) in KINDS.items()]
        self._stack.dialogs.ask(f"Who is needed for {self.stage.name}", choices, on_answer(self._take_kind))

    def _take_kind(self, key: str) -> None:
        kind = Kind(key)
        self._stack.do(f"{self.stage.name}: {KINDS[kind][0]}", lambda tx: change_stage(tx, self.stage, kind=kind))

    def _ask_worked(self) -> None:
        choices = [
            Choice(str(k), title, said, checked=k is self.stage.one_by_one) for k, (title, said) in WORKED.items()
        ]
        self._stack.dialogs.ask(f"How is {self.stage.name} worked", choices, on_answer(self._take_worked))

    def _take_worked(self, key: str) -> None:
        one = key == str(True)
        what = f"{self.stage.name}: {WORKED[one][0]}"
        self._stack.do(what, lambda tx: change_stage(tx, self.stage, one_by_one=one))
