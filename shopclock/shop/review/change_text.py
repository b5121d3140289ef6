"""Changes in plain words: of a press (the thing, what of it, before and after), and of two records side by side."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields

from shopclock.shop.setup.week import WEEKDAYS, clock
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change
from shopclock.shop.state.wording import (
    MINUTE_US,
    clock_text,
    clock_time,
    day_text,
    length_text,
    shop_time,
    time_text,
    zone_of,
)
from shopclock.shop.values.entities import (
    Batch,
    Entity,
    Interval,
    Leaving,
    Piece,
    RouteStep,
    ShopHours,
    Stage,
    Step,
    Tally,
)
from shopclock.shop.values.instants import INSTANTS
from shopclock.shop.values.kinds import Certainty, Kind, MarkedBy, WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.values.pointers import POINTERS

KIND_WORDS = {Kind.HANDS_ON: "by hand", Kind.WATCH: "stay by it", Kind.WAIT: "it waits", Kind.AWAY: "sent out"}
SURE_WORDS = {Certainty.PRESSED: "pressed", Certainty.AMENDED: "amended", Certainty.ESTIMATED: "guessed"}
WORK_WORDS = {WorkKind.RUN: "the work itself", WorkKind.SETUP: "set-up", WorkKind.REWORK: "done again"}


@dataclass(frozen=True, slots=True)
class ChangeText:
    """One change: "Bevel, 26-11, A–F", "start", "19:10", "18:55". Nothing before is new, nothing after is gone."""

    thing: str
    what: str
    before: str
    after: str

    @property
    def text(self) -> str:
        """The whole of it in one line."""
        arrow = " → ".join(part for part in (self.before, self.after) if part)
        return f"{self.thing}: {self.what} {arrow}".replace("  ", " ").strip()


def change_texts(floor: ShopFloor, changes: Iterable[Change]) -> tuple[ChangeText, ...]:
    """Say what changed, in the order it was written; marks of one press at one step together.

    A batch that is new, or gone, says it for its steps and pieces.
    """
    changes = list(changes)
    whole = any(isinstance(c.thing, Batch) and (c.before is None or c.after is None) for c in changes)
    said = [c for c in changes if not (whole and isinstance(c.thing, Step | Piece))]
    found = [line for change in said for line in _lines(floor, change)]
    return (*found, *_marks(floor, changes))


def _lines(floor: ShopFloor, change: Change) -> Iterator[ChangeText]:
    thing, gone = change.thing, change.after is None
    if isinstance(thing, Interval) and (gone or change.before is None):
        span = _span(floor, thing)
        yield ChangeText(_name(floor, thing), "taken away" if gone else "", span if gone else "", "" if gone else span)
    elif isinstance(thing, Interval):
        yield from _fields(floor, change, _name(floor, thing), _INTERVAL)
    elif isinstance(thing, Piece):
        yield from _fields(floor, change, f"{thing.mark} of {_batch(floor, thing.batch_id)}", _PIECE)
    elif isinstance(thing, Step):
        yield from _fields(floor, change, f"{thing.name} in {_batch(floor, thing.batch_id)}", _STEP)
    elif isinstance(thing, Batch):
        yield from _fields(floor, change, thing.name, _BATCH)


def _fields(floor: ShopFloor, change: Change, name: str, wanted: dict[str, str]) -> Iterator[ChangeText]:
    before, after = change.before, change.after
    if before is None or after is None:
        yield ChangeText(name, "taken away" if after is None else "new", "", "")
        return
    for field, what in wanted.items():
        was, now = getattr(before, field), getattr(after, field)
        if was != now and not _told_by_time(before, after, field):
            yield ChangeText(
                name, what, value_text(floor, field, was, before), value_text(floor, field, now, after) or "open again"
            )


def _told_by_time(before: Entity, after: Entity, field: str) -> bool:
    """Tell whether a time that is told as well says that its end is another now."""
    at = field.replace("_sure", "_us")
    return field != at and getattr(before, at) != getattr(after, at)


_INTERVAL = {
    "start_us": "start",
    "end_us": "end",
    "start_sure": "start",
    "end_sure": "end",
    "step_id": "step",
    "batch_id": "batch",
    "method_id": "method",
    "pieces": "pieces",
    "kind": "",
    "work": "",
    "together": "",
    "shop_c": "shop, °C",
}
_PIECE = {"outcome": "", "number": "number", "set_aside": "", "second": "", "reason": "why"}
_STEP = {"state": ""}
_PLAN = {"coldest_c": "coldest, °C", "warmest_c": "warmest, °C", "setup_us": "set-up", "setting": "set to"}
_BATCH = {"closed_us": "closed", "name": "name", "next_time": "next time"}
FIELD_WORDS: dict[type[Entity], dict[str, str]] = {
    Interval: _INTERVAL,
    Piece: _PIECE,
    Step: _STEP | _PLAN,
    RouteStep: _PLAN,
    Batch: _BATCH,
}
"""Words for the fields of things."""
_FLAGS = {
    "together": ("both at once", "by itself"),
    "set_aside": ("set aside", "at hand"),
    "second": ("second", "first grade"),
}


def value_text(floor: ShopFloor, field: str, value: object, thing: Entity) -> str:
    """Say the value of a thing's field."""
    if field in _FLAGS or isinstance(value, bool):
        return _FLAGS.get(field, ("yes", "no"))[0 if value else 1]
    if field in POINTERS:
        return _named(floor, field, value)
    if field == "pieces" and isinstance(thing, Interval):
        return _letters(floor, thing.pieces)
    if field.endswith("_us"):
        return _instant_or_length(floor, field, value, thing)
    if isinstance(thing, ShopHours) and isinstance(value, int):
        return WEEKDAYS[value] if field == "weekday" else clock(value)
    return _word(value)


