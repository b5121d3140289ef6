"""Marking: letters and *Done*, who is in hand, and what is not right with a piece."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from shopclock.screens.bench import texts, tiles
from shopclock.screens.bench.current_work import letters_choose
from shopclock.screens.bench.hands import BenchPart
from shopclock.screens.bench.memory import SAID_FOR_US, SECOND_US, Offer
from shopclock.screens.bench.not_right import NotRight
from shopclock.screens.bench.plate_state import done_here
from shopclock.screens.bench.state import Mode
from shopclock.screens.plan.instead import Instead
from shopclock.shop.figures.derive import marked_together, stretch_us
from shopclock.shop.state.wording import minutes_text, time_text, zone_of
from shopclock.shop.values.entities import Interval, Leaving, Piece, Step
from shopclock.shop.work import finish, pieces
from shopclock.shop.work.makers import name_of_maker
from shopclock.shop.work.piece_progress import held_from, theirs
from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment

T = TypeVar("T")
OFFERED_FOR_US = 10 * SECOND_US
"""So long a letter offers to take its mark back."""
ASIDE_OFFERED_FOR_US = 60 * SECOND_US
"""So long the letter of a piece that was set aside says that it was not in hand."""


class Marking(BenchPart):
    """Marks pieces as through, puts them in hand and out of it, and takes what is not right."""

    def done(self, _: int, moment: Moment | None) -> None:
        """Mark the piece that is next by letter."""
        hand = self.at.hand()
        interval, title = hand.interval, tiles.done_title(self.floor, hand)
        if interval is not None and title:
            marked = self.at.do_ended(
                title, [interval], lambda tx: finish.one_done(tx, interval), finish.one_done, moment, goes_on=True
            )
            if marked is not None:
                self._say_shared(interval, marked)

    def letter(self, piece_id: int, moment: Moment | None) -> None:
        """A letter says that its piece is through what has begun by hand; else it chooses who goes in."""
        hand, piece = self.at.hand(), self.floor.find(Piece, piece_id)
        held = held_from(self.floor, hand.step, self.at.record.instant(moment)) if hand.step is not None else {}
        chooses = (
            piece is None or not piece.living or piece.set_aside or (piece_id in held and piece_id not in hand.pieces)
        )
        other = theirs(self.floor, self.at.maker_id, hand.step).get(piece_id) if hand.step is not None else None
        if chooses or letters_choose(self.floor, hand) or (other is not None and hand.running):
            self.in_out(piece_id, moment)
            if other is not None and hand.running and piece is not None:
                self.memory.said = f"{piece.mark} came out of {name_of_maker(self.floor, other.maker_id)}'s hands."
        elif piece is not None and hand.step is not None and piece.id in done_here(self.floor, hand):
            self._say_through(hand.step, piece, moment)
        elif piece is not None and hand.interval is not None and piece.batch_id == hand.interval.batch_id:
            self._mark(hand.interval, piece, moment)

    def _mark(self, interval: Interval, piece: Piece, moment: Moment | None) -> None:
        """Mark a piece as through; say what its press can't show by itself."""

        def mark(tx: Transaction, interval: Interval = interval) -> Piece:
            return finish.one_done(tx, interval, piece)

        if self.at.do_ended(f"Done: {piece.mark}", [interval], mark, mark, moment, goes_on=True) is None:
            return
        if piece.id not in interval.pieces:
            self.memory.said = f"{piece.mark} is through without minutes: it was not in hand."
            return
        self._say_shared(interval, piece)

    def _say_shared(self, interval: Interval, piece: Piece) -> None:
        """Say with whom a piece that was just marked shares its stretch, and what each has of it."""
        groups = marked_together(self.floor, interval)
        together = next((g for g in groups if len(g) > 1 and any(t.piece_id == piece.id for t in g)), None)
        if together is None:
            return
        now_us, who = self.at.record.instant(), [tally.piece_id for tally in together]
        each = sum(stretch_us(self.floor, interval, piece_id, now_us) for piece_id in who) / len(who) / 60e6
        self.memory.said = f"{texts.letters_text(self.floor, who)}: {minutes_text(each)} each, shared"

    def _say_through(self, step: Step, piece: Piece, moment: Moment | None) -> None:
        """Say since when a piece is through; for some seconds its letter takes that back."""
        mark = next((t for t in reversed(self.floor.tallies_of(step)) if t.piece_id == piece.id), None)
        if mark is None:
            self.memory.said = f"{piece.mark} is through {step.name}. Not right, Rework does it again."
            return

        def take(moment: Moment | None) -> None:
            self.at.do(f"Not yet: {piece.mark}", lambda tx: finish.not_yet(tx, step, piece), moment)

        now_us = self.at.record.instant(moment)
        self.memory.said = (
            f"{piece.mark} through at {time_text(mark.at_us, zone_of(self.floor))}. Press again: not yet."
        )
        self.memory.offer = Offer(mark, "not yet", take, now_us + OFFERED_FOR_US)

    def sleeve(self, *_: object) -> None:
        """Say that several letters at once were none."""
        self.memory.said = "Several letters at once: a sleeve or a palm. None was taken."

    def in_out(self, piece_id: int, moment: Moment | None) -> None:
        """Put a piece in hand or take it out; before a start, choose it or leave it."""
        hand, piece = self.at.hand(), self.floor.find(Piece, piece_id)
        if hand.step is None or hand.batch is None or piece is None or piece.batch_id != hand.batch.id:
            return
        held = held_from(self.floor, hand.step, self.at.record.instant(moment))
        if piece.outcome is not None:
            step = self.floor.find(Step, piece.lost_step_id or 0)
            at, why = f" at {step.name}" if step is not None else "", f": {piece.reason}" if piece.reason else ""
            self.memory.said = f"{piece.mark} is {texts.ENDED[piece.outcome]}{at}{why}."
        elif piece.set_aside and hand.running:
            self._put(hand, frozenset(hand.pieces) | {piece.id}, f"{piece.mark} in", moment)
        elif piece.set_aside:
            self.at.do(f"{piece.mark} taken up", lambda tx: pieces.take_up(tx, piece), moment)
        elif piece.id in done_here(self.floor, hand):
            self._say_through(hand.step, piece, moment)
        elif piece.id in held and piece.id not in hand.pieces:
            self._ask_out(hand, piece, held[piece.id])
        else:
            self._toggle(hand, piece, moment)

    def _ask_out(self, hand: CurrentWork, piece: Piece, held: Interval) -> None:
        wait, none = texts.wait_text(self.floor, held, self.at.record.instant()), self.memory.none

        def answer(key: str | None) -> None:
            if key == "yes":
                before = frozenset[int]() if none else self._before(hand)
                self._put(hand, before | {piece.id}, f"{piece.mark} in", None)

        choices = (Choice("yes", "Take it out", role="primary"), Choice("no", "Leave it"))
        self.at.ask(f"{piece.mark} is in {texts.name_of(self.floor, held)} {wait}. Take it out?", choices, answer)

    def _toggle(self, hand: CurrentWork, piece: Piece, moment: Moment | None) -> None:
        """Put a piece in hand or out of it; after *None* it is that one alone."""
        now = frozenset({piece.id}) if self.memory.none else self._before(hand) ^ {piece.id}
        if now - done_here(self.floor, hand):
            self._put(hand, now, f"{piece.mark} {'in' if piece.id in now else 'out'}", moment)
        else:
            self.memory.said = "One piece has to stay in hand."

    def _before(self, hand: CurrentWork) -> frozenset[int]:
        """Pieces in hand, or chosen, before a press on a letter; *None* set aside."""
        chosen = self.memory.chosen
        return chosen if chosen is not None and not hand.running else frozenset(hand.pieces)

    def _put(self, hand: CurrentWork, now: frozenset[int], what: str, moment: Moment | None) -> None:
        """Have exactly these in hand: at once when it runs, else for when it is started."""
        interval = hand.interval
        if hand.mode is Mode.RUNNING and interval is not None:
            self.at.do(what, lambda tx: pieces.cover(tx, interval, now), moment)
        else:
            self.memory.chosen = now

    def _rest(self, hand: CurrentWork, step: Step) -> frozenset[int]:
        """Return the pieces that could be in hand and aren't."""
        held, done = held_from(self.floor, step, self.at.record.instant()), done_here(self.floor, hand)
        living = (p for p in self.floor.living(step.batch_id) if not p.set_aside)
        kept = {*held, *done, *theirs(self.floor, self.at.maker_id, step)}
        return frozenset(p.id for p in living if p.id not in kept) - self._before(hand)

    def all(self, _: int, moment: Moment | None) -> None:
        """Have all in hand that can be."""
        hand = self.at.hand()
        if hand.step is not None:
            self._put(hand, self._before(hand) | self._rest(hand, hand.step), "All in", moment)

    def none(self, _: int, _moment: Moment | None) -> None:  # that of the letter to come counts
        """Have nobody in hand but who is pressed next."""
        self.memory.none = True
        self.memory.said = "Press the letter of the one that is in hand."

    def others(self, _: int, moment: Moment | None) -> None:
        """Have exactly those in hand that are not."""
        hand = self.at.hand()
        if hand.step is None:
            return
        rest = self._rest(hand, hand.step)
        if rest:
            self._put(hand, rest, "The others in", moment)
        else:
            self.memory.said = "There are no others to be put in."

    def not_right(self, *_: object) -> None:  # the moment of the last answer counts
        """Ask which piece is not right, and what it is with it."""
        hand = self.at.hand()
        batch = self.at.batch_at_hand(hand)
        if batch is not None and self.floor.living(batch.id):
            instead = Instead(self.floor, self.at.ask, self.at.do, self.at.go)
            asks, do = self.at.ask, self._do_not_right
            NotRight(self.floor, self.at.maker_id, asks, do, hand, instead.ask).ask(batch)

    def _do_not_right(self, what: str, rule: Callable[[Transaction], T]) -> T | None:
        """Do it; say whose stretch went along with a piece, which its letter takes back until the next press."""
        before = {leaving.id for leaving in self.floor.all(Leaving)}
        found = self.at.do(what, rule)
        left = next((leaving for leaving in self.floor.all(Leaving) if leaving.id not in before), None)
        if left is None:
            return found
        mark, of = self.floor.get(Piece, left.piece_id).mark, self.floor.get(Interval, left.interval_id)
        minutes = minutes_text(stretch_us(self.floor, of, left.piece_id, left.at_us) / 60e6)
        self.memory.said = f"{mark} was in hand, {minutes} min. Was it not? Press {mark}."

        def take(moment: Moment | None) -> None:
            self.at.do(f"{mark} was not in hand", lambda tx: pieces.not_in_hand(tx, left), moment)
            self.memory.said = f"{mark} was not in hand: what was worked goes on without it."

        goes_on = self.floor.get(Piece, left.piece_id).living  # then its letter is soon needed to take it up again
        until_us = left.at_us + (ASIDE_OFFERED_FOR_US if goes_on else SAID_FOR_US)
        self.memory.offer = Offer(left, "not in hand", take, until_us)
        return found
