"""Soundness of copies: which of them their journal makes again, remembered, so that each is looked through once."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.record.copies.older import as_now
from shopclock.record.file import copy_files
from shopclock.record.file.error_text import Damaged
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from shopclock.record.file.copy_files import Copy

LOOKING = "Looking through it"
AT_ONCE = 3
"""So many copies of which nothing is known are looked through beside a new one."""


def wrong_with(path: Path, progress: Progress = UNWATCHED) -> list[str]:
    """Return what is wrong with a record of this version or an older one, as `check` does. ShopError: it is none."""
    from shopclock.record.check.check import check  # nothing of it is needed when the window opens

    try:
        with as_now(path, progress) as now:
            progress.at(0, 0, LOOKING)
            return check(now)
    except Damaged as error:
        return [str(error)]


def known(record: Path, copies: Iterable[Copy], newest: Mapping[str, bool]) -> dict[str, bool]:
    """Return which copies are sound, by name: those of `newest`, those known before, some that are looked through now.

    What is known is remembered beside the record.
    """
    names = {copy.path.name: copy.path for copy in copies}
    keeps, there = copy_files.read_keeps(record), {copy.path.name for copy in copy_files.copies_of(record)}
    found = {name: sound for name, sound in {**keeps.sound, **newest}.items() if name in there or name in names}
    for name in [name for name in names if name not in found][:AT_ONCE]:
        with suppress(ShopError):  # what can't be read now may be read tomorrow
            found[name] = not wrong_with(names[name])
    if found != keeps.sound:
        with suppress(OSError):
            copy_files.write_keeps(record, replace(keeps, sound=found))
    return found
