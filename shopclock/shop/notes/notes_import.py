"""Old notes become batches, pieces and stretches of work, in one press."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from shopclock.shop.notes.entries import NO_NAME, Placed, batches_by_name, pattern_named
from shopclock.shop.setup.patterns import add_method
from shopclock.shop.setup.route_edit import plain_step
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, ImportFile, ImportRow, Interval, Pattern, Route, Stage, Step, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, MarkedBy, Outcome, StepState
from shopclock.shop.values.progress import UNWATCHED, Progress
from shopclock.shop.work.batches import batch_name, start_batch

MAKING = "Making batches of the notes"
ENDED = (None, Outcome.FINISHED, Outcome.SECOND)


@dataclass(frozen=True, slots=True)
class Notes:
    """Notes that one press brings in: the file, what it is made of, and the batches that stay open, by key."""

    file: str
    sha256: str
    placed: tuple[Placed, ...]
    open_keys: Collection[str] = ()


def import_notes(tx: Transaction, notes: Notes, progress: Progress = UNWATCHED) -> ImportFile:
    """Make batches, pieces and stretches of old notes. Refused where nothing is left to make, or the file is known.

    Batches of a name that is there are gone on with; all that is at the same time has to be on the floor.
    """
    if any(file.sha256 == notes.sha256 for file in tx.floor.all(ImportFile)):
        raise Refusal(f"{notes.file} was brought in already. Nothing was changed.")
    if not notes.placed:
        raise Refusal(f"There is nothing new in {notes.file}. Nothing was changed.")
    file = tx.add(ImportFile(name=notes.file, sha256=notes.sha256, at_us=tx.now_us))
    by_batch: dict[str, list[Placed]] = defaultdict(list)
    for one in notes.placed:
        by_batch["" if one.shop_work else one.entry.batch_key].append(one)
    made = [(one, _stretch(tx, one, _stage(tx, one.entry.stage), None, ())) for one in by_batch.pop("", ())]
    there = batches_by_name(tx.floor)
    for done, (key, some) in enumerate(by_batch.items()):
        progress.at(done, len(by_batch), MAKING)
        made += _Bringing(tx, some, there.get(some[0].entry.batch.casefold())).all(stays_open=key in notes.open_keys)
    for one, interval in made:
        _note(tx, file, one, interval)
    return file


class _Bringing:
    """The rows of one batch being brought in."""

    def __init__(self, tx: Transaction, some: Sequence[Placed], there: Batch | None) -> None:
        self._turn = tx
        self._some = some
        self._is_new = there is None
        self._batch = there if there is not None else self._started()
        self._steps = {step.stage_id: step for step in reversed(tx.floor.steps(self._batch.id))}
        self._stages = {name: _stage(tx, name) for name in dict.fromkeys(one.entry.stage for one in some)}
        living = [piece for piece in tx.floor.pieces(self._batch.id) if piece.outcome in ENDED]
        self._pieces = tuple(piece.id for piece in living)

    def all(self, *, stays_open: bool) -> list[tuple[Placed, Interval]]:
        """Make the stretches, then say which pieces are through, and how the batch ended."""
        last: dict[int, Interval] = {}
        made: list[tuple[Placed, Interval]] = []
        for one in self._some:
            step = self._step(one)
            interval = _stretch(self._turn, one, self._stages[one.entry.stage], step, self._pieces[: one.entry.pieces])
            made.append((one, interval))
            last[step.id] = max(interval, last.get(step.id, interval), key=lambda i: i.end_us or 0)
        self._mark_through(last)
        if self._is_new:
            self._leave_untimed()
        self._end(stays_open=stays_open and self._is_new)
        return made

    def _started(self) -> Batch:
        """Start the batch as it was at its first row, of as many pieces as any row has."""
        tx, first = self._turn, self._some[0]
        pieces = max(one.entry.pieces or 1 for one in self._some)
        name = first.entry.batch or batch_name(tx.floor, first.start_us)
        pattern = _pattern(tx, first.entry.pattern or NO_NAME, self._some)
        batch = start_batch(tx, pattern, pieces, name)
        return tx.change(replace(tx.current(batch), started_us=first.start_us))

    def _step(self, one: Placed) -> Step:
        stage = self._stages[one.entry.stage]
        if stage.id not in self._steps:
            self._steps[stage.id] = _own_step(self._turn, self._batch, stage)
        return self._steps[stage.id]

    def _mark_through(self, last: dict[int, Interval]) -> None:
        """Mark every piece that was at a step as through it when the last stretch there ended."""
        tx = self._turn
        marked = {(tally.step_id, tally.piece_id) for tally in tx.floor.of_batch(Tally, self._batch.id)}
        for step_id, interval in last.items():
            for piece in interval.pieces:
                if (step_id, piece) not in marked and interval.end_us is not None:
                    tx.add(Tally(step_id=step_id, piece_id=piece, at_us=interval.end_us, how=MarkedBy.ALL))

    def _leave_untimed(self) -> None:
        """Steps of the route that the notes don't speak of were done, or not, without being timed."""
        worked = {self._steps[stage.id].id for stage in self._stages.values()}
        for step in self._turn.floor.steps(self._batch.id):
            if step.id not in worked:
                self._turn.change(replace(self._turn.current(step), state=StepState.NOT_TIMED))

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
                self._turn.change(replace(self._turn.current(piece), outcome=outcome, ended_us=end_us))
        self._turn.change(replace(self._turn.current(batch), closed_us=end_us))


def _stretch(tx: Transaction, one: Placed, stage: Stage, step: Step | None, pieces: tuple[int, ...]) -> Interval:
    method = add_method(tx, stage, one.entry.method) if one.entry.method else None
    return tx.add(
        Interval(
            batch_id=step.batch_id if step is not None else None,
            step_id=step.id if step is not None else None,
            stage_id=stage.id,
            maker_id=tx.maker_id,
            method_id=method.id if method is not None else None,
            kind=one.kind,
            start_us=one.start_us,
            end_us=one.end_us,
            start_sure=one.sure,
            end_sure=one.sure,
            pieces=pieces,
        )
    )


def _note(tx: Transaction, file: ImportFile, one: Placed, interval: Interval) -> None:
    entry = one.entry
    tx.add(
        ImportRow(
            import_file_id=file.id, interval_id=interval.id, row=entry.row, known_by=entry.known_by, note=entry.note
        )
    )


def _stage(tx: Transaction, name: str) -> Stage:
    found = tx.floor.stage_by_name(name)
    if found is not None:
        return found
    return tx.add(Stage(name=name, kind=Kind.HANDS_ON))


def _pattern(tx: Transaction, name: str, some: Sequence[Placed]) -> Pattern:
    """Return the pattern of a name; a new one has the stages of its first batch as its route."""
    found = pattern_named(tx.floor, name)
    if found is not None:
        return found
    pattern = tx.add(Pattern(name=name, outline="bar"))
    route = tx.add(Route(pattern_id=pattern.id))
    for position, stage_name in enumerate(dict.fromkeys(one.entry.stage for one in some)):
        tx.add(plain_step(_stage(tx, stage_name), position, route.id))
    return pattern


def _own_step(tx: Transaction, batch: Batch, stage: Stage) -> Step:
    """Add a step that the route doesn't have to the end of a batch."""
    position = max((step.position for step in tx.floor.steps(batch.id)), default=-1) + 1
    return tx.add(plain_step(stage, position).in_batch(batch.id))
