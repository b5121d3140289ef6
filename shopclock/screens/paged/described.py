"""The page that draws a description: a function from the shop as it is now to what the page has."""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, TypeVar

from shopclock.screens.paged.paged_presenter import PagedPresenter
from shopclock.shop.values.entities import Entity
from shopclock.views.page import Page

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.views.page import PageContent

S = TypeVar("S", bound=PagedPresenter)
E = TypeVar("E", bound=Entity)


class DescribedPage(Page, Generic[S]):
    """A page drawn from its description; one that gives nothing is left."""

    def __init__(self, stack: S, describe: Callable[[S], PageContent | None]) -> None:
        self._stack = stack
        self._describe = describe

    def content(self) -> PageContent | None:
        """The description of this moment."""
        return self._describe(self._stack)


class PageAbout(DescribedPage[S], Generic[S, E]):
    """A page about one thing of the shop: known by its number, left when an Undo took it away."""

    def __init__(self, stack: S, thing: E, describe: Callable[[S, E], PageContent | None]) -> None:
        def of_now(stack: S) -> PageContent | None:
            now = stack.floor.find(type(thing), thing.id)
            return describe(stack, now) if now is not None else None

        super().__init__(stack, of_now)
