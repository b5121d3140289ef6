"""From a stage's answer, and what the maker chose to look at, to the page that is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.trends.facts import facts
from shopclock.screens.trends.options import options
from shopclock.screens.trends.pictures import picture, run_minutes
from shopclock.screens.trends.pressed import line, review
from shopclock.screens.trends.sentences import more, sentence
from shopclock.screens.trends.state import StageState, View
from shopclock.screens.trends.tables import full_table
from shopclock.shop.wording import word

if TYPE_CHECKING:
    from shopclock.screens.trends.shown import Shown


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
    piece, batch = word(shown.floor, "piece").one, word(shown.floor, "batch").one
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
