"""The first version's tables as SQL. Until version 1 is released: .venv/bin/python -m tests.record.freeze."""

from pathlib import Path

import sqlalchemy as sa

from shopclock.record.file import migrate, schema

FILE = migrate.SCRIPTS / "versions" / "v0001_first.sql"


def tables_now() -> str:
    """What `schema.create` makes, statement by statement, without the spaces at the ends of lines."""
    engine = sa.create_engine("sqlite://", poolclass=sa.StaticPool)
    with engine.begin() as connection:
        schema.create(connection)
        made = connection.exec_driver_sql(
            "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'"
            " ORDER BY type != 'table', type = 'trigger', CASE type WHEN 'table' THEN rowid END, name"
        ).scalars()
        return "".join("\n".join(line.rstrip() for line in sql.strip().splitlines()) + "\n;\n" for sql in made)


if __name__ == "__main__":
    Path(FILE).write_text(tables_now(), encoding="utf-8")
