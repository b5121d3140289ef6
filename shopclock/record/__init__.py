"""The shop's record on disk: SQLite through SQLAlchemy, one transaction a press."""
