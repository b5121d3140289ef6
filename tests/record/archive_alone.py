"""Writes an archive and does nothing before it: `python -m tests.record.archive_alone RECORD FILE.zip`."""

import sys
from pathlib import Path

from shopclock.record.copies.archive import archive

if __name__ == "__main__":
    archive(Path(sys.argv[1]), Path(sys.argv[2]), 1_793_000_000_000_000)
