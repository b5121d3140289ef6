"""The letters on the plate: who is in hand, done, waiting, lost, and what a press on one means."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.state import BenchButton, LetterShown
from shopclock.screens.bench.texts import ENDED
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.finish import next_done
from shopclock.shop.work.piece_progress import held_from, through

if TYPE_CHECKING:
    from collections.abc import Collection

    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Piece, Step

WORDS = {"in": "", "out": "out", "done": "done", "away": "waits", "aside": "aside"}
"""The word under a letter by its state; a lost one tells how it ended."""


def done_here(floor: ShopFloor, hand: CurrentWork) -> frozenset[int]:
    """Return the pieces that are through the step on the plate; of rework, those done again."""
    if hand.step is None or hand.batch is None:
        return frozenset()
    if hand.interval is not None and hand.interval.work is WorkKind.REWORK:
        return frozenset(t.piece_id for t in floor.hands.done_in(hand.interval))
    return through(floor, hand.batch.id)[hand.step.id]


def letters(floor: ShopFloor, hand: CurrentWork, chosen: Collection[int], now_us: int) -> tuple[LetterShown, ...]:
    """Return all pieces of the batch on the plate; `chosen` are those in hand."""
    if hand.batch is None or hand.step is None:
        return ()
    done = done_here(floor, hand)
    held = held_from(floor, hand.step, now_us)
    return tuple(_letter(piece, chosen, done, held) for piece in floor.pieces(hand.batch.id))


def _letter(piece: Piece, chosen: Collection[int], done: Collection[int], held: Collection[int]) -> LetterShown:
    if piece.outcome is not None:
        state = "done" if piece.outcome.finished else "lost"
        return LetterShown(piece.mark, state, ENDED[piece.outcome])
    state = _state(piece, chosen, done, held)
    return LetterShown(piece.mark, state, WORDS[state])


def _state(piece: Piece, chosen: Collection[int], done: Collection[int], held: Collection[int]) -> str:
    if piece.set_aside:
        return "aside"
    if piece.id in done:
        return "done"
    if piece.id in chosen:
        return "in"
    return "away" if piece.id in held else "out"


def pieces_button(shown: tuple[LetterShown, ...]) -> BenchButton | None:
    """Return the one button that stands for all letters: Pieces: 6 of 7, and how many are done."""
    if not shown:
        return None
    living = sum(letter.state != "lost" for letter in shown)
    done = sum(letter.state == "done" for letter in shown)
    return BenchButton("page:pieces", f"Pieces: {living} of {len(shown)}", f"{done} done" if done else "")


def summary(shown: tuple[LetterShown, ...]) -> str:
    """Say shortly who is in hand and who is done: C–G in hand, A, B done."""
    parts = []
    for state, word in (("in", "in hand"), ("done", "done")):
        marks = [letter.letter for letter in shown if letter.state == state]
        if marks:
            parts.append(f"{spoken(marks)} {word}")
    return "  ·  ".join(parts)


def choose(hand: CurrentWork, chosen: frozenset[int], piece: Piece, none: bool) -> frozenset[int]:
    """Return who is in hand after a letter was pressed; after *None* it is that one alone."""
    if none:
        return frozenset({piece.id})
    return chosen ^ {piece.id} if piece.id in hand.pieces or piece.id in chosen else chosen | {piece.id}


def others(floor: ShopFloor, hand: CurrentWork, step: Step, chosen: frozenset[int], now_us: int) -> frozenset[int]:
    """Return the pieces that could be in hand and aren't."""
    held, done = held_from(floor, step, now_us), done_here(floor, hand)
    could = {p.id for p in floor.living(step.batch_id) if not p.set_aside and p.id not in held and p.id not in done}
    return frozenset(could - chosen)


def done_title(floor: ShopFloor, hand: CurrentWork) -> str:
    """Return what *Done* would mark: Done: C; nothing where it has no use."""
    if not hand.running or hand.interval is None or hand.step is None or not hand.step.one_by_one:
        return ""
    piece = next_done(floor, hand.interval)
    return f"Done: {piece.mark}" if piece is not None else ""
