"""The kinds of work that the shop has, and how many were made at each before timing began."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Protocol, Unpack

from shopclock.screens.paged.described import PageAbout
from shopclock.screens.readings.kinds_page import kinds_said, reading_kinds_page
from shopclock.screens.shop.pages.lists import methods_of, methods_page, methods_said, new_name, set_away
from shopclock.screens.shop.texts import KINDS, WORKED
from shopclock.shop.figures.made_before import pieces_before, set_made_before
from shopclock.shop.setup.list_edit import add_stage, change_stage
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Stage
from shopclock.shop.work.makers import FIRST, makers, name_of_maker, several
from shopclock.views.field import Name, Number, choice, options
from shopclock.views.page import PageContent, TextLine, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.setup.list_edit import StageFields
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Method, RouteStep
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

WHICH = {"piece": ("Work on pieces", "a step of routes"), "shop": ("Shop work", "sweeping, post: for no piece")}
NOTE = "Those you made before the first that was timed here; 0 when it was your first."


class Change(Protocol):
    """Takes the new value of a field of a stage or a step; `said` is the value in words."""

    def __call__(self, said: str, **fields: Unpack[StageFields]) -> None:
        """Press it."""


def working(thing: Stage | RouteStep, change: Change) -> list[Action]:
    """The fields of who is needed and how it is worked."""
    return [
        choice(
            "kind",
            "Who is needed",
            f"Who is needed for {thing.name}",
            KINDS,
            thing.kind,
            lambda kind: change(KINDS[kind][0], kind=kind),
        ),
        choice(
            "worked",
            "How it is worked",
            f"How is {thing.name} worked",
            WORKED,
            thing.one_by_one,
            lambda one: change(WORKED[one][0], one_by_one=one),
        ),
    ]


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
            item("before", before, lambda: _ask_whole(stack)),
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
    name = yield from Name(f"Name of the {word(stack.floor, 'stage').one}")
    return stack.make(
        f"Added {name}",
        lambda tx: add_stage(tx, name, shop_work=which == "shop"),
        lambda stage: PageAbout(stack, stage, stage_page),
    )


def stage_page(stack: PagedPresenter, stage: Stage) -> PageContent:
    """One stage. What is set here is where a new step of it begins; steps that there are stay as they are."""

    def change(said: str, **fields: Unpack[StageFields]) -> None:
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


def before_said(floor: ShopFloor, stage: Stage) -> str:
    """Number of those that were made before at a stage, by whatever method and whatever maker, in words."""
    ways = (None, *methods_of(floor, stage))
    return counted(floor, "piece", sum(pieces_before(floor, stage, way) for way in ways))


def _ask_whole(stack: PagedPresenter) -> Asking[None]:
    """Ask how many whole pieces were made before; whose they are first, where there are several makers."""
    floor, maker_id = stack.floor, 0
    if several(floor):
        question = f"Whole {word(floor, 'piece').many} made before timing began: whose"
        before = {m: counted(floor, "piece", pieces_before(floor, None, None, m.id)) for m in makers(floor)}
        maker_id = yield from options(question, {m.id: (m.name or FIRST, said) for m, said in before.items()}, 0)
    yield from _ask_before(stack, None, None, maker_id or None)


def _ask_before(
    stack: PagedPresenter, stage: Stage | None, method: Method | None, maker_id: int | None
) -> Asking[None]:
    """Ask how many were made before at a stage by a method; without a stage, how many whole pieces.

    `maker_id`: whose they are, nothing where there is one maker.
    """
    floor = stack.floor
    whose = name_of_maker(floor, maker_id) if maker_id is not None else ""
    what = [stage.name] if stage else [f"Whole {word(floor, 'piece').many}"]
    named = ", ".join([*what, *([method.name] if method else []), *([whose] if whose else [])])
    begins = "made before timing began"
    question = f"{named}: {begins}" if stage or whose else f"{named} {begins}"
    typed = yield from Number(question, str(pieces_before(floor, stage, method, maker_id)), note=NOTE)
    said = f"Made before: {typed}, {whose}" if whose else f"Made before: {typed}"
    stack.do(said, lambda tx: set_made_before(tx, stage, method, typed, maker_id))


def made_before_page(stack: PagedPresenter, stage: Stage) -> PageContent:
    """A stage's methods, each with what was made by it before; one number for a stage without methods.

    A number for each maker where there are several. Methods that were put away are there too: they have their history.
    """
    floor = stack.floor
    ways: list[Method | None] = [*methods_of(floor, stage)]
    whose = [maker.id for maker in makers(floor)] if several(floor) else [None]
    return PageContent(
        f"Made before timing began: {stage.name}",
        ["Practice counts from your first, timed or not. Trends begin their count here."],
        [_way(stack, stage, method, maker_id) for method in ways or [None] for maker_id in whose],
    )


def _way(stack: PagedPresenter, stage: Stage, method: Method | None, maker_id: int | None) -> Action:
    floor = stack.floor
    title = method.name if method else stage.name
    said = counted(floor, "piece", pieces_before(floor, stage, method, maker_id))
    return item(
        f"before {method.id if method else 0} {maker_id or 0}",
        f"{title}, {name_of_maker(floor, maker_id)}" if maker_id is not None else title,
        lambda: _ask_before(stack, stage, method, maker_id),
        detail=said,
    )
