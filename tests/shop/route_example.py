"""A small route that is right, to be spoilt in one place at a time."""

import pytest

from shopclock.shop.routes.route_file import RouteFileError, read_route

RULE = """\
kind = "within"
first = "harden"
then = "temper-1"
limit = "60 min"
"""

GOOD = f"""\
name = "Oyster knife"
outline = "blade"

[[tool]]
name = "oven"
capacity = 5

[[step]]
stage = "Drill holes"
kind = "hands-on"
methods = ["by eye", "jig"]
minutes = 6

[[step]]
stage = "Harden"
kind = "watch"
tool = "oven"
share = 1

[[step]]
stage = "Temper"
name = "Temper 1"
kind = "wait"
wait = "2 h"

[[step.reading]]
name = "Hardness"
low = 57
target = 60
high = 62

[[rule]]
{RULE}"""


def said_of(good: str, bad: str) -> str:
    """Return the one sentence that the route gets when something good in it is made bad."""
    assert GOOD.count(good) == 1
    with pytest.raises(RouteFileError) as raised:
        read_route(GOOD.replace(good, bad), "routes/mine.toml")
    return str(raised.value)
