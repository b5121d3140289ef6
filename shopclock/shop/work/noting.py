"""Notes on a stretch, a piece or a batch: the shop's own words for them, and all that was noted in a batch."""

from collections.abc import Iterator
from dataclasses import dataclass

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import when_text, zone_of
from shopclock.shop.values.entities import Batch, ImportRow, Interval, Note, NoteWord, Piece, Step
from shopclock.shop.values.errors import Refusal

MOST_LETTERS = 200
"""Letters of a note: more is no note but a story, and would not be read on a screen."""


@dataclass(frozen=True, slots=True)
class Noted:
    """Note as it is read: what it is about, its text, and when it was made, or the work was (UTC)."""

    about: str
    text: str
    at_us: int


def note_words(floor: ShopFloor) -> tuple[NoteWord, ...]:
    """Return the shop's own words for notes that are offered, in their order."""
    found = (word for word in floor.all(NoteWord) if not word.put_away)
    return tuple(sorted(found, key=lambda word: (word.position, word.id)))


def good_note(text: str) -> str:
    """Return a note with single spaces; refused when empty or too long."""
    said = " ".join(text.split())
    if not said:
        raise Refusal("A note has a word at least. Nothing was noted.")
    if len(said) > MOST_LETTERS:
        raise Refusal(f"A note has at most {MOST_LETTERS} letters, this one {len(said)}. Nothing was noted.")
    return said


def add_note(tx: Transaction, about: Interval | Piece | Batch, text: str) -> Note:
    """Note something about a stretch of work, a piece or a batch; refused when empty or too long."""
    said = good_note(text)
    return tx.add(
        Note(
            interval_id=about.id if isinstance(about, Interval) else None,
            piece_id=about.id if isinstance(about, Piece) else None,
            batch_id=about.id if isinstance(about, Batch) else None,
            text=said,
            at_us=tx.now_us,
        )
    )


def notes_on(floor: ShopFloor, about: Interval | Piece | Batch) -> tuple[Note, ...]:
    """Return what was noted about one of these, oldest first."""
    key = "interval_id" if isinstance(about, Interval) else "piece_id" if isinstance(about, Piece) else "batch_id"
    found = (note for note in floor.all(Note) if getattr(note, key) == about.id)
    return tuple(sorted(found, key=lambda note: (note.at_us, note.id)))


def notes_of(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[Noted, ...]:
    """Return all that was noted in a batch, of its stretches, pieces and itself, by when; old notes as well."""
    return tuple(sorted(_noted(floor, batch_id, now_us), key=lambda noted: noted.at_us))


def _noted(floor: ShopFloor, batch_id: int, now_us: int) -> Iterator[Noted]:
    batch, zone = floor.get(Batch, batch_id), zone_of(floor)
    pieces = {piece.id: piece for piece in floor.pieces(batch_id)}
    worked = {interval.id: interval for interval in floor.of_batch(Interval, batch_id)}

    def about(interval: Interval) -> str:
        step = floor.find(Step, interval.step_id)
        return f"{step.name if step is not None else ''}, {when_text(interval.start_us, now_us, zone)}"

    for note in floor.all(Note):
        if note.batch_id == batch_id:
            yield Noted(batch.name, note.text, note.at_us)
        elif note.piece_id in pieces:
            yield Noted(pieces[note.piece_id].mark, note.text, note.at_us)
        elif note.interval_id in worked:
            yield Noted(about(worked[note.interval_id]), note.text, note.at_us)
    for row in floor.all(ImportRow):
        if row.note and row.interval_id in worked:
            interval = worked[row.interval_id]
            yield Noted(about(interval), row.note, interval.start_us)
