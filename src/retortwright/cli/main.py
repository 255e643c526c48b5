# SPDX-License-Identifier: MIT
"""The command line: data on stdout, talk on stderr.

Exit code 0: nothing asked fails or is unknown. 1: something does. 2: bad input.
"""

from __future__ import annotations

import os
import sys

import click

from retortwright import __version__
from retortwright.cli.asking import assess, explain, new, solve
from retortwright.cli.sheets import card, closed, draw, forecast, routes
from retortwright.ground.errors import UserError

__all__ = ["commands", "main"]

_SETTINGS = {"help_option_names": ["-h", "--help"]}


@click.group(context_settings=_SETTINGS)
@click.version_option(__version__, message="retortwright %(version)s")
def commands() -> None:
    """From one text file that describes a hot retort and its line: will it work, and will it hurt?

    Start with:  retortwright new rig.toml   then   retortwright assess rig.toml
    """


for _each in (new, assess, explain, solve, draw, closed, card, forecast, routes):
    commands.add_command(_each)


def main() -> None:
    """Run the command line; mistakes of the user are sentences, never tracebacks."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")  # the small solves here are slower on many threads
    try:
        commands.main(standalone_mode=False)
    except UserError as error:
        for line in error.lines():
            click.echo(line, err=True)
        sys.exit(2)
    except click.ClickException as error:
        error.show()
        sys.exit(2)
    except click.Abort:
        click.echo("stopped.", err=True)
        sys.exit(130)
    except OSError as error:
        _stop_talking()
        if not isinstance(error, BrokenPipeError):
            click.echo(f"cannot write the answer: {error.strerror}; nothing can be relied on", err=True)
        sys.exit(2)


def _stop_talking() -> None:
    """Nothing more goes to a stdout that cannot take it: what is left in its buffer is dropped."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
