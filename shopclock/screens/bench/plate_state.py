"""The plate: what it shows in each mode; the pace line, the caution and the letters on it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.screens.bench import texts
from shopclock.screens.bench.act_words import NO_PIECE, said, start_title, taken
from shopclock.screens.bench.current_work import chain, letters_choose
from shopclock.screens.bench.state import IN_STEAD, Mode, PlateState, Verb
from shopclock.screens.bench.texts import DOT
from shopclock.shop.figures.derive import marked_alone
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.routes import cure
from shopclock.shop.state.wording import counted, minutes_text
from shopclock.shop.values.entities import CautionShown, Load, Method, Pattern
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.begin import ahead_sentence
from shopclock.shop.work.loads import blocked, done_again, holder, in_text
from shopclock.shop.work.makers import name_of_maker
from shopclock.shop.work.piece_progress import eligible, held_from, over, theirs, through
from shopclock.shop.work.readings import kinds_for
from shopclock.views.button import Button, Press
from shopclock.views.letter import WORDS, Letter

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from shopclock.screens.bench.bench_acts import BenchActs
    from shopclock.screens.bench.current_work import CurrentWork
    from shopclock.screens.bench.tiles import UsualAt
    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Batch, Interval, Piece, Step

ROLES = {Kind.HANDS_ON: "dye", Kind.WATCH: "straw"}
LARGE = {WorkKind.SETUP: "Set-up", WorkKind.REWORK: "Rework"}
"""What is said in large instead of the stage."""


class PlateMaker:
    """Makes the plate's state from the floor; `in_sight` is the batch that is looked at."""

    def __init__(self, floor: ShopFloor, usual_at: UsualAt, in_sight: int | None, now_us: int) -> None:
        self._floor = floor
        self._usual_at = usual_at
        self._in_sight = in_sight
        self._now_us = now_us

    def make(self, acts: BenchActs, said_now: str, offered: tuple[int, str] | None = None) -> PlateState:
        """Return the plate; `said_now` is what has to be said instead of the pace.

        `offered`: the piece whose letter takes something back for now, and the word for that.
        """
        hand = acts.hand
        interval, step, batch = hand.interval, hand.step, hand.batch
        if hand.mode in (Mode.RUNNING, Mode.STOPPED) and interval is not None:
            plate = self._clocked(hand, interval)
        elif batch is None:
            plate = _empty(self._floor)
        elif hand.mode is Mode.WAITING and interval is not None:
            plate = self._waiting(batch, interval)
        elif hand.mode is Mode.READY and step is not None:
            plate = self._ready(acts, batch, step)
        else:
            plate = self._through(batch)
        if hand.step is not None and plate.mode is not Mode.WAITING:
            plate = self._with_letters(plate, acts, offered)
        if said_now and hand.mode is not Mode.EMPTY:
            return replace(plate, line=said_now, urgent=True)
        return plate

    def _with_letters(self, plate: PlateState, acts: BenchActs, offered: tuple[int, str] | None) -> PlateState:
        """Return the plate with all letters of its batch, and the one button that stands for them."""
        hand, chosen, maker_id = acts.hand, acts.chosen, acts.maker_id
        floor, now_us, choosing = self._floor, self._now_us, letters_choose(self._floor, hand)
        shown = letters(floor, hand, chosen, now_us, offered, maker_id=maker_id)
        in_hand = shown if choosing else letters(floor, hand, chosen, now_us, verb=Verb.IN_OUT, maker_id=maker_id)
        return replace(plate, letters=shown, in_hand=in_hand, choosing=choosing, pieces=_pieces_button(shown))

    def _clocked(self, hand: CurrentWork, interval: Interval) -> PlateState:
        """Plate of what runs, or was stopped; the method is one to press while it runs, then one to read."""
        running, name = hand.running, texts.name_of(self._floor, interval)
        large, said, share = LARGE.get(interval.work, "") if running else "", "Shop work", None
        picks = self._picks(interval.stage_id, interval.method_id) if hand.step is not None else ()
        by_then = "" if running else next((method.title for method in picks if method.checked), "")
        if hand.batch is not None:
            line, share = self._pace(hand.step, hand.batch, interval) if hand.step is not None else ("", None)
            elsewhere = "" if hand.batch.id == self._in_sight else hand.batch.name
            said = DOT.join(part for part in (elsewhere, by_then, line, self._round_line(hand)) if part)
        return PlateState(
            mode=hand.mode,
            role=ROLES[interval.kind] if running else "dark",
            title=(large or name) if running else f"Stopped: {name}",
            line=DOT.join(part for part in (name if large else "", said) if part),
            share=share,
            picks=picks if running else (),
            tools=self._tools(hand, interval),
        )

    def _round_line(self, hand: CurrentWork) -> str:
        """Say that in rounds a letter is pressed in the last round; nothing elsewhere."""
        if hand.step is None or hand.step.one_by_one or not hand.running or letters_choose(self._floor, hand):
            return ""
        return "letters in the last round" if len(hand.pieces) > 1 else ""

    def _picks(self, stage_id: int, chosen_id: int | None) -> tuple[Button, ...]:
        """One button for each method, the one in use filled."""
        methods = [m for m in self._floor.all(Method) if m.stage_id == stage_id and not m.put_away]
        if len(methods) < 2:
            return ()
        return tuple(Button(m.name, checked=m.id == chosen_id, key=Press(Verb.METHOD, m.id)) for m in methods)

    def _tools(self, hand: CurrentWork, interval: Interval) -> tuple[Button, ...]:
        adjust, reading = (
            Button("Adjust", "this stretch", key=Press(Verb.ADJUST)),
            reading_button(self._floor, hand.batch),
        )
        note = (Button("Note", key=Press(Verb.NOTE)),) if hand.batch is not None else ()
        if not hand.running or hand.step is None or interval.work is WorkKind.REWORK:
            return (*note, *reading, adjust)
        setting_up = interval.work is WorkKind.SETUP
        title = "Now running" if setting_up else "Set-up"
        return (*note, *reading, Button(title, checked=setting_up, key=Press(Verb.SET_UP)), adjust)

    def _ready(self, acts: BenchActs, batch: Batch, step: Step) -> PlateState:
        """Plate of what can be started first, the one big thing to press; above it, who waits for its tool."""
        floor, act = self._floor, acts.start(step)
        usually = self._usual_at(step.stage_id, acts.method_id, batch.pattern_id)
        usual = texts.usual_text(usually, texts.route_us(floor, step))
        each = f"{usual} min {texts.each_text(floor)}" if usual else ""
        going = act.going if act is not None else ()
        held_up = blocked(floor, step, eligible(floor, step, self._now_us), (), self._now_us)
        line = ahead_sentence(floor, held_up, self._now_us) if held_up is not None else ""
        others = theirs(floor, acts.maker_id, step)
        if act is None and others:
            return self._all_theirs(batch, step, others)
        return PlateState(
            mode=acts.hand.mode,
            role="plate",
            title=texts.batch_text(floor, batch),
            line=line or "Ready to start",
            picks=self._picks(step.stage_id, acts.method_id),
            tools=reading_button(floor, batch),
            big=Button(
                start_title(act) if act is not None else f"Start: {step.name}",
                said([counted(floor, "piece", len(going)), *(taken(floor, acts.maker_id, act) if act else ()), each]),
                role="outline",
                why_not="" if act is not None else NO_PIECE,
                key=Press(Verb.START, step.id),
            ),
        )

    def _all_theirs(self, batch: Batch, step: Step, others: Mapping[int, Interval]) -> PlateState:
        """Plate of what another maker has whole under the hands: letters take of it."""
        floor, who = self._floor, name_of_maker(self._floor, next(iter(others.values())).maker_id)
        return PlateState(
            mode=Mode.READY,
            role="plate",
            title=texts.batch_text(floor, batch),
            line=f"{step.name}: {texts.letters_text(floor, others)} in {who}'s hands",
            big=Button(f"Take some: {step.name}", f"from {who}", role="raised", key=Press(Verb.PIECES_PAGE)),
        )

    def _waiting(self, batch: Batch, interval: Interval) -> PlateState:
        """Everything waits: what for, and until when."""
        floor, now_us = self._floor, self._now_us
        load = floor.find(Load, interval.load_id or 0)
        who = in_text(floor, load) if load is not None else texts.letters_text(floor, interval.pieces)
        asks = f"{who}  ·  press to take out{'' if over(floor, interval, now_us) else ' early'}"
        title = f"{texts.name_of(floor, interval)} {texts.wait_text(floor, interval, now_us)}"
        return PlateState(
            mode=Mode.WAITING,
            role="plate",
            title=texts.batch_text(floor, batch),
            line="Nothing to do by hand in this batch now",
            tools=warmth_button(floor, interval),
            big=Button(title, asks, role="raised", key=Press(Verb.OUT, interval.id)),
        )

    def _through(self, batch: Batch) -> PlateState:
        living = self._floor.living(batch.id)
        if any(p.set_aside for p in living):
            line = "What is left is set aside."
        elif living:
            line = f"{counted(self._floor, 'piece', len(living))} through the whole route."
        else:
            line = "No piece is left in it."
        return PlateState(
            mode=Mode.THROUGH,
            role="plate",
            title=texts.batch_text(self._floor, batch),
            line=line,
            big=_close_button(self._floor, batch),
        )

    def _pace(self, step: Step, batch: Batch, interval: Interval) -> tuple[str, float | None]:
        """Return the pace of what is on the plate, and the share of the stage that is done, if that is known.

        One by one, from the second piece done, it is minutes per piece done; else the minutes of the stage in this
        batch out of about as many as it takes.
        """
        if interval.work is WorkKind.REWORK:
            return "", None
        floor, each = self._floor, texts.each_text(self._floor)
        usually = self._usual_at(step.stage_id, interval.method_id, batch.pattern_id)
        rows = [
            row
            for row in piece_labour(floor, batch.id, self._now_us)
            if row.stage_id == step.stage_id and row.work is WorkKind.RUN
        ]
        route_us = texts.route_us(floor, step)
        done_min, each_min = sum(row.us for row in rows) / 60e6, _most_likely(usually, route_us)
        whole_min = each_min * len(floor.living(batch.id)) if each_min is not None else None
        share = min(1.0, done_min / whole_min) if whole_min else None
        said = texts.usual_text(usually, route_us)
        own = [row for row in rows if row.step_id == step.id and row.maker_id == interval.maker_id]
        alone = {piece for step_id, piece in marked_alone(floor, batch.id) if step_id == step.id}
        done = alone & {row.piece_id for row in own}
        if step.one_by_one and len(done) > 1:
            done_us = sum(row.us for row in own if row.piece_id in done)
            parts = [f"{minutes_text(done_us / len(done) / 60e6)} {each} so far", said]
        else:
            of_about = f" of about {whole_min:.0f}" if whole_min is not None else ""
            parts = [f"{done_min:.0f}{of_about} min in this batch", f"{said} {each}" if said else ""]
        return DOT.join(part for part in parts if part), share


