"""What is measured and what belongs together: kinds of readings, readings, pairs of scales."""

from dataclasses import dataclass

from shopclock.shop.thing import Thing


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingKind(Thing):
    """What can be measured at a stage, for one pattern or for all; limits and target as texts in its unit."""

    stage_id: int
    pattern_id: int | None
    name: str
    unit: str
    low: str | None
    high: str | None
    target: str | None
    common_practice: bool
    put_away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Thing):
    """A value measured at a step, of one piece or (no piece) of all that were in it, and the target it had.

    One of a whole load names it, where its tool holds one.
    Values are texts that say them exactly as they were entered, each in its own unit.
    """

    kind_id: int
    step_id: int
    piece_id: int | None
    load_id: int | None
    target: str | None
    target_unit: str
    measured: str
    unit: str
    at_us: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Scales(Thing):
    """A pair of scales by its number, and the piece that it belongs on."""

    number: str
    note: str
    piece_id: int | None
