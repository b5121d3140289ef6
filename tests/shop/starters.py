"""The starter routes, read once."""

from functools import cache

from shopclock.places import resource
from shopclock.shop.routes.route_file import StarterRoutes
from shopclock.shop.routes.starter_route import StarterRoute


@cache
def starters() -> tuple[StarterRoute, ...]:
    return tuple(StarterRoutes(resource("routes")))
