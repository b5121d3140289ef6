"""The kinds of work that the shop has."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from shopclock.screens.paged.described import PageAbout
from shopclock.screens.readings.kinds_page import kinds_said, reading_kinds_page
from shopclock.screens.shop.fields import new_name, set_away, working
from shopclock.screens.shop.pages.made_before import ask_before, before_said, made_before_page
from shopclock.screens.shop.pages.methods import methods_page, methods_said
from shopclock.screens.shop.texts import KINDS
from shopclock.shop.setup.list_edit import add_stage, change_stage
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Stage
from shopclock.views.field import Text, options
from shopclock.views.page import PageContent, TextLine, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

WHICH = {"piece": ("Work on pieces", "a step of routes"), "shop": ("Shop work", "sweeping, post: for no piece")}


def stages_page(stack: PagedPresenter) -> PageContent:
    """Every stage by name, in the shop's own word; shop work and those put away last."""
    floor, called = stack.floor, word(stack.floor, "stage")
    stages = sorted(floor.all(Stage), key=lambda s: (s.put_away, s.shop_work, s.name.casefold()))
    before = f"Whole {word(floor, 'piece').many} made before"
    return PageContent(
        called.many.capitalize(),
        ["Each keeps its history under any name."],
        [_stage(stack, stage) for stage in stages],
        [
            item("add", f"New {called.one}", lambda: _new(stack), role="primary"),
            item("before", before, lambda: ask_before(stack, None, None)),
        ],
    )


def _stage(stack: PagedPresenter, stage: Stage) -> Action:
    said, methods = KINDS[stage.kind][0].casefold(), methods_said(stack.floor, stage)
    detail = "shop work" if stage.shop_work else said if methods == "none" else f"{said} · {methods}"
    return item(
        f"stage {stage.id}",
        stage.name,
        lambda: PageAbout(stack, stage, stage_page),
        detail="put away" if stage.put_away else detail,
        role="raised" if stage.put_away else "plate",
    )


def _new(stack: PagedPresenter) -> Asking[object]:
    which = yield from options("What kind of work", WHICH, "")
    name = yield from Text(f"Name of the {word(stack.floor, 'stage').one}")
    return stack.make(
        f"Added {name}",
        lambda tx: add_stage(tx, name, shop_work=which == "shop"),
        lambda stage: PageAbout(stack, stage, stage_page),
    )


def stage_page(stack: PagedPresenter, stage: Stage) -> PageContent:
    """One stage. What is set here is where a new step of it begins; steps that there are stay as they are."""

    def change(said: str, **fields: Any) -> None:
        stack.do(f"{stage.name}: {said}", lambda tx: change_stage(tx, stage, **fields))

    about = {
        "methods": ("Methods", methods_said(stack.floor, stage), methods_page),
        "readings": ("Readings", kinds_said(stack.floor, stage), reading_kinds_page),
        "before": ("Made before timing began", before_said(stack.floor, stage), made_before_page),
    }
    worked = [
        *working(stage, change),
        *(
            item(key, title, partial(PageAbout, stack, stage, page), detail=said)
            for key, (title, said, page) in about.items()
        ),
    ]
    away = "Bring back" if stage.put_away else "Put away"
    lines = [
        TextLine("Shop work belongs to no piece." if stage.shop_work else "New steps begin so; steps in routes stay.")
    ]
    if stage.caution:
        lines.append(TextLine(stage.caution, "straw"))
    return PageContent(
        stage.name,
        lines,
        [
            item("name", "Name", lambda: new_name(stack, stage), detail=stage.name),
            *([] if stage.shop_work else worked),
            item("away", away, lambda: set_away(stack, stage), detail="its history stays", role="raised"),
        ],
    )
