"""What other tools read on the server: the tables of things and the documented views, as the record has them."""

from contextlib import closing
from decimal import Decimal
from pathlib import Path

from shopclock.demo.write import write_demo
from shopclock.record.file.opening import open_reader
from shopclock.record.file.views import VIEWS
from shopclock.record.joining.presses import heard_of
from shopclock.record.press.record import Record
from shopclock.record.server import joining_in, tables
from shopclock.record.server.server import Server
from tests.record.machine import EVENING_US, Machine
from tests.record.server.postgres import Postgres


def test_tables_and_views_say_what_the_record_says(tmp_path: Path, where: str, postgres: Postgres) -> None:
    """The invented shop of the demo, two years of it."""
    path = tmp_path / "demo.shopclock"
    write_demo(path, EVENING_US)
    with closing(Record.open(path, Machine(EVENING_US + 60_000_000))) as record:
        joining_in.init(record, where)
    here = open_reader(path)
    with here.begin() as connection:
        for view in VIEWS:
            columns = ", ".join(f'"{column.name}"' for column in view.columns)
            own = connection.exec_driver_sql(f"SELECT {columns} FROM {view.name}").all()  # noqa: S608 - names of ours
            there = _there(where, columns, view.name)
            assert len(own) == len(there) > 0, view.name
            assert _sorted(own) == _sorted(there), view.name
        for table in tables.things():
            count = connection.exec_driver_sql(f'SELECT count(*) FROM "{table.name}"').scalar_one()  # noqa: S608 - names of ours
            assert postgres.sql(f'SELECT count(*) FROM shopclock."{table.name}"', where) == [(count,)], table.name  # noqa: S608 - names of ours
        with closing(Server(where)) as server:
            assert server.stands() == heard_of(connection)
    here.dispose()


def _there(where: str, columns: str, view: str) -> list[tuple[object, ...]]:
    import psycopg

    with psycopg.connect(where, autocommit=True) as connection:
        connection.execute("SET search_path = shopclock, public")
        return connection.execute(f"SELECT {columns} FROM {view}").fetchall()  # noqa: S608 - names of ours


def _sorted(rows: list[tuple[object, ...]]) -> list[tuple[object, ...]]:
    """Rows with numbers to a millionth: the two divide differently in the last place."""
    return sorted((tuple(_plain(value) for value in row) for row in rows), key=repr)


def _plain(value: object) -> object:
    return round(float(value), 6) if isinstance(value, int | float | Decimal) else value
