"""The whole record as one open archive: a zip of JSON Lines that can be read without this program."""

import hashlib
import json
import zipfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from shopclock.record.copies.archive_words import COUNTED, words_said
from shopclock.record.copies.copying import CopyMade, part_beside
from shopclock.record.copies.left_out import column, kept
from shopclock.record.file import copy_files, engine
from shopclock.record.file.error_text import Undecodable, error_text
from shopclock.record.file.on_disk import folder_on_disk, make_folder, on_disk
from shopclock.record.file.opening import open_reader
from shopclock.record.file.place import ENDING
from shopclock.record.file.schema import COVERED, POINTS_AT, TABLES, VERSION, every_table
from shopclock.shop.state.demo_mark import DEMO, INVENTED
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.plain_file import is_other_than_file
from shopclock.shop.values.progress import UNWATCHED, Progress

FORMAT = "shopclock archive"
FORMAT_VERSION = 1
MANIFEST, README = "manifest.json", "README.txt"
ARCHIVING = "Writing the archive"
AT_A_TIME = 500
SEQUENCES = "sqlite_sequence"
"""Which numbers were given last in each table, so that none is given twice."""


def columns() -> dict[str, tuple[str, ...]]:
    """Return every table of an archive with its columns."""
    found = {table.name: tuple(column.name for column in table.columns) for table in every_table()}
    return found | {SEQUENCES: ("name", "seq")}


def file_of(table: str) -> str:
    """Name the file of a table in the archive."""
    return f"tables/{table}.jsonl"


def archive_for_others(record: Path, now_us: int, progress: Progress = UNWATCHED) -> CopyMade:
    """Do the same without customers and prices."""
    return archive_beside(record, now_us, progress, for_others=True)


