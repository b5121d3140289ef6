"""The things of the shop as plain values: what is stored, without how.

Every one has a number and a UUID, so that two copies can be joined. Instants (UTC) and lengths are whole `_us`.
"""

from dataclasses import dataclass, fields
from enum import StrEnum

from shopclock.shop.values.kinds import (
    Certainty,
    Kind,
    MarkedBy,
    Outcome,
    QuestionReason,
    RuleKind,
    StepState,
    WorkKind,
)

RULES = 2
"""The rules by which figures are made now; what version 1 of the record marked or closed keeps those of then (1)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entity:
    """Stored thing: its number and its UUID, which the transaction that adds it gives."""

    id: int = 0
    uuid: str = ""


RULER = "ruler "
"""Pixels per millimetre of a screen, as checked with a ruler: 'ruler ' and the screen's name."""
OF_BENCH = ("theme", "size", "text size", "full screen", "dim after")
"""Settings that each bench has for itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting(Entity):
    """A setting's value as text; `shop.settings` knows its type."""

    name: str
    value: str

    @property
    def of_bench(self) -> bool:
        """True of what each bench has for itself: how its window looks, what its screens were measured to be."""
        return self.name in OF_BENCH or self.name.startswith(RULER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Key(Entity):
    """A key or pedal for an action at the bench."""

    action: str
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeBefore(Entity):
    """Pieces that a maker had made before timing began: by a method of a stage, or whole ones (no stage).

    `maker_id` is nothing for the first maker.
    """

    stage_id: int | None
    method_id: int | None
    pieces: int
    maker_id: int | None = None


class Side(StrEnum):
    """Side that a file is of."""

    SHOP = "shop"
    DESK = "desk"


@dataclass(frozen=True, slots=True, kw_only=True)
class Checkout(Entity):
    """The record was taken along at an instant. Both files have this, by one UUID; `side` says which this one is.

    `joined`: the last press of the desk that has come back, by its number there; 0 before any has. Where the desk's
    bench has not this UUID an older program joined, and it is the last line of the desk's journal. `given_up_us`: when
    the shop gave up on a copy that won't come back.
    """

    at_us: int
    side: Side
    joined: int = 0
    given_up_us: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportFile(Entity):
    """A file of old notes that was brought in; `sha256` is what its bytes are known by."""

    name: str
    sha256: str
    at_us: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportRow(Entity):
    """The row of a file that a stretch was made of.

    `known_by` is what the row's own text is known by, so that a longer copy of the file adds only what is new.
    """

    import_file_id: int
    interval_id: int
    row: int
    known_by: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingKind(Entity):
    """Kind of reading at a stage, for one pattern or for all; limits and target as texts in its unit."""

    stage_id: int
    pattern_id: int | None
    name: str
    unit: str
    low: str | None
    high: str | None
    target: str | None
    common_practice: bool
    put_away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Entity):
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
class Scales(Entity):
    """A pair of scales by its number, and the piece that it belongs on."""

    number: str
    note: str = ""
    piece_id: int | None


class OrderState(StrEnum):
    """State of an order."""

    OPEN = "open"
    DONE = "done"
    CANCELLED = "cancelled"


class CostKind(StrEnum):
    """Kind of cost."""

    MATERIAL = "material"
    CONSUMABLE = "consumable"
    BOUGHT_OUT = "bought-out work"
    FEE = "fee"
    OVERHEAD = "overhead"


