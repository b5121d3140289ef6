"""One step of a route, and what can be changed on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Unpack

from shopclock.screens.shop.lengths import ask_length
from shopclock.screens.shop.pages.methods import MethodsPage, methods_said
from shopclock.screens.shop.pages.tools import held
from shopclock.screens.shop.texts import KINDS, WORKED, length_said, practice_said, step_said
from shopclock.screens.shop.warmth import LEAFLET, ask_span, can_be_asked, span_said
from shopclock.shop.routes.cure import span
from shopclock.shop.routes.starter_route import tidy
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.setup.route_edit import change_step, move_step, remove_step, rename_step, repeat_step, set_tool
from shopclock.shop.values.entities import Pattern, RouteStep, Stage, Tool
from shopclock.shop.values.kinds import Kind
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.setup.route_edit import StepFields
    from shopclock.shop.state.transaction import Transaction
    from shopclock.views.page import Action

NO_TOOL = Choice("none", "No tool")
BY_ITSELF = (
    Choice("press", "By a press"),
    Choice("itself", "By itself", "when the step before it ends"),
)


class StepPage(Page):
    """A step of a pattern's route. A change may make a new version; the page follows the step into it."""

    def __init__(self, stack: PagedPresenter, pattern_id: int, step_id: int) -> None:
        self._stack = stack
        self._pattern_id = pattern_id
        self._step_id = step_id

    @property
    def pattern(self) -> Pattern:
        """The pattern as it is now."""
        return self._stack.floor.get(Pattern, self._pattern_id)

    @property
    def step(self) -> RouteStep:
        """The step as it is now."""
        return self._stack.floor.get(RouteStep, self._step_id)

    def gone(self) -> bool:
        """Whether the step is no longer in the newest version of the route."""
        pattern = self._stack.floor.find(Pattern, self._pattern_id)
        return pattern is None or all(step.id != self._step_id for step in self._steps(pattern))

    def _steps(self, pattern: Pattern) -> tuple[RouteStep, ...]:
        return route_steps(self._stack.floor, newest_route(self._stack.floor, pattern))

    def title(self) -> str:
        """Its place and its name."""
        return f"Step {self.step.position + 1}: {self.step.name}"

    def lines(self) -> Sequence[TextLine]:
        """Where it belongs, and how it is worked."""
        stage = self._stack.floor.get(Stage, self.step.stage_id)
        of = f"{self.pattern.name} · {step_said(self.step)}"
        said = [TextLine(of if stage.name == self.step.name else f"{of} · its minutes go to {stage.name}")]
        if self.step.caution:
            said.append(TextLine(self.step.caution, "straw"))
        if span(self.step) is not None:
            said.append(TextLine(LEAFLET, "straw"))
        return said

    def offers(self) -> Sequence[Action]:
        """What it is, then its place in the route."""
        return [*self._what_it_is(), *self._waiting(), *self._with_what(), *self._place()]

    def _what_it_is(self) -> list[Action]:
        step = self.step
        return [
            action("name", "Name", calling(self._ask_name), detail=step.name),
            action("kind", "Who is needed", calling(self._ask_kind), detail=KINDS[step.kind][0]),
            action("worked", "How it is worked", calling(self._ask_worked), detail=WORKED[step.one_by_one][0]),
        ]

    def _waiting(self) -> list[Action]:
        step = self.step
        begins = "by itself" if step.begins_itself else "by a press"
        common = step.common_practice and step.wait_us is not None
        lasts = practice_said(length_said(step.wait_us), common_practice=common)
        return [
            action("length", "Lasts", calling(self._ask_length), detail=lasts),
            action("begins", "Begins", calling(self._ask_begins), detail=begins),
            *(
                [action("warmth", "Shop's warmth", calling(self._ask_warmth), detail=span_said(step))]
                * can_be_asked(step)
            ),
        ]

    def _with_what(self) -> list[Action]:
        step, floor = self.step, self._stack.floor
        tool = floor.find(Tool, step.tool_id) if step.tool_id is not None else None
        said = _tool_text(tool, step) if tool is not None else "none"
        stage, set_to = floor.get(Stage, step.stage_id), step.setting or "nothing"
        return [
            action("tool", "Tool", calling(self._ask_tool), detail=said),
            *([action("setting", "Tool set to", calling(self._ask_setting), detail=set_to)] if tool else []),
            action(
                "methods",
                "Methods",
                calling(lambda: self._stack.open(MethodsPage(self._stack, stage.id))),
                detail=methods_said(floor, stage),
            ),
        ]

    def _place(self) -> list[Action]:
        last = len(self._steps(self.pattern)) - 1
        at = self.step.position
        return [
            action("up", "Move up", calling(lambda: self._move(-1)), role="raised", enabled=at > 0),
            action("down", "Move down", calling(lambda: self._move(1)), role="raised", enabled=at < last),
            action("repeat", "Repeat", calling(self._repeat), detail="once more right after it", role="raised"),
            action("remove", "Remove", calling(self._remove), role="raised", enabled=last > 0),
        ]

    def _do(self, what: str, rule: Callable[[Transaction], RouteStep]) -> None:
        step = self._stack.do(what, rule)
        if step is not None:
            self._step_id = step.id
            self._stack.changed()

    def _change(self, what: str, **fields: Unpack[StepFields]) -> None:
        self._do(f"{self.step.name}: {what}", lambda tx: change_step(tx, self.pattern, self.step, **fields))

    def _ask_name(self) -> None:
        self._stack.dialogs.text("Name of the step", self.step.name, on_answer(self._rename))

    def _rename(self, name: str) -> None:
        self._do(f"Name: {name}", lambda tx: rename_step(tx, self.pattern, self.step, name))

    def _ask_kind(self) -> None:
        choices = [Choice(k, title, said, checked=k is self.step.kind) for k, (title, said) in KINDS.items()]
        self._stack.dialogs.ask(f"Who is needed for {self.step.name}", choices, on_answer(self._take_kind))

    def _take_kind(self, key: str) -> None:
        self._change(KINDS[Kind(key)][0].casefold(), kind=Kind(key))

    def _ask_worked(self) -> None:
        choices = [
            Choice(str(k), title, said, checked=k is self.step.one_by_one) for k, (title, said) in WORKED.items()
        ]
        self._stack.dialogs.ask(f"How is {self.step.name} worked", choices, on_answer(self._take_worked))

    def _take_worked(self, key: str) -> None:
        one_by_one = key == str(True)
        self._change(WORKED[one_by_one][0].casefold(), one_by_one=one_by_one)

    def _ask_length(self) -> None:
        choices = (Choice("length", "Set a length"), Choice("none", "No length"))
        self._stack.dialogs.ask(f"How long does {self.step.name} last", choices, on_answer(self._take_length))

    def _take_length(self, key: str) -> None:
        if key == "none":
            self._change("no length", wait_us=None)
            return
        question = f"How long does {self.step.name} last"
        ask_length(self._stack.dialogs, question, lambda s: self._change("length", wait_us=s * 1_000_000))

    def _ask_warmth(self) -> None:
        ask_span(self._stack.dialogs, self.step, lambda fields: self._change("shop's warmth", **fields))

    def _ask_begins(self) -> None:
        self._stack.dialogs.ask(f"How does {self.step.name} begin", BY_ITSELF, on_answer(self._take_begins))

    def _take_begins(self, key: str) -> None:
        self._change("begins by itself" if key == "itself" else "begins by a press", begins_itself=key == "itself")

    def _ask_tool(self) -> None:
        tools = [tool for tool in self._stack.floor.all(Tool) if not tool.put_away]
        choices = [Choice(str(t.id), t.name, held(t), checked=t.id == self.step.tool_id) for t in tools]
        self._stack.dialogs.ask(f"Which tool holds {self.step.name}", [*choices, NO_TOOL], on_answer(self._take_tool))

    def _take_tool(self, key: str) -> None:
        if key == NO_TOOL.key:
            self._change("no tool", tool_id=None)
            return
        tool = self._stack.floor.get(Tool, int(key))
        if tool.capacity is None:
            self._do(f"{self.step.name}: {tool.name}", lambda tx: set_tool(tx, self.pattern, self.step, tool))
            return
        question = f"How much of {tool.name}, which holds {tool.capacity:g}, does each one take"
        self._stack.dialogs.number(question, f"{self.step.tool_share:g}", on_answer(lambda s: self._share(tool, s)))

    def _ask_setting(self) -> None:
        question = f"What is the tool set to for {self.step.name}, such as 200 °C"
        self._stack.dialogs.text(question, self.step.setting, on_answer(self._set))

    def _set(self, setting: str) -> None:
        said = tidy(setting)
        self._change(f"at {said}", setting=said)

    def _share(self, tool: Tool, typed: str) -> None:
        self._do(f"{self.step.name}: {tool.name}", lambda tx: set_tool(tx, self.pattern, self.step, tool, typed))

    def _move(self, by: int) -> None:
        self._do(f"Moved {self.step.name}", lambda tx: move_step(tx, self.pattern, self.step, by))

    def _repeat(self) -> None:
        self._do(f"Repeated {self.step.name}", lambda tx: repeat_step(tx, self.pattern, self.step))

    def _remove(self) -> None:
        pattern, step = self.pattern, self.step
        self._stack.do(f"Removed {step.name}", lambda tx: remove_step(tx, pattern, step))


def _tool_text(tool: Tool, step: RouteStep) -> str:
    return tool.name if tool.capacity is None else f"{tool.name}, {step.tool_share:g} each of {tool.capacity:g}"
