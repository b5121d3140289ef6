"""Makers: the pairs of hands of the shop, what each is called and does."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import PageAbout
from shopclock.shop.setup.week import hours_of
from shopclock.shop.state.wording import length_text, word
from shopclock.shop.values.entities import Maker, Stage
from shopclock.shop.values.names import names_said
from shopclock.shop.work.makers import (
    FIRST,
    add_maker,
    does,
    makers,
    put_maker_away,
    rename_maker,
    set_does,
    several,
    stages_of,
)
from shopclock.views.field import Name, field
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MINUTE_US = 60_000_000


def makers_said(floor: ShopFloor) -> str:
    """Say who the makers are: one pair of hands, Ann, Sam."""
    return names_said([m.name or FIRST for m in makers(floor)], "makers") if several(floor) else "one pair of hands"


def makers_page(stack: PagedPresenter) -> PageContent:
    """Every maker, those put away last."""
    floor = stack.floor
    shown = sorted(floor.all(Maker), key=lambda maker: maker.put_away)
    lines = ["Minutes and trends are kept apart by maker: skill does not travel. At the Bench each has a half."]
    if not several(floor):
        lines = ["A second pair of hands has a clock of its own, on half of the Bench. For one alone nothing changes."]
    return PageContent(
        "Makers",
        lines,
        [_tile(stack, maker) for maker in shown] if several(floor) else [],
        [item("add", "Add a maker", lambda: _add(stack), role="primary")],
    )


def _tile(stack: PagedPresenter, maker: Maker) -> Action:
    said = "put away" if maker.put_away else does_said(stack.floor, maker)
    role = "raised" if maker.put_away else "plate"
    return item(
        f"maker {maker.id}", maker.name or FIRST, lambda: PageAbout(stack, maker, _maker_page), detail=said, role=role
    )


def does_said(floor: ShopFloor, maker: Maker) -> str:
    """Say what a maker does: all stages, or how many of them."""
    every, own = [s for s in floor.all(Stage) if not s.put_away and not s.shop_work], stages_of(floor, maker)
    names = word(floor, "stage").many
    return f"does {len(own & {s.id for s in every})} of {len(every)} {names}" if own else f"does all {names}"


def _maker_page(stack: PagedPresenter, maker: Maker) -> PageContent:
    floor, name = stack.floor, maker.name or FIRST
    minutes = sum(hours.to_min - hours.from_min for hours in hours_of(floor, maker.id))
    none = f"No hours are planned: the plan leaves {name} out"
    hours = f"{length_text(minutes * MINUTE_US)} a week are planned" if minutes else none
    away = "Bring back" if maker.put_away else "Put away"

    def rename(said: str) -> object:
        return stack.do(f"Name: {said}", lambda tx: rename_maker(tx, maker, said))

    def put() -> object:
        what = f"Brought back: {name}" if maker.put_away else f"Put away: {name}"
        return stack.do(what, lambda tx: put_maker_away(tx, maker, away=not maker.put_away))

    names = word(floor, "stage").many.capitalize()
    return PageContent(
        name,
        [f"{hours}. Hours are made in Plan."],
        [
            field("name", "Name", name, Name(f"Another name for {name}", maker.name), rename),
            item("stages", names, lambda: PageAbout(stack, maker, _stages_page), detail=does_said(floor, maker)),
            item("away", away, put, detail="what was worked stays", role="raised"),
        ],
    )


def _stages_page(stack: PagedPresenter, maker: Maker) -> PageContent:
    """All stages; a press says that a maker does one, or not."""
    floor = stack.floor
    every = [s for s in floor.all(Stage) if not s.put_away and not s.shop_work]

    def tile(stage: Stage) -> Action:
        now = does(floor, maker, stage.id)
        what = f"{maker.name or FIRST} {'does not do' if now else 'does'} {stage.name}"
        rule = partial(set_does, maker=maker, stage=stage, wanted=not now)
        return item(
            f"stage {stage.id}",
            stage.name,
            lambda: stack.do(what, rule),
            detail="does it" if now else "does not do it",
            checked=now,
        )

    return PageContent(
        f"What {maker.name or FIRST} does", ["The plan gives work to who does it."], [tile(stage) for stage in every]
    )


def _add(stack: PagedPresenter) -> Asking[None]:
    """Ask for the name; the first time for the first maker's own as well."""
    floor, first = stack.floor, ""
    if not several(floor) and not next(iter(makers(floor))).name:
        first = yield from Name("Your own name, to tell your work apart")
    name = yield from Name("Name of the maker who comes")
    stack.do(f"Added {name}", lambda tx: add_maker(tx, name, stack.record.bench, first))
