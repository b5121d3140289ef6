"""Random damage to a record, and what its doors make of it.

    python -m tests.faults.damage FILES VALUES

damages a record so many times at random, and in single values of rows, opens each at every door, and tells how many
were noticed, where, how many showed wrong figures after the quiet check had said nothing, how many ended in a trace.
"""

from __future__ import annotations

import json
import random
import shutil
import sqlite3
import sys
import tempfile
from collections import Counter
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.commands.common import reading_of
from shopclock.exchange.workbook.figures_json import figures_json
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.sheets import batch_lines
from shopclock.record.check.check import check
from shopclock.record.copies.archive import archive
from shopclock.record.copies.daily import keep_copy
from shopclock.record.file.copy_files import usual_folder
from shopclock.record.press.record import Record
from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work.batches import batch_name, start_batch
from tests.record.on_disk import DiskShop
from tests.shop.histories import play
from tests.shop.workshop import ToyClock

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

NOW_US = 1_800_000_000_000_000
PAGE = 4096
A_WORD_AT = 50
"""After so many damages it is said how far it is: all of them take their time, and a run may be ended."""
TABLES_ASIDE = ("sqlite_stat1", "sqlite_stat4", "alembic_version")


@dataclass(frozen=True, slots=True)
class Found:
    """What one damage led to: what was done, doors that noticed, traces, whether the figures are other ones."""

    done: str
    noticed: tuple[str, ...]
    traces: tuple[str, ...]
    other: bool
    told: bool

    @property
    def silent(self) -> bool:
        """True if other figures were shown and the quiet check had nothing to say."""
        return self.other and not self.told


def worked_shop(folder: Path, seed: int = 13, presses: int = 300) -> Path:
    """A record of some evenings: open batches and closed ones, pieces lost, waits, loads, readings."""
    dice = random.Random(seed)  # noqa: S311  # always the same evenings
    shop = DiskShop(folder, 4, 3)
    minutes = range(40)
    play(shop, [(*dice.choices(range(1000), k=3), dice.choice(minutes) * 60_000_000) for _ in range(presses)])  # type: ignore[arg-type]  # four of them
    shop.close()
    return shop.path


def figures(path: Path) -> str:
    """All that is told of a record: the figures of every batch, stage by stage, and every stretch and piece."""
    with reading_of(path) as reading:
        lines = batch_lines(reading, ExportOptions(now_us=NOW_US, batch_ids=None))
        told = figures_json(reading.floor, lines, NOW_US)
        rows = [repr(row) for row in (*reading.reads.intervals(), *reading.reads.pieces(), *reading.reads.readings())]
        return json.dumps([told, rows])


def window(path: Path) -> None:
    """What the window does: open, press, close."""
    record = Record.open(path, ToyClock(NOW_US - 1_000_000))
    with closing(record):
        name, pattern = batch_name(record.floor, record.instant()), next(record.floor.all(Pattern))
        record.press("Start", lambda tx: start_batch(tx, pattern, 2, name))


def spoil_file(path: Path, dice: random.Random) -> str:
    """Damage a file at random: bits, bytes, a page, a sector of zeroes, its end, two pages changed for each other."""
    data = bytearray(path.read_bytes())
    at, pages = dice.randrange(len(data)), len(data) // PAGE
    how = dice.choice(("bit", "bit", "byte", "byte", "bytes", "page", "zeroes", "end", "swap"))
    if how == "bit":
        data[at] ^= 1 << dice.randrange(8)
    elif how == "byte":
        data[at] = dice.randrange(256)
    elif how == "bytes":
        data[at : at + 16] = dice.randbytes(len(data[at : at + 16]))
    elif how == "page":
        page = dice.randrange(pages) * PAGE
        data[page : page + PAGE] = dice.randbytes(PAGE)
    elif how == "zeroes":
        sector = at // 512 * 512
        data[sector : sector + 512] = bytes(len(data[sector : sector + 512]))
    elif how == "end":
        del data[at:]
    else:
        one, other = (dice.randrange(pages) * PAGE for _ in range(2))
        data[one : one + PAGE], data[other : other + PAGE] = data[other : other + PAGE], data[one : one + PAGE]
    path.write_bytes(data)
    return f"{how} at {at}"