class Per(StrEnum):
    """Unit that an amount of money is spent for: each blank, each batch, each month or year of the shop."""

    PIECE = "piece"
    BATCH = "batch"
    MONTH = "month"
    YEAR = "year"


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerOrder(Entity):
    """Order: who, how many of which pattern, for which day, at what price each; the deposit is for all of it."""

    who: str
    pattern_id: int
    wanted: int
    promised: str | None = None
    price: str | None = None
    deposit: str | None = None
    currency: str
    note: str = ""
    state: OrderState = OrderState.OPEN


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderPiece(Entity):
    """Tie of a piece to the order that it goes to."""

    order_id: int
    piece_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote(Entity):
    """Quote that went out for an order: its number, until which day it holds, price each, and the day promised."""

    order_id: int
    number: str
    at_us: int
    until: str
    price: str
    currency: str
    promised: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEvent(Entity):
    """Event of the calendar as it was last written: what it told, how often it was changed, whether it is off."""

    uid: str
    sequence: int
    told: str
    gone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopHours(Entity):
    """Planned hours of each week: weekday (Monday 0), from and to in minutes after midnight on the shop's wall.

    `maker_id` is nothing for the first maker.
    """

    weekday: int
    from_min: int
    to_min: int
    maker_id: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GapAnswer(Entity):
    """Answer about days without a press, first and last of them: free, or worked without being timed."""

    first: str
    last: str
    free: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOff(Entity):
    """Days without work, first and last of them, and why."""

    first: str
    last: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CostItem(Entity):
    """Something that costs money: of one pattern or of all; `tax` is the sales tax paid on top, in percent.

    Bought-out work can name the stage that it stands for, and how many days the pieces are away for it.
    """

    name: str
    kind: CostKind
    per: Per
    pattern_id: int | None
    stage_id: int | None = None
    days: int | None = None
    amount: str
    currency: str
    tax: str
    put_away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedPrice(Entity):
    """Price that is asked for a piece of a pattern, without tax."""

    pattern_id: int
    price: str
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionShown(Entity):
    """The caution that stood on the screen at the first start of a stage on a day."""

    stage_id: int
    caution: str
    at_us: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop(Entity):
    """The shop that a record belongs to: its name and the zone its days are told in."""

    name: str
    zone: str
    made_us: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Maker(Entity):
    """A person with one pair of hands."""

    name: str
    put_away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MakerStage(Entity):
    """Stage that a maker does; a maker without any does them all."""

    maker_id: int
    stage_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench(Entity):
    """A place with a screen; undo takes back the presses of its own bench.

    `place` is what the file that it wrote last is known by, "" before any is.
    """

    name: str
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage(Entity):
    """A kind of work. Trends follow it across patterns and years, whatever its name."""

    name: str
    kind: Kind
    one_by_one: bool = False
    shop_work: bool = False
    caution: str = ""
    put_away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Method(Entity):
    """A way of doing a stage."""

    stage_id: int
    name: str
    put_away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool(Entity):
    """Tool of the shop. One that holds a load says how much at once: 5 blades, 8 clamps; a saw says nothing.

    `setting_now` is what it is set to, "" where nobody has said.
    """

    name: str
    capacity: float | None = None
    put_away: bool = False
    setting_now: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason(Entity):
    """Reason why a piece was lost or set aside, from the shop's own list."""

    name: str
    position: int
    put_away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteWord(Entity):
    """Word of the shop's own for notes."""

    name: str
    position: int
    put_away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern(Entity):
    """A design of piece."""

    name: str
    outline: str
    put_away: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Route(Entity):
    """One version of a pattern's route; a batch keeps the version it started with."""

    pattern_id: int
    version: int = 1
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class StepPlan(Entity):
    """Plan of a step in a route and in a batch. Steps of one strand follow each other; strands run side by side.

    `common_practice`: the length of its wait and its setting came with a starter route and have no source.
    `coldest_c` to `warmest_c`: in a shop as warm as this its length follows the warmth, as a resin's cure does.
    """

    __slots__ = ()
    position: int
    stage_id: int
    name: str
    kind: Kind
    one_by_one: bool
    strand: str = ""
    begins_itself: bool = False
    wait_us: int | None = None
    minutes_us: int | None = None
    setup_us: int | None = None
    tool_id: int | None = None
    tool_share: float = 1.0
    setting: str = ""
    coldest_c: float | None = None
    warmest_c: float | None = None
    caution: str = ""
    common_practice: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _OfRoute(Entity):
    """Owner of a route's step; a class of its own, because a table has it in front of the plan."""

    route_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteStep(StepPlan, _OfRoute):
    """A step of a route."""

    def in_batch(self, batch_id: int) -> "Step":
        """Return the step of a batch that is worked by this plan."""
        plan = {f.name: getattr(self, f.name) for f in fields(StepPlan) if f.name not in ("id", "uuid")}
        return Step(batch_id=batch_id, route_step_id=self.id or None, **plan)


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRule(Entity):
    """Order rule of two steps, per piece: before, within, at least."""

    route_id: int
    kind: RuleKind
    first_step_id: int
    then_step_id: int
    limit_us: int | None = None
    common_practice: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Word(Entity):
    """The shop's own word for piece, finished piece, batch, stage or load."""

    name: str
    one: str
    many: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch(Entity):
    """Pieces of one pattern started together; `rules` says by which rules its figures are made."""

    name: str
    pattern_id: int
    route_id: int
    started_us: int
    closed_us: int | None = None
    next_time: str = ""
    rules: int = RULES


