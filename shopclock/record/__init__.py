"""The shop's record on disk: tables, migrations, journal, one function for each thing that is done."""
