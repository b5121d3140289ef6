"""One step of a route, and what can be changed on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Unpack

from shopclock.screens.paged.described import PageAbout
from shopclock.screens.shop.pages.lists import held, methods_page, methods_said
from shopclock.screens.shop.pages.stages import working
from shopclock.screens.shop.texts import LEAFLET, US, length_said, practice_said, step_said
from shopclock.shop.routes import cure
from shopclock.shop.routes.starter_route import tidy
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.setup.route_edit import change_step, move_step, remove_step, rename_step, repeat_step, set_tool
from shopclock.shop.values.entities import Pattern, RouteStep, Stage, Tool
from shopclock.shop.values.kinds import Kind
from shopclock.views.dialogs import Choice
from shopclock.views.field import Name, Number, Text, choose, field, length
from shopclock.views.page import Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.setup.list_edit import StageFields
    from shopclock.shop.setup.route_edit import StepFields
    from shopclock.shop.state.transaction import Transaction
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

BEGINS = ((Choice("press", "By a press"), False), (Choice("itself", "By itself", "when the step before it ends"), True))


class StepPage(Page):
    """A step of a pattern's route. A change may make a new version; the page follows the step into it."""

    def __init__(self, stack: PagedPresenter, pattern: Pattern, step: RouteStep) -> None:
        self._stack = stack
        self._pattern = pattern
        self._step = step

    def content(self) -> PageContent | None:
        """Fields, then its place in the route; nothing once it is no longer in the newest version of it."""
        floor = self._stack.floor
        pattern = floor.find(Pattern, self._pattern.id)
        steps = route_steps(floor, newest_route(floor, pattern)) if pattern is not None else ()
        step = next((step for step in steps if step.id == self._step.id), None)
        if pattern is None or step is None:
            return None
        self._pattern, self._step = pattern, step
        stage = floor.get(Stage, step.stage_id)
        of = f"{pattern.name} · {step_said(step)}"
        lines = [TextLine(of if stage.name == step.name else f"{of} · its minutes go to {stage.name}")]
        if step.caution:
            lines.append(TextLine(step.caution, "straw"))
        if cure.span(step) is not None:
            lines.append(TextLine(LEAFLET, "straw"))
        methods = item(
            "methods", "Methods", lambda: PageAbout(self._stack, stage, methods_page), detail=methods_said(floor, stage)
        )
        tiles = [*self._working(step), *self._waiting(step), *self._with(step), methods, *self._place(step, len(steps))]
        return PageContent(f"Step {step.position + 1}: {step.name}", lines, tiles)

    def _working(self, step: RouteStep) -> list[Action]:
        def rename(name: str) -> None:
            self._do(f"Name: {name}", lambda tx: rename_step(tx, self._pattern, step, name))

        def change(said: str, **fields: Unpack[StageFields]) -> None:
            self._change(said.casefold(), **fields)

        return [field("name", "Name", step.name, Name("Name of the step", step.name), rename), *working(step, change)]

    def _waiting(self, step: RouteStep) -> list[Action]:
        def last(length_s: int | None) -> None:
            self._change("length" if length_s else "no length", wait_us=length_s * US if length_s else None)

        def begin(by_itself: bool) -> None:
            self._change("begins by itself" if by_itself else "begins by a press", begins_itself=by_itself)

        def follow(span_c: cure.Span) -> None:
            self._change("shop's warmth", **span_c)

        lasts = practice_said(
            length_said(step.wait_us), common_practice=step.common_practice and step.wait_us is not None
        )
        begins = "by itself" if step.begins_itself else "by a press"
        warmth = [field("warmth", "Shop's warmth", _span_said(step), _ask_span(step), follow)] * _can_follow(step)
        return [
            field("length", "Lasts", lasts, _ask_length(step), last),
            field("begins", "Begins", begins, choose(f"How does {step.name} begin", BEGINS), begin),
            *warmth,
        ]

    def _with(self, step: RouteStep) -> list[Action]:
        """The tool, and what it is set to."""

        def take(chosen: tuple[Tool, str] | None) -> None:
            if chosen is None:
                self._change("no tool", tool_id=None)
            else:
                self._do(f"{step.name}: {chosen[0].name}", lambda tx: set_tool(tx, self._pattern, step, *chosen))

        def set_to(setting: str) -> None:
            self._change(f"at {tidy(setting)}", setting=tidy(setting))

        floor = self._stack.floor
        tool = floor.find(Tool, step.tool_id) if step.tool_id is not None else None
        each = f", {step.tool_share:g} each of {tool.capacity:g}" if tool and tool.capacity is not None else ""
        tools = [tool for tool in floor.all(Tool) if not tool.put_away]
        found = [field("tool", "Tool", f"{tool.name}{each}" if tool else "none", _ask_tool(step, tools), take)]
        if tool is not None:
            what = Text(f"What is the tool set to for {step.name}, such as 200 °C", step.setting)
            found.append(field("setting", "Tool set to", step.setting or "nothing", what, set_to))
        return found

    def _place(self, step: RouteStep, steps: int) -> list[Action]:
        def move(by: int) -> None:
            self._do(f"Moved {step.name}", lambda tx: move_step(tx, self._pattern, step, by))

        def repeat() -> None:
            self._do(f"Repeated {step.name}", lambda tx: repeat_step(tx, self._pattern, step))

        def remove() -> None:
            self._stack.do(f"Removed {step.name}", lambda tx: remove_step(tx, self._pattern, step))

        at, last = step.position, steps - 1
        return [
            item("up", "Move up", lambda: move(-1), role="raised", why_not="" if at > 0 else "It is the first step."),
            item(
                "down", "Move down", lambda: move(1), role="raised", why_not="" if at < last else "It is the last step."
            ),
            item("repeat", "Repeat", repeat, detail="once more right after it", role="raised"),
            item("remove", "Remove", remove, role="raised", why_not="" if last > 0 else "A route has a step at least."),
        ]

    def _do(self, what: str, rule: Callable[[Transaction], RouteStep]) -> None:
        step = self._stack.do(what, rule)
        if step is not None:
            self._step = step
            self._stack.changed()

    def _change(self, what: str, **fields: Unpack[StepFields]) -> None:
        self._do(f"{self._step.name}: {what}", lambda tx: change_step(tx, self._pattern, self._step, **fields))


