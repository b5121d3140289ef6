"""What everything that is stored has."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """What every stored thing has."""

    id: int
    uuid: str
