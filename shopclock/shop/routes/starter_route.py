"""Starter routes: the steps of a piece in order, as a route file tells them.

These are values to copy a pattern from; the shop's own routes are in the record.
Lengths are whole seconds (`_s`), labour is minutes a piece. Both are starting values that
the shop's own figures replace.
"""

import re
from dataclasses import dataclass
from enum import StrEnum

from shopclock.shop.values.kinds import Kind, RuleKind


class Outline(StrEnum):
    """Outline that the route is drawn as."""

    BLADE = "blade"
    BAR = "bar"


@dataclass(frozen=True, slots=True)
class ToolSpec:
    """A tool. One that holds a load says how many shares of it there are: 5 places in an oven, 8 clamps; a saw none."""

    name: str
    capacity: float | None


@dataclass(frozen=True, slots=True)
class ReadingSpec:
    """Reading that can be taken at a step, and between which limits it should lie."""

    name: str
    unit: str
    low: float | None
    high: float | None
    target: float | None
    common_practice: bool


@dataclass(frozen=True, slots=True)
class StarterStep:
    """One step of a route.

    Steps of one `strand` follow each other; other strands (handle, sheath) can be worked
    beside the main one, which is "", and join it by an order rule. A stage may come several
    times under different keys. A step that `begins_itself` starts when the step before it in
    its strand ends for its pieces. `minutes` is labour a piece, `setup_minutes` labour a batch.
    `share` is what one piece takes of the tool. `common_practice` says that the length of the
    wait and the setting are common in the trade and have no source. Between `coldest_c` and
    `warmest_c` (°C, both or none) the wait's length holds for 25 °C and follows the shop's warmth.
    """

    key: str
    stage: str
    name: str
    kind: Kind
    one_by_one: bool
    methods: tuple[str, ...]
    strand: str
    begins_itself: bool
    wait_s: int | None
    minutes: float | None
    setup_minutes: float | None
    tool: str | None
    share: float
    setting: str
    caution: str
    readings: tuple[ReadingSpec, ...]
    common_practice: bool = False
    coldest_c: float | None = None
    warmest_c: float | None = None


@dataclass(frozen=True, slots=True)
class StarterRule:
    """Rule of two steps, told by their keys, for every piece.

    Only a *within* rule has a limit; the length of *at least* stands in its first step, a wait.
    """

    kind: RuleKind
    first: str
    then: str
    limit_s: int | None
    common_practice: bool = False


@dataclass(frozen=True, slots=True)
class StarterRoute:
    """A whole route, with its words for a piece, a finished one and a batch, one and many.

    Empty: a finished piece is called as the piece is, a batch as the shop does.
    """

    name: str
    outline: Outline
    piece: str
    pieces: str
    steps: tuple[StarterStep, ...]
    rules: tuple[StarterRule, ...]
    tools: tuple[ToolSpec, ...]
    note: str
    finished: str = ""
    finished_many: str = ""
    batch: str = ""
    batches: str = ""


def key_of(name: str) -> str:
    """Return the key that a step of this name has unless it is given another: temper-1."""
    return "-".join(re.findall(r"[^\W_]+", name.casefold()))


def tidy(text: str) -> str:
    """Return one line of text with single spaces, as labels are kept."""
    return " ".join(text.split())


def tidy_note(text: str) -> str:
    """Return text of several lines, each of them tidy."""
    return "\n".join(tidy(line) for line in text.strip().splitlines())