def _word(value: object) -> str:
    if isinstance(value, Kind):
        return KIND_WORDS[value]
    if isinstance(value, Certainty):
        return SURE_WORDS[value]
    if isinstance(value, WorkKind):
        return WORK_WORDS[value]
    return str(value or "–") if not isinstance(value, int | float) else f"{value:g}"


def _instant_or_length(floor: ShopFloor, field: str, value: object, thing: Entity) -> str:
    """Say an instant; a length to the minute, or to the second where minutes would hide some."""
    if not isinstance(value, int):
        return ""
    if field in INSTANTS.get(type(thing), ()):
        return _time(floor, value)
    return length_text(value) if value % MINUTE_US == 0 else clock_text(value)


def _named(floor: ShopFloor, field: str, number: object) -> str:
    found = floor.find(POINTERS[field], number) if isinstance(number, int) else None
    if found is None:
        return "–"
    return getattr(found, "name", "") or name_of(floor, found) or _own_name(floor, found)


def _time(floor: ShopFloor, value: object) -> str:
    return time_text(value, zone_of(floor)) if isinstance(value, int) else "–"


def _name(floor: ShopFloor, interval: Interval) -> str:
    """Bevel, 26-11, A–F: as the stretch is known after the change."""
    step = floor.find(Step, interval.step_id) if interval.step_id is not None else None
    stage = floor.find(Stage, interval.stage_id)
    name = step.name if step is not None else stage.name if stage is not None else "–"
    parts = [name, _batch(floor, interval.batch_id), _letters(floor, interval.pieces)]
    return ", ".join(part for part in parts if part)


def name_of(floor: ShopFloor, thing: Entity) -> str | None:
    """Name what lies in a batch: a stretch of work, a piece, its mark, a step, the batch; nothing for all else."""
    if isinstance(thing, Interval):
        day = day_text(shop_time(thing.start_us, zone_of(floor)).date())
        return f"{_name(floor, thing)}, {day}"
    if isinstance(thing, Piece):
        return f"{thing.mark} of {_batch(floor, thing.batch_id)}"
    if isinstance(thing, Step):
        return f"{thing.name} in {_batch(floor, thing.batch_id)}"
    if isinstance(thing, Tally | Leaving):
        step = floor.find(Step, thing.step_id)
        return None if step is None else f"{_letters(floor, [thing.piece_id])} at {name_of(floor, step)}".lstrip()
    return thing.name if isinstance(thing, Batch) else None


def _span(floor: ShopFloor, interval: Interval) -> str:
    zone = zone_of(floor)
    day = day_text(shop_time(interval.start_us, zone).date())
    start = time_text(interval.start_us, zone)
    if interval.end_us is None:
        return f"{day} from {start}"
    return f"{day} {start}–{time_text(interval.end_us, zone)}"


def _batch(floor: ShopFloor, number: int | None) -> str:
    batch = floor.find(Batch, number) if number is not None else None
    return batch.name if batch is not None else ""