def _close_button(floor: ShopFloor, batch: Batch) -> Button:
    """Close a batch whose pieces are all through, and say what becomes of them; else the way to where it is closed."""
    living = floor.living(batch.id)
    if not living or any(p.set_aside for p in living):
        return Button("Close it in Batches", role="raised", key=Press(Verb.TO_BATCHES))
    seconds = sum(p.second for p in living)
    parts = [f"{len(living) - seconds} finished"] if len(living) > seconds else []
    parts += [f"{seconds} seconds" if seconds > 1 else "1 second"] if seconds else []
    return Button(f"Close {batch.name}", ", ".join(parts), role="raised", key=Press(Verb.CLOSE, batch.id))


def _most_likely(usually: Usual | None, route_us: int | None) -> float | None:
    """Return the minutes a piece takes most likely."""
    if usually is not None:
        return usually.median_min if usually.median_min is not None else usually.last_min
    return route_us / 60e6 if route_us else None


def _empty(floor: ShopFloor) -> PlateState:
    """No batch is open: the way to one, or to a first pattern before it."""
    line = "Pattern, how many, go: three presses, and it can be timed here."
    big = Button("Batches", "make a batch", role="primary", key=Press(Verb.TO_BATCHES))
    if all(pattern.put_away for pattern in floor.all(Pattern)):
        line = "A route to begin with, then how many: it can be timed here."
        big = Button("Copy a route", "to begin with", role="primary", key=Press(Verb.TO_ROUTES))
    return PlateState(mode=Mode.EMPTY, role="plate", title="No batch is open", line=line, big=big)


