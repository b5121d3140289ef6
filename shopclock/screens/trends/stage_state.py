"""Page of a stage, from its answer and what the maker chose to look at."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from shopclock.analysis.learning.learning import CumulativeAverage, Unfit, lot_minutes
from shopclock.analysis.learning.run_chart import BatchAfterBatch
from shopclock.screens.trends.facts import facts
from shopclock.screens.trends.pictures import picture
from shopclock.screens.trends.sentences import more, sentence
from shopclock.screens.trends.shown import (
    batch_name,
    date_text,
    last_text,
    lot_key,
    pattern_name,
    point_text,
    raised,
    reason_text,
    stage_name,
    used,
    usual_text,
)
from shopclock.screens.trends.sizes import run_minutes
from shopclock.screens.trends.state import StageState, Table, TableColumn, TableRow, TrendChoice, View
from shopclock.shop.figures.trend_rows import LeftOut, usual_lately
from shopclock.shop.state.wording import MINUTE_US, counted, minutes_text, word
from shopclock.shop.values.habits import figure

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.run_chart import RunPoint
    from shopclock.analysis.learning.stage_answer import MethodAnswer, StageAnswer
    from shopclock.analysis.learning.stage_trend import Lot
    from shopclock.screens.trends.shown import Shown
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.state.shop_floor import ShopFloor

Cells = tuple[tuple[TableColumn, str], ...]
"""One row: each column with its text."""


def full_table(shown: Shown) -> Table:
    """Return all there is to say of each batch at a stage, newest first."""
    pairs = [(lot, method) for method in shown.answer.methods for lot in method.trend.lots]
    pairs.sort(key=lambda pair: -pair[0].number)
    lines = [(_full(shown, method, lot), lot, method) for lot, method in pairs]
    columns = tuple(column for column, _ in lines[0][0]) if lines else ()
    rows = tuple(
        TableRow(tuple(text for _, text in line), shown.mark(method)[0], quiet=lot.batch_id not in used(method))
        for line, lot, method in lines
    )
    return Table(columns, rows)


def _full(shown: Shown, method: MethodAnswer, lot: Lot) -> Cells:
    floor = shown.floor
    named = (TableColumn("Method", marked=True), shown.name(method))
    has_methods = any(m.trend.method_id is not None for m in shown.answer.methods)
    noted = any(one.from_notes for m in shown.answer.methods for one in m.trend.lots)
    with_setup = (TableColumn("With set-up", figures=True), minutes_text(lot_minutes(lot, with_setup=True)))
    return (
        (TableColumn(word(floor, "batch").one.capitalize()), batch_name(floor, lot)),
        (TableColumn("Pattern"), pattern_name(floor, lot.pattern_id)),
        (TableColumn("Date"), date_text(floor, lot.at_us)),
        *([named] if has_methods else []),
        (TableColumn(shown.piece.many.capitalize(), figures=True), str(lot.pieces)),
        (TableColumn("Count", figures=True), count_text(lot)),
        (TableColumn(shown.a_piece.capitalize(), figures=True), minutes_text(lot.minutes)),
        *([with_setup] if shown.with_setup else []),
        (TableColumn("Expected", figures=True), minutes_text(_expected(method, lot))),
        (TableColumn("Set-up", figures=True), _or_dash(lot.setup_us)),
        (TableColumn("Rework", figures=True), _or_dash(lot.rework_us)),
        *([(TableColumn("From"), "notes" if lot.from_notes else "presses")] if noted else []),
        (TableColumn("Left out"), _why_left_out(shown, method, lot)),
    )


def _expected(method: MethodAnswer, lot: Lot) -> float | None:
    dots = method.after.dots if isinstance(method.after, BatchAfterBatch) else ()
    return next((dot.expected for dot in dots if dot.lot.batch_id == lot.batch_id), None)


def _why_left_out(shown: Shown, method: MethodAnswer, lot: Lot) -> str:
    if lot.left_out is not None:
        return reason_text(shown.floor, lot.left_out)
    if lot.batch_id in used(method):
        return ""
    return reason_text(shown.floor, Unfit.NO_TIME)


def count_text(lot: Lot) -> str:
    """Say F to L: 31 to 37."""
    return f"{lot.first_piece} to {lot.last_piece}" if lot.pieces > 1 else str(lot.last_piece)


def _or_dash(length_us: int) -> str:
    """Say minutes; where none was pressed they are inside the run, not 0."""
    return minutes_text(length_us / MINUTE_US if length_us else None)


T = TypeVar("T")


def options(shown: Shown) -> tuple[tuple[str, str], ...]:
    """Return what else the view in sight can bring: another count, another pattern, another method, another curve."""
    choice, found = shown.choice, []
    view = choice.view
    if view is View.COUNT and len(shown.answer.methods) > 1 and not choice.average:
        found.append(("own", "on one count" if choice.own_counts else "each on its own"))
    if view in (View.COUNT, View.DATES) and len(shown.patterns) > 1:
        found.append(("pattern", f"as {pattern_name(shown.floor, _after(shown.patterns, shown.pattern_id))}"))
    if view is View.HOW and isinstance(shown.main.average, CumulativeAverage):
        found.append(("average", "by each piece" if choice.average else "by the running average"))
    if view is not View.TABLE and len(shown.named) > 1 and not shown.main.trend.mixed:
        found.append(("method", f"about {shown.name(_after(shown.named, shown.main))}"))
    return tuple(found)


def after_press(shown: Shown, key: str) -> TrendChoice:
    """Return what is chosen after a press on one of them; the same as before where it isn't offered."""
    choice = shown.choice
    if key not in dict(options(shown)):
        return choice
    if key == "own":
        return replace(choice, own_counts=not choice.own_counts)
    if key == "average":
        return replace(choice, average=not choice.average, view=View.COUNT)
    if key == "pattern":
        return replace(choice, pattern_id=_after(shown.patterns, shown.pattern_id))
    method = _after(shown.named, shown.main)
    return replace(choice, method=shown.answer.methods.index(method), average=False)


