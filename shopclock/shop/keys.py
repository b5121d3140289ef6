"""Keys and pedals for what is done at the bench."""

from shopclock.shop.chosen import Key
from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.turn import Turn

ACTIONS = {"done": "Done", "stop": "Stop, carry on", "next": "Next", "undo": "Undo"}
"""What a key can do, and how it is said."""


def key_for(floor: Floor, action: str) -> Key | None:
    """Return the key that an action has, or nothing."""
    return next((key for key in floor.all(Key) if key.action == action), None)


def action_of(floor: Floor, name: str) -> str | None:
    """Return what a key does at the bench, or nothing."""
    return next((key.action for key in floor.all(Key) if key.key == name), None)


def set_key(turn: Turn, action: str, name: str) -> Key:
    """Give an action this key in place of the one it had; refused when the key does something else."""
    other = action_of(turn.floor, name)
    if other is not None and other != action:
        raise Refusal(f"The key {name} is for {ACTIONS[other]} already. Nothing was changed.")
    had = key_for(turn.floor, action)
    return turn.edit(had, key=name) if had is not None else turn.new(Key, action=action, key=name)


def drop_key(turn: Turn, action: str) -> None:
    """Leave an action without a key."""
    had = key_for(turn.floor, action)
    if had is not None:
        turn.drop(had)
