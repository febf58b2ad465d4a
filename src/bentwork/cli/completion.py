"""``bentwork completion``."""

from __future__ import annotations

import click

from bentwork.cli.edge import put

SHORT = "Print what teaches your shell to complete commands."
HELP = """Print what teaches your shell to complete commands, options and shapes.

\b
Example: eval "$(bentwork completion bash)"
"""


@click.command("completion", help=HELP, short_help=SHORT)
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
@click.pass_context
def completion(context: click.Context, shell: str) -> None:
    """Print what teaches a shell to complete commands."""
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    assert kind is not None
    put(kind(context.find_root().command, {}, "bentwork", "_BENTWORK_COMPLETE").source())