def _ask_length(step: RouteStep) -> Asking[int | None]:
    """Seconds, or no length."""
    question = f"How long does {step.name} last"
    wanted = yield from choose(
        question, [(Choice("length", "Set a length"), True), (Choice("none", "No length"), False)]
    )
    return (yield from length(question)) if wanted else None


def _ask_tool(step: RouteStep, tools: list[Tool]) -> Asking[tuple[Tool, str] | None]:
    """Ask which tool, and as typed how much of it one piece takes."""
    answers: list[tuple[Choice, Tool | None]] = [
        *((Choice(str(tool.id), tool.name, held(tool), checked=tool.id == step.tool_id), tool) for tool in tools),
        (Choice("none", "No tool"), None),
    ]
    tool = yield from choose(f"Which tool holds {step.name}", answers)
    if tool is None or tool.capacity is None:
        return (tool, "1") if tool is not None else None
    question = f"How much of {tool.name}, which holds {tool.capacity:g}, does each one take"
    return tool, (yield from Number(question, f"{step.tool_share:g}"))


def _can_follow(step: RouteStep) -> bool:
    """Tell whether a step could follow the shop's warmth: a wait with no heat of its own."""
    return step.kind is Kind.WAIT and not step.setting


def _span_said(step: RouteStep) -> str:
    """Say between which temperatures a step follows."""
    said = cure.span_text(step)
    return f"followed, {said} °C" if said else "not followed"


def _ask_span(step: RouteStep) -> Asking[cure.Span]:
    """True if a step follows the shop's warmth, from how cold and to how warm, as its fields."""
    span = cure.span(step)
    answers = (
        (Choice("no", "No", "it lasts the same in any weather", checked=span is None), False),
        (Choice("follows", "Yes", "a cold shop cures slower", checked=span is not None), True),
    )
    if not (yield from choose(f"Does {step.name} follow the shop's warmth", answers)):
        return cure.Span(coldest_c=None, warmest_c=None)
    low, high = span or (cure.LOW_C, cure.HIGH_C)
    coldest = yield from Number("The coldest shop that its makers allow, °C or °F", f"{low:g}")
    warmest = yield from Number("The warmest shop that its makers allow, °C or °F", f"{high:g}")
    return cure.set_span(coldest, warmest)
