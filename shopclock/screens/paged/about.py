"""Pages about one thing of the shop: they know it by its number and leave when an Undo took it away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.values.entities import Batch, Pattern, Piece, Stage
from shopclock.views.page import Page

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter


class StageAbout(Page):
    """A page about one stage."""

    def __init__(self, stack: PagedPresenter, stage_id: int) -> None:
        self._stack = stack
        self._stage_id = stage_id

    @property
    def stage(self) -> Stage:
        """The stage as it is now."""
        return self._stack.floor.get(Stage, self._stage_id)

    def gone(self) -> bool:
        """Whether an Undo took the stage away."""
        return self._stack.floor.find(Stage, self._stage_id) is None


class PatternAbout(Page):
    """A page about one pattern."""

    def __init__(self, stack: PagedPresenter, pattern_id: int) -> None:
        self._stack = stack
        self._pattern_id = pattern_id

    @property
    def pattern(self) -> Pattern:
        """The pattern as it is now."""
        return self._stack.floor.get(Pattern, self._pattern_id)

    def gone(self) -> bool:
        """Whether an Undo took the pattern away."""
        return self._stack.floor.find(Pattern, self._pattern_id) is None


class BatchAbout(Page):
    """A page about one batch."""

    def __init__(self, stack: PagedPresenter, batch_id: int) -> None:
        self._stack = stack
        self._batch_id = batch_id

    @property
    def batch(self) -> Batch:
        """The batch as it is now."""
        return self._stack.floor.get(Batch, self._batch_id)

    def gone(self) -> bool:
        """Whether an Undo took the batch away."""
        return self._stack.floor.find(Batch, self._batch_id) is None


class PieceAbout(Page):
    """A page about one piece."""

    def __init__(self, stack: PagedPresenter, piece_id: int) -> None:
        self._stack = stack
        self._piece_id = piece_id

    @property
    def piece(self) -> Piece:
        """The piece as it is now."""
        return self._stack.floor.get(Piece, self._piece_id)

    def gone(self) -> bool:
        """Whether an Undo took the piece away."""
        return self._stack.floor.find(Piece, self._piece_id) is None
