"""The published tables of shared/published, as Python."""

import tomllib
from typing import Any

from shopclock.places import shared


def tables(name: str) -> dict[str, Any]:
    """All tables of one file, by their names."""
    return tomllib.loads(shared("published", f"{name}.toml").read_text("utf-8"))
