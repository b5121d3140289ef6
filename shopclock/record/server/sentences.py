"""Errors of a server, in one sentence each."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

import sqlalchemy as sa

from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Iterator

KEPT = "All that is pressed is kept here and sent later."


class ServerAway(ShopError):
    """The server can't be used just now; nothing of it was changed, and the bench goes on."""


_BY_STATE = {
    "42501": "The server doesn't allow this bench to write there. {kept} Give its user the rights on the schema.",
    "28": "The server doesn't let this bench in. {kept} Look at user and password file.",
    "3D000": "The server has no database of that name. {kept} Look at the address.",
    "25006": "The server may only be read just now. {kept}",
    "53100": "The server's disk is full. {kept} Make room there.",
    "53": "The server is out of room. {kept}",
    "57": "The server is shutting down, or was too slow. {kept}",
    "55P03": "The server is busy. {kept}",
    "42P01": "What the server holds was taken away there. {kept} Bring back its backup.",
    "3F000": "What the server holds was taken away there. {kept} Bring back its backup.",
}
"""By the SQLSTATE, or its class where no other stands here (PostgreSQL documentation, appendix A)."""
_BY_WORDS = {"password": "28", "role": "28", "pg_hba": "28", "not permitted": "28", "does not exist": "3D000"}
"""Words of libpq, which gives no state while there is no connection; the first that is found says which."""
GONE = "The server is not reached. {kept}"
OTHER = "The server refuses: {said}. {kept}"


@contextmanager
def away() -> Iterator[None]:
    """Raise ServerAway with a sentence for whatever the server or the way to it gives as an error."""
    try:
        yield
    except sa.exc.DBAPIError as error:
        raise ServerAway(sentence(error.orig)) from error
    except sa.exc.SQLAlchemyError as error:
        raise ServerAway(OTHER.format(said=_first_line(error), kept=KEPT)) from error
    except (OSError, ConnectionError) as error:
        raise ServerAway(GONE.format(kept=KEPT)) from error


def sentence(error: BaseException | None) -> str:
    """Return the sentence for an error of the driver."""
    state = getattr(error, "sqlstate", None)
    if state is not None:
        said = _BY_STATE.get(state) or _BY_STATE.get(state[:2])
        return (said or OTHER).format(said=_first_line(error), kept=KEPT)
    told = _first_line(error)
    for words, state in _BY_WORDS.items():
        if words in told:
            return _BY_STATE[state].format(kept=KEPT)
    if ("service" in told and "not found" in told) or "invalid" in told or "missing" in told:
        return f"The address can't be read: {told}. Nothing was sent. {KEPT}"
    return GONE.format(kept=KEPT)


def _first_line(error: BaseException | None) -> str:
    return str(error).strip().splitlines()[0].strip(" .") if str(error).strip() else type(error).__name__
