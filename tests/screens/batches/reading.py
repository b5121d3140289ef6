"""Reading and pressing a page as a maker would."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Button


def tile(presenter: PagedPresenter, title: str) -> Button:
    """The button with this title."""
    state = presenter.state()
    return next(t for t in (*state.tiles, *state.actions) if t.title == title)


def titles(presenter: PagedPresenter) -> list[str]:
    """The titles of the tiles."""
    return [t.title for t in presenter.state().tiles]


def press(presenter: PagedPresenter, *names: str) -> None:
    """Press buttons by their titles, one after the other."""
    for name in names:
        presenter.press(tile(presenter, name).key)


def said(presenter: PagedPresenter) -> str:
    """The lines under the title."""
    return " ".join(line.text for line in presenter.state().lines)
