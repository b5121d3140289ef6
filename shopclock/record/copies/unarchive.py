"""Making a record of an archive again: whole, equal to the last row, or refused with a sentence.

Nothing is ever written under a name that the archive gives: it is read line by line into a new record.
"""

import hashlib
import json
import sqlite3
import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import closing, contextmanager
from itertools import islice
from pathlib import Path
from typing import Any

from shopclock.record.check.check import check
from shopclock.record.copies.archive import FORMAT, FORMAT_VERSION, MANIFEST, README, SEQUENCES, columns, file_of
from shopclock.record.copies.copying import CHECKING, check_copy, part_beside
from shopclock.record.file.engine import connect, writer
from shopclock.record.file.error_text import error_text
from shopclock.record.file.on_disk import folder_on_disk, on_disk
from shopclock.record.file.schema import VERSION, create
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.plain_file import refuse_unless_plain
from shopclock.shop.values.progress import UNWATCHED, Progress

UNARCHIVING = "Reading the archive"
LARGEST = 4_000_000_000
"""Bytes of all tables together; a shop of forty years has a tenth of it."""
TIGHTEST = 200
"""No table of a shop packs tighter than this many times; a bomb does."""
SLACK = 1_000_000
LONGEST_LINE = 4_000_000
MOST_ENTRIES = 1000
AT_ONCE = 2000


class _NotWhole(Exception):
    """Fault of an archive, to be put into a sentence."""


def unarchive(file: Path, record: Path, progress: Progress = UNWATCHED) -> None:
    """Make a new record of an archive. ShopError says why it is refused; then nothing is there."""
    if record.exists() or record.is_symlink():
        raise ShopError(f"{record} is there already. Nothing was changed. Name a new file.")
    if not record.parent.is_dir():
        raise ShopError(f"There is no folder {record.parent}. Nothing was written.")
    with _told(file):
        refuse_unless_plain(file)
    with _told(file), zipfile.ZipFile(file) as book:
        tables = _checked_manifest(book)
        with part_beside(record) as part:
            with error_text(record):
                _make_tables(part)
            _fill(part, book, tables, progress)
            progress.at(0, 0, CHECKING)
            check_copy(part, part)
            for wrong in check(part):
                raise _NotWhole(f"it does not hold together, {wrong[0].lower()}{wrong[1:].rstrip('.')}")
            on_disk(part)
            part.replace(record)
            folder_on_disk(record.parent)


@contextmanager
def _told(file: Path) -> Iterator[None]:
    wrong = f"{file} can't be taken: {{}}. Nothing was changed."
    try:
        yield
    except _NotWhole as error:
        raise ShopError(wrong.format(error)) from error
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, RecursionError) as error:
        raise ShopError(wrong.format("it is not a whole zip")) from error
    except (ValueError, OverflowError) as error:
        raise ShopError(wrong.format("it is not what the program wrote")) from error
    except OSError as error:
        raise ShopError(wrong.format(error.strerror or "it can't be read")) from error


def _checked_manifest(book: zipfile.ZipFile) -> dict[str, dict[str, Any]]:
    """Return what the manifest says of each table, once the archive holds what it may and no more."""
    entries = book.infolist()
    wanted = {MANIFEST, README, *map(file_of, columns())}
    if len(entries) > MOST_ENTRIES or len({entry.filename for entry in entries}) != len(entries):
        raise _NotWhole("it holds a file twice")
    manifest = _manifest(book, entries)
    if {entry.filename for entry in entries} != wanted:
        raise _NotWhole("it holds other files than an archive has")
    _check_sizes(entries)
    tables = {table["name"]: table for table in manifest["tables"] if isinstance(table, dict) and "name" in table}
    if set(tables) != set(columns()):
        raise _NotWhole("it holds other tables than a record has")
    return tables


