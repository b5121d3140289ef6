"""Asking for a note: one of the shop's own words by one press, or typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.work.noting import add_note, good_note, note_words
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, Text, choose

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Batch, Interval, Piece
    from shopclock.views.field import Asking

    Do = Callable[[str, Callable[[Transaction], object]], object]

TYPED, ONE_PIECE = "typed", "piece"


def ask_note(floor: ShopFloor, do: Do, about: Interval | Piece | Batch, name: str) -> Asking[object]:
    """A note about a stretch of work, a piece or a batch, which is called by `name`."""
    return (yield from _text(floor, do, about, name, []))


def ask_bench_note(floor: ShopFloor, do: Do, batch: Batch, interval: Interval | None, name: str) -> Asking[object]:
    """A note about what runs or was stopped, else about the batch; or about one of its pieces."""
    living = floor.living(batch.id)
    more = [Choice(ONE_PIECE, "About one piece", "which one is asked")] if living else []
    answer = yield from _text(floor, do, interval if interval is not None else batch, name, more)
    if answer != ONE_PIECE:
        return answer
    piece = yield from choose("About which one", [(Choice(p.mark, p.mark), p) for p in living])
    return (yield from ask_note(floor, do, piece, piece.mark))


def _text(floor: ShopFloor, do: Do, about: Interval | Piece | Batch, name: str, more: list[Choice]) -> Asking[object]:
    words = {f"word {word.id}": word.name for word in note_words(floor)}
    choices = [Choice(key, word) for key, word in words.items()]
    choices += [Choice(TYPED, "Type it", role="raised"), *more]
    key = yield from Pick(f"Note about {name}", choices)
    if key == ONE_PIECE:
        return ONE_PIECE
    text = words[key] if key in words else (yield from Text(f"Note about {name}", check=good_note))
    return do(f"Note: {name}", lambda tx: add_note(tx, about, text))
