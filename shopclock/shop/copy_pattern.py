"""Making a pattern from another pattern of the shop, with all that its route has become."""

from shopclock.shop.names import good_name
from shopclock.shop.patterns import copy_version, newest_route
from shopclock.shop.reading_kinds import copy_for
from shopclock.shop.turn import Turn
from shopclock.shop.values import Pattern, Route


def copy_pattern(turn: Turn, pattern: Pattern, name: str) -> Pattern:
    """Make a pattern of this name with the newest version of another one's route, rules included."""
    wanted = good_name(name, [other.name for other in turn.floor.all(Pattern)])
    newest = newest_route(turn.floor, pattern)
    made = turn.new(Pattern, name=wanted, outline=pattern.outline, put_away=False)
    copy_version(turn, newest, turn.new(Route, pattern_id=made.id, version=1, note=newest.note))
    copy_for(turn, pattern, made)
    return made
