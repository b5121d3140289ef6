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

import sqlalchemy as sa

from shopclock.record.copies.archive import FORMAT, FORMAT_VERSION, MANIFEST, README, SEQUENCES, file_of
from shopclock.record.copies.archive import columns as columns_now
from shopclock.record.copies.copying import CHECKING, check_copy, part_beside
from shopclock.record.copies.older import bring_up_alone
from shopclock.record.file.engine import connect, writer
from shopclock.record.file.error_text import error_text
from shopclock.record.file.on_disk import folder_on_disk, on_disk
from shopclock.record.file.opening import holds_nothing, set_log_aside
from shopclock.record.file.schema import APPLICATION_ID, VERSION, create
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
LEFT_OUT = ("coming",)
"""Tables of version 1 that no archive holds."""


class _NotWhole(Exception):
    """Fault of an archive, to be put into a sentence."""


def unarchive(file: Path, record: Path, progress: Progress = UNWATCHED) -> None:
    """Make a new record of an archive. ShopError says why it is refused; then nothing is there."""
    if record.is_symlink() or not holds_nothing(record):
        raise ShopError(f"{record} is there already. Nothing was changed. Name a new file.")
    if not record.parent.is_dir():
        raise ShopError(f"There is no folder {record.parent}. Nothing was written.")
    with _told(file):
        refuse_unless_plain(file)
    with _told(file), zipfile.ZipFile(file) as book:
        version, said = _manifest(book)
        with part_beside(record) as part:
            with error_text(record):
                columns = _make_tables(part, version)
            _fill(part, book, _checked_tables(book, said, columns), columns, progress)
            if version < VERSION:
                _bring_up(part, version)
            progress.at(0, 0, CHECKING)
            check_copy(part, part)
            from shopclock.record.check.check import check  # nothing of it is needed when the window opens

            for wrong in check(part):
                raise _NotWhole(f"it does not hold together, {wrong[0].lower()}{wrong[1:].rstrip('.')}")
            on_disk(part)
            set_log_aside(record)
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


Columns = dict[str, tuple[str, ...]]


def _checked_tables(book: zipfile.ZipFile, said: list[Any], columns: Columns) -> dict[str, dict[str, Any]]:
    """Return what the manifest says of each table, once the archive holds what it may and no more."""
    entries = book.infolist()
    if {entry.filename for entry in entries} != {MANIFEST, README, *map(file_of, columns)}:
        raise _NotWhole("it holds other files than an archive has")
    _check_sizes(entries)
    tables = {table["name"]: table for table in said if isinstance(table, dict) and "name" in table}
    if set(tables) != set(columns):
        raise _NotWhole("it holds other tables than a record has")
    return tables


def _manifest(book: zipfile.ZipFile) -> tuple[int, list[Any]]:
    """Return the version of the record that the manifest tells, and what it says of the tables."""
    entries = book.infolist()
    if len(entries) > MOST_ENTRIES or len({entry.filename for entry in entries}) != len(entries):
        raise _NotWhole("it holds a file twice")
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
    if versions[0] < FORMAT_VERSION or versions[1] < 1:  # type: ignore[operator]  # the same
        raise _NotWhole("this version of the program does not read its version")
    return int(manifest["schema_version"]), manifest["tables"]


def _check_sizes(entries: list[zipfile.ZipInfo]) -> None:
    for entry in entries:
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if kind not in (0, stat.S_IFREG) or entry.flag_bits & 1:
            raise _NotWhole("it holds something else than plain files")
        if entry.file_size > TIGHTEST * entry.compress_size + SLACK:
            raise _NotWhole("it claims to hold far more than fits in it")
    if sum(entry.file_size for entry in entries) > LARGEST:
        raise _NotWhole("it claims to hold far more than a record can")


def _make_tables(part: Path, version: int) -> Columns:
    """Make the tables of a version; return those that an archive of it holds, with their columns."""
    engine = writer(part)
    try:
        with engine.begin() as connection:
            if version == VERSION:
                create(connection)
                return columns_now()
            from shopclock.record.file import migrate

            migrate.run(connection, 0, version)
            connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.exec_driver_sql(f"PRAGMA user_version = {version}")
            names = connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'").scalars().all()
            return {name: _columns(connection, name) for name in names if name not in LEFT_OUT}
    finally:
        engine.dispose()


def _columns(connection: sa.Connection, table: str) -> tuple[str, ...]:
    return tuple(row[1] for row in connection.exec_driver_sql(f"PRAGMA table_info({table})"))


def _bring_up(part: Path, version: int) -> None:
    """Bring a record that was made of an older archive to this version, within the one file."""
    try:
        bring_up_alone(part, version)
    except (sa.exc.DBAPIError, ValueError, TypeError) as error:
        raise _NotWhole("its rows make no record") from error
    with closing(sqlite3.connect(part)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")


def _fill(
    part: Path, book: zipfile.ZipFile, tables: dict[str, dict[str, Any]], columns: Columns, progress: Progress
) -> None:
    of, done = sum(book.getinfo(file_of(table)).file_size for table in tables), 0
    with closing(connect(part)) as connection:
        connection.isolation_level = None
        connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute("PRAGMA synchronous = OFF")  # thrown away unless it gets whole
        connection.execute("BEGIN")
        try:
            for table, names in columns.items():
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