def warmth_button(floor: ShopFloor, wait: Interval) -> tuple[Button, ...]:
    """The way to how warm the shop is, where a wait follows that: a cold shop cures slower."""
    if not cure.can_follow(floor, wait):
        return ()
    now = f"{wait.shop_c:g} °C" if wait.shop_c is not None else "cures slower cold"
    return (Button("Shop's warmth", now, key=Press(Verb.WARMTH, wait.id)),)


def reading_button(floor: ShopFloor, batch: Batch | None) -> tuple[Button, ...]:
    """The way to a reading, where something can be measured in the batch on the plate."""
    if batch is None or not kinds_for(floor, batch) or not floor.living(batch.id):
        return ()
    return (Button("Reading", key=Press(Verb.READING)),)


def with_caution(floor: ShopFloor, plate: PlateState, hand: CurrentWork, opened_us: int, touched_us: int) -> PlateState:
    """Return the plate with its caution, under the pace or in place of the line where there is no clock.

    It stands while what it is about runs for the first time that day, of a wait until the next press; what was shown
    before the window opened is not shown again.
    """
    shown = [c for c in floor.all(CautionShown) if c.at_us >= opened_us]
    if not shown:
        return plate
    interval = hand.interval if hand.running else None
    begun_us = chain(floor, interval)[-1].start_us if interval is not None and interval.kind.attended else None
    caution = next((c.caution for c in reversed(shown) if c.at_us >= touched_us), "")
    if not caution and interval is not None and begun_us is not None:
        own = (c for c in reversed(shown) if c.stage_id == interval.stage_id and c.at_us >= begun_us)
        caution = next((c.caution for c in own), "")
    if plate.big is None:
        return replace(plate, caution=caution)
    return replace(plate, line=caution) if caution and not plate.urgent else plate


