"""Facts about an answer: what went in, what was left out and why, the formula, its figures, its source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import CumulativeAverage, Learning
from shopclock.analysis.learning.run_chart import BatchAfterBatch
from shopclock.analysis.learning.setup import FittedSetup, PressedSetup
from shopclock.screens.trends.sentences import time_text
from shopclock.screens.trends.shown import pattern_name, raised, reason_text
from shopclock.screens.trends.state import Fact
from shopclock.shop.state.wording import minutes_text, word
from shopclock.shop.values.habits import figure

if TYPE_CHECKING:
    from shopclock.analysis.learning.change import Change
    from shopclock.screens.trends.shown import Shown


def facts(shown: Shown) -> tuple[Fact, ...]:
    """Return what the answers of the main method rest on."""
    found = (
        Fact("Shown", _shown(shown)),
        Fact("Went in", _went_in(shown)),
        *_by_count(shown),
        Fact("By date", _by_date(shown)),
        *_compared(shown),
        *_after(shown),
        Fact("Set-up", _setup(shown)),
        Fact("Sources", _sources(shown)),
    )
    return tuple(fact for fact in found if fact.text)


def _shown(shown: Shown) -> str:
    who = shown.name(shown.main)
    minutes, why = _minutes(shown)
    fit = "the running average of all so far" if shown.choice.average else f"what each {shown.piece.one} takes"
    return f"{raised(who) + '. ' if who else ''}{minutes}{why}. The curve is of {fit}."


def _minutes(shown: Shown) -> tuple[str, str]:
    """Say which minutes the answers are about, and why those."""
    if shown.with_setup:
        return "Run minutes and set-up together", ": some pressed their set-up, others have it inside run"
    if any(lot.setup_us for lot in shown.main.chosen.lots):
        return "Run minutes alone", ""
    # On shops with set-up inside run the interval holds the rate of both in 97 to 99 of 100, of run alone in 87.
    return "Run minutes", "; set-up was not pressed, so any there was is in them and the change is that of both"


def _went_in(shown: Shown) -> str:
    """Say how many batches, and how many were left out and why."""
    chosen, lots, floor = shown.main.chosen, shown.main.trend.lots, shown.floor
    batches = word(floor, "batch").many
    n = sum(lot.pieces for lot in chosen.lots)
    out = ", ".join(f"{reason_text(floor, reason)} ({n})" for reason, n in chosen.left_out)
    said = f"Left out: {out}. They count as made all the same." if out else "None was left out."
    pieces, noted = shown.piece.one if n == 1 else shown.piece.many, sum(lot.from_notes for lot in chosen.lots)
    notes = f", {noted} from notes" if noted else ""
    return f"{len(chosen.lots)} of {len(lots)} {batches}{notes}, {n} {pieces}. {said}"


def _by_count(shown: Shown) -> tuple[Fact, ...]:
    found, fit, batches = shown.main.change, shown.main.fit, word(shown.floor, "batch").many
    if isinstance(found, NoAnswer):
        return (Fact("By count", f"{found.text(batches).capitalize()}."),)
    own = (Fact("This stage alone", _rate(fit)), *_firsts(shown, fit)) if isinstance(fit, Learning) else ()
    return (
        Fact("Formula", "ln(minutes) = level of the pattern + b · ln K. K is where a batch stands in the count: its "
             "exact midpoint [(1/Q) · Σ i^b]^(1/b). Each batch weighs the same."),
        Fact("Verdict", _verdict(found)),
        Fact("Next batch", "One model of all stages, patterns and methods of the shop: a stage borrows from the others "
             "what it doesn't tell by itself. The curve and its band are its own; of ten "
             f"{batches} eight lie in the band."),
        *own,
        *_average(shown),
    )  # fmt: skip


def _verdict(found: Change) -> str:
    ends = f"{figure(100 * found.rates.low)} to {figure(min(100 * found.rates.high, 9999))}"
    return (
        f"{figure(100 * found.rate)} % is left when the count doubles; of this stage alone 95 %: {ends}, "
        f"p {_p(found.p)}. Spread and likeness of neighbours are pooled over the shop; no belief about slopes. "
        "Said only if it holds with any one batch left out (90 %, one side)."
    )


def _p(p: float) -> str:
    return f"= {figure(p, 3)}" if p >= 0.001 else "< 0.001"


def _firsts(shown: Shown, fit: Learning) -> tuple[Fact, ...]:
    firsts = [f"{pattern_name(shown.floor, p)} {minutes_text(m)}" for p, m in fit.first_piece_min.items()]
    return (Fact(f"First {shown.piece.one}", f"{', '.join(firsts)} min by the curve of this stage alone."),)


def _rate(fit: Learning) -> str:
    ends = fit.rate_range
    rate = (
        f"{figure(100 * fit.rate)} % is left when the count doubles (95 %: {figure(100 * ends.low)} to "
        f"{figure(min(100 * ends.high, 9999))})"
    )
    spread = f"Spread {figure(100 * fit.line.spread)} %, Student's t of {fit.line.df}."
    return f"b = {figure(fit.line.slope, 4)}; {rate}. {spread}"


def _average(shown: Shown) -> tuple[Fact, ...]:
    found = shown.main.average
    name = "Running average"
    if isinstance(found, CumulativeAverage):
        said = f"{figure(100 * found.rate)} % of the average of all so far is left when the count doubles"
        return (Fact(name, f"{said}. Without a range: neighbouring averages hold the same pieces."),)
    return (Fact(name, f"{found.text(word(shown.floor, 'batch').many).capitalize()}."),)


def _by_date(shown: Shown) -> str:
    found = shown.main.dates
    if isinstance(found, NoAnswer):
        return f"{found.text(word(shown.floor, 'batch').many).capitalize()}."
    trend, ends = found.trend, found.ratios
    sure = "" if ends is None else f" (95 %: {100 * ends.low:.0f} to {100 * ends.high:.0f})"
    return (
        f"Mann-Kendall within each pattern, summed: S = {trend.s}, n = {trend.n}, p {_p(trend.p)} "
        f"({'exact' if trend.exact else 'normal'}, two-sided; a trend at 0.05 or less). Sen slope over the pairs "
        f"within patterns: {100 * found.ratio:.0f} % is left after {time_text(found.at_us[-1] - found.at_us[0])}{sure}."
    )


def _compared(shown: Shown) -> tuple[Fact, ...]:
    found, pair = shown.answer.comparison, shown.answer.compared
    if found is None or pair is None:
        return ()
    name = " and ".join(shown.name(shown.answer.methods[i]) for i in pair)
    if isinstance(found, NoAnswer):
        return (Fact(name.capitalize(), f"{found.text(word(shown.floor, 'batch').many).capitalize()}."),)
    low = "out of sight" if found.low is None else str(found.low)
    high = "out of sight" if found.high is None else str(found.high)
    ends = f"{low} to {high}, 19 times in 20"
    where = "out of sight" if found.count is None else f"at {shown.piece.one} {found.count}"
    now = f"{100 * found.now:.0f} % ({100 * found.now_range.low:.0f} to {100 * found.now_range.high:.0f})"
    said = f"They cross {where} ({ends}). Today the later one takes {now} of the earlier one's minutes."
    return (Fact(name.capitalize(), said),)


def _after(shown: Shown) -> tuple[Fact, ...]:
    found = shown.main.after
    if not isinstance(found, BatchAfterBatch):
        return ()
    said = (
        "Each against the line of all the others (deleted residual), so that none widens its own bar; spread pooled "
        "over the shop by the middle of its residuals; beyond p < 0.05/n it is said in words"
    )
    return (Fact("Batch after batch", f"{said}. False alarms: about one in twenty charts."),)


def _setup(shown: Shown) -> str:
    pressed, fitted = shown.main.pressed, shown.main.setup
    batches = word(shown.floor, "batch").many
    if isinstance(pressed, PressedSetup):
        inside = f"; {pressed.inside_run} have it inside run" if pressed.inside_run else ""
        return f"Pressed in {pressed.per_batch.n} {batches}{inside}."
    if isinstance(fitted, FittedSetup):
        used = "" if fitted.usable else ": it can't be told from nothing and is not used"
        ends = f"{figure(fitted.range.low)} to {figure(fitted.range.high)}"
        return f"Told from the sizes: {figure(fitted.minutes)} min ({ends}){used}."
    if isinstance(fitted, NoAnswer):
        return f"Not pressed. {fitted.text(batches).capitalize()}."
    return ""


def _sources(shown: Shown) -> str:
    theory = (
        "Cumulative average: T. P. Wright 1936"
        if shown.choice.average
        else "Unit theory: J. R. Crawford; lots with the exact midpoint, as cost estimators take them"
    )
    return (
        f"{theory}. By date: H. B. Mann 1945, M. G. Kendall 1975, P. K. Sen 1968, R. M. Hirsch et al. 1982. Pooled "
        "spread: G. K. Smyth 2004. Words in the table of stages: Y. Benjamini and Y. Hochberg 1995."
    )
