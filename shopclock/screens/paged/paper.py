"""Paper for a page, without knowing of printers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.exchange.paper.page import PaperPage, PaperSize
    from shopclock.views.dialogs import Dialogs

    Make = Callable[[PaperSize], Sequence[PaperPage]]
    """Lays something out on paper of a size."""


class Paper(Protocol):
    """Source of paper."""

    def put(self, name: str, make: Make) -> None:
        """Ask where to, put on paper what `make` lays out, and tell where it is."""


class NoPaper:
    """Stands for paper where there is no window to ask from."""

    def __init__(self, dialogs: Dialogs) -> None:
        self._dialogs = dialogs

    def put(self, name: str, make: Make) -> None:  # noqa: ARG002  # it lays nothing out
        """Say so."""
        self._dialogs.tell(f"{name} can't be put on paper here. Nothing was written.")
