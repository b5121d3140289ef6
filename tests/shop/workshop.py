"""A small invented shop to press buttons in: a floor without a disk, a clock that goes on when told to."""

import uuid
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from shopclock.shop.figures.derive import Derived, derive, derived_on, touched
from shopclock.shop.routes.starter_route import Outline, StarterRoute, StarterRule, StarterStep, ToolSpec
from shopclock.shop.setup import patterns
from shopclock.shop.setup.first_things import first_things
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change, Transaction
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Batch, Entity, Interval, Maker, Pattern, Piece, Stage, Step
from shopclock.shop.values.kinds import Kind, RuleKind
from shopclock.shop.work import batches

T = TypeVar("T")

START_US = 1_792_868_400_123_457
"""Saturday 24 October 2026, 21:00 in Vienna: the clocks go back that night."""
MINUTE_US = 60_000_000


def _step(name: str, kind: Kind = Kind.HANDS_ON, **other: object) -> StarterStep:
    plain: dict[str, object] = {
        "one_by_one": False, "methods": (), "strand": "", "begins_itself": False, "wait_s": None, "minutes": None,
        "setup_minutes": None, "tool": None, "share": 1.0, "setting": "", "caution": "", "readings": (),
    }  # fmt: skip
    fields = plain | other
    return StarterStep(key=name.casefold(), stage=name, name=name, kind=kind, **fields)  # type: ignore[arg-type]  # plain values by name


ROUTE = StarterRoute(
    name="Spreader",
    outline=Outline.BLADE,
    piece="blade",
    pieces="blades",
    steps=(
        _step("Saw", methods=("hacksaw", "bandsaw")),
        _step("Bevel", one_by_one=True, methods=("freehand", "jig")),
        _step("Harden", Kind.WATCH, tool="oven", setting="800 °C"),
        _step("Temper", Kind.WAIT, wait_s=7200, tool="oven", setting="200 °C"),
        _step("Scales", one_by_one=True, strand="handle"),
        _step("Glue", one_by_one=True, tool="clamps", share=2.0),
        _step(
            "Cure", Kind.WAIT, begins_itself=True, wait_s=86_400, tool="clamps", share=2.0, coldest_c=10, warmest_c=35
        ),
        _step("Sharpen", one_by_one=True),
    ),
    rules=(
        StarterRule(RuleKind.WITHIN, "harden", "temper", 3600),
        StarterRule(RuleKind.BEFORE, "saw", "harden", None),
        StarterRule(RuleKind.BEFORE, "scales", "glue", None),
        StarterRule(RuleKind.AT_LEAST, "cure", "sharpen", None),
    ),
    tools=(ToolSpec("oven", 5), ToolSpec("clamps", 8)),
    note="",
)


IN_ROUNDS = replace(ROUTE, steps=tuple(replace(step, one_by_one=False) for step in ROUTE.steps))
"""The same route with every step worked in rounds."""


class ToyClock:
    """Goes on when told to; within one boot, in step with the wall."""

    def __init__(self, at_us: int = START_US) -> None:
        self.now_us = at_us

    def moment(self) -> Moment:
        return Moment(self.now_us, self.now_us - START_US + 1_000_000, 0, "boot", 120)

    def on(self, minutes: float = 0, us: int = 0) -> None:
        self.now_us += round(minutes * MINUTE_US) + us


class Numbers:
    """Numbers and UUIDs for a floor that no file stands behind."""

    def __init__(self) -> None:
        self._last: Counter[type[Entity]] = Counter()

    def next(self, kind: type[Entity]) -> int:
        self._last[kind] += 1
        return self._last[kind]

    def uuid(self) -> str:
        return str(uuid.UUID(int=self._last.total()))


class Paper:
    """Presses without a disk, kept as the record keeps them: rule, derived rows, a way back."""

    def __init__(self) -> None:
        self.clock, self.floor, self._numbers = ToyClock(), ShopFloor(), Numbers()
        self._pressed: list[list[Change]] = []
        self.warnings: list[str] = []
        self.press(lambda tx: first_things(tx, "Europe/Vienna"))
        self.maker = next(self.floor.all(Maker))

    def press(self, rule: Callable[[Transaction], T]) -> T:
        tx = Transaction(self.floor, self._numbers, self.clock.now_us, 1)
        try:
            result = rule(tx)
        except BaseException:
            tx.take_back()
            raise
        self._keep(tx.changes)
        self._pressed.append(tx.changes)
        self.warnings = tx.warnings
        return result

    def undo(self) -> None:
        tx = Transaction(self.floor, self._numbers, self.clock.now_us, 1)
        for change in reversed(self._pressed.pop()):
            tx.restore(change)
        self._keep(tx.changes)

    @property
    def pressed(self) -> int:
        """How many presses can be taken back, the first one (the new shop) left out."""
        return len(self._pressed) - 1

    def _keep(self, changes: list[Change]) -> None:
        numbers = touched(self.floor, changes)
        derived_on(self.floor, numbers, derive(self.floor, numbers))

    def all_anew(self) -> Derived:
        """Labour and shares of all that has ended, worked out at once."""
        return derive(self.floor, [i.id for i in self.floor.all(Interval)])


class Shop(Paper):
    """A floor with one pattern and a batch: short ways to its steps, pieces and what runs."""

    def __init__(self, n: int = 3, route: StarterRoute = ROUTE) -> None:
        super().__init__()
        self.pattern: Pattern = self.press(lambda tx: patterns.copy_route(tx, route, "Spreader"))
        self.batch = self.new_batch(n)

    def new_batch(self, n: int) -> Batch:
        name = batches.batch_name(self.floor, self.clock.now_us)
        return self.press(lambda tx: batches.start_batch(tx, self.pattern, n, name))

    def step(self, name: str, batch: Batch | None = None) -> Step:
        return next(s for s in self.floor.steps((batch or self.batch).id) if s.name == name)

    def piece(self, mark: str, batch: Batch | None = None) -> Piece:
        return next(p for p in self.floor.pieces((batch or self.batch).id) if p.mark == mark)

    def pieces(self, marks: str, batch: Batch | None = None) -> tuple[int, ...]:
        return tuple(self.piece(mark, batch).id for mark in marks)

    def stage(self, name: str) -> Stage:
        found = self.floor.stage_by_name(name)
        assert found is not None
        return found

    def runs(self, step: str | None = None) -> Interval:
        """The one interval that runs, or the one at a step of this name."""
        found = [i for i in self.floor.running.values() if step is None or self._named(i) == step]
        assert len(found) == 1
        return found[0]

    def running(self) -> dict[str, str]:
        """Step names of what runs, with the marks that each covers."""
        ordered = sorted(self.floor.running.values(), key=lambda i: i.id)
        return {self._named(i): "".join(self.floor.marks(i.pieces)) for i in ordered}

    def _named(self, interval: Interval) -> str:
        if interval.step_id is None:
            return self.floor.get(Stage, interval.stage_id).name
        return self.floor.get(Step, interval.step_id).name

    def now(self, interval: Interval) -> Interval:
        """An interval as it stands now."""
        return self.floor.get(Interval, interval.id)
