"""The routes to start from are fit to work by: order, waits, tools, cautions."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shopclock.shop.routes.route_file import StarterRoutes, load_route
from shopclock.shop.routes.starter_route import Outline, StarterRoute, StarterStep
from shopclock.shop.values.kinds import Kind, RuleKind

FOLDER = Path(__file__).parents[3] / "resources" / "routes"
ROUTES = {path.stem: load_route(path) for path in sorted(FOLDER.glob("*.toml"))}
ALL = pytest.mark.parametrize("route", ROUTES.values(), ids=ROUTES)
KNIVES = {name: route for name, route in ROUTES.items() if route.outline is Outline.BLADE}
EACH_KNIFE = pytest.mark.parametrize("route", KNIVES.values(), ids=KNIVES)


def _step(route: StarterRoute, key: str) -> StarterStep:
    (found,) = (step for step in route.steps if step.key == key)
    return found


def _place(route: StarterRoute, key: str) -> int:
    return [step.key for step in route.steps].index(key)


def _rules(route: StarterRoute, kind: RuleKind) -> set[tuple[str, str]]:
    return {(rule.first, rule.then) for rule in route.rules if rule.kind is kind}


def _next_in_strand(route: StarterRoute, step: StarterStep) -> StarterStep | None:
    later = route.steps[_place(route, step.key) + 1 :]
    return next((one for one in later if one.strand == step.strand), None)


def _joined(route: StarterRoute) -> Iterator[tuple[str, str]]:
    """Yield the strands on both sides of every rule."""
    for rule in route.rules:
        yield _step(route, rule.first).strand, _step(route, rule.then).strand


def test_there_are_five_routes_for_knives_and_two_for_other_trades() -> None:
    assert set(KNIVES) == {"folder", "forged", "kitchen-knife", "stainless-plate-quench", "stock-removal-carbon"}
    assert set(ROUTES) - set(KNIVES) == {"mugs", "guitar-necks"}
    assert tuple(StarterRoutes(FOLDER)) == tuple(ROUTES.values())
    assert len({route.name for route in ROUTES.values()}) == 7


@ALL
def test_a_route_has_twelve_to_twenty_steps_and_says_where_its_figures_come_from(route: StarterRoute) -> None:
    assert 12 <= len(route.steps) <= 20
    assert "Minutes are starting values, invented" in route.note
    assert "common practice have no source" in route.note


@ALL
def test_every_step_by_hand_has_minutes_to_start_from(route: StarterRoute) -> None:
    for step in route.steps:
        assert (step.minutes is not None) == step.kind.attended
        assert (step.setup_minutes is not None) == step.kind.attended


@ALL
def test_waits_limits_and_heats_are_marked_as_common_practice(route: StarterRoute) -> None:
    for step in route.steps:
        assert step.common_practice == (step.kind is Kind.WAIT or bool(step.setting))
    for rule in route.rules:
        assert rule.common_practice == (rule.kind is RuleKind.WITHIN)


@ALL
def test_every_wait_leads_somewhere_by_a_rule_or_by_the_next_wait(route: StarterRoute) -> None:
    """Nothing may be started too early without a word."""
    ends = {first for first, _ in _rules(route, RuleKind.AT_LEAST)}
    for step in route.steps:
        if step.kind is Kind.WAIT and step.stage != "Temper":
            assert step.key in ends


@ALL
def test_every_strand_beside_the_main_one_joins_another(route: StarterRoute) -> None:
    beside = {step.strand for step in route.steps} - {""}
    assert {first for first, then in _joined(route) if first != then} >= beside


@ALL
def test_a_glue_up_is_followed_by_a_day_of_cure_in_the_same_clamps(route: StarterRoute) -> None:
    for step in route.steps:
        if step.stage in ("Glue up", "Glue boards"):
            cure = _next_in_strand(route, step)
            assert cure is not None
            assert (cure.stage, cure.kind, cure.begins_itself, cure.wait_s) == ("Cure", Kind.WAIT, True, 24 * 3_600)
            assert (cure.tool, cure.share) == (step.tool, step.share) != (None, 1)


@EACH_KNIFE
def test_a_blade_that_is_hardened_is_tempered_in_time_and_twice(route: StarterRoute) -> None:
    (limit,) = (rule.limit_s for rule in route.rules if (rule.first, rule.then) == ("harden", "temper-1"))
    oil = "oil quench" in _step(route, "harden").methods
    assert limit == (3_600 if oil else 7_200)
    for key in ("temper-1", "temper-2"):
        assert (_step(route, key).kind, _step(route, key).wait_s) == (Kind.WAIT, 7_200)
    assert _place(route, "harden") + 1 == _place(route, "temper-1") == _place(route, "temper-2") - 1


@EACH_KNIFE
def test_each_blade_is_quenched_by_itself_so_that_its_own_limit_runs(route: StarterRoute) -> None:
    assert _step(route, "harden").one_by_one


@EACH_KNIFE
def test_holes_come_before_hardening_wherever_the_blade_has_holes(route: StarterRoute) -> None:
    holes = {step.key for step in route.steps if step.tool == "drill press" and not step.strand}
    before = {first for first, then in _rules(route, RuleKind.BEFORE) if then == "harden"}
    assert holes <= before
    assert all(_place(route, key) < _place(route, "harden") for key in holes)


@EACH_KNIFE
def test_no_knife_route_uses_the_oven_at_two_heats_in_one_step(route: StarterRoute) -> None:
    heats = {step.setting for step in route.steps if step.tool == "oven"}
    assert all(step.setting.endswith("°C") for step in route.steps if step.tool == "oven")
    assert len(heats) == 2


def test_the_edge_before_sharpening_is_a_reading_with_its_limits() -> None:
    for route in KNIVES.values():
        (edge,) = (one for step in route.steps for one in step.readings if one.name == "Edge before sharpening")
        assert (edge.unit, edge.low, edge.high, edge.common_practice) == ("in", 0.005, 0.010, True)


def test_mugs_have_two_drying_waits_and_two_firings_in_the_kiln() -> None:
    route = ROUTES["mugs"]
    waits = [(step.tool, step.key) for step in route.steps if step.kind is Kind.WAIT]
    assert waits == [
        ("drying shelf", "stiffen"), ("drying shelf", "dry-through"), ("kiln", "bisque-fire"), ("kiln", "glaze-fire"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("tool", "words"),
    [
        ("belt grinder", "Respirator on before the belt starts"),
        ("drill press", "Clamp"),
        ("clamps", "Gloves and fresh air"),
    ],
)
def test_a_tool_brings_its_caution(tool: str, words: str) -> None:
    """Shell dust and instant glue are the greater harm where dots are inlaid."""
    steps = [step for route in ROUTES.values() for step in route.steps if step.tool == tool]
    cautions = {step.caution for step in steps if step.kind.attended and step.stage != "Inlay dots"}
    assert cautions
    assert all(words in caution for caution in cautions)


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        ("Harden", ("follow the steel maker's sheet",)),
        ("Temper", ("untempered blade is glass", "oven still on when the shop is locked")),
        ("Mark", ("Gloves and fresh air", "follow its maker's sheet")),
        ("Glue up", ("Gloves and fresh air", "follow its maker's sheet")),
        ("Bisque fire", ("Kiln still on when the shop is locked", "kiln maker's manual")),
        ("Glaze fire", ("Kiln still on when the shop is locked", "kiln maker's manual")),
        ("Glaze", ("Respirator", "follow the glaze maker's sheet")),
        ("Coat", ("rags can catch fire by themselves", "maker's sheet")),
        ("Oil handle", ("rags can catch fire by themselves", "maker's sheet")),
        ("Forge blade", ("Doors open",)),
    ],
)
def test_what_can_hurt_has_its_caution_wherever_it_comes(stage: str, words: tuple[str, ...]) -> None:
    having = [[step.caution for step in route.steps if step.stage == stage] for route in ROUTES.values()]
    assert any(having)
    for cautions in filter(None, having):
        assert all(any(word in caution for caution in cautions) for word in words)


def test_oil_quenches_ask_for_lid_and_extinguisher_and_no_water() -> None:
    steps = [step for route in ROUTES.values() for step in route.steps if "oil quench" in step.methods]
    assert len(steps) == 4
    assert all("Lid and extinguisher at hand, no water near quench oil" in step.caution for step in steps)


def test_a_stage_is_the_same_thing_in_every_route() -> None:
    """Copied into one shop they share its list of stages."""
    seen: dict[str, tuple[str, Kind, bool]] = {}
    for step in (step for route in ROUTES.values() for step in route.steps):
        told = (step.stage, step.kind, step.one_by_one)
        assert seen.setdefault(step.stage.casefold(), told) == told


def test_a_tool_holds_the_same_in_every_knife_route() -> None:
    seen: dict[str, float] = {}
    for tool in (tool for route in KNIVES.values() for tool in route.tools):
        assert seen.setdefault(tool.name, tool.capacity) == tool.capacity


@ALL
def test_every_tool_of_a_route_is_used(route: StarterRoute) -> None:
    assert {tool.name for tool in route.tools} == {step.tool for step in route.steps} - {None}
