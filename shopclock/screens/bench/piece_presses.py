"""Presses on pieces: letters in and out, all, none, the others; not right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.letters import choose, done_here, others
from shopclock.screens.bench.not_right import NotRight
from shopclock.screens.bench.reading import ask_reading
from shopclock.screens.bench.state import Mode
from shopclock.screens.bench.texts import ENDED, name_of, wait_text
from shopclock.shop.values.entities import Batch, Interval, Piece, Step
from shopclock.shop.work import pieces
from shopclock.shop.work.piece_progress import held_from
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.screens.bench.run_presses import Verb
    from shopclock.screens.bench.session import BenchSession
    from shopclock.shop.values.clock import Moment

LAST_STAYS = "One piece has to stay in hand."


class PiecePresses:
    """Who is in hand."""

    def __init__(self, desk: BenchSession) -> None:
        self._desk = desk

    def verbs(self) -> dict[str, Verb]:
        """The presses by the first word of their key."""
        return {
            "letter": self._letter,
            "all": self._all,
            "none": self._none,
            "others": self._others,
            "not-right": self._not_right,
            "reading": self._reading,
        }

    def _letter(self, mark: str, moment: Moment | None) -> None:
        hand = self._desk.hand()
        if hand.batch is None or hand.step is None:
            return
        piece = next((p for p in self._desk.floor.pieces(hand.batch.id) if p.mark == mark), None)
        if piece is None:
            return
        held = held_from(self._desk.floor, hand.step, self._desk.record.instant(moment))
        if piece.outcome is not None:
            self._tell_end(piece)
        elif piece.set_aside:
            self._take_up(hand, piece, moment)
        elif piece.id in done_here(self._desk.floor, hand):
            self._desk.say(f"{mark} is through {hand.step.name}. Not right, Rework does it again.")
        elif piece.id in held and piece.id not in hand.pieces:
            self._ask_out(hand, piece, held[piece.id])
        else:
            self._toggle(hand, piece, moment)

    def _tell_end(self, piece: Piece) -> None:
        step = self._desk.floor.find(Step, piece.lost_step_id or 0)
        at = f" at {step.name}" if step is not None else ""
        why = f": {piece.reason}" if piece.reason else ""
        self._desk.say(f"{piece.mark} is {ENDED[piece.outcome] if piece.outcome else ''}{at}{why}.")

    def _take_up(self, hand: CurrentWork, piece: Piece, moment: Moment | None) -> None:
        if hand.running:
            self._put(hand, frozenset(hand.pieces) | {piece.id}, f"{piece.mark} in", moment)
        else:
            self._desk.do(f"{piece.mark} taken up", lambda tx: pieces.take_up(tx, piece), moment)

    def _ask_out(self, hand: CurrentWork, piece: Piece, held: Interval) -> None:
        desk = self._desk
        wait = wait_text(desk.floor, held, desk.record.instant())
        none = desk.memory.none

        def answer(key: str | None) -> None:
            if key == "yes":
                now = frozenset[int]() if none else self._chosen(hand)
                self._put(hand, now | {piece.id}, f"{piece.mark} in", None)

        choices = (Choice("yes", "Take it out", role="primary"), Choice("no", "Leave it"))
        desk.ask(f"{piece.mark} is in {name_of(desk.floor, held)} {wait}. Take it out?", choices, answer)

    def _toggle(self, hand: CurrentWork, piece: Piece, moment: Moment | None) -> None:
        before = self._chosen(hand)
        now = choose(hand, before, piece, self._desk.memory.none)
        if not now - done_here(self._desk.floor, hand):
            self._desk.say(LAST_STAYS)
        else:
            self._put(hand, now, f"{piece.mark} {'in' if piece.id in now else 'out'}", moment)

    def _chosen(self, hand: CurrentWork) -> frozenset[int]:
        chosen = self._desk.memory.chosen
        return chosen if chosen is not None and not hand.running else frozenset(hand.pieces)

    def _put(self, hand: CurrentWork, now: frozenset[int], what: str, moment: Moment | None) -> None:
        """Have exactly these in hand: at once when it runs, else for when it is started."""
        interval = hand.interval
        if hand.mode is Mode.RUNNING and interval is not None:
            self._desk.do(what, lambda tx: pieces.cover(tx, interval, now), moment)
        else:
            self._desk.memory.chosen = now

    def _all(self, _: str, moment: Moment | None) -> None:
        hand = self._desk.hand()
        if hand.step is not None:
            chosen = self._chosen(hand)
            self._put(hand, chosen | self._rest(hand, hand.step, chosen), "All in", moment)

    def _none(self, _: str, _moment: Moment | None) -> None:  # that of the letter to come counts
        self._desk.memory.none = True
        self._desk.say("Press the letter of the one that is in hand.")

    def _others(self, _: str, moment: Moment | None) -> None:
        hand = self._desk.hand()
        if hand.step is None:
            return
        rest = self._rest(hand, hand.step, self._chosen(hand))
        if rest:
            self._put(hand, rest, "The others in", moment)
        else:
            self._desk.say("There are no others to be put in.")

    def _rest(self, hand: CurrentWork, step: Step, chosen: frozenset[int]) -> frozenset[int]:
        return others(self._desk.floor, hand, step, chosen, self._desk.record.instant())

    def _reading(self, _: str, _moment: Moment | None) -> None:  # that of the last answer counts
        ask_reading(self._desk)

    def _not_right(self, _: str, _moment: Moment | None) -> None:  # that of the last answer counts
        desk, hand = self._desk, self._desk.hand()
        batch = hand.batch if hand.batch is not None else desk.floor.find(Batch, desk.eye().batch_id or 0)
        if batch is not None and desk.floor.living(batch.id):
            NotRight(desk.floor, desk.ask, desk.do, hand).ask(batch)
