"""Mishaps with a piece, and the presses that say so."""

from functools import partial

from shopclock.demo.bench import DemoBench
from shopclock.demo.clock import MOMENT_MIN
from shopclock.demo.shop import Mishap
from shopclock.shop.values.entities import Batch, Piece, Step
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work import begin, finish, pieces
from shopclock.shop.work.piece_progress import ready

WHILE_RUNNING = ("lost", "second", "kept")


class Mishaps:
    """The mishaps of each batch that have not happened yet."""

    def __init__(self, bench: DemoBench) -> None:
        self._bench = bench
        self._ahead: dict[int, list[Mishap]] = {}

    def expect(self, batch: Batch) -> None:
        """Take up what is planned for a batch."""
        self._ahead[batch.id] = list(self._bench.plans[batch.id].mishaps)

    def loss(self, step: Step, mark: str = "") -> Mishap | None:
        """Return the loss that comes in the middle of a step, of this piece or of any."""
        return next((one for one in self._at(step) if one.what == "lost" and one.at < 1 and mark in one.pieces), None)

    def lose(self, step: Step, mishap: Mishap) -> None:
        """Lose the pieces of a mishap."""
        self._over(step, mishap)
        for mark in mishap.pieces:
            self._lose(step, self._bench.piece(step.batch_id, mark), mishap.reason)

    def while_running(self, step: Step) -> None:
        """Let happen what doesn't keep the maker from going on."""
        for mishap in self._at(step):
            if mishap.what in WHILE_RUNNING:
                self._happen(step, mishap)

    def waiting(self, step: Step) -> bool:
        """Tell whether something happens here that the maker stops for."""
        return bool(self._at(step))

    def after(self, step: Step) -> None:
        """Let happen what the maker stops for."""
        for mishap in self._at(step):
            self._happen(step, mishap)

    def bring_back(self, batch: Batch) -> None:
        """Take up what was set aside, once the others have come to where it is needed."""
        for piece in self._bench.floor.living(batch.id):
            if piece.set_aside and self._needed_again(batch, piece):
                self._bench.press(f"Take up {piece.mark}", partial(pieces.take_up, piece=piece))

    def _needed_again(self, batch: Batch, piece: Piece) -> bool:
        aside = (m for m in self._bench.plans[batch.id].mishaps if m.what == "aside" and piece.mark in m.pieces)
        step = self._bench.step_named(batch.id, next(aside).back)
        return any(one.step.id == step.id for one in ready(self._bench.floor, batch.id, self._bench.clock.now_us))

    def _at(self, step: Step) -> list[Mishap]:
        return [one for one in self._ahead[step.batch_id] if one.step == step.name]

    def _pieces(self, step: Step, mishap: Mishap) -> list[Piece]:
        return [self._bench.piece(step.batch_id, mark) for mark in mishap.pieces]

    def _over(self, step: Step, mishap: Mishap) -> None:
        self._ahead[step.batch_id].remove(mishap)

    def _happen(self, step: Step, mishap: Mishap) -> None:
        self._over(step, mishap)
        if mishap.what == "new blank":
            batch = self._bench.floor.get(Batch, step.batch_id)
            self._bench.press("New blank", lambda tx: pieces.add_piece(tx, batch))
        for piece in self._pieces(step, mishap):
            self._to_piece(step, piece, mishap)
            self._bench.clock.go(MOMENT_MIN)

    def _to_piece(self, step: Step, piece: Piece, mishap: Mishap) -> None:
        press = self._bench.press
        match mishap.what:
            case "lost":
                self._lose(step, piece, mishap.reason)
            case "second":
                press(f"Second: {piece.mark}", lambda tx: pieces.make_second(tx, piece))
            case "kept":
                press(f"Kept: {piece.mark}", lambda tx: pieces.end_piece(tx, piece, Outcome.KEPT, step))
            case "aside":
                press(f"Set aside {piece.mark}", lambda tx: pieces.set_aside(tx, piece))
            case "cut down":
                self._cut_down(step, piece, mishap)
            case "rework":
                self._rework(step, piece, mishap)

    def _lose(self, step: Step, piece: Piece, reason: str) -> None:
        self._bench.press(f"Lost: {piece.mark}", lambda tx: pieces.lose(tx, piece, step, reason))

    def _cut_down(self, step: Step, piece: Piece, mishap: Mishap) -> None:
        """Make a shorter blank of it, if a batch of those is not too far on."""
        into = next((b for b in self._bench.floor.open_batches() if self._takes_blanks(b)), None)
        if into is None:
            self._lose(step, piece, mishap.reason)
            return
        self._bench.press(f"Cut down {piece.mark}", lambda tx: pieces.cut_down(tx, piece, into, step))

    def _takes_blanks(self, batch: Batch) -> bool:
        plan = self._bench.plans[batch.id]
        return plan.pattern == "paring" and not self._bench.floor.tallies_of(self._bench.step_named(batch.id, "Harden"))

    def _rework(self, step: Step, piece: Piece, mishap: Mishap) -> None:
        cause = self._bench.step_named(step.batch_id, mishap.cause)
        again = self._bench.press(f"Again: {step.name} {piece.mark}", lambda tx: pieces.rework(tx, piece, step, cause))
        self._bench.clock.go(mishap.minutes)
        self._bench.press(f"Done: {piece.mark}", lambda tx: finish.one_done(tx, again))
        self._bench.press("Stop", begin.stop)
