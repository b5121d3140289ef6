"""Old notes from a file to what would be made of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Protocol

from shopclock.exchange.notes.columns import Columns, What, guess, said_otherwise
from shopclock.exchange.notes.file import NotesTable, read_table
from shopclock.exchange.notes.match import Match, match, with_methods
from shopclock.exchange.notes.rows import RowQuestions, Trouble, asks_order, put_right, read_rows, trouble
from shopclock.exchange.notes.years import YearFrom
from shopclock.record.read.read_only import Reads
from shopclock.shop.notes.entries import NO_NAME, Misfit, NotesEntry, batch_named, batches_by_name, place
from shopclock.shop.notes.notes_import import Notes
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import zone_of
from shopclock.shop.values.entities import ImportFile, Method, Pattern, Piece, Stage
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.progress import UNWATCHED, Progress


class NotesSource(Protocol):
    """A record that a draft is made for: the one that is open, or a reading of it in another process."""

    floor: ShopFloor
    reads: Reads

    def load_batch(self, batch_id: int) -> ShopFloor:
        """Have a batch whole on the floor."""

    def load_since(self, since_us: int) -> ShopFloor:
        """Have on the floor what ended after an instant."""


@dataclass(frozen=True, slots=True)
class NotesContext:
    """Instant of a draft, and whose hands the notes are of."""

    now_us: int
    maker_id: int


@dataclass(frozen=True, slots=True)
class NotesAnswers:
    """Answers of the maker about a file of notes; nothing, or empty, where it tells by itself.

    `columns` are those that are something else than what they are guessed to be, by their place; None is nothing.
    `cells` are put right, by number of the row and place of the column; `methods` are those of names of stages.
    `measured` is whether lengths without a time of day were timed; nothing where nobody has said.
    """

    asked: RowQuestions = field(default_factory=RowQuestions)
    columns: Mapping[int, What | None] = field(default_factory=dict)
    stages: Mapping[str, str] = field(default_factory=dict)
    pattern: str = ""
    pieces: int | None = None
    measured: bool | None = None
    open_batches: tuple[str, ...] = ()
    methods: Mapping[str, str] = field(default_factory=dict)
    cells: Mapping[tuple[int, int], str] = field(default_factory=dict)
    sheet: str = ""


@dataclass(frozen=True, slots=True)
class NotesDraft:
    """Draft of what would be made of a file: intervals, the rows that can't be taken, what names are taken for.

    `known` rows are in the record already, `others` are sheets beside this one. `lacks` says what no row of some new
    batch says: pattern, pieces. `yearless` days say no year; theirs is from `year_from`.
    """

    notes: Notes
    columns: Columns
    troubles: tuple[Trouble, ...]
    stages: tuple[Match, ...]
    known: int
    lacks: frozenset[What] = frozenset()
    others: tuple[str, ...] = ()
    yearless: int = 0
    year_from: YearFrom = YearFrom.ROWS


def draft_notes(source: NotesSource, file: Path, said: NotesAnswers, here: NotesContext) -> NotesDraft:
    """Work out what would be made of a file of old notes; nothing is changed. ShopError says why nothing can be."""
    table = table_in(source.floor, file, said)
    columns = columns_of(table, said)
    make_sure(source.floor, table, columns, said)
    return drafted_notes(source, table, columns, said, here)


def drafted_notes(
    source: NotesSource,
    table: NotesTable,
    columns: Columns,
    said: NotesAnswers,
    here: NotesContext,
    progress: Progress = UNWATCHED,
) -> NotesDraft:
    """Work out what would be made of a table of which all is known."""
    rows = read_rows(table, columns, zone_of(source.floor), here.now_us, said.asked, progress)
    stages = _stages(source.floor, rows.entries, said)
    entries, known = _new_ones(source, _named(rows.entries, stages, said))
    bring(source, entries)
    lacks = _lacks(source.floor, entries)
    entries, misfits = _fitting(source.floor, entries)
    placed, more = place(source.floor, entries, here.maker_id, here.now_us, measured=bool(said.measured))
    refused = _troubles(table, columns, (*misfits, *more))
    return NotesDraft(
        Notes(name_of(table), table.sha256, placed, {name.casefold() for name in said.open_batches}),
        columns,
        tuple(sorted((*rows.troubles, *refused), key=lambda one: one.row)),
        stages,
        known,
        lacks,
        tuple(name for name, _ in table.sheets if name != table.sheet),
        rows.yearless,
        rows.year_from,
    )


def columns_of(table: NotesTable, said: NotesAnswers) -> Columns:
    """Return which column is what, as guessed and as the maker says."""
    return said_otherwise(guess(table), said.columns)


def make_sure(floor: ShopFloor, table: NotesTable, columns: Columns, said: NotesAnswers) -> None:
    """Refuse a file that is known, that lacks a column, or whose dates can be read in two ways."""
    refuse_known(floor, table)
    if missing := missing_in(columns):
        sought = " and no ".join(missing)
        raise Refusal(f"{table.name} has no {sought} among its columns. Nothing was changed. Say which column it is.")
    unclear = asks_order(table, columns) if said.asked.order is None else None
    if unclear is not None:
        raise Refusal(f"{unclear} may be day or month first. Nothing was changed. Say which it is.")


def name_of(table: NotesTable) -> str:
    """Return what a table is called: its file, and its sheet where there are several."""
    return f"{table.name}, {table.sheet}" if len(table.sheets) > 1 else table.name


def table_in(floor: ShopFloor, file: Path, said: NotesAnswers) -> NotesTable:
    """Return the table of a file: the sheet that was said, else the first that isn't in the record; cells put right."""
    table, known = read_table(file, said.sheet), {one.sha256 for one in floor.all(ImportFile)}
    left = [name for name, sha256 in table.sheets if sha256 not in known]
    if not said.sheet and table.sha256 in known and left:
        table = read_table(file, left[0])
    return put_right(table, said.cells)


