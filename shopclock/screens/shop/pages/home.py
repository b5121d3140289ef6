"""What there is in the shop to be changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.places import resource
from shopclock.screens.manual.chapters import chapters
from shopclock.screens.manual.pages import ManualPage
from shopclock.screens.shop.pages.asking import AskingPage
from shopclock.screens.shop.pages.keys import KeysPage
from shopclock.screens.shop.pages.look import LookPage, OnScreen
from shopclock.screens.shop.pages.patterns import PatternsPage
from shopclock.screens.shop.pages.reasons import ReasonsPage
from shopclock.screens.shop.pages.stages import StagesPage
from shopclock.screens.shop.pages.tools import ToolsPage
from shopclock.screens.shop.pages.words import WordsPage
from shopclock.shop.setup.list_edit import reasons
from shopclock.shop.state import settings
from shopclock.shop.state.keys import ACTIONS, key_for
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Pattern, Stage, Tool, Word
from shopclock.views.page import Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.routes.starter_route import StarterRoute
    from shopclock.views.page import Action

    MakePage = Callable[[PagedPresenter], Page]


class ShopHome(Page):
    """The first page: a tile for each list."""

    def __init__(
        self, stack: PagedPresenter, starter_routes: Sequence[StarterRoute], files: Mapping[tuple[str, str], MakePage]
    ) -> None:
        self._stack = stack
        self._files = files
        self._starter_routes = starter_routes
        self._on_screen = OnScreen("", 0.0, 0.0)

    def on_screen(self, name: str, px_mm: float, widest_px: float) -> None:
        """Keep on which screen the window is."""
        self._on_screen = OnScreen(name, px_mm, widest_px)

    def title(self) -> str:
        """What it is."""
        return "What the shop has"

    def lines(self) -> Sequence[TextLine]:
        """Where to begin in an empty shop."""
        if any(self._stack.floor.all(Pattern)):
            return ()
        return (TextLine("Begin with Patterns: copy a route and give it a name.", "text"),)

    def offers(self) -> Sequence[Action]:
        """The lists."""
        s = self._stack
        return [
            self._tile("Patterns", self._patterns_said(), lambda: PatternsPage(s, self._starter_routes), "primary"),
            self._tile(word(s.floor, "stage").many.capitalize(), self._stages_said(), lambda: StagesPage(s)),
            self._tile("Tools", _count(Tool, s), lambda: ToolsPage(s)),
            self._tile("Reasons", ", ".join(r.name for r in reasons(s.floor)[:3]), lambda: ReasonsPage(s)),
            self._tile("Words", ", ".join(w.one for w in s.floor.all(Word)), lambda: WordsPage(s)),
            self._tile("Look and sizes", self._look_said(), lambda: LookPage(s, lambda: self._on_screen)),
            self._tile("Still at it?", self._asking_said(), lambda: AskingPage(s)),
            self._tile("Keys and pedals", self._keys_said(), lambda: KeysPage(s)),
            *self._file_tiles(),
            self._tile("Manual", "what each press does", lambda: ManualPage(s, chapters(resource("manual")))),
        ]

    def _file_tiles(self) -> list[Action]:
        """What can be done with the record's file."""
        return [self._file_tile(title, detail, make) for (title, detail), make in self._files.items()]

    def _file_tile(self, title: str, detail: str, make: MakePage) -> Action:
        return self._tile(title, detail, lambda: make(self._stack))

    def _tile(self, title: str, detail: str, page: Callable[[], Page], role: str = "plate") -> Action:
        bare = any(self._stack.floor.all(Pattern))
        return action(
            title.casefold(),
            title,
            calling(lambda: self._stack.open(page())),
            detail=detail,
            role="plate" if bare else role,
        )

    def _patterns_said(self) -> str:
        n = sum(not pattern.put_away for pattern in self._stack.floor.all(Pattern))
        return f"{n} with their routes" if n else "copy a first route"

    def _stages_said(self) -> str:
        n = sum(not stage.put_away for stage in self._stack.floor.all(Stage))
        return f"{counted(self._stack.floor, 'stage', n)} with their methods"

    def _look_said(self) -> str:
        floor = self._stack.floor
        return f"{settings.value(floor, settings.THEME)}, for {settings.value(floor, settings.SIZE)}"

    def _asking_said(self) -> str:
        return f"the day ends at {settings.value(self._stack.floor, settings.DAY_ENDS)}"

    def _keys_said(self) -> str:
        n = sum(key_for(self._stack.floor, action) is not None for action in ACTIONS)
        return f"{n} of {len(ACTIONS)} have a key"


def _count(kind: type[Tool], stack: PagedPresenter) -> str:
    n = sum(not tool.put_away for tool in stack.floor.all(kind))
    return f"{n} with what they hold" if n else "none yet"
