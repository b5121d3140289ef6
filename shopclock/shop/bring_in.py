"""Old notes become batches, pieces and stretches of work, in one press."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from shopclock.shop.batch_steps import as_its_stage
from shopclock.shop.batches import batch_name, start_batch
from shopclock.shop.errors import Refusal
from shopclock.shop.imported import ImportFile, ImportRow
from shopclock.shop.kinds import How, Kind, Outcome, StepState, Work
from shopclock.shop.old_notes import NO_NAME, Placed, batches_by_name, pattern_named
from shopclock.shop.patterns import add_method
from shopclock.shop.progress import UNWATCHED, Progress
from shopclock.shop.stretch import open_at
from shopclock.shop.turn import Turn
from shopclock.shop.values import Batch, Interval, Pattern, Route, RouteStep, Stage, Step, Tally

MAKING = "Making batches of the notes"
ENDED = (None, Outcome.FINISHED, Outcome.SECOND)


@dataclass(frozen=True, slots=True)
class Notes:
    """What one press brings in: the file, what it is made of, and the batches that stay open, by key."""

    file: str
    sha256: str
    placed: tuple[Placed, ...]
    open_keys: Collection[str] = ()


def bring_in(turn: Turn, notes: Notes, progress: Progress = UNWATCHED) -> ImportFile:
    """Make batches, pieces and stretches of old notes. Refused where nothing is left to make, or the file is known.

    Batches of a name that is there are gone on with; all that is at the same time has to be on the floor.
    """
    if any(file.sha256 == notes.sha256 for file in turn.floor.all(ImportFile)):
        raise Refusal(f"{notes.file} was brought in already. Nothing was changed.")
    if not notes.placed:
        raise Refusal(f"There is nothing new in {notes.file}. Nothing was changed.")
    file = turn.new(ImportFile, name=notes.file, sha256=notes.sha256, at_us=turn.now_us)
    by_batch: dict[str, list[Placed]] = defaultdict(list)
    for one in notes.placed:
        by_batch["" if one.shop_work else one.entry.batch_key].append(one)
    made = [(one, _stretch(turn, one, _stage(turn, one.entry.stage), None, ())) for one in by_batch.pop("", ())]
    there = batches_by_name(turn.floor)
    for done, (key, some) in enumerate(by_batch.items()):
        progress.at(done, len(by_batch), MAKING)
        made += _Bringing(turn, some, there.get(some[0].entry.batch.casefold())).all(stays_open=key in notes.open_keys)
    for one, stretch in made:
        _note(turn, file, one, stretch)
    return file


class _Bringing:
    """The rows of one batch being brought in."""

    def __init__(self, turn: Turn, some: Sequence[Placed], there: Batch | None) -> None:
        self._turn = turn
        self._some = some
        self._is_new = there is None
        self._batch = there if there is not None else self._started()
        self._steps = {step.stage_id: step for step in reversed(turn.floor.steps(self._batch.id))}
        self._stages = {name: _stage(turn, name) for name in dict.fromkeys(one.entry.stage for one in some)}
        living = [piece for piece in turn.floor.pieces(self._batch.id) if piece.outcome in ENDED]
        self._pieces = tuple(piece.id for piece in living)

    def all(self, *, stays_open: bool) -> list[tuple[Placed, Interval]]:
        """Make the stretches, then say which pieces are through, and how the batch ended."""
        last: dict[int, Interval] = {}
        made: list[tuple[Placed, Interval]] = []
        for one in self._some:
            step = self._step(one)
            stretch = _stretch(self._turn, one, self._stages[one.entry.stage], step, self._pieces[: one.entry.pieces])
            made.append((one, stretch))
            last[step.id] = max(stretch, last.get(step.id, stretch), key=lambda i: i.end_us or 0)
        self._mark_through(last)
        if self._is_new:
            self._leave_untimed()
        self._end(stays_open=stays_open and self._is_new)
        return made

    def _started(self) -> Batch:
        """Start the batch as it was at its first row, of as many pieces as any row has."""
        turn, first = self._turn, self._some[0]
        pieces = max(one.entry.pieces or 1 for one in self._some)
        name = first.entry.batch or batch_name(turn.floor, first.start_us)
        pattern = _pattern(turn, first.entry.pattern or NO_NAME, self._some)
        batch = start_batch(turn, pattern, pieces, name)
        return turn.edit(batch, started_us=first.start_us)

    def _step(self, one: Placed) -> Step:
        stage = self._stages[one.entry.stage]
        if stage.id not in self._steps:
            self._steps[stage.id] = _own_step(self._turn, self._batch, stage)
        return self._steps[stage.id]

    def _mark_through(self, last: dict[int, Interval]) -> None:
        """Mark every piece that was at a step as through it when the last stretch there ended."""
        turn = self._turn
        marked = {(tally.step_id, tally.piece_id) for tally in turn.floor.of_batch(Tally, self._batch.id)}
        for step_id, stretch in last.items():
            for piece in stretch.pieces:
                if (step_id, piece) not in marked:
                    at_us = stretch.end_us
                    turn.new(Tally, step_id=step_id, piece_id=piece, interval_id=None, at_us=at_us, how=How.ALL)

    def _leave_untimed(self) -> None:
        """Steps of the route that the notes don't speak of were done, or not, without being timed."""
        worked = {self._steps[stage.id].id for stage in self._stages.values()}
        for step in self._turn.floor.steps(self._batch.id):
            if step.id not in worked:
                self._turn.edit(step, state=StepState.NOT_TIMED)

    def _end(self, *, stays_open: bool) -> None:
        """Close a new batch when its last row ended, all its pieces finished; one closed before ends later now."""
        batch = self._turn.floor.get(Batch, self._batch.id)
        if stays_open or (not self._is_new and batch.closed_us is None):
            return
        end_us = max(one.end_us for one in self._some)
        if batch.closed_us is not None and batch.closed_us >= end_us:
            return
        for piece in self._turn.floor.pieces(batch.id):
            if piece.outcome in ENDED:
                outcome = piece.outcome or Outcome.FINISHED
                self._turn.edit(piece, outcome=outcome, ended_us=end_us)
        self._turn.edit(batch, closed_us=end_us)


