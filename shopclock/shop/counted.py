"""Where the maker's count begins."""

from dataclasses import dataclass

from shopclock.shop.thing import Thing


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeBefore(Thing):
    """How many pieces a maker had made before timing began: by a method of a stage, or whole ones (no stage)."""

    stage_id: int | None
    method_id: int | None
    pieces: int
