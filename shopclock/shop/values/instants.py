"""Fields that are instants, of each kind of thing."""

from shopclock.shop.values.entities import (
    Batch,
    CautionShown,
    Checkout,
    Entity,
    ImportFile,
    Interval,
    Leaving,
    Note,
    Piece,
    Question,
    Quote,
    Reading,
    RuleBroken,
    Shop,
    Tally,
)

INSTANTS: dict[type[Entity], tuple[str, ...]] = {
    Shop: ("made_us",),
    Batch: ("started_us", "closed_us"),
    Piece: ("ended_us",),
    Interval: ("start_us", "end_us"),
    Tally: ("at_us",),
    Leaving: ("at_us",),
    Note: ("at_us",),
    Quote: ("at_us",),
    Reading: ("at_us",),
    RuleBroken: ("at_us",),
    CautionShown: ("at_us",),
    ImportFile: ("at_us",),
    Checkout: ("at_us", "given_up_us"),
    Question: ("asked_us", "sure_us", "answered_us"),
}
"""All other `_us` fields are lengths."""
