"""What the shop has chosen for itself: settings, keys."""

from dataclasses import dataclass

from shopclock.shop.thing import Thing


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting(Thing):
    """A setting's value as text; `shop.settings` knows its type."""

    name: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Key(Thing):
    """A key or pedal for an action at the bench."""

    action: str
    key: str
