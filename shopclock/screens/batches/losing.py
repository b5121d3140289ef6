"""Asking how a piece was lost: at which step, then why."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from shopclock.screens.batches.where import stands_at
from shopclock.shop.setup.list_edit import reasons
from shopclock.shop.values.entities import Step
from shopclock.shop.work.piece_progress import order_of
from shopclock.views.dialogs import Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Piece

Lost = Callable[[Step | None, str], None]
"""What goes on with the step and the reason."""


def ask_loss(stack: PagedPresenter, piece: Piece, then: Lost) -> None:
    """Ask at which step a piece was lost and why; going back at either question loses nothing."""
    steps = order_of(stack.floor, piece.batch_id).timed
    here = stands_at(stack.floor, piece)
    choices = [Choice(str(step.id), step.name, checked=here is not None and step.id == here.id) for step in steps]

    def at(step_id: str) -> None:
        _ask_reason(stack, piece, stack.floor.find(Step, int(step_id)), then)

    if choices:
        stack.dialogs.ask(f"Where was {piece.mark} lost", choices, on_answer(at))
    else:
        _ask_reason(stack, piece, None, then)


def _ask_reason(stack: PagedPresenter, piece: Piece, step: Step | None, then: Lost) -> None:
    choices = [Choice(reason.name, reason.name) for reason in reasons(stack.floor)]
    if choices:
        stack.dialogs.ask(f"Why was {piece.mark} lost", choices, on_answer(lambda reason: then(step, reason)))
    else:
        then(step, "")
