"""Files of older versions, read as this version has them: brought up in a copy that is thrown away."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shopclock.record.copies.copying import backup
from shopclock.record.file import schema
from shopclock.record.file.engine import dont_wait_for_disk, writer
from shopclock.record.file.opening import version_of
from shopclock.shop.values.progress import UNWATCHED, Progress


@contextmanager
def as_now(path: Path, progress: Progress = UNWATCHED) -> Iterator[Path]:
    """Give the place of a record as this version has it: of the file itself, or of a copy that was brought up."""
    if (version := version_of(path)) == schema.VERSION:
        yield path
        return
    with tempfile.TemporaryDirectory(prefix="shopclock-") as folder:
        part = Path(folder) / path.name
        part.touch(0o600)
        backup(path, part, progress)
        bring_up_alone(part, version)
        yield part


def bring_up_alone(part: Path, version: int) -> None:
    """Bring a file to this version that nobody else has and that is thrown away unless it gets whole."""
    from shopclock.record.file.migrate import bring_up

    engine = writer(part)
    try:
        dont_wait_for_disk(engine)
        bring_up(engine, version)
    finally:
        engine.dispose()
