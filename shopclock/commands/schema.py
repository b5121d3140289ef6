"""The command that prints the JSON Schema of what another answers."""

import json

import click


@click.command()
@click.argument("name", metavar="COMMAND")
def schema(name: str) -> None:
    """Print the JSON Schema of what COMMAND answers with --json, or export writes as .json."""
    from shopclock.commands.answer_keys import ANSWERS, schema_of

    if name not in ANSWERS:
        raise click.UsageError(f"{name!r} answers with no JSON. These do: {', '.join(ANSWERS)}.")
    click.echo(json.dumps(schema_of(name), indent=2, ensure_ascii=False))