def _letters(floor: ShopFloor, pieces: Iterable[int]) -> str:
    there = [piece for piece in pieces if floor.find(Piece, piece) is not None]
    return spoken(floor.marks(there)) if there else ""


def _marks(floor: ShopFloor, changes: Iterable[Change]) -> Iterator[ChangeText]:
    """Say who got through what by a press, and who no longer is."""
    sorted_out: dict[tuple[int, bool, bool], list[int]] = defaultdict(list)
    for change in changes:
        tally = change.thing
        if isinstance(tally, Tally) and (change.before is None or change.after is None):
            sorted_out[tally.step_id, tally.how is MarkedBy.DONE, change.after is None].append(tally.piece_id)
    for (step_id, done, gone), pieces in sorted_out.items():
        step = floor.find(Step, step_id)
        if step is not None:
            what = f"{'not ' if gone else ''}{'done' if done else 'through'}"
            yield ChangeText(
                f"{step.name}, {_batch(floor, step.batch_id)}", f"{_letters(floor, pieces)} {what}", "", ""
            )


GONE = "taken away"
NOTHING = "–"
WORDS = {"customer_order": "order", "cost_item": "cost", "asked_price": "price", "shop_hours": "hours"}
SKIPPED = ("id", "uuid")
_NAMES = ("name", "who", "number", "mark", "action", "weekday", "first")


@dataclass(frozen=True, slots=True)
class SidesText:
    """One field: what it is called, what it was, what the shop says, what the desk says."""

    what: str
    was: str
    shop: str
    desk: str


def entry_name(floor: ShopFloor, thing: Entity) -> str:
    """Name an entry: Bevel, 26-11, A–F; else what kind of thing it is, and its name."""
    if (found := name_of(floor, thing)) is not None:
        return found
    kind = "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in type(thing).__name__).strip()
    kind = WORDS.get(kind.replace(" ", "_"), kind)
    return f"{kind.capitalize()} {_own_name(floor, thing)}".strip()


def _own_name(floor: ShopFloor, thing: Entity) -> str:
    """Name a thing by what is its own; else by what it points at: a route by its pattern, a rule by its steps."""
    own = next((name for name in _NAMES if getattr(thing, name, "") not in ("", None)), "")
    if own:
        return value_text(floor, own, getattr(thing, own), thing)
    pointing = [f.name for f in fields(thing) if f.name in POINTERS and getattr(thing, f.name) is not None]
    return ", ".join(dict.fromkeys(_named(floor, name, getattr(thing, name)) for name in pointing))


def sides(floor: ShopFloor, was: Entity | None, shop: Entity | None, desk: Entity | None) -> list[SidesText]:
    """Return what differs between what it was, what the shop says and what the desk says."""
    three = (was, shop, desk)
    if shop is None or desk is None:
        return [SidesText("", *(GONE if side is None else "there" for side in three))]
    return list(_differing(floor, three, desk))


def _differing(floor: ShopFloor, three: tuple[Entity | None, ...], thing: Entity) -> Iterator[SidesText]:
    words = FIELD_WORDS.get(type(thing), {})
    for field in fields(thing):
        values = [getattr(side, field.name) if side is not None else None for side in three]
        there = {getattr(side, field.name) for side in three if side is not None}
        hidden = field.name in SKIPPED or (isinstance(thing, Interval) and field.name not in words)
        if hidden or len(there) == 1:
            continue
        what = words.get(field.name, re.sub(r"_(id|us|min)$", "", field.name).replace("_", " "))
        if field.name in INSTANTS.get(type(thing), ()):
            yield SidesText(what, *_instants(floor, values))
        else:
            yield SidesText(what, *(_said(floor, field.name, side) for side in three))


def _said(floor: ShopFloor, field: str, side: Entity | None) -> str:
    return NOTHING if side is None else value_text(floor, field, getattr(side, field), side) or NOTHING


def _instants(floor: ShopFloor, values: Iterable[int | None]) -> Iterator[str]:
    """Say instants side by side: with their days where these differ, with seconds where minutes would read alike."""
    at = {value: shop_time(value, zone_of(floor)) for value in values if value is not None}
    said = {value: clock_time(one) for value, one in at.items()}
    if len({one.date() for one in at.values()}) > 1:
        said = {value: f"{day_text(at[value].date())} {text}" for value, text in said.items()}
    if len(set(said.values())) < len(said):
        said = {value: f"{text} and {at[value]:%S} s" for value, text in said.items()}
    return (NOTHING if value is None else said[value] for value in values)
