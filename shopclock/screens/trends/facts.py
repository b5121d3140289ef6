"""Facts about an answer: what went in, what was left out and why, the formula, its figures, its source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import CumulativeAverage
from shopclock.analysis.learning.run_chart import BatchAfterBatch
from shopclock.analysis.learning.setup import FittedSetup, PressedSetup
from shopclock.screens.trends.shown import pattern_name, raised, reason_text
from shopclock.screens.trends.state import Fact
from shopclock.shop.state.wording import minutes_text, word

if TYPE_CHECKING:
    from shopclock.analysis.learning.learning import Learning
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
    fit = shown.main.fit
    if isinstance(fit, NoAnswer):
        return (Fact("By count", f"{fit.text(word(shown.floor, 'batch').many).capitalize()}."),)
    firsts = [f"{pattern_name(shown.floor, p)} {minutes_text(m)}" for p, m in fit.first_piece_min.items()]
    return (
        Fact("Formula", "ln(minutes) = level of the pattern + b · ln K. K is where a batch stands in the count: its "
             "exact midpoint [(1/Q) · Σ i^b]^(1/b). Each batch weighs the same."),
        Fact("By count", _rate(shown, fit)),
        Fact(f"First {shown.piece.one}", f"{', '.join(firsts)} min by the curve."),
        *_average(shown),
    )  # fmt: skip


def _rate(shown: Shown, fit: Learning) -> str:
    ends = fit.rate_range
    rate = (
        f"{100 * fit.rate:.1f} % is left when the count doubles (95 %: {100 * ends.low:.1f} to {100 * ends.high:.1f})"
    )
    return (
        f"b = {fit.line.slope:.4f}; {rate}. Spread {100 * fit.line.spread:.1f} %, {fit.line.df} degrees of freedom, "
        f"Student's t. Of ten {word(shown.floor, 'batch').many} eight lie in the band."
    )


def _average(shown: Shown) -> tuple[Fact, ...]:
    found = shown.main.average
    name = "Running average"
    if isinstance(found, CumulativeAverage):
        said = f"{100 * found.rate:.1f} % of the average of all so far is left when the count doubles"
        return (Fact(name, f"{said}. Without a range: neighbouring averages hold the same pieces."),)
    return (Fact(name, f"{found.text(word(shown.floor, 'batch').many).capitalize()}."),)


def _by_date(shown: Shown) -> str:
    found = shown.main.dates
    if isinstance(found, NoAnswer):
        return f"{found.text(word(shown.floor, 'batch').many).capitalize()}."
    trend = found.trend
    ends = "" if found.limits is None else f" (95 %: {found.limits.low:.2f} to {found.limits.high:.2f})"
    exact = "exact" if trend.exact else "normal"
    p = f"= {trend.p:.3f}" if trend.p >= 0.001 else "< 0.001"
    return (
        f"Mann-Kendall S = {trend.s}, n = {trend.n}, p {p} ({exact}, two-sided; a trend at 0.05 or less). "
        f"Sen slope {found.per_year_min:.2f} {shown.a_piece} a year{ends}."
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
    ends = f"{low} to {high} in 19 of 20 drawings of the {word(shown.floor, 'batch').many}"
    where = "out of sight" if found.count is None else f"at {shown.piece.one} {found.count}"
    now = f"{100 * found.now:.0f} % ({100 * found.now_range.low:.0f} to {100 * found.now_range.high:.0f})"
    said = f"They cross {where} ({ends}). Today the later one takes {now} of the earlier one's minutes."
    return (Fact(name.capitalize(), said),)


def _after(shown: Shown) -> tuple[Fact, ...]:
    found = shown.main.after
    if not isinstance(found, BatchAfterBatch):
        return ()
    against = "the curve" if found.by_fit else "the mean of its pattern"
    said = f"ln(actual/expected) against {against}; σ = mean moving range/1.128 = {100 * found.chart.sigma:.1f} %"
    return (Fact("Batch after batch", f"{said}. Beyond 3σ it is said in words."),)


def _setup(shown: Shown) -> str:
    pressed, fitted = shown.main.pressed, shown.main.setup
    batches = word(shown.floor, "batch").many
    if isinstance(pressed, PressedSetup):
        inside = f"; {pressed.inside_run} have it inside run" if pressed.inside_run else ""
        return f"Pressed in {pressed.per_batch.n} {batches}{inside}."
    if isinstance(fitted, FittedSetup):
        used = "" if fitted.usable else ": it can't be told from nothing and is not used"
        return (
            f"Told from the sizes: {fitted.minutes:.1f} min ({fitted.range.low:.1f} to {fitted.range.high:.1f}){used}."
        )
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
        f"{theory}. By date: H. B. Mann 1945, M. G. Kendall 1975, P. K. Sen 1968. "
        "Batch after batch: NIST/SEMATECH e-Handbook 6.3.2.2, Western Electric 1956."
    )
