"""Where the record lies: the user's own data folder, unless another place is named."""

from pathlib import Path

import platformdirs

ENDING = ".shopclock"


def usual_place() -> Path:
    """Return the place of the shop's record when none is named."""
    return Path(platformdirs.user_data_dir("shopclock", appauthor=False)) / f"shop{ENDING}"


def file_for(record: Path) -> Path:
    """Return where the parcel of a record lies until it is taken."""
    return record.with_name(f"{record.name}.parcel")
