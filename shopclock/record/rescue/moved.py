"""Places at which records went on that were taken away from theirs: asked when the old place is opened again."""

import json
import os
from contextlib import suppress
from pathlib import Path

from shopclock.record.file.on_disk import make_folder
from shopclock.record.file.place import state_folder


def note_moved(old: Path, new: Path) -> None:
    """Note that a record goes on at another place. Where that can't be kept nothing is said at the next start."""
    _write(_read() | {_name(old): str(new)})


def forget_moved(old: Path) -> None:
    """Forget it: the record at the old place is meant."""
    known = _read()
    if known.pop(_name(old), None) is not None:
        _write(known)


def goes_on_at(old: Path) -> Path | None:
    """Return where the record of a place goes on, as far as it is there; nothing where it was never taken away."""
    found = _read().get(_name(old))
    seen = set()
    while found is not None and found not in seen:
        seen.add(found)
        following = _read().get(_name(Path(found)))
        if following is None:
            break
        found = following
    return Path(found) if found is not None and Path(found).is_file() and Path(found) != old else None


def _name(path: Path) -> str:
    return os.path.realpath(path)


def _place() -> Path:
    return state_folder() / "moved.json"


def _read() -> dict[str, str]:
    try:
        found = json.loads(_place().read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(old): str(new) for old, new in found.items()} if isinstance(found, dict) else {}


def _write(known: dict[str, str]) -> None:
    with suppress(OSError):
        make_folder(_place().parent)
        new = _place().with_name("moved.json-new")
        new.write_text(json.dumps(known), encoding="utf-8")
        new.chmod(0o600)
        new.replace(_place())
