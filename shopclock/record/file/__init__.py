"""The file: schema, engine, writing, undo, migrations, heartbeat."""
