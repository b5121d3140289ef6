"""The things of the shop as plain values: what is stored, without how.

Every thing has a number and a UUID, so that two copies can be joined. Instants (UTC) and lengths are whole `_us`.
"""

from dataclasses import dataclass

from shopclock.shop.chosen import Key, Setting
from shopclock.shop.counted import MadeBefore
from shopclock.shop.handed import HandingOver
from shopclock.shop.imported import ImportFile, ImportRow
from shopclock.shop.kinds import Certainty, How, Kind, Outcome, RuleKind, StepState, Why, Work
from shopclock.shop.measured import Reading, ReadingKind, Scales
from shopclock.shop.planned import AskedPrice, CostItem, CustomerOrder, DayOff, OrderPiece, ShopHours
from shopclock.shop.shown import CautionShown
from shopclock.shop.thing import Thing as Thing  # noqa: PLC0414 - everybody takes it from here


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop(Thing):
    """The shop that a record belongs to: its name and the zone its days are told in."""

    name: str
    zone: str
    made_us: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Maker(Thing):
    """A person with one pair of hands."""

    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench(Thing):
    """A place with a screen; undo takes back the presses of its own bench."""

    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage(Thing):
    """A kind of work. Trends follow it across patterns and years, whatever its name."""

    name: str
    kind: Kind
    one_by_one: bool
    shop_work: bool
    caution: str
    put_away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Method(Thing):
    """A way of doing a stage."""

    stage_id: int
    name: str
    put_away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool(Thing):
    """What work is done with. One that holds a load says how much at once: 5 blades, 8 clamps; a saw says nothing."""

    name: str
    capacity: float | None
    put_away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason(Thing):
    """Why a piece was lost or set aside, from the shop's own list."""

    name: str
    position: int
    put_away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern(Thing):
    """A design of piece."""

    name: str
    outline: str
    put_away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Route(Thing):
    """One version of a pattern's route; a batch keeps the version it started with."""

    pattern_id: int
    version: int
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteStep(Thing):
    """A step of a route. Steps of one strand follow each other; strands run side by side.

    `common_practice`: the length of its wait and its setting came with a starter route and have no source.
    `coldest_c` to `warmest_c`: in a shop as warm as this its length follows the warmth, as a resin's cure does.
    """

    route_id: int
    position: int
    stage_id: int
    name: str
    kind: Kind
    one_by_one: bool
    strand: str
    begins_itself: bool
    wait_us: int | None
    minutes_us: int | None
    setup_us: int | None
    tool_id: int | None
    tool_share: float
    setting: str
    coldest_c: float | None
    warmest_c: float | None
    caution: str
    common_practice: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRule(Thing):
    """What must come before what, within what, or after at least what, per piece."""

    route_id: int
    kind: RuleKind
    first_step_id: int
    then_step_id: int
    limit_us: int | None
    common_practice: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Word(Thing):
    """The shop's own word for piece, finished piece, batch, stage or load."""

    name: str
    one: str
    many: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch(Thing):
    """Pieces of one pattern started together."""

    name: str
    pattern_id: int
    route_id: int
    started_us: int
    closed_us: int | None
    next_time: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step(Thing):
    """A step in one batch, copied from its route or added to it."""

    batch_id: int
    route_step_id: int | None
    position: int
    stage_id: int
    name: str
    kind: Kind
    one_by_one: bool
    strand: str
    begins_itself: bool
    wait_us: int | None
    minutes_us: int | None
    setup_us: int | None
    tool_id: int | None
    tool_share: float
    setting: str
    coldest_c: float | None
    warmest_c: float | None
    caution: str
    common_practice: bool
    state: StepState


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece(Thing):
    """One blank. `second` says that it will be one at best; the outcome comes at the end."""

    batch_id: int
    position: int
    mark: str
    number: str
    set_aside: bool
    second: bool
    outcome: Outcome | None
    lost_step_id: int | None
    reason: str
    ended_us: int | None
    from_piece_id: int | None

    @property
    def living(self) -> bool:
        """True until the piece has an outcome."""
        return self.outcome is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Load(Thing):
    """What goes into a tool at once, at one setting; the intervals that name it say which pieces, and when."""

    tool_id: int
    setting: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval(Thing):
    """One unbroken stretch at one step of one batch, or of shop work (no batch, no pieces).

    `shop_c`: a cure whose length follows the shop's temperature, in degrees Celsius.
    """

    batch_id: int | None
    step_id: int | None
    stage_id: int
    maker_id: int
    method_id: int | None
    kind: Kind
    work: Work
    cause_step_id: int | None
    start_us: int
    end_us: int | None
    start_sure: Certainty
    end_sure: Certainty
    continues_id: int | None
    together: bool
    shop_c: float | None
    load_id: int | None
    pieces: tuple[int, ...]

    @property
    def running(self) -> bool:
        """True until it has an end."""
        return self.end_us is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally(Thing):
    """This piece is through this step, by this press."""

    step_id: int
    piece_id: int
    interval_id: int | None
    at_us: int
    how: How


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleBroken(Thing):
    """A step was started against an order rule for these pieces, knowingly."""

    rule_id: int
    step_id: int
    at_us: int
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question(Thing):
    """What is asked on the whole screen, and the answer; a restart doesn't forget it.

    `about_id` is an interval's number and no pointer: Undo may take that interval away. `sure_us` is
    the last sure moment when it was asked; `shift_us` how far the wall clock was set, in boot `boot_id`.
    """

    why: Why
    about_id: int | None
    asked_us: int
    sure_us: int
    boot_id: str
    shift_us: int | None
    answered_us: int | None
    answer: str


THINGS: tuple[type[Thing], ...] = (
    Shop, HandingOver, Maker, Bench, Stage, Method, MadeBefore, Tool, Reason, Pattern, Route, RouteStep, OrderRule,
    ReadingKind, Setting, Word, Key, Batch, Step, Piece, Load, Interval, Tally, Reading, Scales, RuleBroken,
    Question, CautionShown, CustomerOrder, OrderPiece, ShopHours, DayOff, CostItem, AskedPrice, ImportFile, ImportRow,
)  # fmt: skip  # every kind of thing, parents before those that point at them
