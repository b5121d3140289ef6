"""The words that a route brings: what is worked on, what it is when finished, what is made together."""

from shopclock.shop.routes.starter_route import StarterRoute
from shopclock.shop.setup.first_things import WORDS
from shopclock.shop.setup.list_edit import set_word
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Pattern


def words_of(route: StarterRoute) -> dict[str, tuple[str, str]]:
    """Return a route's own words, one and many, by the word of the shop that each would take the place of."""
    found = {
        "piece": (route.piece, route.pieces),
        "finished": (route.finished or route.piece, route.finished_many or route.pieces),
    }
    return found | ({"batch": (route.batch, route.batches)} if route.batch and route.batches else {})


def _said_otherwise(floor: ShopFloor, route: StarterRoute) -> bool:
    return any((word(floor, name).one, word(floor, name).many) != said for name, said in words_of(route).items())


def speaks_first(floor: ShopFloor, route: StarterRoute) -> bool:
    """Tell whether a new shop takes a route's words: it has no pattern yet, and nobody has given it words."""
    untouched = all((word(floor, name).one, word(floor, name).many) == (one, many) for name, one, many in WORDS)
    return untouched and not any(floor.all(Pattern)) and _said_otherwise(floor, route)


def worth_asking(floor: ShopFloor, route: StarterRoute) -> bool:
    """Tell whether a route's words are to be offered: it is of another trade than all that is made.

    A shop that gave itself other words before its first route is asked, too.
    """
    trades = {pattern.outline for pattern in floor.all(Pattern)}
    return str(route.outline) not in trades and _said_otherwise(floor, route) and not speaks_first(floor, route)


def use_words(tx: Transaction, route: StarterRoute) -> None:
    """Have the shop speak as a route does."""
    for name, (one, many) in words_of(route).items():
        set_word(tx, word(tx.floor, name), one, many)