def _after(round_: Sequence[T], one: T) -> T:
    """Return the next in a round."""
    return round_[(round_.index(one) + 1) % len(round_)]


WITH_MARKS = (View.COUNT, View.DATES, View.AFTER)
"""The views in which a batch can be pressed."""


def line(shown: Shown, *, drawn: bool) -> str:
    """Say what the pressed mark is; else how to press one, and what was left out and why."""
    if drawn and shown.choice.view not in WITH_MARKS:
        return ""
    chosen = chosen_lot(shown)
    if chosen is not None:
        return _told(shown, *chosen)
    told = " ".join(filter(None, (left_out(shown), from_notes(shown))))
    return told or f"Press a mark to see which {word(shown.floor, 'batch').one} it is." if drawn else ""


def review(shown: Shown) -> str:
    """Offer the Review of the batch whose mark was pressed."""
    chosen = chosen_lot(shown)
    return f"Review {batch_name(shown.floor, chosen[1])}" if chosen else ""


def chosen_lot(shown: Shown) -> tuple[MethodAnswer, Lot] | None:
    """Return the lot whose mark was pressed, in a view that has marks."""
    if shown.choice.view not in WITH_MARKS:
        return None
    pairs = ((method, lot) for method in shown.answer.methods for lot in method.trend.lots)
    return next((pair for pair in pairs if lot_key(*pair) == shown.choice.key), None)


def left_out(shown: Shown) -> str:
    """Say how many batches were left out and why: 2 batches left out: not all blades through (1), …; nothing if none.

    A batch counts once for each method that it was worked by.
    """
    out: Counter[LeftOut | Unfit] = Counter()
    for method in shown.answer.methods:
        out.update(dict(method.chosen.left_out))
    out += Counter({LeftOut.NONE_FINISHED: dict(shown.answer.trend.left_out).get(LeftOut.NONE_FINISHED, 0)})
    if not out:
        return ""
    reasons = [(reason_text(shown.floor, reason), n) for reason, n in out.items()]
    why = reasons[0][0] if len(reasons) == 1 else ", ".join(f"{text} ({n})" for text, n in reasons)
    return f"{counted(shown.floor, 'batch', out.total())} left out: {why}."


def from_notes(shown: Shown) -> str:
    """Say how many of the batches that went in are from old notes; nothing if none."""
    noted = {lot.batch_id for method in shown.answer.methods for lot in method.chosen.lots if lot.from_notes}
    if not noted:
        return ""
    return f"{counted(shown.floor, 'batch', len(noted))} {'is' if len(noted) == 1 else 'are'} from notes."


def said_of(shown: Shown, key: str) -> str:
    """Say which batch a mark is; nothing for a mark that is no batch."""
    pairs = ((method, lot) for method in shown.answer.methods for lot in method.trend.lots)
    found = next(((method, lot) for method, lot in pairs if lot_key(method, lot) == key), None)
    return _told(shown, *found) if found is not None else ""


