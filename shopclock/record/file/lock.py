"""Lock of a record: one program writes a file, whatever name it is opened by.

Two files are held. One in the user's own folder is called by the file's identity: a second name of the same file is
the same lock. One beside the record tells other machines, and other users of this one. The system itself lets go for
a program that ended, so that on this machine nothing that was left behind can stand in the way. Only what another
machine left, or nobody knows who, is asked about.
"""

import contextlib
import json
import os
import socket
import uuid
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from shopclock.record.file.disk import can_go_away
from shopclock.record.file.held import hold, let_go
from shopclock.record.file.identity import Identity, identity_of
from shopclock.record.file.on_disk import make_folder
from shopclock.record.file.place import state_folder
from shopclock.shop.values.clock import US, SystemClock, boot_id

PROGRAM = "shopclock"


@dataclass(frozen=True, slots=True)
class Holder:
    """Holder of a record: the number of its program here, or the machine that it is on; when it took it, if known.

    `sure` that it runs; otherwise its lock may have been left behind, and can be taken over.
    """

    sure: bool
    number: int = 0
    machine: str = ""
    at: str = ""

    def sentence(self, path: Path) -> str:
        """Say who has a record, and what to do."""
        if self.sure and not self.machine:
            which = f" (number {self.number})" if self.number else ""
            return f"{path} is open in another window or program{which}. Nothing was changed. Close it there first."
        if self.sure:
            return f"{path} is open on {self.machine}. Nothing was changed. Close it there first."
        since = f" on {self.at}" if self.at else ""
        who = f"{self.machine} opened {path}{since} and" if self.machine else f"Somebody opened {path} who"
        return f"{who} has not let it go. If nobody has it open any more, take it over. Nothing was changed."


