"""Leftovers of a program that was killed or of a disk that was full: gone at the next start, and nothing with them."""

from contextlib import suppress
from pathlib import Path

from shopclock.record.file import copy_files
from shopclock.record.file.engine import log_of
from shopclock.record.file.parts import TAILS, clear_parts, is_nobodys
from shopclock.record.file.place import state_folder


def clear_leftovers(record: Path) -> None:
    """Remove what is left half done of a record, whose lock is held, and in the folders of its copies.

    What another program is writing stays.
    """
    folders = {copy_files.usual_folder(record), Path(copy_files.read_keeps(record).folder or record.parent)}
    for folder in {record.parent, *folders}:
        clear_parts(folder, record.stem)
    for folder in folders - {record.parent}:
        _clear_tails(folder, record.stem)
    for name in (f"{record.name}.life-new", f".{record.name}.copies-*", f"{record.name}.before-v*.part*"):
        _remove_all(record.parent, name)
    with suppress(OSError):
        copy_files.usual_folder(record).rmdir()  # only where it is empty
    _clear_locks(state_folder() / "locks")


def lone_log(record: Path) -> Path | None:
    """Return the log of a record that isn't at its place, where something is in it; nothing otherwise."""
    log = log_of(record)
    with suppress(OSError):
        if log.stat().st_size:
            return log
    return None


def logs_left(record: Path) -> set[str]:
    """Return the names of logs that were put aside beside a record because they were of another file."""
    with suppress(OSError):
        return {path.name for path in record.parent.iterdir() if path.name.startswith(f"{record.name}-wal.left")}
    return set()


def _remove_all(folder: Path, pattern: str) -> None:
    with suppress(OSError):
        for path in folder.glob(pattern):
            path.unlink(missing_ok=True)


def _clear_tails(folder: Path, stem: str) -> None:
    """Remove what SQLite left beside a copy that is gone."""
    with suppress(OSError):
        for path in [path for path in folder.iterdir() if path.name.startswith(stem)]:
            tail = next((tail for tail in TAILS[1:] if path.name.endswith(tail)), None)
            if tail is not None and not path.with_name(path.name.removesuffix(tail)).exists():
                path.unlink(missing_ok=True)


def _clear_locks(folder: Path) -> None:
    with suppress(OSError):
        for path in folder.iterdir():
            if is_nobodys(path):
                path.unlink(missing_ok=True)
