"""Errors of a server, in one sentence each."""

from __future__ import annotations

import re
from contextlib import contextmanager
from typing import TYPE_CHECKING

import sqlalchemy as sa

from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Iterator

KEPT = "All that is pressed is kept here and sent later."
NOT_JOINED = "This bench has not joined."


class ServerAway(ShopError):
    """The server can't be used just now; nothing of it was changed, and the bench goes on."""


class ServerGone(ServerAway):
    """The server isn't reached, as may be for weeks: it passes by itself, and nobody has anything to do."""


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
ADDRESS = "The address can't be read: {said}. {kept}"
NO_POSTGRES = "What answers there is no PostgreSQL server. {kept} Look at host and port."
_BY_WORDS = {
    "root certificate file": "The server's certificate can't be checked: root.crt is not there. {kept} Put it where "
    "PostgreSQL looks for it.",
    "does not match host": "The server's certificate is for another name. {kept} Write the address as that has it.",
    "certificate": "The server's certificate is not one that is known here. {kept} Look whether the server is yours.",
    "does not support SSL": "The server takes no encrypted connection. {kept} Let it take them, or leave sslmode out "
    "of the address.",
    "invalid response": NO_POSTGRES,
    "expected authentication": NO_POSTGRES,
    "password": _BY_STATE["28"],
    "role": _BY_STATE["28"],
    "pg_hba": _BY_STATE["28"],
    "not permitted": _BY_STATE["28"],
    "does not exist": _BY_STATE["3D000"],
    "invalid": ADDRESS,
    "missing": ADDRESS,
    "service file": ADDRESS,
    "definition of service": ADDRESS,
}
"""Words of libpq, which gives no state while there is no connection; the first that is found says which."""
GONE = "The server is not reached. {kept}"
OTHER = "The server refuses: {said}. {kept}"
_PASSING = {said.format(kept=KEPT) for said in (GONE, _BY_STATE["57"], _BY_STATE["55P03"])}
_NAME = re.compile("\"[^\"]*\"|'[^']*'")
"""What somebody has named: it is none of libpq's words."""


@contextmanager
def away() -> Iterator[None]:
    """Raise ServerAway with a sentence for whatever the server or the way to it gives as an error."""
    try:
        yield
    except sa.exc.DBAPIError as error:
        said = sentence(error.orig)
        raise (ServerGone if said in _PASSING else ServerAway)(said) from error
    except sa.exc.SQLAlchemyError as error:
        raise ServerAway(OTHER.format(said=_first_line(error), kept=KEPT)) from error
    except (OSError, ConnectionError) as error:
        raise ServerGone(GONE.format(kept=KEPT)) from error


def sentence(error: BaseException | None) -> str:
    """Return the sentence for an error of the driver."""
    state = getattr(error, "sqlstate", None)
    if state is not None:
        said = _BY_STATE.get(state) or _BY_STATE.get(state[:2])
        return (said or OTHER).format(said=_first_line(error), kept=KEPT)
    told = _first_line(error)
    plain = _NAME.sub("", told)
    found = next((said for words, said in _BY_WORDS.items() if words in plain), None)
    if found is None and "FATAL:" in plain:  # it is there, and says why in its own language
        found, told = OTHER, told.partition("FATAL:")[2].strip()
    return (found or GONE).format(said=told, kept=KEPT)


@contextmanager
def not_joined() -> Iterator[None]:
    """Say of a bench that is to join that it hasn't, where a sentence says how one that has goes on."""
    try:
        yield
    except ServerAway as error:
        raise type(error)(str(error).replace(KEPT, NOT_JOINED)) from error


def _first_line(error: BaseException | None) -> str:
    return str(error).strip().splitlines()[0].strip(" .") if str(error).strip() else type(error).__name__
