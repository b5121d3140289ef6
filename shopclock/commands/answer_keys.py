"""Keys of what the commands answer as JSON: one table, of which the schemas, the manual and their test are made."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from shopclock.analysis.money.pattern_costs import PARTS
from shopclock.commands.answers import FORMAT
from shopclock.exchange.workbook.cells import Holds
from shopclock.exchange.workbook.json_file import json_columns
from shopclock.exchange.workbook.sheets import INTERVALS

Schema = dict[str, Any]
DIALECT = "https://json-schema.org/draft/2020-12/schema"
TEXT: Schema = {"type": "string"}
COUNT: Schema = {"type": "integer"}
NUMBER: Schema = {"type": "number"}
FLAG: Schema = {"type": "boolean"}
DAY: Schema = {"type": "string", "format": "date"}
INSTANT: Schema = {"type": "string", "format": "date-time"}
MONEY: Schema = {"type": "string", "pattern": r"^-?\d+(\.\d+)?$"}
COUNTS: Schema = {"type": "array", "items": COUNT}
TEXTS: Schema = {"type": "array", "items": TEXT}


@dataclass(frozen=True, slots=True)
class JsonKey:
    """One key of an answer: its name, the schema of its value, what it tells; `keys` are those of an object in it."""

    name: str
    holds: Schema
    tells: str
    keys: tuple[JsonKey, ...] = ()


def none_or(schema: Schema) -> Schema:
    """Return the schema of a value that may be missing."""
    return {"anyOf": [schema, {"type": "null"}]}


def key(name: str, holds: Schema, tells: str) -> JsonKey:
    """Return a key with a plain value."""
    return JsonKey(name, holds, tells)


def one(name: str, tells: str, *keys: JsonKey) -> JsonKey:
    """Return a key with an object."""
    return JsonKey(name, object_of(keys), tells, keys)


def many(name: str, tells: str, *keys: JsonKey) -> JsonKey:
    """Return a key with a list of objects."""
    return JsonKey(name, {"type": "array", "items": object_of(keys)}, tells, keys)


def object_of(keys: tuple[JsonKey, ...]) -> Schema:
    """Return the schema of an object: these keys, all of them and no others."""
    return {
        "type": "object",
        "properties": {each.name: {**each.holds, "description": each.tells} for each in keys},
        "required": [each.name for each in keys],
        "additionalProperties": False,
    }


_SPENT = (
    key("per_finished_min", none_or(NUMBER), "everything spent over the finished pieces; null where none finished"),
    key("spent_min", NUMBER, "everything spent, on all pieces"),
    key("finished_run_min", NUMBER, "the part of the finished pieces that was run"),
    key("finished_setup_min", NUMBER, "the part of the finished pieces that was set-up"),
    key("finished_rework_min", NUMBER, "the part of the finished pieces that was rework"),
    key("carried_lost_min", NUMBER, "the part spent on lost pieces"),
    key("carried_kept_min", NUMBER, "the part spent on kept pieces"),
    key("carried_cut_down_min", NUMBER, "the part spent on pieces that were cut down"),
)
_FIGURES = (
    key("now", INSTANT, "the instant until which running work counts"),
    key("zone", TEXT, "the shop's time zone"),
    many(
        "batches", "the batches, oldest first",
        key("batch", TEXT, "the batch's name"),
        key("key", TEXT, "names the batch for good"),
        key("pattern", TEXT, "its pattern"),
        key("started", INSTANT, "when it was started"),
        key("closed", none_or(INSTANT), "when it was closed; null while it is open"),
        key("so_far", FLAG, "it is open: pieces in work count as finished"),
        key("at_least", FLAG, "steps were not timed: its sums are at least that"),
        key("pieces_started", COUNT, "pieces begun"),
        key("pieces_finished", COUNT, "pieces finished, seconds among them"),
        key("pieces_second", COUNT, "pieces finished that are not first grade"),
        key("next_time", TEXT, "what was noted for the next batch"),
        one("whole", "the figures of the whole batch", *_SPENT),
        many(
            "stages", "its stages in the order of the route",
            key("stage", TEXT, "the stage's name"),
            key("stage_key", TEXT, "names the stage for good"),
            key("passed_pieces", COUNT, "pieces through the stage"),
            key("passed_run_min", none_or(NUMBER), "minutes per piece: mean run of the passed; null where none passed"),
            key("passed_setup_min", none_or(NUMBER), "the same of their set-up"),
            key("passed_rework_min", none_or(NUMBER), "the same of their rework"),
            *_SPENT,
        ),
    ),
)  # fmt: skip
_TREND = (
    key("stage", TEXT, "the stage's name"),
    key("sentences", TEXTS, "the sentences of Trends"),
    many(
        "batches", "each batch at the stage, the oldest first",
        key("batch", TEXT, "the batch's name"),
        key("pattern", TEXT, "its pattern"),
        key("method", TEXT, "the method"),
        key("pieces", COUNT, "pieces that passed"),
        key("first_piece", COUNT, "the first piece's number in the count of the method"),
        key("last_piece", COUNT, "the last one's"),
        key("run_min", none_or(NUMBER), "minutes per piece"),
        key("left_out", none_or(TEXT), "why the trend leaves it out; null where it counts"),
        key("from_notes", FLAG, "it comes from old notes"),
    ),
)  # fmt: skip
_PROMISE = (
    key("pattern", TEXT, "the pattern"),
    key("wanted", COUNT, "how many are asked for"),
    key("by", none_or(DAY), "the day asked for"),
    one(
        "answer", "what Plan says",
        key("date", TEXT, "by which days it holds"),
        key("price", TEXT, "the lowest price that pays, or why there is none"),
        key("asked", TEXT, "the price asked, and what an hour earns by it"),
        key("pays", none_or(TEXT), "the price that is enough 8 times in 10"),
        key("work", TEXT, "from which pieces, and how much work"),
        key("notes", TEXTS, "what it rests on, and its limits"),
        key("next_day", none_or(DAY), "the day that holds 8 times in 10, where the one asked for doesn't"),
    ),
)  # fmt: skip
_PLAN = (
    many(
        "batches", "the open batches in their order",
        key("batch", TEXT, "the batch's name"),
        key("day", none_or(DAY), "the day by which it is done; null where that is too far off"),
        key("sure", TEXT, "how surely"),
        key("other", none_or(DAY), "another day"),
        key("other_if", TEXT, "what that day is"),
    ),
    key("whole", TEXT, "when all are done"),
    key("late", TEXTS, "promises that no longer hold"),
    key("held_up", TEXT, "what holds the work up most"),
    key("notes", TEXTS, "what it rests on"),
    many(
        "days", "the days of the plan",
        key("day", DAY, "the day"),
        key("worked_us", COUNT, "work on it, in microseconds"),
        many(
            "spans", "what lies on it",
            key("kind", TEXT, "hands-on, watch, wait or away"),
            key("from_h", NUMBER, "its beginning, in hours of the day"),
            key("to_h", NUMBER, "its end; more than 24 where it goes on over night"),
            key("batch", TEXT, "the batch"),
            key("step", TEXT, "the step"),
        ),
    ),
)  # fmt: skip
_NEXT_BATCH = (
    key("pattern", TEXT, "the pattern"),
    key("wanted", COUNT, "how many finished ones are wanted"),
    one(
        "answer", "what Plan says",
        key("whole", TEXT, "the sentence"),
        key("blanks", COUNTS, "how many to start: 5 times in 10, 8 times in 10, 19 times in 20"),
        key("work_for", TEXT, "for how many the work is"),
        key("takes", TEXTS, "all work: 5 times in 10, 8 times in 10, 19 times in 20"),
        many(
            "stages", "the same stage by stage",
            key("stage_id", COUNT, "number of the stage in the record"),
            key("name", TEXT, "its name"),
            key("method", TEXT, "the method"),
            key("takes", TEXTS, "its work: 5 times in 10, 8 times in 10, 19 times in 20"),
            key("rests_on", TEXT, "from how many batches that comes"),
        ),
        key("notes", TEXTS, "what it rests on"),
    ),
)  # fmt: skip
_ORDERS = (
    many(
        "orders", "the open orders by promise",
        key("who", TEXT, "who it is for"),
        key("pattern", TEXT, "which pattern"),
        key("wanted", COUNT, "how many"),
        key("promised", none_or(DAY), "the day promised"),
        key("pieces", TEXTS, "letters of the pieces that go to it"),
        key("lacks", COUNT, "how many it lacks"),
        key("holds", none_or(NUMBER), "how surely the promise holds, 0 to 1"),
        key("price", none_or(MONEY), "the price of each, an exact decimal"),
        key("currency", TEXT, "its currency by ISO 4217"),
    ),
    key("why", TEXT, "why promises can't be told; empty where they can"),
)  # fmt: skip
_COST = (
    *(
        key(part.replace(" ", "_"), MONEY, f"{part} of a finished piece, rounded; the parts add up to the cost")
        for part in PARTS
    ),
    key("cost", MONEY, "what a finished piece costs"),
    key("price", none_or(MONEY), "its price without tax; null where none is known"),
    key("earned_hour", none_or(MONEY), "what an hour of work on it earns; null without a price"),
)
_COSTS = (
    key("currency", TEXT, "of all amounts, by ISO 4217; amounts are exact decimals as texts"),
    many(
        "patterns", "each pattern with a closed batch that tells a cost",
        key("pattern", TEXT, "the pattern"),
        key("over_batches", COUNT, "over how many of its last batches that is"),
        *_COST,
        many(
            "batches", "its closed batches",
            key("batch", TEXT, "the batch's name"),
            key("pieces", COUNT, "finished pieces"),
            key("sold", COUNT, "of these the sold ones"),
            *_COST,
        ),
    ),
    key("left_out", COUNT, "closed batches that tell no cost: no piece finished, or not timed throughout"),
)  # fmt: skip
_STATUS = (
    key("now", INSTANT, "the instant it is told of"),
    many(
        "running", "what runs by hand or is stayed by, by hand first",
        key("maker", TEXT, "whose hands, where several work; else empty"),
        key("step", TEXT, "the step; the stage where it is shop work"),
        key("batch", TEXT, "the batch; empty for shop work"),
        key("kind", TEXT, "hands-on or watch"),
        key("minutes", NUMBER, "how long it has run"),
        key("pieces", TEXTS, "letters of the pieces in hand"),
        key("since", INSTANT, "when it was started"),
    ),
    many(
        "waiting", "what waits or is away",
        key("step", TEXT, "the step"),
        key("batch", TEXT, "the batch"),
        key("kind", TEXT, "wait or away"),
        key("pieces", TEXTS, "letters of its pieces"),
        key("since", INSTANT, "when it began"),
        key("ready", none_or(INSTANT), "when it is ready; null where nobody knows"),
    ),
)  # fmt: skip
_PRESSED = (key("done", FLAG, "something was pressed"), key("said", TEXT, "what came of it, or why nothing did"))

_VALUES = {
    Holds.TEXT: TEXT,
    Holds.COUNT: none_or(COUNT),
    Holds.MINUTES: none_or(NUMBER),
    Holds.MONEY: none_or(MONEY),
    Holds.SHOP_TIME: none_or(INSTANT),
    Holds.UTC: none_or(INSTANT),
}
_EXPORT = (
    key("now", INSTANT, "the instant until which running work counts"),
    key("zone", TEXT, "the shop's time zone"),
    many(
        "intervals", "every interval by its start",
        *(key(name, _VALUES[column.holds], column.tells) for name, column in json_columns(INTERVALS)),
    ),
)  # fmt: skip
ANSWERS: dict[str, tuple[JsonKey, ...]] = {
    "export": _EXPORT,
    "figures": _FIGURES,
    "trend": _TREND,
    "promise": _PROMISE,
    "next-batch": _NEXT_BATCH,
    "plan": _PLAN,
    "orders": _ORDERS,
    "costs": _COSTS,
    "status": _STATUS,
    **dict.fromkeys(("start", "next", "done", "stop", "undo"), _PRESSED),
}
"""Keys of every answer, by its command; before them stands `format`."""


def schema_of(name: str) -> Schema:
    """Return the JSON Schema of a command's answer."""
    version = JsonKey("format", {"const": FORMAT}, "the version of these keys")
    return {"$schema": DIALECT, "title": f"shopclock {name}", **object_of((version, *ANSWERS[name]))}