def archive_beside(record: Path, now_us: int, progress: Progress = UNWATCHED, *, for_others: bool = False) -> CopyMade:
    """Write an archive into the folder beside a record where its copies lie, named by its instant."""
    folder = copy_files.usual_folder(record)
    with error_text(folder):
        make_folder(folder)
    at = datetime.fromtimestamp(now_us // 1_000_000, UTC)
    whose = " without customers" if for_others else ""
    target = folder / f"{record.stem} {at:%Y-%m-%d %H%M%S}{whose} archive.zip"
    archive(record, target, now_us, progress, for_others=for_others)
    return CopyMade(target)


def archive(
    record: Path, target: Path, now_us: int, progress: Progress = UNWATCHED, *, for_others: bool = False
) -> None:
    """Write all rows of a record to a zip, as they stand at one instant. ShopError: nothing was written, and why.

    `for_others`: without customers, prices, costs and rates.
    """
    if target.suffix.lower() != ".zip":
        raise ShopError(f"{target.name} does not end in .zip. Nothing was written. Name one that does.")
    if not target.parent.is_dir() or is_other_than_file(target):
        raise ShopError(f"{target} can't be written there. Nothing was written. Name a file in a folder.")
    open_reader(record).dispose()
    with part_beside(target) as part, error_text(record), closing(engine.connect_reader(record)) as connection:
        connection.execute("BEGIN")
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as book:
            told_rows = _Counted(connection, progress)
            tables = [
                _write(book, connection, table, names, told_rows, for_others=for_others)
                for table, names in columns().items()
            ]
            book.writestr(README, readme(_demo(connection)))
            book.writestr(MANIFEST, json.dumps(_manifest(tables, now_us), indent=1))
        on_disk(part)
        part.replace(target)
        folder_on_disk(target.parent)


def _manifest(tables: list[dict[str, Any]], now_us: int) -> dict[str, Any]:
    made = datetime.fromtimestamp(now_us // 1_000_000, UTC).isoformat()
    return {
        "format": FORMAT,
        "format_version": FORMAT_VERSION,
        "schema_version": VERSION,
        "made": made,
        "tables": tables,
    }


class _Counted:
    """The rows of all tables, told to whoever watches as they pass."""

    def __init__(self, connection: Any, progress: Progress) -> None:
        self._progress = progress
        self._done = 0
        queries = (sa.select(sa.func.count()).select_from(sa.table(table)) for table in columns())
        self._of: int = sum(connection.execute(str(query)).fetchone()[0] for query in queries)

    def next(self) -> None:
        """One more."""
        self._done += 1
        if self._done % AT_A_TIME == 0:
            self._progress.at(self._done, self._of, ARCHIVING)


def _write(
    book: zipfile.ZipFile, connection: Any, table: str, names: tuple[str, ...], rows: _Counted, *, for_others: bool
) -> dict[str, Any]:
    digest, n, size = hashlib.sha256(), 0, 0
    # The names are ours: they are those of the tables in the code.
    asked = ", ".join(column(table, name) if for_others else name for name in names)
    which = f"WHERE {kept(table)}" if for_others else ""
    query = f"SELECT {asked} FROM {table} {which} ORDER BY {', '.join(names[:2])}"  # noqa: S608  # see above
    with book.open(file_of(table), "w", force_zip64=True) as file:
        for row in connection.execute(query):
            try:
                line = json.dumps(dict(zip(names, row, strict=True)), ensure_ascii=False, allow_nan=False)
            except ValueError as error:  # no number that was ever pressed
                raise Undecodable(table) from error
            data = f"{line}\n".encode()
            file.write(data)
            digest.update(data)
            n, size = n + 1, size + len(data)
            rows.next()
    return {"name": table, "file": file_of(table), "rows": n, "bytes": size, "sha256": digest.hexdigest()}


def _demo(connection: Any) -> bool:
    """Tell whether it is the demo shop's record."""
    return connection.execute("SELECT 1 FROM setting WHERE name = ?", (DEMO,)).fetchone() is not None


def readme(demo: bool = False) -> str:  # one plain switch
    """Explain an archive to somebody who has nothing but it."""
    said = [f"This is {INVENTED}.", ""] if demo else []
    return "\n".join([*said, _HEAD, COUNTED, "", "The words", *words_said(), "", "The tables", *_tables_said(), ""])


_HEAD = f"""This is the whole record of a workshop: what was worked on, when, by whom, on which pieces.

It is plain text. Each file in the folder "tables" is one table, in UTF-8. Each line of it is one row, a JSON
object (RFC 8259) with the name of each column and its value. {MANIFEST} says the version of the tables, and for
each file its rows, its bytes and its SHA-256 (FIPS 180-4), so that you can see whether it is whole.

A column that ends in _us is microseconds: an instant counted from 1 January 1970 in UTC, leap seconds left out, or a
length where the name says so (us, moved_us). _min is minutes, _s seconds. 0 and 1 stand for no and yes,
null for nothing.
"id" numbers a row within its table, "uuid" names it anywhere. A column that points at a row of another table is shown
below as -> table. The table "journal" holds every change that was ever made, as it was before and after.
labour, share and stage_row are worked out from the others.

The program reads it back with: shopclock unarchive THIS.zip NEW.shopclock
"""


def _tables_said() -> Iterator[str]:
    kinds = {table.name: kind.__doc__ or "" for kind, table in TABLES.items()}
    kinds |= {table.name: f"Which pieces belong to a row of {owner.__name__}." for owner, table in COVERED.items()}
    for table in every_table():
        said = kinds.get(table.name, "").split("\n")[0]
        yield f"{table.name}: {said}" if said else table.name
        yield from (f"    {_column_said(column)}" for column in table.columns)
    yield f"{SEQUENCES}: the last number that each table has given\n    name\n    seq"


def _column_said(column: sa.Column[Any]) -> str:
    to = POINTS_AT.get(column.name)
    return f"{column.name} -> {to}" if to is not None else column.name


PATTERN = "* archive.zip"


@dataclass(frozen=True, slots=True)
class ArchiveFile:
    """One archive, when it was written last, its bytes."""

    path: Path
    at_us: int
    size: int


def archives_in(folder: Path) -> list[ArchiveFile]:
    """Return the archives in a folder, the newest first; none where it can't be read."""
    try:
        found = [(path, path.stat()) for path in folder.glob(PATTERN) if path.is_file()]
    except OSError:
        return []
    files = [ArchiveFile(path, stat.st_mtime_ns // 1000, stat.st_size) for path, stat in found]
    return sorted(files, key=lambda one: one.at_us, reverse=True)


def place_for(archive: Path, folder: Path) -> Path:
    """Return where a record made of an archive goes in a folder, with a number where there is one already."""
    stem = archive.stem.removesuffix(" archive")
    place, number = folder / f"{stem} of an archive{ENDING}", 1
    while place.exists() or place.is_symlink():
        number += 1
        place = folder / f"{stem} of an archive ({number}){ENDING}"
    return place