def done_here(floor: ShopFloor, hand: CurrentWork) -> frozenset[int]:
    """Return the pieces that are through the step on the plate; of those in hand for rework, those done again."""
    if hand.step is None or hand.batch is None:
        return frozenset()
    there = frozenset(through(floor, hand.batch.id)[hand.step.id])
    if hand.interval is not None and hand.interval.work is WorkKind.REWORK:
        return there.difference(hand.interval.pieces).union(done_again(floor, hand.interval))
    return there


def letters(
    floor: ShopFloor,
    hand: CurrentWork,
    chosen: Collection[int],
    now_us: int,
    offered: tuple[int, str] | None = None,
    verb: Verb = Verb.LETTER,
    *,
    maker_id: int,
) -> tuple[Letter, ...]:
    """Return all pieces of the batch on the plate, each with where it is or goes; `chosen` are those in hand.

    What another than `maker_id` has under the hands says whose it is.

    `offered`: the piece whose letter takes something back for now, and the word for that.
    """
    if hand.batch is None or hand.step is None:
        return ()
    done, held = done_here(floor, hand), held_from(floor, hand.step, now_us)
    others = theirs(floor, maker_id, hand.step)
    words = _words(floor, hand, hand.step) if verb is Verb.LETTER else {}

    def letter(piece: Piece) -> Letter:
        if piece.outcome is not None:
            state, word, brief = "done" if piece.outcome.finished else "lost", texts.ENDED[piece.outcome], ""
        else:
            state = _state(piece, done, chosen, held)
            word, brief = words.get(state, (WORDS[state], ""))
            if state == "out" and piece.id in others:
                word, brief = f"{name_of_maker(floor, others[piece.id].maker_id)}'s", "theirs"
            if piece.second and state != "aside":
                word = f"{word}, 2nd" if word else "2nd"
                brief = f"{brief}, 2nd" if brief else ""
        offers = offered is not None and offered[0] == piece.id
        if offered is not None and offers:
            word, brief = offered[1], ""
        return Letter(piece.mark, state, word, Press(verb, piece.id), offers, brief)

    return tuple(letter(piece) for piece in floor.pieces(hand.batch.id))


def _state(piece: Piece, done: Collection[int], chosen: Collection[int], held: Collection[int]) -> str:
    """Return where a living piece is, as a key of WORDS."""
    if piece.set_aside:
        return "aside"
    if piece.id in done:
        return "done"
    if piece.id in chosen:
        return "in"
    return "away" if piece.id in held else "out"


def _words(floor: ShopFloor, hand: CurrentWork, step: Step) -> dict[str, tuple[str, str]]:
    """Return the words for those in hand and not: what a press on them is about, and in brief where it has a name."""
    if not letters_choose(floor, hand):
        return {"in": ("to go", "")}
    tool = holder(floor, step)
    if hand.running and tool is not None:
        return {"in": (f"in the {tool.name.lower()}", "in"), "out": ("stays out", "")}
    return {"in": ("goes in", ""), "out": ("stays", "")}


def _pieces_button(shown: tuple[Letter, ...]) -> Button | None:
    """Return the one button that stands for all letters: Pieces: 6 of 7, and how many are done."""
    if not shown:
        return None
    living = sum(letter.state != "lost" for letter in shown)
    done = sum(letter.state == "done" for letter in shown)
    key = Press(Verb.PIECES_PAGE, IN_STEAD)
    return Button(f"Pieces: {living} of {len(shown)}", f"{done} through" if done else "", key=key)


def through_of(shown: tuple[Letter, ...]) -> str:
    """Say how many of those that are left are through: 2 of 6; nothing where there are no letters."""
    left = [letter for letter in shown if letter.state != "lost"]
    return f"{sum(letter.state == 'done' for letter in left)} of {len(left)}" if left else ""


def summary(shown: tuple[Letter, ...]) -> str:
    """Say shortly who is in hand and who is through: C–G to go, A, B through."""
    parts: dict[str, list[str]] = {}
    for letter in sorted(shown, key=lambda letter: letter.state == "done"):
        if letter.state in ("in", "done"):
            parts.setdefault(letter.shown if letter.state == "in" else WORDS["done"], []).append(letter.letter)
    return DOT.join(f"{spoken(marks)} {word}" for word, marks in parts.items())
