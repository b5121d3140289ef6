"""What is written as a route file reads back as the same route."""

import tomllib
from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from shopclock.shop.kinds import Kind, RuleKind
from shopclock.shop.route import Outline, ReadingSpec, Route, RouteRule, RouteStep, ToolSpec, key_of, tidy, tidy_note
from shopclock.shop.route_check import LABEL_MAX, check_route
from shopclock.shop.route_dump import dump_route
from shopclock.shop.route_file import read_route

LETTERS = st.characters(exclude_categories=["C", "Z"], include_characters=" ")


def _labels(most: int = LABEL_MAX, least: int = 1) -> st.SearchStrategy[str]:
    return st.text(LETTERS, min_size=least, max_size=most).map(tidy).filter(lambda text: len(text) >= least)


def _numbers(most: float) -> st.SearchStrategy[float]:
    return st.floats(min_value=0, max_value=most, exclude_min=True)


def _named(things: st.SearchStrategy[list[str]]) -> st.SearchStrategy[list[str]]:
    return things.filter(lambda names: len({name.casefold() for name in names}) == len(names))


@st.composite
def _readings(draw: st.DrawFn) -> ReadingSpec:
    low, target, high = sorted(draw(st.tuples(*[st.floats(allow_nan=False, allow_infinity=False)] * 3)))
    given_ones = [draw(st.one_of(st.none(), st.just(value))) for value in (low, high, target)]
    return ReadingSpec(draw(_labels()), draw(_labels(12, 0)), *given_ones, draw(st.booleans()))


@st.composite
def _steps(draw: st.DrawFn, key: str, tools: tuple[ToolSpec, ...], *, after: set[str]) -> RouteStep:
    kind, strand = draw(st.sampled_from(Kind)), draw(st.sampled_from(["", "handle", "sheath"]))
    tool = draw(st.sampled_from([None, *tools]))
    by_hand = st.one_of(st.none(), _numbers(10_000)) if kind.attended else st.none()
    length = st.integers(min_value=1, max_value=366 * 86_400)
    itself = kind is Kind.WAIT and strand in after and draw(st.booleans())
    after.add(strand)
    setting = draw(_labels(least=0))
    warmths = draw(st.sampled_from([(None, None), (10, 35), (12.5, 30)])) if kind is Kind.WAIT and not setting else None
    return RouteStep(
        key=key, stage=draw(_labels(20)) + key, name=draw(_labels()), kind=kind, one_by_one=draw(st.booleans()),
        methods=tuple(draw(_named(st.lists(_labels(), max_size=3)))), strand=strand, begins_itself=itself,
        wait_s=None if kind.attended else draw(length), minutes=draw(by_hand), setup_minutes=draw(by_hand),
        tool=tool and tool.name, share=draw(_numbers(tool.capacity)) if tool else 1,
        setting=setting, coldest_c=warmths and warmths[0], warmest_c=warmths and warmths[1],
        caution=draw(_labels(100, 0)),
        readings=tuple(draw(st.lists(_readings(), max_size=2, unique_by=lambda one: one.name.casefold()))),
        common_practice=draw(st.booleans()),
    )  # fmt: skip


@st.composite
def _rules(draw: st.DrawFn, steps: tuple[RouteStep, ...]) -> RouteRule:
    first, then = sorted(draw(st.lists(st.integers(0, len(steps) - 1), min_size=2, max_size=2, unique=True)))
    kinds = [RuleKind.BEFORE, RuleKind.WITHIN] + [RuleKind.AT_LEAST] * (steps[first].kind is Kind.WAIT)
    kind = draw(st.sampled_from(kinds))
    limit = draw(st.integers(min_value=1, max_value=86_400)) if kind is RuleKind.WITHIN else None
    return RouteRule(kind, steps[first].key, steps[then].key, limit, draw(st.booleans()))


@st.composite
def routes(draw: st.DrawFn) -> Route:
    tools = tuple(ToolSpec(name, draw(_numbers(10_000))) for name in draw(_named(st.lists(_labels(), max_size=2))))
    keys = draw(st.lists(_labels().map(key_of).filter(bool), min_size=1, max_size=4, unique=True))
    after: set[str] = set()
    steps = tuple(draw(_steps(key, tools, after=after)) for key in keys)
    assume(all(len(step.stage) <= LABEL_MAX and step.stage == tidy(step.stage) for step in steps))
    rules = st.lists(_rules(steps), max_size=2, unique_by=lambda rule: (rule.kind, rule.first, rule.then))
    return Route(
        name=draw(_labels(40)), outline=draw(st.sampled_from(Outline)), piece=draw(_labels()), pieces=draw(_labels()),
        steps=steps, rules=tuple(draw(rules)) if len(steps) > 1 else (), tools=tools,
        note=draw(st.text(st.one_of(LETTERS, st.just("\n")), max_size=80).map(tidy_note)),
    )  # fmt: skip


@given(routes())
@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much], deadline=None)
def test_every_route_that_makes_sense_reads_back_as_it_was(route: Route) -> None:
    check_route(route)
    assert read_route(dump_route(route), "round.toml") == route


@given(st.text(max_size=40))
def test_no_text_can_break_the_file(text: str) -> None:
    written = dump_route(replace(PLAIN, note=text))
    assert tomllib.loads(written).get("note", "") == text


HARDEN = RouteStep(
    key="harden", stage="Harden", name="Harden", kind=Kind.WATCH, one_by_one=True, methods=("oil",), strand="",
    begins_itself=False, wait_s=None, minutes=12.5, setup_minutes=25.0, tool="oven", share=1, setting="800 °C",
    caution="", readings=(),
)  # fmt: skip
TEMPER = replace(
    HARDEN, key="temper-1", stage="Temper", name="Temper 1", kind=Kind.WAIT, one_by_one=False, methods=(),
    wait_s=7_200, minutes=None, setup_minutes=None, tool=None, setting="",
)  # fmt: skip
PLAIN = Route(
    name="Oyster knife", outline=Outline.BLADE, piece="knife", pieces="knives", note="", tools=(ToolSpec("oven", 5.0),),
    steps=(HARDEN, TEMPER), rules=(RouteRule(RuleKind.WITHIN, "harden", "temper-1", 3_600),),
)  # fmt: skip


def test_only_what_differs_from_the_usual_is_written() -> None:
    assert dump_route(PLAIN) == (
        'name = "Oyster knife"\noutline = "blade"\npiece = "knife"\npieces = "knives"\n\n'
        '[[tool]]\nname = "oven"\ncapacity = 5\n\n'
        '[[step]]\nstage = "Harden"\nkind = "watch"\nworked = "one by one"\nmethods = ["oil"]\n'
        'minutes = 12.5\nsetup = 25\ntool = "oven"\nsetting = "800 °C"\n\n'
        '[[step]]\nstage = "Temper"\nname = "Temper 1"\nkind = "wait"\nwait = "2 h"\n\n'
        '[[rule]]\nkind = "within"\nfirst = "harden"\nthen = "temper-1"\nlimit = "1 h"\n'
    )