def refuse_known(floor: ShopFloor, table: NotesTable) -> None:
    """Refuse a file that has been brought in."""
    if any(file.sha256 == table.sha256 for file in floor.all(ImportFile)):
        raise Refusal(f"{name_of(table)} was brought in already. Nothing was changed.")


def missing_in(columns: Columns) -> list[str]:
    """Return which columns are missing that there have to be."""
    missing = [what.value for what in (What.DATE, What.STAGE) if what not in columns.places]
    return missing if {What.LENGTH, What.START} & columns.places.keys() else [*missing, "length or start"]


def _stages(floor: ShopFloor, entries: Iterable[NotesEntry], said: NotesAnswers) -> tuple[Match, ...]:
    names = {stage.id: stage.name for stage in floor.all(Stage) if not stage.put_away}
    methods: dict[str, list[str]] = {name: [] for name in names.values()}
    for method in floor.all(Method):
        if method.stage_id in names and not method.put_away:
            methods[names[method.stage_id]].append(method.name)
    found = with_methods(match((entry.stage for entry in entries), methods, said.stages), methods)
    return tuple(replace(one, method=said.methods.get(one.written, one.method)) for one in found)


def _named(entries: Iterable[NotesEntry], stages: Iterable[Match], said: NotesAnswers) -> list[NotesEntry]:
    """Return the entries with the shop's names, and what is said of all of them."""
    names = {one.written: one for one in stages}
    found = []
    for entry in entries:
        meant, pattern = names[entry.stage], entry.pattern or said.pattern
        stage, method = meant.name, entry.method or meant.method
        pieces = entry.pieces if entry.pieces is not None else said.pieces
        same = (stage, method, pattern, pieces) == (entry.stage, entry.method, entry.pattern, entry.pieces)
        found.append(entry if same else replace(entry, stage=stage, method=method, pattern=pattern, pieces=pieces))
    return found