def _told(shown: Shown, method: MethodAnswer, lot: Lot) -> str:
    found = shown.main.after
    dots = found.dots if shown.choice.view is View.AFTER and isinstance(found, BatchAfterBatch) else ()
    dot = next((dot for dot in dots if dot.lot == lot), None)
    if dot is not None:
        return _dot_text(shown, dot)
    return point_text(shown.floor, lot, shown.name(method), shown.piece) + _brought(shown, method, lot)


def _dot_text(shown: Shown, dot: RunPoint) -> str:
    floor, setup = shown.floor, ", set-up in it" if shown.with_setup else ""
    who = f"{batch_name(floor, dot.lot)}, {pattern_name(floor, dot.lot.pattern_id)}, {date_text(floor, dot.lot.at_us)}"
    ends = f"{figure(dot.limits.low)} to {figure(dot.limits.high)}"
    return f"{who}: {figure(dot.minutes)} {shown.a_piece}{setup}; expected {ends}."


def _brought(shown: Shown, method: MethodAnswer, lot: Lot) -> str:
    """Say where the mark stands, where that isn't what was timed: brought to another pattern, or with set-up."""
    at, pattern = shown.minutes(method, lot), shown.pattern_of(method)
    if abs(at - lot.minutes) < 0.05:
        return ""
    setup = "with set-up" if shown.with_setup and lot.setup_us else ""
    brought = f"as {pattern_name(shown.floor, pattern)}" if pattern != lot.pattern_id else ""
    how = ", ".join(part for part in (brought, setup) if part)
    return f" {how[:1].upper()}{how[1:]}: {figure(at)}."


def stage_state(shown: Shown) -> StageState:
    """Return the page of a stage."""
    view = shown.choice.view
    drawn = picture(shown)
    return StageState(
        sentence=sentence(shown),
        more=more(shown),
        view=view,
        views=views(shown),
        picture=drawn,
        table=full_table(shown) if view is View.TABLE else None,
        facts=facts(shown) if view is View.HOW else (),
        line=line(shown, drawn=drawn is not None),
        review=review(shown),
        options=options(shown),
    )


def views(shown: Shown) -> tuple[tuple[View, str], ...]:
    """Return the ways to look at a stage, in the words of their buttons; by set-up only where it is known."""
    piece, batch = shown.piece.one, word(shown.floor, "batch").one
    words = {
        View.COUNT: f"by {piece} count",
        View.DATES: "by date",
        View.AFTER: f"{batch} after {batch}",
        View.SIZES: "set-up",
        View.TABLE: "as a table",
        View.HOW: "how this was worked out",
    }
    hidden = () if run_minutes(shown) is not None else (View.SIZES,)
    return tuple((view, text) for view, text in words.items() if view not in hidden)


def none_counts(floor: ShopFloor, answer: StageAnswer) -> StageState:
    """Say that no batch has anything to be measured: all of them lost all their pieces."""
    batch, name = word(floor, "batch"), raised(stage_name(floor, answer.trend.stage_id))
    why = ", ".join(f"{reason_text(floor, reason)} ({n})" for reason, n in answer.trend.left_out)
    return StageState(sentence=f"{name}: no {batch.one} counts yet.", more="", line=f"Left out: {why}.")


def chart_name(shown: Shown) -> str:
    """Name the chart in sight: Grind bevels by blade count."""
    return f"{raised(shown.stage)} {dict(views(shown)).get(shown.choice.view, '')}".strip()


def waiting(floor: ShopFloor, stage_id: int, rows: Sequence[TrendRow], *, failed: bool) -> StageState:
    """Return the first answer at once: what is usual, and that the rest is being worked out."""
    _, found = usual_lately(rows, stage_id)
    said = ", ".join(part for part in (usual_text(found), last_text(found)) if part)
    name, n = stage_name(floor, stage_id), len({row.batch_id for row in rows if row.stage_id == stage_id})
    moment = f"One moment: {counted(floor, 'batch', n)} of {name} are being worked out."
    told = f"{raised(name)} could not be worked out. The record is as it was; its figures are in Review."
    nothing = f"no {word(floor, 'batch').one} counts yet"
    return StageState(sentence=f"{raised(name)}: {said or nothing}.", more="", line=told if failed else moment)
