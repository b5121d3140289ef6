"""The command that prints what a shell needs to complete the others."""

import click
from click.shell_completion import get_completion_class

from shopclock.places import COMPLETES


@click.command()
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
@click.pass_context
def completion(context: click.Context, shell: str) -> None:
    """Print the script by which SHELL completes commands and options.

    For bash `shopclock completion bash >> ~/.bash_completion`, for fish into ~/.config/fish/completions/shopclock.fish.
    """
    made = get_completion_class(shell)
    if made is not None:
        click.echo(made(context.find_root().command, {}, "shopclock", COMPLETES).source())
