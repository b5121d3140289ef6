"""Words of the closed lists in an archive's tables, each told to somebody who has nothing but the archive."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.record.file.schema import TABLES, bare, columns_of
from shopclock.shop.values.entities import CostKind, OrderState, Per, Side
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

if TYPE_CHECKING:
    from collections.abc import Iterator
    from enum import StrEnum

WORDS: dict[type[StrEnum], dict[StrEnum, str]] = {
    Kind: {
        Kind.HANDS_ON: "somebody works on it by hand",
        Kind.WATCH: "somebody has to stay by it, hands free",
        Kind.WAIT: "nobody is needed: temper, cure, drying",
        Kind.AWAY: "it is out of the house",
    },
    WorkKind: {
        WorkKind.RUN: "work that one more piece would add to",
        WorkKind.SETUP: "work that one more piece would not add to: jig, stops, laying out",
        WorkKind.REWORK: "a step done again; cause_step_id is the step that made it necessary",
    },
    Certainty: {
        Certainty.PRESSED: "a button was pressed at that instant",
        Certainty.AMENDED: "somebody put it right afterwards",
        Certainty.ESTIMATED: "it was guessed",
    },
    Outcome: {
        Outcome.FINISHED: "first grade",
        Outcome.SECOND: "not first grade, but it can be sold: it counts as finished",
        Outcome.CUT_DOWN: "it went on as a piece of another batch",
        Outcome.KEPT: "kept as template or test piece: not finished",
        Outcome.SCRAPPED: "lost",
    },
    StepState: {
        StepState.TIMED: "it is worked and timed in this batch",
        StepState.SKIPPED: "this batch goes on without it",
        StepState.NOT_TIMED: "it was worked and not timed: sums of the batch are at least what they say",
    },
    MarkedBy: {
        MarkedBy.DONE: "Done was pressed for this piece alone: the stretch up to it is its own",
        MarkedBy.NEXT: "Next was pressed: all in hand were through",
        MarkedBy.ALL: "All through was pressed, or its letter though it was not in hand",
        MarkedBy.BEFORE: "it was through before its batch was begun here, or was worked without being timed",
        MarkedBy.SKIPPED: "it went on without that step",
    },
    RuleKind: {
        RuleKind.BEFORE: "the one step comes before the other",
        RuleKind.WITHIN: "the other begins so long after the one at the latest",
        RuleKind.AT_LEAST: "the other begins so long after the one at the soonest",
    },
    QuestionReason: {
        QuestionReason.STILL: "nobody had pressed anything for long",
        QuestionReason.POWER: "the machine went off while something ran",
        QuestionReason.SLEPT: "the machine slept while something ran",
        QuestionReason.SET: "the machine's clock was set",
        QuestionReason.BEHIND: "the machine's clock was behind the record",
        QuestionReason.OVER: "a wait was over",
    },
    OrderState: {
        OrderState.OPEN: "still to be delivered",
        OrderState.DONE: "delivered",
        OrderState.CANCELLED: "given up",
    },
    CostKind: {
        CostKind.MATERIAL: "what a piece is made of",
        CostKind.CONSUMABLE: "what is used up on it: belts, paper, oil",
        CostKind.BOUGHT_OUT: "work that somebody else does on it",
        CostKind.FEE: "what selling it costs",
        CostKind.OVERHEAD: "what the shop costs anyway",
    },
    Per: {
        Per.PIECE: "for each blank that was begun",
        Per.BATCH: "for each batch",
        Per.MONTH: "for each month of the shop",
        Per.YEAR: "for each year of the shop",
    },
    Side: {Side.SHOP: "the shop's own record", Side.DESK: "the copy that was taken along to the desk"},
}

COUNTED = """How the program counts
A piece is finished where its outcome is "finished" or "second": who counts "finished" alone divides by too few.
Minutes per finished piece are all labour of a batch, set-up, rework and lost pieces among it, over its finished
pieces. Labour is what an interval got of one pair of hands (table labour, in microseconds): where several ran at once
it is less than their lengths, and waits get none. An interval without an end still runs."""


def words_said() -> Iterator[str]:
    """Yield lines that tell every word, and in which columns it stands."""
    for words, meanings in WORDS.items():
        places = (f"{table.name}.{name}" for kind, table in TABLES.items() for name in _holding(kind, words))
        yield f"{', '.join(places)}:"
        yield from (f"    {word.value}: {meaning}" for word, meaning in meanings.items())


def _holding(kind: type, words: type[StrEnum]) -> Iterator[str]:
    return (name for name, hint in columns_of(kind).items() if bare(hint)[0] is words)
