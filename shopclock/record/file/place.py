"""Place of the record: the user's own data folder, unless another is named."""

from pathlib import Path

import platformdirs

ENDING = ".shopclock"


def usual_place() -> Path:
    """Return the place of the shop's record when none is named."""
    return Path(platformdirs.user_data_dir("shopclock", appauthor=False)) / f"shop{ENDING}"


def state_folder() -> Path:
    """Return the user's own folder for what belongs to this machine: locks, and what is kept for sticks."""
    return Path(platformdirs.user_state_dir("shopclock", appauthor=False))
