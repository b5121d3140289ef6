"""Spoilt files at every door where something comes in: each is taken whole or refused with a sentence.

    python -m tests.faults.spoilt 10000

spoils so many files of old notes, archives, copies, desk's copies and route files and tells how many were taken, and
how many ended in a trace or left something half.
"""

from __future__ import annotations

import io
import random
import shutil
import sys
import tempfile
import zipfile
from collections import Counter
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.exchange.notes import workbook_reader
from shopclock.exchange.notes.file import table_of
from shopclock.places import resource
from shopclock.record.check.check import check
from shopclock.record.copies.archive import archive
from shopclock.record.copies.restoring import restore
from shopclock.record.copies.unarchive import unarchive
from shopclock.record.desk.bringing_back import plan
from shopclock.record.desk.looking import look_through
from shopclock.record.desk.taking_along import take_along
from shopclock.record.press.record import Record
from shopclock.shop.routes.route_file import load_route
from shopclock.shop.setup import list_edit
from shopclock.shop.state.desk_copy import check_out
from shopclock.shop.values.errors import ShopError
from tests.exchange.notes.test_notes_fuzz import CSV, ods, xlsx
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from collections.abc import Callable

NOW_US = 1_793_000_000_000_000
OF_TEN_THOUSAND = {"csv": 3000, "xlsx": 1500, "ods": 1500, "route": 2500, "archive": 700, "copy": 500, "desk": 300}


PUT_IN = (b'"', b"\0", b"\xff\xfe", b"\n", b";", b"[" * 300, b"9" * 400, b"<", b"1e999")


def spoil(data: bytes, dice: random.Random) -> bytes:
    """Change, take out, double, cut or put in, once or some times."""
    changed = bytearray(data)
    for _ in range(dice.choice((1, 1, 2, 5, 20))):
        at, long = dice.randrange(len(changed) + 1), dice.choice((1, 1, 2, 8, 60, 600))
        way = dice.randrange(6)
        if way == 0:
            changed[at : at + long] = dice.randbytes(len(changed[at : at + long]))
        elif way == 1:
            del changed[at : at + long]
        elif way == 2:
            changed[at:at] = changed[at : at + long]
        elif way == 3:
            del changed[max(at, 1) :]
        elif way == 4:
            changed[at : at + long] = bytes(len(changed[at : at + long]))
        else:
            changed[at:at] = dice.choice(
                (b'"', b"\0", b"\xff\xfe", b"\n", b";", b"[" * 300, b"9" * 400, b"<", b"1e999")
            )
    return bytes(changed)


def spoil_inside(data: bytes, dice: random.Random) -> bytes:
    """Spoil one entry of a zip and pack it again: the zip is whole, what is in it is not."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        chosen = dice.choice(old.namelist())
        for name in old.namelist():
            new.writestr(name, spoil(old.read(name), dice) if name == chosen else old.read(name))
    return out.getvalue()


@dataclass
class Doors:
    """What comes in, each as it was written, and a record that it comes into."""

    folder: Path
    whole: dict[str, bytes] = field(default_factory=dict)

    def __post_init__(self) -> None:
        shop = DiskShop(self.folder, 3)
        shop.press(check_out)
        desk = self.folder / "desk.shopclock"
        take_along(shop.path, desk, shop.clock)
        shop.close()
        with closing(Record.open(desk, shop.clock)) as record:
            for name in ("Etch", "Burnish", "Buff"):
                record.press(name, lambda tx, name=name: list_edit.add_stage(tx, name))
            record.undo()
        self.record = shop.path
        archive(self.record, self.folder / "all.zip", NOW_US)
        self.whole = {
            "csv": CSV, "xlsx": xlsx(), "ods": ods(), "route": resource("routes", "kitchen-knife.toml").read_bytes(),
            "archive": (self.folder / "all.zip").read_bytes(), "copy": self.record.read_bytes(),
            "desk": (self.folder / "desk.shopclock").read_bytes(),
        }  # fmt: skip

    def take(self, kind: str, file: Path) -> bool:
        """Let a file in at the door of its kind; False where it is refused. What was taken is sound."""
        into = file.with_name("new.shopclock")
        come_in: dict[str, Callable[[], object]] = {
            "route": lambda: load_route(file),
            "archive": lambda: unarchive(file, into),
            "copy": lambda: restore(into, file, NOW_US),
            "desk": lambda: plan(self.record, look_through(self.record, file), ()),
        }
        try:
            come_in.get(kind, lambda: table_of(file.name, file.read_bytes()))()
        except ShopError as error:
            if "\n" in str(error) or not str(error).endswith("."):
                raise AssertionError(f"no sentence: {error}") from error
            if into.exists():
                raise AssertionError("something half is left") from error
            return False
        if into.exists() and check(into):
            raise AssertionError("what was taken is not sound")
        return True


def in_this_process(asked: list[str], *, data: bytes) -> tuple[int, bytes]:
    """Read a workbook by the same lines, without starting a process for each."""
    out = io.StringIO()
    try:
        return workbook_reader.write_rows(data, out, int(asked[-4]), int(asked[-3])), out.getvalue().encode()
    except BaseException as error:  # there it would end the process with 1
        if isinstance(error, KeyboardInterrupt):
            raise
        return 1, b""


def tries(doors: Doors, kind: str, n: int, seed: str) -> tuple[int, list[str]]:
    """Spoil so many files of a kind; how many were taken, and what went wrong otherwise than with a sentence."""
    dice, taken, wrong = random.Random(f"{seed} {kind}"), 0, []  # noqa: S311  # always the same files
    before = doors.record.read_bytes()
    ending = {"route": ".toml", "archive": ".zip", "copy": ".shopclock", "desk": ".shopclock"}.get(kind, f".{kind}")
    for number in range(n):
        place = doors.folder / "now"
        place.mkdir()
        file = place / f"given{ending}"
        inside = number % 2 and kind in ("xlsx", "ods", "archive")
        file.write_bytes((spoil_inside if inside else spoil)(doors.whole[kind], dice))
        try:
            taken += doors.take(kind, file)
        except Exception as error:  # noqa: BLE001  # that is what is counted
            wrong.append(f"{kind} {number}: {type(error).__name__} {str(error)[:200]}")
        left = {path.name.removesuffix("-wal").removesuffix("-shm") for path in place.iterdir()}
        if not left <= {file.name, "new.shopclock", "new.shopclock.copies"} or doors.record.read_bytes() != before:
            wrong.append(f"{kind} {number}: left {left}")
        shutil.rmtree(place)
    return taken, wrong


def main(n: int, seed: str = "by hand") -> None:
    from shopclock.exchange.notes import file

    file.run_apart = in_this_process
    with tempfile.TemporaryDirectory() as folder:
        doors, taken, faults = Doors(Path(folder)), Counter[str](), list[str]()
        for kind, of in OF_TEN_THOUSAND.items():
            some = n * of // 10_000
            taken[kind], wrong = tries(doors, kind, some, seed)
            faults += wrong
            sys.stdout.write(f"{kind}: {some} spoilt, {taken[kind]} taken whole, {len(wrong)} traces or left half\n")
            sys.stdout.flush()
        sys.stdout.write("".join(f"  {one}\n" for one in faults))


if __name__ == "__main__":
    main(int(sys.argv[1]), *sys.argv[2:])