def spoil_value(path: Path, dice: random.Random) -> str:
    """Change one value of one row so that the page is good: another number, other letters, no text, nothing at all."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.executescript("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON;")
        guards = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            connection.execute(f"DROP TRIGGER {name}")
        done = ""
        while not done:
            done = _other_value(connection, dice)
        for _, sql in guards:
            connection.execute(sql)
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return done


def _other_value(connection: sqlite3.Connection, dice: random.Random) -> str:
    tables = [
        name
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        if name not in TABLES_ASIDE
    ]
    table = dice.choice(tables)
    rows = connection.execute(f"SELECT * FROM {table}").fetchall()  # noqa: S608  # names of our own tables
    names = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
    if not rows:
        return ""
    row, column = dice.choice(rows), dice.randrange(len(names))
    was, name = row[column], names[column]
    this = " AND ".join(f"{one} IS ?" for one in names)
    other = dice.choice(_others(was, dice))
    update = f"UPDATE {table} SET {name} = {other} WHERE {this} AND {name} IS NOT {other}"  # noqa: S608  # the same
    try:
        changed = connection.execute(update, row)
    except sqlite3.Error:
        return ""
    return f"{table}.{name} {was!r:.40} -> {other:.60}" if changed.rowcount else ""


def _others(was: object, dice: random.Random) -> list[str]:
    """SQL of what may stand there instead."""
    found = ["NULL"]
    if isinstance(was, int):
        found += [str(was ^ 1 << dice.randrange(45)), str(was + 1), str(-was), "0", str(2**62), "'x'"]
    elif isinstance(was, float):
        found += ["0.0", "-1.5", "9e999", "1e300"]
    else:
        said = str(was or "")
        found += ["''", "'x'", "CAST(x'ff00fe' AS TEXT)", "CAST(x'c328' AS TEXT)", "'[1'", "'{}'", "'null'"]
        if said:
            at = dice.randrange(len(said))
            letter = dice.choice('abcxyz0189{}[]":, -')
            quoted = (said[:at] + letter + said[at + 1 :]).replace("'", "''")
            found += [f"'{quoted}'"] * 6
    return found


def doors(path: Path, good: str) -> tuple[tuple[str, ...], tuple[str, ...], bool, bool]:
    """Try every door of a damaged record: who noticed, traces, whether the figures are others, if the check told."""
    noticed: list[str] = []
    traces: list[str] = []
    other, told = False, False

    def tried(name: str, door: Callable[[], object]) -> object:
        try:
            return door()
        except ShopError as error:
            noticed.append(name)
            if not str(error).endswith("."):
                traces.append(f"{name}: no sentence: {error}")
        except Exception as error:  # noqa: BLE001  # that is what is counted
            traces.append(f"{name}: {type(error).__name__} {str(error)[:100]}")
        return None

    shown = tried("figures", lambda: figures(path))
    other = shown is not None and shown != good
    tried("archive", lambda: archive(path, path.with_name("a.zip"), NOW_US))
    wrong = tried("check", lambda: check(path))
    if wrong:
        noticed.append("check")
    tried("window", lambda: window(path))
    shutil.rmtree(usual_folder(path), ignore_errors=True)
    before = len(noticed)
    tried("quiet check", lambda: keep_copy(path, NOW_US))
    told = len(noticed) > before
    return tuple(noticed), tuple(traces), other, told


def tries(whole: Path, folder: Path, n: int, seed: str, spoil: Callable[[Path, random.Random], str]) -> Iterator[Found]:
    """Damage copies of a record so many times, always the same ways for a seed; yield what each led to."""
    dice, good = random.Random(seed), figures(whole)  # noqa: S311  # no secret
    for number in range(n):
        place = folder / f"{number}"
        place.mkdir()
        path = place / whole.name
        shutil.copyfile(whole, path)
        done = spoil(path, dice)
        yield Found(done, *doors(path, good))
        shutil.rmtree(place)


def report(found: list[Found]) -> str:
    """Say in one line what was found."""
    silent, traces = [one for one in found if one.silent], [one for one in found if one.traces]
    doors_of = Counter(door for one in found for door in dict.fromkeys(one.noticed))
    noticed, other = sum(bool(one.noticed) for one in found), sum(one.other for one in found)
    said = f"{len(found)} damages: {noticed} noticed, {other} showed other figures, {len(silent)} of these in silence"
    return f"{said} after the quiet check, {len(traces)} traces; noticed by {dict(doors_of)}"


def main(files: int, values: int, seed: str = "by hand") -> None:
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "whole").mkdir()
        whole = worked_shop(Path(folder) / "whole")
        for words, n, spoil in (("at random", files, spoil_file), ("single values", values, spoil_value)):
            place = Path(folder) / words
            place.mkdir()
            found = []
            for one in tries(whole, place, n, f"{seed} {words}", spoil):
                found.append(one)
                if one.silent:
                    _say(f"  silent: {one.done}")
                if one.traces:
                    _say(f"  trace: {one.done}: {one.traces}")
                if len(found) % A_WORD_AT == 0 or len(found) == n:
                    _say(f"{words}: {report(found)}")


def _say(words: str) -> None:
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]), *sys.argv[3:])
