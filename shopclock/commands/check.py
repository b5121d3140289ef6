"""The command that tells whether a record is sound."""

from pathlib import Path

import click

from shopclock.commands.common import confirm, instant_us, quiet_option, reading_of, record_option


@click.command()
@quiet_option
@record_option
def check(record: Path) -> int:
    """Tell whether a record is sound: the file, both sums, all that is derived, the journal."""
    from shopclock.exchange.check_text import running_text, sound_text
    from shopclock.record.check.check import check as wrong_with
    from shopclock.record.check.check import still_running

    wrong = wrong_with(record)
    for sentence in wrong:
        click.echo(sentence, err=True)
    if wrong:
        return 1
    with reading_of(record) as reading:
        confirm(sound_text(reading))
        for row in still_running(record):
            confirm(running_text(row, reading.floor, instant_us()))
    return 0
