"""States of the Bench, each made by presses: what the gallery draws, and what the sizes are held to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.state import IN_STEAD, Verb
from shopclock.views.button import Press

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.bench.workshop import Workshop


def nothing(_: Workshop) -> None:
    """No batch."""


def three(shop: Workshop, n: int = 7) -> None:
    """Three open batches; one tempers, one is at the bevels, one waits to be drilled."""
    cooks = shop.batch("Cook's 180", n, "Kitchen knife")
    shop.batch("Oyster", 8)
    paring = shop.batch("Paring 95", n)
    shop.press(Press(Verb.BATCH, cooks.id))
    shop.start("Temper 1", cooks)
    shop.press(Press(Verb.BATCH, paring.id))
    shop.start("Grind bevels", paring, 5)


def bevels(shop: Workshop) -> None:
    """Two done, one lost."""
    three(shop)
    shop.press(Verb.DONE, 15)
    shop.press(Verb.DONE, 17)
    shop.press(Verb.NOT_RIGHT, 3, ("E", "lost", "warped"))
    shop.clock.go(12)
    shop.bench.wake()


def twelve(shop: Workshop) -> None:
    """Twelve pieces, twenty steps, three open batches; the cook's knives are at the bevels."""
    shop.batch("Oyster", 8)
    shop.batch("Paring 95", 7)
    cooks = shop.batch("Cook's 180", 12, "Kitchen knife")
    shop.start("Grind bevels", cooks)
    shop.press(Verb.DONE, 15)
    shop.clock.go(1)


def set_up(shop: Workshop) -> None:
    """Set-up is on."""
    three(shop)
    shop.press(Verb.SET_UP, 1)
    shop.clock.go(3)


def stopped(shop: Workshop) -> None:
    """Stopped, with a wait still on."""
    bevels(shop)
    shop.press(Verb.STOP, 2)


def ready(shop: Workshop) -> None:
    """Never started."""
    shop.batch("Paring 95", 7)


def waiting(shop: Workshop) -> None:
    """A watch on the plate, and scales beside it."""
    three(shop)
    shop.press(Verb.NEXT, 30)
    shop.clock.go(7)


def cure(shop: Workshop) -> None:
    """Everything is in a wait."""
    batch = shop.batch("Paring 95", 4)
    shop.start("Glue up", batch)
    shop.press(Verb.NEXT, 40)


def warmth(shop: Workshop) -> None:
    """The shop is cold."""
    cure(shop)
    shop.press(Press(Verb.WARMTH, shop.running[0].id), 1, ("18.5",))


def kiln(shop: Workshop) -> None:
    """The longest caution of a wait, nothing by hand."""
    batch = shop.batch("Tide mug", 6, "Mugs, thrown and fired twice")
    shop.start("Bisque fire", batch)


def kiln_and_trimming(shop: Workshop) -> None:
    """The same, with work by hand."""
    kiln(shop)
    other = shop.batch("Low bowl", 8, "Mugs, thrown and fired twice")
    shop.start("Throw", other)
    shop.start("Dry through", other, 20)


def shop_work(shop: Workshop) -> None:
    """Sweeping."""
    bevels(shop)
    shop.press(Verb.SHOP_WORK, 1, ("1",))
    shop.clock.go(8)


def warned(shop: Workshop) -> None:
    """An order rule warns."""
    batch = shop.batch("Paring 95", 7)
    shop.start("Harden", batch)
    shop.clock.go(2)


def route(shop: Workshop) -> None:
    """The whole route."""
    bevels(shop)
    shop.press(Verb.ROUTE_PAGE)


def pieces(shop: Workshop) -> None:
    """The pieces."""
    bevels(shop)
    shop.press(Verb.PIECES_PAGE)


def twelve_letters(shop: Workshop) -> None:
    """Twelve letters that have no room on the plate."""
    twelve(shop)
    shop.press(Press(Verb.PIECES_PAGE, IN_STEAD))


def twelve_route(shop: Workshop) -> None:
    """Twenty steps."""
    twelve(shop)
    shop.press(Verb.ROUTE_PAGE)


def twelve_pieces(shop: Workshop) -> None:
    """Twelve letters."""
    twelve(shop)
    shop.press(Verb.PIECES_PAGE)


def far(shop: Workshop) -> None:
    """Left alone."""
    bevels(shop)
    shop.clock.go(25)


def quench(shop: Workshop) -> None:
    """Nine blades, an oven for five: two are quenched, two of those that wait can go in."""
    batch = shop.batch("Paring 95", 9)
    shop.start("Grind bevels", batch)
    shop.press(Verb.NEXT, 40)
    shop.press(Verb.DONE, 6)
    shop.press(Verb.DONE, 6)


def full_oven(shop: Workshop) -> None:
    """Five of nine temper, four are quenched and wait for the oven."""
    quench(shop)
    shop.press(Press(Verb.LOAD_IN, shop.step("Harden").id))
    for _ in range(5):
        shop.press(Verb.DONE, 3)
    shop.press(Press(Verb.LOAD_IN, shop.step("Harden").id))
    shop.press(Verb.NEXT, 3)


def full_route(shop: Workshop) -> None:
    """The whole route while five of nine temper and four wait for the oven."""
    full_oven(shop)
    shop.press(Verb.ROUTE_PAGE)


STATES: dict[str, Callable[[Workshop], None]] = {
    state.__name__: state
    for state in (
        nothing, ready, bevels, twelve, set_up, stopped, waiting, cure, warmth, kiln, kiln_and_trimming, shop_work,
        warned, quench, full_oven, route, pieces, twelve_route, twelve_pieces, twelve_letters,
        full_route, far,
    )
}  # fmt: skip
