"""The command line. Commands import what they need when they are called, so that help is there at once."""

from __future__ import annotations

import errno
import os
import sys

import click

from bentwork import __version__
from bentwork.cli.bench import log, next_step
from bentwork.cli.bender import bender
from bentwork.cli.buy import buy
from bentwork.cli.carry import carry
from bentwork.cli.check import check
from bentwork.cli.completion import completion
from bentwork.cli.demo import demo
from bentwork.cli.edge import put
from bentwork.cli.export import export
from bentwork.cli.finish import finish
from bentwork.cli.fitup import fitup, mend
from bentwork.cli.measure import measure
from bentwork.cli.new import new
from bentwork.cli.open import open_page
from bentwork.cli.paper import paper
from bentwork.cli.parts import parts
from bentwork.cli.plan import plan
from bentwork.cli.takeoff import takeoff
from bentwork.cli.testbend import testbend
from bentwork.cli.weld import weld
from bentwork.cli.workshop import workshop

__all__ = ["app", "main"]

HELP = """Frames bent from bar, tube and flat on a small manual bender: from a job file to marks on the bar.

Without a command it opens your jobs in the browser.
"""


@click.group(
    "bentwork",
    help=HELP,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="bentwork", message="%(prog)s %(version)s")
@click.pass_context
def app(context: click.Context) -> None:
    """Gather the commands; alone, open the page."""
    if context.invoked_subcommand is None:
        context.invoke(open_page)


for command in (
    open_page,
    new,
    takeoff,
    bender,
    check,
    plan,
    carry,
    measure,
    parts,
    weld,
    finish,
    buy,
    paper,
    export,
    testbend,
    fitup,
    next_step,
    log,
    mend,
    workshop,
    demo,
    completion,
):
    app.add_command(command)

_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)


def main() -> None:
    """Run the command line; a wrong command ends with status 2, Ctrl-C with a word and status 130."""
    # Matrices here are small: several threads for one product take three times as long (measured, two cores).
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        status = app.main(prog_name="bentwork", standalone_mode=False)
    except click.ClickException as error:
        error.show()
        if "--json" in sys.argv:
            from bentwork.files.plan_json import dumps, fault_document

            put(dumps(fault_document(error)))
        raise SystemExit(2) from None
    except (click.Abort, KeyboardInterrupt):
        print("stopped; nothing was left half written", file=sys.stderr)
        raise SystemExit(130) from None
    except OSError as error:
        # Files have their own words; what has no name and no room is what was to be printed.
        if error.filename is not None or error.errno not in _NO_ROOM:
            raise
        print(f"what was to be printed could not be written: {error.strerror}", file=sys.stderr)
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # it is flushed once more at exit
        raise SystemExit(2) from None
    raise SystemExit(status if isinstance(status, int) else 0)
