"""Old notes from a file to what would be made of them, and into the record."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from shopclock.exchange.notes_columns import Columns, What, guess
from shopclock.exchange.notes_file import Table, read_table
from shopclock.exchange.notes_match import Match, match
from shopclock.exchange.notes_rows import Asked, Trouble, asks_order, read_rows
from shopclock.record.record import Record
from shopclock.shop.bring_in import Notes, bring_in
from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.imported import ImportFile
from shopclock.shop.old_notes import NO_NAME, Entry, Misfit, batch_named, place
from shopclock.shop.values import Pattern, Piece, Stage
from shopclock.shop.wording import zone_of

UNDO = "Old notes"
"""What the press is called on the Undo button."""


@dataclass(frozen=True, slots=True)
class Said:
    """What the maker says of a file of notes; nothing, or empty, where it tells by itself."""

    asked: Asked = field(default_factory=Asked)
    stages: Mapping[str, str] = field(default_factory=dict)
    pattern: str = ""
    pieces: int | None = None
    measured: bool = False
    open_batches: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Draft:
    """What would be made of a file: stretches, the rows that can't be taken, what names are taken for.

    `known` rows are in the record already.
    """

    notes: Notes
    columns: Columns
    troubles: tuple[Trouble, ...]
    stages: tuple[Match, ...]
    known: int


def draft(record: Record, file: Path, said: Said) -> Draft:
    """Work out what would be made of a file of old notes; nothing is changed. ShopError says why nothing can be."""
    table = read_table(file)
    columns = _columns(table)
    _make_sure(record, table, columns, said)
    now_us = record.instant()
    rows = read_rows(table, columns, zone_of(record.floor), now_us, said.asked)
    stages = _stages(record.floor, rows.entries, said)
    entries, known = _new_ones(record, _named(rows.entries, stages, said))
    _bring(record, entries)
    entries, misfits = _fitting(record.floor, entries)
    placed, more = place(record.floor, entries, record.maker.id, now_us, measured=said.measured)
    troubles = sorted((*rows.troubles, *_troubles(columns, (*misfits, *more))), key=lambda one: one.row)
    keys = {name.casefold() for name in said.open_batches}
    return Draft(Notes(table.name, table.sha256, placed, keys), columns, tuple(troubles), stages, known)


def take_in(record: Record, drafted: Draft) -> ImportFile:
    """Bring in what was drafted, in one press that one Undo takes back."""
    file, _ = record.press(UNDO, lambda turn: bring_in(turn, drafted.notes))
    return file


def _columns(table: Table) -> Columns:
    columns = guess(table)
    missing = [what.value for what in (What.DATE, What.STAGE) if what not in columns.places]
    if not {What.LENGTH, What.START} & columns.places.keys():
        missing.append("length or start")
    if missing:
        sought = " and no ".join(missing)
        raise Refusal(f"{table.name} has no {sought} among its columns. Nothing was changed. Write it as their heads.")
    return columns


def _make_sure(record: Record, table: Table, columns: Columns, said: Said) -> None:
    """Refuse a file that is known, and one whose dates can be read in two ways."""
    if any(file.sha256 == table.sha256 for file in record.floor.all(ImportFile)):
        raise Refusal(f"{table.name} was brought in already. Nothing was changed.")
    unclear = asks_order(table, columns) if said.asked.order is None else None
    if unclear is not None:
        raise Refusal(f"{unclear} may be day or month first. Nothing was changed. Say which it is.")


def _stages(floor: Floor, entries: Iterable[Entry], said: Said) -> tuple[Match, ...]:
    known = [stage.name for stage in floor.all(Stage) if not stage.put_away]
    return match((entry.stage for entry in entries), known, said.stages)


def _named(entries: Iterable[Entry], stages: Iterable[Match], said: Said) -> list[Entry]:
    """Return the entries with the shop's names, and what is said of all of them."""
    names = {one.written: one.name for one in stages}
    return [
        replace(
            entry,
            stage=names[entry.stage],
            pattern=entry.pattern or said.pattern,
            pieces=entry.pieces if entry.pieces is not None else said.pieces,
        )
        for entry in entries
    ]


def _new_ones(record: Record, entries: list[Entry]) -> tuple[list[Entry], int]:
    """Return the entries that are not in the record yet, and how many are."""
    known = record.reads.imported_rows()
    new = [entry for entry in entries if entry.known_by not in known]
    return new, len(entries) - len(new)


def _bring(record: Record, entries: list[Entry]) -> None:
    """Have on the floor what the entries go on with, and all that is at the same time."""
    for name in {entry.batch for entry in entries}:
        if (batch := batch_named(record.floor, name)) is not None:
            record.bring_batch(batch.id)
    if entries:
        record.bring_since(min(entry.day_us for entry in entries))


def _fitting(floor: Floor, entries: list[Entry]) -> tuple[list[Entry], list[Misfit]]:
    """Part the entries whose batch knows how many pieces and which pattern it has from those whose does not."""
    counts, patterns = _counts(floor, entries), _patterns(floor, entries)
    fit: list[Entry] = []
    misfits: list[Misfit] = []
    for entry in entries:
        stage = floor.stage_by_name(entry.stage)
        why = None if stage is not None and stage.shop_work else _misfit(entry, counts, patterns)
        if why is None:
            fit.append(entry)
        else:
            misfits.append(why)
    return fit, misfits


def _misfit(entry: Entry, counts: Mapping[str, int], patterns: Mapping[str, str]) -> Misfit | None:
    most = counts.get(entry.batch_key, 0)
    if not most:
        return Misfit(entry.row, "pieces", "no row of its batch says how many")
    if (entry.pieces or 0) > most:
        return Misfit(entry.row, "pieces", f"{entry.pieces} are more than the {most} of the batch that is there")
    meant = patterns[entry.batch_key]
    if entry.pattern and entry.pattern.casefold() != meant.casefold():
        return Misfit(entry.row, "pattern", f"{entry.pattern} is not the batch's, which is {meant}")
    return None


def _counts(floor: Floor, entries: Iterable[Entry]) -> dict[str, int]:
    """Return how many pieces each batch has: those that are there, else the most that any row says."""
    found: dict[str, int] = {}
    there: set[str] = set()
    for entry in entries:
        key = entry.batch_key
        if key not in found and (batch := batch_named(floor, entry.batch)) is not None:
            found[key] = sum(_stayed(piece) for piece in floor.pieces(batch.id))
            there.add(key)
        if key not in there:
            found[key] = max(found.get(key, 0), entry.pieces or 0)
    return found


def _stayed(piece: Piece) -> bool:
    return piece.outcome is None or piece.outcome.finished


def _patterns(floor: Floor, entries: Iterable[Entry]) -> dict[str, str]:
    """Return the name of each batch's pattern: of the one that is there, else of its first row."""
    found: dict[str, str] = {}
    for entry in entries:
        if entry.batch_key not in found:
            batch = batch_named(floor, entry.batch)
            own = floor.get(Pattern, batch.pattern_id).name if batch is not None else entry.pattern or NO_NAME
            found[entry.batch_key] = own
    return found


def _troubles(columns: Columns, misfits: Iterable[Misfit]) -> list[Trouble]:
    return [Trouble(one.row, _head(columns, one.what), one.why) for one in misfits]


def _head(columns: Columns, what: str) -> str:
    meant = What(what)
    if meant is What.START and meant not in columns.places:
        meant = What.LENGTH  # 19:10–20:35 stands there
    return columns.head(meant) if meant in columns.places else what
