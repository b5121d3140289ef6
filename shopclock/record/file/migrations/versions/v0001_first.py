"""The first version: every table, as written down in v0001_first.sql when it was released."""

from pathlib import Path

from alembic import op

revision = "1"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    script = Path(__file__).with_suffix(".sql").read_text(encoding="utf-8")
    for statement in script.split("\n;\n"):
        if statement.strip():
            op.get_bind().exec_driver_sql(statement)
