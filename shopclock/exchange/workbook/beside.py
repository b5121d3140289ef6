"""A file that is there whole or not at all: written beside its place, then renamed into it."""

import errno
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shopclock.shop.values.errors import ShopError

_NO_ROOM = (errno.ENOSPC, errno.EDQUOT)


@contextmanager
def written_beside(target: Path) -> Iterator[Path]:
    """Give a path to write to; when all went well it takes the place of `target`, otherwise nothing is left.

    What was at `target` stays as it was until then. ShopError says why it can't be done.
    """
    target = target.expanduser()
    _check_target(target)
    with _told(target):
        place = target.resolve()
        number, name = tempfile.mkstemp(dir=place.parent, prefix=f".{place.stem[:40]}-", suffix=f".part{place.suffix}")
    os.close(number)
    part = Path(name)
    try:
        with _told(target):
            yield part
            _on_disk(part)
            part.chmod(_usual_mode(place))
            part.replace(place)
    finally:
        part.unlink(missing_ok=True)


def _check_target(target: Path) -> None:
    if target.is_dir():
        raise ShopError(f"{target} is a folder. Name a file in it.")
    if not target.parent.is_dir():
        raise ShopError(f"There is no folder {target.parent}. Nothing was written.")
    if target.exists() and not target.is_file():
        raise ShopError(f"{target} is not a file that can be written. Nothing was written.")
    if target.with_name(f".~lock.{target.name}#").exists():
        raise ShopError(f"{target} is open in another program. Nothing was written. Close it there, then try again.")


@contextmanager
def _told(target: Path) -> Iterator[None]:
    """Say what the disk says in a sentence."""
    try:
        yield
    except PermissionError as error:
        raise ShopError(
            f"{target} can't be written: its folder is closed to you, or another program has it open. "
            "Nothing was written."
        ) from error
    except OSError as error:
        if error.errno in _NO_ROOM:
            raise ShopError(
                f"There is no room left to write {target}, or none for passing files in {tempfile.gettempdir()}. "
                "Nothing was written. Make room."
            ) from error
        raise ShopError(f"{target} can't be written ({error.strerror or error}). Nothing was written.") from error


def _on_disk(path: Path) -> None:
    """Have the file on the disk itself before it takes another's place."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _usual_mode(place: Path) -> int:
    """Return the rights of the file that is replaced, or those that a new file gets."""
    if place.exists():
        return place.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
