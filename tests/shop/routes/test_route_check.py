"""A route that can't be worked by is refused, with the line and what was expected."""

from dataclasses import replace

import pytest

from shopclock.shop.routes.route_check import check_route
from shopclock.shop.routes.route_fault import RouteFault
from shopclock.shop.routes.route_file import read_route
from tests.shop.route_example import GOOD, RULE, said_of

A_LENGTH = 'a length such as "60 min", "1 h 30 min" or "3 days"'
A_NUMBER = "a number above 0 and at most 10000"
TEMPER_AGAIN = '[[step]]\nstage = "Temper"\nname = "Temper 2"\n'

BAD_NUMBERS = [
    ("minutes = 6", "minutes = -6", 12, "minutes is -6", A_NUMBER),
    ("minutes = 6", "minutes = 0", 12, "minutes is 0", A_NUMBER),
    ("minutes = 6", "minutes = nan", 12, "minutes is nan", A_NUMBER),
    ("minutes = 6", "minutes = inf", 12, "minutes is inf", A_NUMBER),
    ("minutes = 6", 'minutes = "6"', 12, 'minutes is "6"', "a number without quotes"),
    ("minutes = 6", "minutes = true", 12, "minutes is true", "a number without quotes"),
    ("minutes = 6", f"minutes = 1{'0' * 400}", 12, f"minutes is 1{'0' * 39}", "a smaller number"),
    ("minutes = 6", "setup = -1", 12, "setup is -1", A_NUMBER),
    ("minutes = 6", 'wait = "2 h"', 12, "wait is given for a hands-on step", "it only where kind is wait or away"),
    ("minutes = 6", "share = 2", 12, "share is given without a tool", 'tool = "..." too'),
    ("capacity = 5", "capacity = 0", 6, "capacity is 0", A_NUMBER),
    ("share = 1", "share = 6", 18, "share is 6", "a number above 0 and at most 5"),
    ("share = 1", "share = -1", 18, "share is -1", "a number above 0 and at most 5"),
    ("low = 57", "low = nan", 28, "low is nan", "a plain number"),
    ("low = 57", "low = 61", 29, "low is 61 and target is 60", "target not below low"),
    ("target = 60\nhigh = 62", "high = 50", 29, "low is 57 and high is 50", "high not below low"),
    ('wait = "2 h"\n', "", 20, "wait is missing", 'a line such as wait = "24 h"'),
    ('"2 h"', "2", 24, "wait is 2", A_LENGTH),
    ('"2 h"', '"two hours"', 24, 'wait is "two hours"', A_LENGTH),
    ('"2 h"', '"0 h"', 24, "wait is nothing", 'a length such as "24 h"'),
    ('"2 h"', '"400 days"', 24, "wait is longer than a year", 'a length such as "24 h"'),
    (
        'wait = "2 h"',
        'wait = "2 h"\nminutes = 3',
        25,
        "minutes is given for a step of kind wait",
        'its length as wait = "24 h"',
    ),
    (
        'wait = "2 h"',
        'wait = "2 h"\nsetup = 3',
        25,
        "setup is given for a step of kind wait",
        'its length as wait = "24 h"',
    ),
    ('wait = "2 h"', 'wait = "2 h"\ncoldest = 12', 25, "coldest is given alone", "warmest too"),
    ('wait = "2 h"', 'wait = "2 h"\ncoldest = 5\nwarmest = 30', 25, "coldest is 5", "°C from 10 to 35"),
    (
        'wait = "2 h"',
        'wait = "2 h"\ncoldest = 30\nwarmest = 20',
        25,
        "coldest is above warmest",
        "coldest not above warmest",
    ),
    (
        'wait = "2 h"',
        'wait = "2 h"\ncoldest = 20\nwarmest = 30\nsetting = "60 °C"',
        25,
        "coldest is given for a step with a setting",
        "it for a wait in the shop's own warmth alone",
    ),
    (
        "minutes = 6",
        "minutes = 6\ncoldest = 20\nwarmest = 30",
        13,
        "coldest is given for a step of kind hands-on",
        "it for a wait in the shop's own warmth alone",
    ),
    ('"60 min"', '"soon"', 36, 'limit is "soon"', A_LENGTH),
    ('"60 min"', '"0 min"', 36, "limit is nothing", 'a length such as "60 min"'),
    ('"60 min"', '"999 days"', 36, "limit is longer than a year", 'a length such as "60 min"'),
]

