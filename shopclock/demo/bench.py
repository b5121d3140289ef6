"""The bench of the demo shop: the record, the clock, and what is known of each batch."""

from collections.abc import Callable
from typing import TypeVar

from shopclock.demo.clock import MINUTE_US, DemoClock
from shopclock.demo.pace import Paces
from shopclock.demo.shop import BatchPlan, DemoShop
from shopclock.record.press.record import Record
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Method, Piece, Stage, Step
from shopclock.shop.work.loads import room
from shopclock.shop.work.piece_progress import ready, through

T = TypeVar("T")


class DemoBench:
    """Bench of the demo shop, at which the maker stands and presses."""

    def __init__(self, record: Record, clock: DemoClock, shop: DemoShop, paces: Paces) -> None:
        self.record = record
        self.clock = clock
        self.shop = shop
        self.paces = paces
        self.plans: dict[int, BatchPlan] = {}

    @property
    def floor(self) -> ShopFloor:
        """Floor that the record has in memory."""
        return self.record.floor

    @property
    def in_hand(self) -> Interval | None:
        """Interval that runs by hand or is watched, or nothing."""
        return next((i for i in self.floor.running.values() if i.kind.attended), None)

    @property
    def running(self) -> Interval:
        """Interval that runs by hand or is watched; asked only where something was begun."""
        return next(i for i in self.floor.running.values() if i.kind.attended)

    def runs(self, step: Step) -> bool:
        """Tell whether a step is running."""
        return any(interval.step_id == step.id for interval in self.floor.running.values())

    def press(self, what: str, rule: Callable[[Transaction], T]) -> T:
        """Press a button, as the maker would."""
        result, _ = self.record.press(what, rule)
        return result

    def left_min(self, until_us: int) -> float:
        """Return the minutes left until an instant."""
        return (until_us - self.clock.now_us) / MINUTE_US

    def plan(self, step: Step) -> BatchPlan:
        """Return what is planned for a step's batch."""
        return self.plans[step.batch_id]

    def stage(self, step: Step) -> str:
        """Return the name of a step's stage."""
        return self.floor.get(Stage, step.stage_id).name

    def method(self, step: Step) -> Method | None:
        """Return the method by which the step's batch is worked there, or nothing."""
        name = self.plan(step).method(self.stage(step))
        found = (m for m in self.floor.all(Method) if m.stage_id == step.stage_id and m.name == name)
        return next(found, None)

    def step_named(self, batch_id: int, name: str) -> Step:
        """Return a step of a batch by its name."""
        return next(step for step in self.floor.steps(batch_id) if step.name == name)

    def piece(self, batch_id: int, mark: str) -> Piece:
        """Return a piece of a batch by its mark."""
        return next(piece for piece in self.floor.pieces(batch_id) if piece.mark == mark)

    def to_do(self, step: Step) -> set[int]:
        """Return the pieces that a step still has to be done with, wherever they are."""
        reached = through(self.floor, step.batch_id)[step.id]
        return {p.id for p in self.floor.living(step.batch_id) if not p.set_aside} - reached

    def ready_beside(self, running: Interval) -> tuple[int, ...]:
        """Return the pieces that are ready for what runs and not in hand."""
        found = ready(self.floor, running.batch_id or 0, self.clock.now_us)
        here = (piece for one in found if one.step.id == running.step_id for piece in one.pieces)
        return tuple(piece for piece in here if piece not in running.pieces)

    def has_room(self, step: Step, pieces: tuple[int, ...]) -> bool:
        """Tell whether a step's tool has room for any of these pieces."""
        return bool(room(self.floor, step, pieces, (), self.clock.now_us))

    def goes_there(self, step: Step) -> bool:
        """Tell whether the batch is to reach a step: some stop on the way, to stand there at the end."""
        hold = self.plan(step).hold
        return not hold or step.position < self.step_named(step.batch_id, hold).position

    def needs_min(self, step: Step) -> float:
        """Return about how many minutes a step needs with all that are to do."""
        plan, stage = self.plan(step), self.stage(step)
        setup_min = (step.setup_us or 0) / MINUTE_US
        return setup_min + len(self.to_do(step)) * self.paces.minutes(plan, stage, "")
