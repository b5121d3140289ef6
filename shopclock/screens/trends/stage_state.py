"""From a stage's answer, and what the maker chose to look at, to the page that is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.trends.facts import facts
from shopclock.screens.trends.options import options
from shopclock.screens.trends.pictures import picture
from shopclock.screens.trends.pressed import line, review
from shopclock.screens.trends.sentences import more, sentence
from shopclock.screens.trends.sizes import run_minutes
from shopclock.screens.trends.state import StageState, View
from shopclock.screens.trends.tables import full_table
from shopclock.screens.trends.texts import last_text, raised, reason_text, stage_name, usual_text
from shopclock.shop.figures.trend_rows import counts, usual
from shopclock.shop.state.wording import counted, word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.stage_answer import StageAnswer
    from shopclock.screens.trends.shown import Shown
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.state.shop_floor import ShopFloor


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
    own = [row for row in rows if row.stage_id == stage_id]
    newest = max(own, key=lambda row: (counts(row), row.middle_us))
    found = usual(own, stage_id, newest.method_id, None)
    said = ", ".join(part for part in (usual_text(found), last_text(found)) if part)
    name, n = stage_name(floor, stage_id), len({row.batch_id for row in own})
    moment = f"One moment: {counted(floor, 'batch', n)} of {name} are being worked out."
    told = f"{raised(name)} could not be worked out. The record is as it was; its figures are in Review."
    nothing = f"no {word(floor, 'batch').one} counts yet"
    return StageState(sentence=f"{raised(name)}: {said or nothing}.", more="", line=told if failed else moment)
