"""One server for all tests of it; where there is none on this machine they are skipped."""

import importlib.util
from collections.abc import Iterator

import pytest

from tests.record.server.postgres import PLACES, Postgres


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    if not PLACES:
        pytest.skip("PostgreSQL is not installed: Debian's package `postgresql` has it")
    if importlib.util.find_spec("psycopg") is None:
        pytest.skip("psycopg is not installed: it comes with shopclock[server]")
    server = Postgres()
    yield server
    server.close()


@pytest.fixture
def where(postgres: Postgres) -> str:
    return postgres.new_database()