def _stretch(turn: Turn, one: Placed, stage: Stage, step: Step | None, pieces: tuple[int, ...]) -> Interval:
    method = add_method(turn, stage, one.entry.method) if one.entry.method else None
    return open_at(
        turn,
        one.start_us,
        end_us=one.end_us,
        batch_id=step.batch_id if step is not None else None,
        step_id=step.id if step is not None else None,
        stage_id=stage.id,
        method_id=method.id if method is not None else None,
        kind=one.kind,
        work=Work.RUN,
        start_sure=one.sure,
        end_sure=one.sure,
        pieces=pieces,
    )


def _note(turn: Turn, file: ImportFile, one: Placed, stretch: Interval) -> None:
    entry = one.entry
    turn.new(
        ImportRow,
        import_file_id=file.id,
        interval_id=stretch.id,
        row=entry.row,
        known_by=entry.known_by,
        note=entry.note,
    )


def _stage(turn: Turn, name: str) -> Stage:
    found = turn.floor.stage_by_name(name)
    if found is not None:
        return found
    plain = {"kind": Kind.HANDS_ON, "one_by_one": False, "shop_work": False, "caution": "", "put_away": False}
    return turn.new(Stage, name=name, **plain)


def _pattern(turn: Turn, name: str, some: Sequence[Placed]) -> Pattern:
    """Return the pattern of a name; a new one has the stages of its first batch as its route."""
    found = pattern_named(turn.floor, name)
    if found is not None:
        return found
    pattern = turn.new(Pattern, name=name, outline="bar", put_away=False)
    route = turn.new(Route, pattern_id=pattern.id, version=1, note="")
    for position, stage_name in enumerate(dict.fromkeys(one.entry.stage for one in some)):
        stage = _stage(turn, stage_name)
        turn.new(RouteStep, route_id=route.id, position=position, strand="", **as_its_stage(stage))
    return pattern


def _own_step(turn: Turn, batch: Batch, stage: Stage) -> Step:
    """Add a step that the route doesn't have to the end of a batch."""
    position = max((step.position for step in turn.floor.steps(batch.id)), default=-1) + 1
    own = {"batch_id": batch.id, "route_step_id": None, "state": StepState.TIMED}
    return turn.new(Step, position=position, strand="", **own, **as_its_stage(stage))
