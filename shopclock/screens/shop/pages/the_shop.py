"""The shop in one place: its name and address, its money, its zone, its paper, and how long a quote stands."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zoneinfo import available_timezones

from shopclock.screens.shop.pages.settings import setting
from shopclock.shop.setup import the_shop
from shopclock.shop.setup.rates import rates, set_rate
from shopclock.shop.state import settings
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, Text, choose, field
from shopclock.views.page import PageContent

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.setup.the_shop import Here
    from shopclock.views.field import Asking

DAYS = {n: f"{n} days" for n in settings.QUOTE_DAYS.choices}
TYPED = "typed"


def the_shop_page(stack: PagedPresenter, here: Here) -> PageContent:
    """Name, address, currency, zone, paper; what is usual here is offered first."""
    floor = stack.floor
    shop, lines, own = the_shop.the_shop(floor), the_shop.address(floor), rates(floor)

    def name(typed: str) -> None:
        stack.do("Name of the shop", lambda tx: the_shop.name_shop(tx, typed))

    def address(typed: str) -> None:
        stack.do("Address", lambda tx: the_shop.set_address(tx, typed))

    def currency(typed: str) -> None:
        stack.do("Currency", lambda tx: set_rate(tx, "currency", typed))

    def zone(named: str) -> None:
        stack.do(f"Zone {named}", lambda tx: the_shop.set_zone(tx, named))

    usual = f"as usual here: {here.paper}" if here.paper else "as usual here"
    papers = {paper: usual if paper == settings.PAPER.default else paper for paper in settings.PAPER.choices}
    begin = ", ".join(lines)
    return PageContent(
        shop.name or "The shop has no name yet",
        ["It stands on quotes, in the spreadsheet and in the archive. Nothing else needs it."],
        [
            field(
                "name",
                "Name",
                shop.name or "none yet",
                Text("Name of the shop", shop.name, the_shop.good_shop_name),
                name,
            ),
            field(
                "address",
                "Address",
                begin or "none yet",
                Text("Address, a comma for a new line", begin, the_shop.good_address),
                address,
            ),
            field("currency", "Currency", own.currency, _currency(own.currency, here), currency),
            field("zone", "Zone", shop.zone, _zone(shop.zone, here), zone),
            setting(stack, "Paper", settings.PAPER, papers),
            setting(stack, "Quotes stand", settings.QUOTE_DAYS, DAYS),
        ],
    )


def _currency(now: str, here: Here) -> Asking[str]:
    """The currency of the place by one press, any other by its letters."""
    if here.currency and here.currency != now:
        ways = (Choice(here.currency, here.currency, "usual here"), Choice(TYPED, "Another", "by its three letters"))
        key = yield from Pick("In which currency", ways)
        if key != TYPED:
            return key
    return (yield from Text("Currency, three letters", now))


def _zone(now: str, here: Here) -> Asking[str]:
    """The zone of this computer by one press, any other by its part of the world."""
    named = sorted(
        name for name in available_timezones() if "/" in name and not name.startswith(("Etc/", "posix/", "right/"))
    )
    parts = list(dict.fromkeys(name.partition("/")[0] for name in named))
    first = [(Choice(here.zone, here.zone, "this computer's"), here.zone)] if here.zone and here.zone != now else []
    part = yield from choose(
        "Which zone", [*first, *((Choice(part, part, "a part of the world"), part) for part in parts)]
    )
    if part == here.zone:
        return part
    own = [name for name in named if name.startswith(f"{part}/")]
    said = [(Choice(n, n.partition("/")[2].replace("_", " "), checked=n == now), n) for n in own]
    return (yield from choose(f"Where in {part}", said))
