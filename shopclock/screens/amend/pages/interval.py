"""One stretch of work: its ends by buttons or typed, what it was, its pieces, cut, joined, taken away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.amend import asking
from shopclock.screens.amend.amending import MINUTE_US, long_text, sure_sentence
from shopclock.shop.review.change_text import KIND_WORDS, WORK_WORDS
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Batch, Method, Piece
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.amend import join_next, move_mark, next_like, remove, use_pieces
from shopclock.shop.work.day import first_after
from shopclock.shop.work.overlap_rules import name_of
from shopclock.views.dialogs import CLOCK
from shopclock.views.field import Number, Text, field
from shopclock.views.page import Body, PageContent, TextLine, action, item

if TYPE_CHECKING:
    from shopclock.screens.amend.amending import Amending
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Interval, Tally
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MOVE_MIN, MOVE_MARK_MIN = 5, 1


def interval_page(amending: Amending, interval: Interval) -> PageContent:
    """Everything that can be put right about one stretch, each by one press."""
    name = name_of(amending.floor, interval)

    def join(moment: Moment | None) -> None:
        amending.press(f"Joined {name}", lambda tx: join_next(tx, interval), moment, interval.start_us)

    def take_away(moment: Moment | None) -> None:
        amending.press(f"Took away {name}", lambda tx: remove(tx, interval), moment, interval.start_us)

    def because(reason: str) -> None:
        amending.reason = reason.strip()
        amending.stack.changed()

    took = f"{long_text(interval, amending.now_us)}. {sure_sentence(interval)}"
    lines, reason = [TextLine(took, "text")], field("reason", "Reason", "", Text("Why is it changed"), because)
    if amending.reason:
        lines.append(TextLine(f"Reason: {amending.reason}", "straw"))
        reason = item("reason", "No reason", lambda: because(""))
    alone = "" if next_like(amending.floor, interval) is not None else "No stretch of the same step comes after it."
    return PageContent(
        amending.titled(interval),
        lines,
        [*_end(amending, interval, start=True), *_end(amending, interval, start=False), *_what(amending, interval)],
        [
            item("split", "Split at", lambda: asking.split(amending, interval)),
            action("join", "Join next", join, why_not=alone),
            action("remove", "Take away", take_away),
            reason,
        ],
        Body.TRIOS,
    )


def _end(amending: Amending, interval: Interval, *, start: bool) -> list[Action]:
    """The start or the end: earlier, typed, later; what runs has no later end."""
    key, verb, runs = "start" if start else "end", "starts" if start else "ends", not start and interval.end_us is None
    at_us = interval.start_us if start else interval.end_us if interval.end_us is not None else amending.now_us

    def by(minutes: int, moment: Moment | None) -> Asking[None]:
        return asking.move(amending, interval, at_us + minutes * MINUTE_US, moment, start=start)

    n = MOVE_MIN
    return [
        action(f"{key} less", f"− {n} min", lambda moment: by(-n, moment), f"{verb} earlier"),
        item(
            key,
            key.capitalize(),
            lambda: asking.type_end(amending, interval, start=start),
            "type it",
            figure="runs" if runs else amending.time(at_us),
        ),
        action(
            f"{key} more",
            f"+ {MOVE_MIN} min",
            lambda moment: by(MOVE_MIN, moment),
            f"{verb} later",
            why_not="It has not ended yet." if runs else "",
        ),
    ]


def _what(amending: Amending, interval: Interval) -> list[Action]:
    """Questions of what it was; of work that is no step of a batch, only who was needed."""
    floor = amending.floor
    how = f"{KIND_WORDS[interval.kind]}{', both at once' if interval.together else ''}"
    kind = item("kind", how, lambda: asking.ask_kind(amending, interval), "who was needed")
    if interval.step_id is None:
        return [kind]
    method = floor.find(Method, interval.method_id) if interval.method_id is not None else None
    found = [
        item("step", name_of(floor, interval), lambda: asking.ask_step(amending, interval), "step"),
        item(
            "batch",
            floor.get(Batch, interval.batch_id or 0).name,
            lambda: asking.ask_batch(amending, interval),
            word(floor, "batch").one,
        ),
        item(
            "method",
            method.name if method is not None else "no method",
            lambda: asking.ask_method(amending, interval),
            "method",
            why_not=""
            if any(m.stage_id == interval.stage_id for m in floor.all(Method))
            else "This stage has no methods.",
        ),
        item(
            "pieces",
            spoken(floor.marks(interval.pieces)),
            lambda: amending.about(interval, covered_pieces_page),
            counted(floor, "piece", len(interval.pieces)),
        ),
        kind,
    ]
    done = spoken(floor.marks(tally.piece_id for tally in floor.hands.done_in(interval)))
    if done:
        found.append(item("marks", f"Done: {done}", lambda: amending.about(interval, marks_page), "when each was done"))
    work = item("work", WORK_WORDS[interval.work], lambda: asking.ask_work(amending, interval), "what it was for")
    return [*found, work]


def marks_page(amending: Amending, interval: Interval) -> PageContent:
    """Marks of an interval's pieces, in their order: a minute earlier, the time typed, a minute later."""
    done = amending.floor.hands.done_in(interval)
    return PageContent(
        amending.titled(interval),
        ["Each is given the minutes from the one done before it."],
        [button for tally in done for button in _mark(amending, interval, tally)],
        body=Body.TRIOS,
    )


def _mark(amending: Amending, interval: Interval, tally: Tally) -> list[Action]:
    mark, key, at = amending.floor.get(Piece, tally.piece_id).mark, f"mark {tally.id}", amending.time(tally.at_us)

    def move(at_us: int, moment: Moment | None = None) -> None:
        what = f"{mark} done {amending.time(at_us)}"
        amending.press(what, lambda tx: move_mark(tx, tally, at_us), moment, interval.start_us)

    def by(minutes: int, moment: Moment | None) -> None:
        move(tally.at_us + minutes * MINUTE_US, moment)

    def typed(text: str) -> None:
        move(first_after(interval.start_us, text, amending.zone))

    asks, n = Number(f"{mark} done at", at.replace(":", "."), signs=CLOCK), MOVE_MARK_MIN
    return [
        action(f"{key} less", f"\N{MINUS SIGN} {n} min", lambda moment: by(-n, moment)),
        field(key, mark, "done", asks, typed, figure=at),
        action(f"{key} more", f"+ {n} min", lambda moment: by(n, moment)),
    ]


def covered_pieces_page(amending: Amending, interval: Interval) -> PageContent:
    """Pieces that an interval covered: a letter a tile; a press puts it in or takes it out."""
    floor = amending.floor
    done = {tally.piece_id for tally in floor.hands.done_in(interval)}

    def letter(piece: Piece) -> Action:
        covered = piece.id in interval.pieces

        def turn(moment: Moment | None) -> None:
            wanted = [p for p in interval.pieces if p != piece.id] if covered else [*interval.pieces, piece.id]
            what = f"{name_of(floor, interval)}: {piece.mark} {'out' if covered else 'in'}"
            amending.press(what, lambda tx: use_pieces(tx, interval, wanted), moment, interval.start_us)

        said = "done" if piece.id in done else "in" if covered else "out"
        return action(f"piece {piece.id}", piece.mark, turn, said, checked=covered)

    return PageContent(
        amending.titled(interval),
        [f"{counted(floor, 'piece', len(interval.pieces))} in it."],
        [letter(piece) for piece in floor.pieces(interval.batch_id or 0)],
        body=Body.PIECES,
    )