class RecordLock:
    """Lock of the record at a path, taken with `take` and kept until `release`."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._real = Path(os.path.realpath(path))
        self._beside: int | None = None
        self._by_identity: dict[Identity, int] = {}
        self.taken = False

    @property
    def name(self) -> str:
        """Name that is the same for all names of the file; that of the path while there is no file."""
        with contextlib.suppress(OSError):
            found = identity_of(self.path)
            if found is not None:
                return _name_of(found)
        return uuid.uuid5(uuid.NAMESPACE_URL, str(self._real)).hex

    def take(self, *, over: bool = False) -> Holder | None:
        """Take it; return who has it otherwise. `over` takes what may have been left behind.

        A folder that refuses a lock is nobody: what is wrong there is told when the record is opened.
        """
        holder = self.follow() or self._take_beside(over=over)
        if holder is not None:
            self.release()
        self.taken = holder is None
        return holder

    def follow(self) -> Holder | None:
        """Hold also the file that is at the path now: a new one, or one that took the place of another."""
        self._follow_beside()
        try:
            found = identity_of(self.path)
            if found is None or found in self._by_identity:
                return None
            folder = state_folder() / "locks"
            make_folder(folder)
            _, number, held = _acquire(folder / _name_of(found))
        except OSError:
            return None
        if not held:
            holder = Holder(sure=True, number=_read(number).number)
            let_go(number)
            return holder
        _write(number)
        self._by_identity[found] = number
        return None

    def _follow_beside(self) -> None:
        """Hold the lock beside it anew where another file is there: on a stick that was plugged in again."""
        if self._beside is None:
            return
        with contextlib.suppress(OSError):
            if identity_of(self._place) != _identity(self._beside):
                let_go(self._beside)
                self._beside = None
                self._take_beside(over=True)

    def release(self) -> None:
        """Let the record go."""
        for found, number in self._by_identity.items():
            _remove(state_folder() / "locks" / _name_of(found), number)
        self._by_identity.clear()
        if self._beside is not None:
            _remove(self._place, self._beside)
            self._beside = None
        self.taken = False

    @property
    def _place(self) -> Path:
        return self._real.with_name(f"{self._real.name}.lock")

    def _take_beside(self, *, over: bool) -> Holder | None:
        place = self._place
        if place.is_dir():
            if not over:
                return Holder(sure=False)
            place.replace(place.with_name(f"{place.name}.left-{uuid.uuid4().hex[:8]}"))
        try:
            made, number, held = _acquire(place)
        except OSError:
            return None
        said = _read(number)
        if not held:
            let_go(number)
            return Holder(sure=True, number=said.number, machine="" if said.here else said.machine)
        if not (over or made or said.here) and (said.machine or can_go_away(self._real)):
            let_go(number)
            return Holder(sure=False, machine=said.machine, at=said.at)
        _write(number)
        self._beside = number
        return None


@dataclass(frozen=True, slots=True)
class _Said:
    """Words of a lock about who took it; of one that is empty or spoilt nothing is known."""

    number: int = 0
    machine: str = ""
    here: bool = False
    at: str = ""


def _read(number: int) -> _Said:
    """Read a lock: one of ours, or of an earlier version, which had five lines."""
    try:
        os.lseek(number, 0, os.SEEK_SET)
        text = os.read(number, 4096).decode()
    except (OSError, ValueError):
        return _Said()
    with contextlib.suppress(ValueError, TypeError, KeyError):
        said = json.loads(text)
        return _said(said["number"], said["machine"], said["machine_id"], said["at"])
    with contextlib.suppress(ValueError, IndexError):
        own, _, machine, *known = text.split("\n")
        return _said(int(own), machine, known[0] if known else "", "")
    return _Said()


def _said(number: int, machine: str, machine_id: str, at: str) -> _Said:
    own = _machine_id()
    here = machine_id == own if machine_id and own else machine == socket.gethostname()
    return _Said(int(number), str(machine), here, str(at))


def _write(number: int) -> None:
    """Say who has it; where the disk is full nothing is said, and it is held all the same."""
    wall_us = SystemClock().moment().wall_us
    said = {
        "program": PROGRAM,
        "number": os.getpid(),
        "machine": socket.gethostname(),
        "machine_id": _machine_id(),
        "at": datetime.fromtimestamp(wall_us // US).astimezone().strftime("%Y-%m-%d %H:%M"),
    }
    with contextlib.suppress(OSError):
        os.ftruncate(number, 0)
        os.lseek(number, 0, os.SEEK_SET)
        os.write(number, json.dumps(said).encode())


def _acquire(place: Path) -> tuple[bool, int, bool]:
    """Open a lock and hold it; tell too whether it was made, and whether it is held. OSError."""
    while True:
        made, number = _open(place)
        held = _hold(number)
        if not held or identity_of(place) == _identity(number):
            return made, number, held
        let_go(number)  # its holder removed it just before letting it go


def _identity(number: int) -> Identity:
    found = os.fstat(number)
    return Identity(found.st_dev, found.st_ino)


def _open(place: Path) -> tuple[bool, int]:
    """Open a lock; tell too whether it was made. OSError."""
    try:
        return True, os.open(place, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600)
    except FileExistsError:
        return False, os.open(place, os.O_CREAT | os.O_RDWR, 0o600)


def _hold(number: int) -> bool:
    """Hold a lock; a disk that knows no such thing leaves it to what the lock says."""
    try:
        return hold(number)
    except OSError:
        return True


def _remove(place: Path, number: int) -> None:
    """Remove a lock that is held, unless another file has its name by now, and let it go."""
    with contextlib.suppress(OSError):
        if identity_of(place) == _identity(number):
            place.unlink()
    let_go(number)


def _name_of(found: Identity) -> str:
    """Name the lock of a file in this boot of the machine: later, numbers of devices may be others'."""
    return uuid.uuid5(uuid.NAMESPACE_URL, f"{boot_id()} {found.device} {found.number}").hex


def _machine_id() -> str:
    """Return what this machine is known by, whatever it is called at the time; nothing where it isn't told."""
    try:
        return Path("/etc/machine-id").read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""
