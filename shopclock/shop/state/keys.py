"""Keys and pedals for what is done at the bench."""

from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Key, Maker
from shopclock.shop.values.errors import Refusal

LETTERS = "ABCDEFGHJKLM"
"""The marks whose letters can have a key of their own."""
SCREENS = {
    "see_today": "Today", "see_bench": "Bench", "see_batches": "Batches", "see_review": "Review",
    "see_trends": "Trends", "see_plan": "Plan", "see_shop": "Shop",
}  # fmt: skip
"""Actions that bring a screen in sight, and its name."""
ELSEWHERE = {"answer": "First answer to an alarm", "say": "Say the clock", **SCREENS}
"""Actions that are no button's at the Bench."""
ACTIONS = {
    "done": "Done", "stop": "Stop, carry on", "next": "Next", "undo": "Undo",
    "put_back": "Put back", "through": "All through", "method": "The other method", "set_up": "Set-up, now running",
    "not_right": "Not right", "reading": "Reading", "adjust": "Adjust", "shop_work": "Shop work",
    "batch": "The next batch", "route": "Whole route", "pieces": "Pieces", "back": "Back",
    "out": "Take out", "both": "Both at once", "note": "Note", "close": "Close the batch",
    "all": "All pieces", "none": "No piece", "others": "The other pieces", **ELSEWHERE,
    **{letter: f"Letter {letter}" for letter in LETTERS},
}  # fmt: skip
"""Actions that a key can have, and how each is said."""
RIGHT = "right "
"""Before the action of a pedal for the half on the right, where two makers work at one bench."""
PEDALS = ("done", "stop", "next")


def actions(floor: ShopFloor) -> dict[str, str]:
    """Return the actions that a key can have in this shop; of several makers the one on the right has pedals too."""
    several = sum(not maker.put_away for maker in floor.all(Maker)) > 1
    return ACTIONS | {f"{RIGHT}{done}": said_of(f"{RIGHT}{done}") for done in PEDALS if several}


def said_of(action: str) -> str:
    """Say an action."""
    if action.startswith(RIGHT):
        return f"{ACTIONS[action.removeprefix(RIGHT)]}, on the right"
    return ACTIONS[action]


def key_for(floor: ShopFloor, action: str) -> Key | None:
    """Return the key that an action has, or nothing."""
    return next((key for key in floor.all(Key) if key.action == action), None)


def action_of(floor: ShopFloor, name: str) -> str | None:
    """Return what a key does at the bench, or nothing."""
    return next((key.action for key in floor.all(Key) if key.key == name), None)


def set_key(tx: Transaction, action: str, name: str) -> Key:
    """Give an action this key in place of the one it had; refused when the key does something else."""
    other = action_of(tx.floor, name)
    if other is not None and other != action:
        raise Refusal(f"The key {name} is for {said_of(other)} already. Nothing was changed.")
    had = key_for(tx.floor, action)
    return tx.change(replace(tx.current(had), key=name)) if had is not None else tx.add(Key(action=action, key=name))


def drop_key(tx: Transaction, action: str) -> None:
    """Leave an action without a key."""
    had = key_for(tx.floor, action)
    if had is not None:
        tx.drop(had)