@dataclass(frozen=True, slots=True, kw_only=True)
class _OfBatch(Entity):
    """Owner of a batch's step, and what it was copied from."""

    batch_id: int
    route_step_id: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step(StepPlan, _OfBatch):
    """A step in one batch, copied from its route or added to it."""

    state: StepState = StepState.TIMED


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece(Entity):
    """One blank. `second` says that it will be one at best; the outcome comes at the end."""

    batch_id: int
    position: int
    mark: str
    number: str = ""
    set_aside: bool = False
    second: bool = False
    outcome: Outcome | None = None
    lost_step_id: int | None = None
    reason: str = ""
    ended_us: int | None = None
    from_piece_id: int | None = None

    @property
    def living(self) -> bool:
        """True until the piece has an outcome."""
        return self.outcome is None

    @property
    def lost(self) -> bool:
        """True once the piece has an outcome and can't be sold."""
        return self.outcome is not None and not self.outcome.finished


@dataclass(frozen=True, slots=True, kw_only=True)
class Load(Entity):
    """Load of a tool at one setting; the intervals that name it say which pieces, and when."""

    tool_id: int
    setting: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval(Entity):
    """One unbroken stretch at one step of one batch, or of shop work (no batch, no pieces).

    `shop_c`: a cure whose length follows the shop's temperature, in degrees Celsius.
    """

    batch_id: int | None = None
    step_id: int | None = None
    stage_id: int
    maker_id: int
    method_id: int | None = None
    kind: Kind
    work: WorkKind = WorkKind.RUN
    cause_step_id: int | None = None
    start_us: int
    end_us: int | None = None
    start_sure: Certainty = Certainty.PRESSED
    end_sure: Certainty = Certainty.PRESSED
    continues_id: int | None = None
    together: bool = False
    shop_c: float | None = None
    load_id: int | None = None
    pieces: tuple[int, ...] = ()

    @property
    def running(self) -> bool:
        """True until it has an end."""
        return self.end_us is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally(Entity):
    """Tally: a piece is through a step, by a press; `rules` says by which rules its minutes are made."""

    step_id: int
    piece_id: int
    interval_id: int | None = None
    at_us: int
    how: MarkedBy
    rules: int = RULES


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving(Entity):
    """Piece lost, set aside or cut down while an interval ran; `in_hand`: its stretch went along."""

    piece_id: int
    step_id: int
    interval_id: int
    at_us: int
    in_hand: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Both(Entity):
    """Two intervals of one maker that run at once because the maker said so."""

    interval_id: int
    other_id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Note(Entity):
    """Note on an interval, a piece or a batch: on exactly one of them."""

    interval_id: int | None = None
    piece_id: int | None = None
    batch_id: int | None = None
    text: str
    at_us: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleBroken(Entity):
    """A step was started against an order rule for these pieces, knowingly."""

    rule_id: int
    step_id: int
    at_us: int
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question(Entity):
    """Question on the whole screen, and its answer; a restart doesn't forget it.

    `about_id` is an interval's number and no pointer: Undo may take that interval away. `sure_us` is
    the last sure moment when it was asked; `shift_us` how far the wall clock was set, in boot `boot_id`.
    """

    why: QuestionReason
    about_id: int | None
    asked_us: int
    sure_us: int
    boot_id: str = ""
    shift_us: int | None = None
    answered_us: int | None = None
    answer: str = ""


ENTITIES: tuple[type[Entity], ...] = (
    Shop, Checkout, Maker, Bench, Stage, MakerStage, Method, MadeBefore, Tool, Reason, NoteWord, Pattern, Route,
    RouteStep, OrderRule, ReadingKind, Setting, Word, Key, Batch, Step, Piece, Load, Interval, Tally, Leaving, Both,
    Reading, Scales, RuleBroken, Note, Question, CautionShown, CustomerOrder, OrderPiece, Quote, CalendarEvent,
    ShopHours, DayOff, GapAnswer, CostItem, AskedPrice, ImportFile, ImportRow,
)  # fmt: skip  # every kind of thing, parents before those that point at them
