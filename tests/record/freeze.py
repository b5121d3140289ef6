"""What version 2 adds to version 1, as SQL. Until version 2 is released: .venv/bin/python -m tests.record.freeze."""

import re
from collections.abc import Iterator

import sqlalchemy as sa

from shopclock.record.file import migrate, schema

VERSIONS = migrate.SCRIPTS / "versions"
FIRST, FILE = VERSIONS / "v0001_first.sql", VERSIONS / "v0002_standing.sql"
_OF = re.compile(r'CREATE (?:TABLE "?(?P<table>\w+)|.*? ON "?(?P<on>\w+))', re.DOTALL)


def tables_now() -> str:
    """Return what `schema.create` makes of tables that version 1 has otherwise or not at all, with their indexes."""
    before = statements(FIRST.read_text(encoding="utf-8"))
    made = [statement for statement in _made() if statement not in before]
    changed = {table_of(statement) for statement in made if statement.startswith("CREATE TABLE")}
    wanted = (statement for statement in _made() if statement in made or table_of(statement) in changed)
    return "".join(f"{statement}\n;\n" for statement in wanted)


def statements(script: str) -> list[str]:
    """Return the statements of a script, one after another."""
    return [statement for statement in script.split("\n;\n") if statement.strip()]


def table_of(statement: str) -> str:
    """Return the table that a statement makes, or makes something for."""
    found = _OF.match(statement)
    if found is None:
        raise ValueError(statement)
    return str(found["table"] or found["on"])


def _made() -> Iterator[str]:
    """Yield the statements of a new record, without the spaces at the ends of lines."""
    engine = sa.create_engine("sqlite://", poolclass=sa.StaticPool)
    with engine.begin() as connection:
        schema.create(connection)
        made = connection.exec_driver_sql(
            "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'"
            " ORDER BY type != 'table', type = 'trigger', CASE type WHEN 'table' THEN rowid END, name"
        ).scalars()
        yield from ("\n".join(line.rstrip() for line in sql.strip().splitlines()) for sql in made)


if __name__ == "__main__":
    FILE.write_text(tables_now(), encoding="utf-8")
