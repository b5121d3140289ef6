"""The settings: one typed table, from which the screen and the manual are made."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import RULER, Setting
from shopclock.shop.values.errors import Refusal

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Spec(Generic[T]):
    """A setting: its name, what it is when nothing was set, what it can be, one sentence."""

    name: str
    default: T
    choices: tuple[T, ...]
    read: Callable[[str], T]
    help: str


THEME = Spec("theme", "dark", ("dark", "paper"), str, "Dark for the shop, paper for daylight.")
SIZE = Spec("size", "hands", ("hands", "gloves"), str, "How large buttons are made for.")
TEXT = Spec(
    "text size",
    "by the screen",
    ("by the screen", "usual", "large", "larger"),
    str,
    "How large text is. By the screen: large on one that is looked at from afar.",
)
FAR_VIEW_S = Spec("far view", 120, (0, 60, 120, 300), int, "Seconds left alone until the clock fills the screen.")
DAY_ENDS = Spec(
    "day ends",
    "23:00",
    ("20:00", "21:00", "22:00", "22:30", "23:00", "23:30", "00:00", "01:00", "02:00", "03:00"),
    str,
    "When what still runs by hand is asked about.",
)
TIMES_USUAL = Spec(
    "times usual", 3, (2, 3, 4, 5), int, "How many times as long as usual until a stop counts as forgotten."
)
UNKNOWN_H = Spec("unknown hours", 3, (1, 2, 3, 4, 6), int, "Hours until then where nothing is known to be usual.")
PAPER = Spec(
    "paper size", "usual here", ("usual here", "A4", "Letter"), str, "What cards, reviews and quotes are printed on."
)
FULL_SCREEN = Spec("full screen", "no", ("no", "yes"), str, "Whether the window has the whole screen, without a frame.")
DIM_MIN = Spec(
    "dim after",
    10,
    (0, 5, 10, 30),
    int,
    "Minutes left alone until a full screen on which nothing runs dims; 0 is never.",
)
QUOTE_DAYS = Spec("quote days", 30, (7, 14, 30, 60, 90), int, "How long a quote stands, in days.")
SPECS: tuple[Spec[str] | Spec[int], ...] = (
    THEME,
    SIZE,
    TEXT,
    FAR_VIEW_S,
    FULL_SCREEN,
    DIM_MIN,
    DAY_ENDS,
    TIMES_USUAL,
    UNKNOWN_H,
    PAPER,
    QUOTE_DAYS,
)


def value(floor: ShopFloor, spec: Spec[T]) -> T:
    """Return a setting; its default where it was never set or can't be read."""
    stored = floor.setting(spec.name)
    if stored is None:
        return spec.default
    try:
        found = spec.read(stored)
    except ValueError:
        return spec.default
    return found if found in spec.choices else spec.default


def set_value(tx: Transaction, spec: Spec[T], wanted: T) -> None:
    """Change a setting; refused where it isn't one of its choices."""
    if wanted not in spec.choices:
        raise Refusal(f"{spec.name} can't be {wanted}. Nothing was changed.")
    store(tx, spec.name, str(wanted))


def store(tx: Transaction, name: str, text: str) -> Setting:
    """Keep a setting's text under its name."""
    for setting in tx.floor.all(Setting):
        if setting.name == name and tx.floor.applies(setting):
            return tx.change(replace(tx.current(setting), value=text))
    return tx.add(Setting(name=name, value=text))


def forget(tx: Transaction, name: str) -> None:
    """Take a setting away, so that it is as if it had never been set."""
    for setting in tx.floor.all(Setting):
        if setting.name == name and tx.floor.applies(setting):
            tx.drop(setting)


def ruler(floor: ShopFloor, screen: str) -> float | None:
    """Return the pixels per millimetre that were measured on a screen, or nothing."""
    stored = floor.setting(RULER + screen)
    try:
        return float(stored) if stored is not None else None
    except ValueError:
        return None
