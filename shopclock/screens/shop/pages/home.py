"""Front of Shop: everything in it that can be changed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.places import resource
from shopclock.screens.manual.chapters import chapters
from shopclock.screens.manual.pages import ManualPage, manual_page
from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.shop.pages.in_and_out import in_and_out_page
from shopclock.screens.shop.pages.keys import keys_page
from shopclock.screens.shop.pages.lists import reasons_page, tools_page, words_page
from shopclock.screens.shop.pages.makers import makers_page, makers_said
from shopclock.screens.shop.pages.patterns import patterns_page
from shopclock.screens.shop.pages.settings import OnScreen, asking_page, look_page
from shopclock.screens.shop.pages.stages import stages_page
from shopclock.screens.shop.pages.the_shop import the_shop_page
from shopclock.shop.setup.list_edit import reasons
from shopclock.shop.setup.the_shop import the_shop
from shopclock.shop.state import settings
from shopclock.shop.state.keys import actions, key_for
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Pattern, Stage, Tool, Word
from shopclock.shop.values.names import names_said
from shopclock.views.page import Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.screens.shop.pages.settings import Window
    from shopclock.shop.routes.starter_route import StarterRoute
    from shopclock.shop.setup.the_shop import Here
    from shopclock.views.page import Action

    MakePage = Callable[[PagedPresenter], Page]


class ShopHome(Page):
    """The first page: a tile for each list, and for what can be done with the record's file."""

    def __init__(
        self,
        stack: PagedPresenter,
        starter_routes: Sequence[StarterRoute],
        files: Mapping[tuple[str, str], MakePage],
        here: Here,
    ) -> None:
        self.here = here
        self._stack = stack
        self._files = files
        self._starter_routes = starter_routes
        self.on_screen = OnScreen("", 0.0, 0.0)
        self.window: Window | None = None

    def content(self) -> PageContent:
        """The lists, each with what is in it; in an empty shop, where to begin."""
        floor, stages = self._stack.floor, word(self._stack.floor, "stage").many.capitalize()
        patterns = sum(not pattern.put_away for pattern in floor.all(Pattern))
        kinds = sum(not stage.put_away for stage in floor.all(Stage))
        tools = sum(not tool.put_away for tool in floor.all(Tool))
        keys = sum(key_for(floor, done) is not None for done in actions(floor))
        why = names_said([reason.name for reason in reasons(floor)], "reasons", 3)
        look = f"{settings.value(floor, settings.THEME)}, for {settings.value(floor, settings.SIZE)}"
        begun = any(floor.all(Pattern))
        return PageContent(
            "What the shop has",
            [] if begun else [TextLine("Begin with Patterns: copy a route and give it a name.", "text")],
            [
                self._tile(
                    "Patterns",
                    f"{patterns} with their routes" if patterns else "copy a first route",
                    partial(patterns_page, starter_routes=self._starter_routes),
                    "plate" if begun else "primary",
                ),
                self._tile(stages, f"{counted(floor, 'stage', kinds)} with their methods", stages_page),
                self._tile("Makers", makers_said(floor), makers_page),
                self._tile("Tools", f"{tools} with what they hold" if tools else "none yet", tools_page),
                self._tile("Reasons", why, reasons_page),
                self._tile("Words", names_said([w.one for w in floor.all(Word)], "words"), words_page),
                self._tile("The shop", the_shop(floor).name or "no name yet", partial(the_shop_page, here=self.here)),
                self._tile("Look and sizes", look, lambda stack: look_page(stack, self.on_screen, self.window)),
                self._tile("Still at it?", f"the day ends at {settings.value(floor, settings.DAY_ENDS)}", asking_page),
                self._tile("Keys and pedals", f"{keys} of {len(actions(floor))} have a key", keys_page),
                *self._in_and_out(),
                item("manual", "Manual", self._manual, detail="what each press does"),
            ],
            self._out_of_full_screen(),
        )

    def _manual(self) -> Page:
        return ManualPage(self._stack, partial(manual_page, chapters=chapters(resource("manual"))))

    def _in_and_out(self) -> list[Action]:
        """The way to notes, spreadsheets, paper, copies and the desk."""
        names = ", ".join(title.lower() for title, _ in self._files)
        return [self._tile("In and out", names, partial(in_and_out_page, files=self._files))] if self._files else []

    def _out_of_full_screen(self) -> list[Action]:
        """Actions that a window's frame would offer, for a finger, where there is none."""
        window = self.window
        if window is None or not self.on_screen.full:
            return []
        return [
            item("leave full screen", "Leave full screen", lambda: window.set_full_screen(False), role="raised"),
            item("close", "Close Shopclock", window.close, role="raised"),
        ]

    def _tile(
        self, title: str, detail: str, describe: Callable[[PagedPresenter], PageContent], role: str = "plate"
    ) -> Action:
        page = partial(DescribedPage, self._stack, describe)
        return item(title.casefold(), title, page, detail=detail, role=role)