def _new_ones(source: NotesSource, entries: list[NotesEntry]) -> tuple[list[NotesEntry], int]:
    """Return the entries that are not in the record yet, and how many are."""
    known = source.reads.imported_rows()
    new = [entry for entry in entries if entry.known_by not in known]
    return new, len(entries) - len(new)


def bring(source: NotesSource, entries: Iterable[NotesEntry]) -> frozenset[int]:
    """Have on the floor what the entries go on with, and all that is at the same time; return the batches."""
    some, named = list(entries), batches_by_name(source.floor)
    found = {named[key].id for key in {entry.batch.casefold() for entry in some} if key in named}
    for batch_id in found:
        source.load_batch(batch_id)
    if some:
        source.load_since(min(entry.day_us for entry in some))
    return frozenset(found)


def _lacks(floor: ShopFloor, entries: Iterable[NotesEntry]) -> frozenset[What]:
    """Return what some new batch doesn't say of itself."""
    named = batches_by_name(floor)
    new = [entry for entry in entries if entry.batch.casefold() not in named]
    said = {(entry.batch_key, what) for entry in new for what, is_said in _says(entry) if is_said}
    return frozenset(what for entry in new for what, _ in _says(entry) if (entry.batch_key, what) not in said)


def _says(entry: NotesEntry) -> Iterable[tuple[What, bool]]:
    return ((What.PATTERN, bool(entry.pattern)), (What.PIECES, entry.pieces is not None))


def _fitting(floor: ShopFloor, entries: list[NotesEntry]) -> tuple[list[NotesEntry], list[Misfit]]:
    """Part the entries whose batch knows how many pieces and which pattern it has from those whose does not."""
    counts, patterns = _counts(floor, entries), _patterns(floor, entries)
    stages = {name: floor.stage_by_name(name) for name in {entry.stage for entry in entries}}
    fit: list[NotesEntry] = []
    misfits: list[Misfit] = []
    for entry in entries:
        stage = stages[entry.stage]
        why = None if stage is not None and stage.shop_work else _misfit(entry, counts, patterns)
        if why is None:
            fit.append(entry)
        else:
            misfits.append(why)
    return fit, misfits


def _misfit(entry: NotesEntry, counts: Mapping[str, int], patterns: Mapping[str, str]) -> Misfit | None:
    most = counts.get(entry.batch_key, 0)
    if not most:
        return Misfit(entry.row, "pieces", "no row of its batch says how many")
    if (entry.pieces or 0) > most:
        return Misfit(entry.row, "pieces", f"{entry.pieces} are more than the {most} of the batch that is there")
    meant = patterns[entry.batch_key]
    if entry.pattern and entry.pattern.casefold() != meant.casefold():
        return Misfit(entry.row, "pattern", f"{entry.pattern} is not the batch's, which is {meant}")
    return None


def _counts(floor: ShopFloor, entries: Iterable[NotesEntry]) -> dict[str, int]:
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


def _patterns(floor: ShopFloor, entries: Iterable[NotesEntry]) -> dict[str, str]:
    """Return the name of each batch's pattern: of the one that is there, else of its first row."""
    found: dict[str, str] = {}
    for entry in entries:
        if entry.batch_key not in found:
            batch = batch_named(floor, entry.batch)
            own = floor.get(Pattern, batch.pattern_id).name if batch is not None else entry.pattern or NO_NAME
            found[entry.batch_key] = own
    return found


def _troubles(table: NotesTable, columns: Columns, misfits: Iterable[Misfit]) -> list[Trouble]:
    lines = {line.number: line for line in table.lines}
    return [trouble(columns, lines[one.row], _where(columns, What(one.what)), one.why) for one in misfits]


def _where(columns: Columns, meant: What) -> What:
    """Return where it is written: 19:10–20:35 may stand in the column of lengths."""
    return What.LENGTH if meant is What.START and meant not in columns.places else meant