def _manifest(book: zipfile.ZipFile, entries: list[zipfile.ZipInfo]) -> dict[str, Any]:
    entry = next((entry for entry in entries if entry.filename == MANIFEST), None)
    if entry is None:
        raise _NotWhole("it is no archive of this program")
    with book.open(entry) as file:
        text = file.read(SLACK)
    manifest = json.loads(text)
    if not isinstance(manifest, dict) or manifest.get("format") != FORMAT:
        raise _NotWhole("it is no archive of this program")
    versions = (manifest.get("format_version"), manifest.get("schema_version"))
    if not all(type(version) is int for version in versions) or not isinstance(manifest.get("tables"), list):
        raise _NotWhole("it is not what the program wrote")
    if versions[0] > FORMAT_VERSION or versions[1] > VERSION:  # type: ignore[operator]  # whole numbers, looked at above
        raise _NotWhole("it was written by a newer version of this program; use that")
    if versions != (FORMAT_VERSION, VERSION):
        raise _NotWhole("this version of the program does not read its version")
    return manifest


def _check_sizes(entries: list[zipfile.ZipInfo]) -> None:
    for entry in entries:
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if kind not in (0, stat.S_IFREG) or entry.flag_bits & 1:
            raise _NotWhole("it holds something else than plain files")
        if entry.file_size > TIGHTEST * entry.compress_size + SLACK:
            raise _NotWhole("it claims to hold far more than fits in it")
    if sum(entry.file_size for entry in entries) > LARGEST:
        raise _NotWhole("it claims to hold far more than a record can")


def _make_tables(part: Path) -> None:
    engine = writer(part)
    try:
        with engine.begin() as connection:
            create(connection)
    finally:
        engine.dispose()


def _fill(part: Path, book: zipfile.ZipFile, tables: dict[str, dict[str, Any]], progress: Progress) -> None:
    of, done = sum(book.getinfo(file_of(table)).file_size for table in tables), 0
    with closing(connect(part)) as connection:
        connection.isolation_level = None
        connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute("PRAGMA synchronous = OFF")  # thrown away unless it gets whole
        connection.execute("BEGIN")
        try:
            for table, names in columns().items():
                for size in _fill_table(connection, book, tables[table], table, names):
                    progress.at(done := done + size, of, UNARCHIVING)
        except (sqlite3.IntegrityError, sqlite3.InterfaceError, sqlite3.ProgrammingError) as error:
            raise _NotWhole("its rows make no record") from error
        except OSError as error:  # of the archive: what SQLite says of the record is no OSError
            raise _NotWhole(f"it can't be read ({error.strerror})") from error
        connection.execute("COMMIT")
        if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
            raise _NotWhole("its rows point at something that isn't there")


def _fill_table(
    connection: sqlite3.Connection, book: zipfile.ZipFile, said: dict[str, Any], table: str, names: tuple[str, ...]
) -> Iterator[int]:
    """Fill one table, yielding now and then how many bytes more of it are read."""
    if table == SEQUENCES:
        connection.execute(f"DELETE FROM {SEQUENCES}")  # noqa: S608  # the name is ours
    # The names are ours: they are those of the tables in the code.
    insert = f"INSERT INTO {table} ({', '.join(names)}) VALUES ({', '.join('?' * len(names))})"  # noqa: S608  # see above
    digest, n, at = hashlib.sha256(), 0, 0
    with book.open(file_of(table)) as file:
        rows = (_row(line, names) for line in _lines(file, digest))
        while some := list(islice(rows, AT_ONCE)):
            connection.executemany(insert, some)
            n += len(some)
            yield file.tell() - at
            at = file.tell()
    if digest.hexdigest() != said.get("sha256") or n != said.get("rows"):
        raise _NotWhole(f"{file_of(table)} is not as it was written")


def _lines(file: Any, digest: Any) -> Iterator[bytes]:
    """Yield a file's lines, no longer than memory is to be spent on one."""
    while line := file.readline(LONGEST_LINE):
        if not line.endswith(b"\n"):
            raise _NotWhole("a line of it does not end")
        digest.update(line)
        yield line


def _row(line: bytes, names: tuple[str, ...]) -> tuple[Any, ...]:
    row = json.loads(line)
    if not isinstance(row, dict) or tuple(row) != names:
        raise _NotWhole("its columns are others than a record has")
    values = tuple(row.values())
    if any(value is not None and type(value) not in (int, float, str) for value in values):
        raise _NotWhole("its rows make no record")
    return values