BAD_ORDER = [
    ('[[tool]]\nname = "oven"\ncapacity = 5\n', "", 14, 'tool is "oven"', "a [[tool]] of this name"),
    ('tool = "oven"', 'tool = "ofen"', 17, 'tool is "ofen"', "oven"),
    ("capacity = 5", '\n[[tool]]\nname = "Oven"', 8, 'name "Oven" is given twice', "each one once"),
    ("[[tool]]", "[tool]", 4, "tool is a table", "each tool under a line [[tool]]"),
    ("[[step.reading]]", "[step.reading]", 26, "reading is a table", "each reading under a line [[step.reading]]"),
    ('"Temper 1"', '"Harden"', 20, 'key "harden" is given twice', "each one once"),
    ("high = 62", '[[step.reading]]\nname = "Hardness"', 31, 'name "Hardness" is given twice', "each one once"),
    ("[[rule]]", f'{TEMPER_AGAIN}kind = "watch"\n\n[[rule]]', 35, 'stage "Temper" is watch here', "wait as before"),
    (
        "[[rule]]",
        f'{TEMPER_AGAIN}kind = "wait"\nwait = "2 h"\nworked = "one by one"\n\n[[rule]]',
        37,
        'stage "Temper" is worked in another way before',
        "the same way for all its steps",
    ),
    (
        "minutes = 6",
        'begins = "by itself"',
        12,
        "a hands-on step can not begin by itself",
        "it only where kind is wait",
    ),
    (
        'wait = "2 h"',
        'wait = "2 h"\nstrand = "x"\nbegins = "by itself"',
        26,
        "the first step of a strand can not begin by itself",
        '"by a press"',
    ),
    ('first = "harden"', 'first = "hardn"', 34, 'first is "hardn"', "the key of a step: harden"),
    ('then = "temper-1"', 'then = "42"', 35, 'then is "42"', "the key of a step: drill-holes, harden or temper-1"),
    ('"within"', '"after"', 33, 'kind is "after"', "before, within or at least"),
    ('limit = "60 min"\n', "", 32, "limit is missing", 'a line such as limit = "60 min"'),
    ('"within"', '"before"', 36, "limit is given for a rule of kind before", "it only where kind is within"),
    (
        RULE,
        'kind = "at least"\nfirst = "harden"\nthen = "temper-1"\n',
        34,
        'first is "harden", which is no wait',
        "a step of kind wait, whose length is the rule's",
    ),
    (RULE, f"{RULE}\n[[rule]]\n{RULE}", 38, "this rule is given twice", "each rule once"),
    (
        RULE,
        f'{RULE}\n[[rule]]\nkind = "before"\nfirst = "temper-1"\nthen = "drill-holes"\n',
        38,
        "steps run in a circle: temper-1, drill-holes, harden, temper-1",
        "the other way round, or no such rule",
    ),
    (
        RULE,
        'kind = "before"\nfirst = "harden"\nthen = "harden"\n',
        32,
        "steps run in a circle: harden, harden",
        "the other way round, or no such rule",
    ),
]


@pytest.mark.parametrize(("good", "bad", "line", "what", "expected"), BAD_NUMBERS)
def test_a_number_or_length_that_can_not_be_is_refused(
    good: str, bad: str, line: int, what: str, expected: str
) -> None:
    assert said_of(good, bad) == f"routes/mine.toml, line {line}: {what}; expected {expected}."


@pytest.mark.parametrize(("good", "bad", "line", "what", "expected"), BAD_ORDER)
def test_steps_tools_and_rules_must_fit_together(good: str, bad: str, line: int, what: str, expected: str) -> None:
    assert said_of(good, bad) == f"routes/mine.toml, line {line}: {what}; expected {expected}."


def test_a_route_put_together_by_buttons_is_checked_by_the_same_rules() -> None:
    route = read_route(GOOD, "mine.toml")
    with pytest.raises(RouteFault, match=r'^key "harden" is given twice; expected each one once\.$') as raised:
        check_route(replace(route, steps=(*route.steps, route.steps[1])))
    assert (raised.value.place, raised.value.key) == (("step", 3), "key")
