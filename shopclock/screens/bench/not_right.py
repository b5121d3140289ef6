"""Not right: which piece, what about it, and why."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from shopclock.screens.bench.act_words import said
from shopclock.screens.bench.texts import batch_text, name_of
from shopclock.shop.values.entities import Batch, Interval, Piece, Reason, Step
from shopclock.shop.work import pieces
from shopclock.shop.work.makers import name_of_maker
from shopclock.shop.work.piece_progress import holds, through
from shopclock.views.dialogs import Choice
from shopclock.views.page import void

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.views.dialogs import Then

    Do = Callable[[str, Callable[[Transaction], Any]], Any]
    Ask = Callable[[str, Sequence[Choice], Then], None]


class NotRight:
    """Asks its way to one press about one piece."""

    def __init__(
        self, floor: ShopFloor, maker_id: int, ask: Ask, do: Do, hand: CurrentWork, gone: Callable[[int], object]
    ) -> None:
        self._floor = floor
        self._maker_id = maker_id
        self._ask = ask
        self._do = do
        self._hand = hand
        self._gone = gone
        """Goes on where a piece may be one that somebody was promised."""

    def ask(self, batch: Batch) -> None:
        """Ask which piece it is."""
        living = {p.mark: p for p in self._floor.living(batch.id)}
        choices = [Choice(mark, mark, self._piece_detail(piece)) for mark, piece in living.items()]
        self._ask("Which one is not right", choices, lambda mark: self._what(living[mark]) if mark else None)

    def _piece_detail(self, piece: Piece) -> str:
        """Say where a piece is: whoever presses on takes it out of there."""
        found = ["second"] if piece.second else []
        found += ["set aside"] if piece.set_aside else ["in hand"] if self._at_hand(piece) else []
        for held in self._floor.running.values():
            if piece.id in held.pieces and not held.kind.attended:
                found.append(f"in {name_of(self._floor, held)}")
            elif piece.id in held.pieces and held.maker_id != self._maker_id:
                found.append(f"in {name_of_maker(self._floor, held.maker_id)}'s hands")
        return said(found or (["through"] if self._is_through(piece) else []))

    def _is_through(self, piece: Piece) -> bool:
        """Tell whether a piece has the step on the plate behind it."""
        step = self._hand.step
        return step is not None and piece.id in through(self._floor, step.batch_id)[step.id]

    def _at_hand(self, piece: Piece) -> bool:
        """Tell whether a piece is among those of the work on the plate; before a start nothing is in hand."""
        return self._hand.interval is not None and piece.id in self._hand.pieces

    def _what(self, piece: Piece) -> None:
        ways = {choice.key: (choice, act) for choice, act in self._ways(piece)}
        choices = [choice for choice, _ in ways.values()]
        self._ask(f"What about {piece.mark}", choices, lambda key: void(ways[key][1]()) if key else None)

    def _ways(self, piece: Piece) -> Iterator[tuple[Choice, Callable[[], object]]]:
        """Return what can be done about a piece, and how."""
        mark, into = piece.mark, [b for b in self._floor.open_batches() if b.id != piece.batch_id]
        causes = pieces.possible_causes(self._floor, piece.batch_id, piece)
        if piece.set_aside:
            take_up = partial(self._do, f"{mark} taken up", lambda tx: pieces.take_up(tx, piece))
            yield Choice("take-up", "Take up again"), take_up
        else:
            set_aside = partial(self._do, f"{mark} set aside", lambda tx: pieces.set_aside(tx, piece))
            yield Choice("aside", "Set aside", "goes on later"), set_aside
        if causes:
            last = self._step_of(piece)
            again = last if last in causes and last is not None else causes[0]
            rework = partial(pieces.rework, piece=piece, step=again, cause=None)
            now = partial(self._do, f"Rework {mark}", rework)
            yield Choice("rework", f"Rework: {again.name}", "again now; cause not known"), now
            yield Choice("cause", "Rework, and why", "another step, or its cause"), partial(self._again, piece, causes)
        if into:
            yield Choice("cut", "Cut down", "for another batch"), partial(self._cut, piece, into)
        if not piece.second:
            yield Choice("second", "Second", "goes on, is sold as a second"), partial(self._second, piece)
        yield Choice("lost", "Lost", role="red"), partial(self._lost, piece)

    def _second(self, piece: Piece) -> None:
        self._do(f"{piece.mark} a second", lambda tx: pieces.make_second(tx, piece))
        self._gone(piece.id)

    def _lost(self, piece: Piece) -> None:
        reasons = sorted((r for r in self._floor.all(Reason) if not r.put_away), key=lambda r: (r.position, r.id))
        choices = [Choice(r.name, r.name) for r in reasons]
        step = self._step_of(piece)

        def lose(reason: str | None) -> None:
            if reason is not None:
                self._do(f"{piece.mark} lost", lambda tx: pieces.lose(tx, piece, step, reason))
                self._gone(piece.id)

        self._ask(f"Why is {piece.mark} lost", choices, lose)

    def _cut(self, piece: Piece, into: list[Batch]) -> None:
        by_key = {str(b.id): b for b in into}
        choices = [Choice(key, batch_text(self._floor, b)) for key, b in by_key.items()]
        step = self._step_of(piece)

        def cut(key: str | None) -> None:
            if key is not None:
                target = by_key[key]
                self._do(f"{piece.mark} cut down", lambda tx: pieces.cut_down(tx, piece, target, step))
                self._gone(piece.id)

        self._ask(f"Into which batch does {piece.mark} go", choices, cut)

    def _again(self, piece: Piece, causes: tuple[Step, ...]) -> None:
        by_key = {str(s.id): s for s in causes}
        choices = [Choice(key, s.name) for key, s in by_key.items()]
        unknown = Choice("", "Don't know", "the cause is not known")

        def wrong(again: str | None) -> None:
            if again is not None:
                self._ask(f"Which step made {piece.mark} wrong", [*choices, unknown], lambda key: rework(again, key))

        def rework(again: str, cause: str | None) -> None:
            if cause is not None:
                rule = partial(pieces.rework, piece=piece, step=by_key[again], cause=by_key.get(cause))
                self._do(f"Rework {piece.mark}", rule)

        self._ask(f"What is done again with {piece.mark}", choices, wrong)

    def _step_of(self, piece: Piece) -> Step | None:
        """Return the step that a piece is at: on the plate, in a wait, else worked last."""
        if piece.id in self._hand.pieces:
            return self._hand.step
        held = [i for i in holds(self._floor, piece.batch_id).get(piece.id, []) if i.step_id is not None]
        if held:
            return self._floor.find(Step, held[0].step_id or 0)
        worked = [i for i in self._floor.of_batch(Interval, piece.batch_id) if piece.id in i.pieces and i.step_id]
        newest = max(worked, key=lambda i: (i.start_us, i.id), default=None)
        return self._floor.find(Step, newest.step_id or 0) if newest is not None else None
