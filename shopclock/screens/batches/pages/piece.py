"""One piece: its number, and what can happen to it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title, outcome_words, stands_at
from shopclock.screens.paged.described import PageAbout
from shopclock.screens.plan.instead import Instead
from shopclock.screens.readings.noting import ask_note
from shopclock.screens.readings.pair import ask_pair
from shopclock.screens.readings.piece_page import piece_readings_page
from shopclock.shop.routes.starter_route import Outline
from shopclock.shop.setup.list_edit import reasons
from shopclock.shop.values.entities import Batch, Pattern, Piece, Step
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work import readings
from shopclock.shop.work.noting import notes_on
from shopclock.shop.work.pairs import pair_said
from shopclock.shop.work.piece_progress import order_of
from shopclock.shop.work.pieces import cut_down, end_piece, lose, make_second, set_aside, set_number, take_up
from shopclock.views.dialogs import MEASURED, Choice
from shopclock.views.field import Number, Pick, choose, field
from shopclock.views.page import PageContent, TextLine, action, item

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.field import Asking
    from shopclock.views.page import Act, Action


def piece_page(stack: PagedPresenter, piece: Piece) -> PageContent:
    """A piece by its mark: its number, pair and readings; while it lives, what can happen to it."""
    floor, batch = stack.floor, stack.floor.get(Batch, piece.batch_id)
    wrong = "; ".join(readings.reading_text(floor, reading) for reading in readings.outside_of(floor, piece))

    def number(typed: str) -> None:
        stack.do(f"Number: {piece.mark}", lambda tx: set_number(tx, piece, typed))

    asks = Number(f"Number of {piece.mark}", piece.number, signs=MEASURED)
    known = [field("number", "Number", piece.number or "none yet", asks, number)]
    if floor.get(Pattern, batch.pattern_id).outline == Outline.BLADE:  # other trades have no scales
        said = pair_said(floor, piece) or "none yet"
        known.append(item("pair", "Pair of scales", lambda: ask_pair(stack, piece), said))
    found = readings.of_piece(floor, piece)
    measured = readings.reading_text(floor, found[0]) if found else "none yet"
    known.append(item("readings", "Readings", partial(PageAbout, stack, piece, piece_readings_page), measured))
    noted = notes_on(floor, piece)
    asking = partial(ask_note, floor, stack.do, piece, piece.mark)
    known.append(item("note", "Note", asking, noted[-1].text if noted else "none yet"))
    return PageContent(
        f"{piece.mark} of {batch_title(floor, batch)}",
        [TextLine(_standing(floor, piece), "text"), *([TextLine(f"{wrong}.", "red")] if wrong else [])],
        [*known, *_fates(stack, piece)] if piece.living else known,
    )


def _standing(floor: ShopFloor, piece: Piece) -> str:
    """Place of it, or how it ended."""
    if piece.outcome is not None:
        at = floor.find(Step, piece.lost_step_id) if piece.lost_step_id else None
        parts = [outcome_words(floor)[piece.outcome], f"at {at.name}" if at else "", piece.reason]
        told = ", ".join(part for part in parts if part)
        return f"{told[0].upper()}{told[1:]}."
    step = stands_at(floor, piece)
    place = f"Next is {step.name}" if step is not None else "Through all steps"
    return f"{place}, set aside." if piece.set_aside else f"{place}."


def _fates(stack: PagedPresenter, piece: Piece) -> list[Action]:
    instead = Instead(stack.floor, stack.dialogs.ask, stack.do, stack.go)

    def one(what: str, rule: Callable[[Transaction, Piece], object]) -> Act:
        def press(moment: Moment | None) -> None:
            stack.do(f"{what}: {piece.mark}", lambda tx: rule(tx, piece), moment)
            instead.ask(piece.id)

        return press

    def lost(how: tuple[Step | None, str]) -> None:
        stack.do(f"Lost: {piece.mark}", lambda tx: lose(tx, piece, *how))
        instead.ask(piece.id)

    def cut(into: Batch) -> None:
        step = stands_at(stack.floor, piece)
        stack.do(f"Cut down: {piece.mark}", lambda tx: cut_down(tx, piece, into, step))
        instead.ask(piece.id)

    def keep(tx: Transaction, piece: Piece) -> Piece:
        return end_piece(tx, piece, Outcome.KEPT)

    aside = action("aside", "Set aside", one("Set aside", set_aside), "work goes on without it")
    if piece.set_aside:
        aside = action("back", "Bring back", one("Brought back", take_up), role="primary")
    second = "it is one" if piece.second else "goes on, not first grade"
    fates = [
        aside,
        action(
            "second", "Second", one("Second", make_second), second, why_not="It is one already." if piece.second else ""
        ),
        field("lost", "Lost", "", ask_loss(stack.floor, piece), lost, note="at which step, and why", note_role="red"),
        action("kept", "Kept", one("Kept", keep), "a template, a test piece"),
    ]
    others = [batch for batch in stack.floor.open_batches() if batch.id != piece.batch_id]
    if others:
        answers = [(Choice(str(batch.id), batch_title(stack.floor, batch)), batch) for batch in others]
        into = choose(f"Into which batch goes {piece.mark}", answers)
        fates.append(field("cut", "Cut down", "goes on in another batch", into, cut))
    return fates


def ask_loss(floor: ShopFloor, piece: Piece) -> Asking[tuple[Step | None, str]]:
    """At which step a piece was lost, and why; what there is nothing to choose from is not asked."""
    steps, here = order_of(floor, piece.batch_id).timed, stands_at(floor, piece)
    answers = [
        (Choice(str(step.id), step.name, checked=here is not None and step.id == here.id), step) for step in steps
    ]
    step = (yield from choose(f"Where was {piece.mark} lost", answers)) if steps else None
    why = [Choice(reason.name, reason.name) for reason in reasons(floor)]
    return step, (yield from Pick(f"Why was {piece.mark} lost", why)) if why else ""
