# SPDX-License-Identifier: MIT
"""The command line: data on stdout, talk on stderr.

Exit code 0: nothing asked fails or is unknown. 1: something does. 2: bad input.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from retortwright import __version__
from retortwright.ground.errors import UserError

if TYPE_CHECKING:
    from retortwright.assess.assessment import Assessment

__all__ = ["assess", "closed", "commands", "draw", "explain", "main", "new"]

_SETTINGS = {"help_option_names": ["-h", "--help"]}


@click.group(context_settings=_SETTINGS)
@click.version_option(__version__, message="retortwright %(version)s")
def commands() -> None:
    """From one text file that describes a hot retort and its line: will it work, and will it hurt?

    Start with:  retortwright new rig.toml   then   retortwright assess rig.toml
    """


def _rig_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """RIG, --set and -o, the same for every command that reads a rig."""
    for option in (
        click.option(
            "-o", "output", metavar="FILE", help="Write to this file, not to the screen; - is the screen."
        ),
        click.option(
            "--set",
            "edits",
            multiple=True,
            metavar="KEY=VALUE",
            help="Change the rig for this once; may be repeated.",
        ),
        click.argument("rig"),
    ):
        command = option(command)
    return command


@commands.command()
@click.option("-o", "output", metavar="FILE", help="The same as naming the FILE.")
@click.argument("file", required=False)
def new(file: str | None, output: str | None) -> None:
    """Write a commented rig file to start from, to FILE or to the screen.

    Example:  retortwright new rig.toml
    """
    from retortwright.cli.writing import write_new
    from retortwright.rig.starter import starter_text

    file = output if file is None else file
    if file in (None, "-"):
        click.echo(starter_text(), nl=False)
        return
    write_new(file, starter_text())
    click.echo(f"{file} written. Make it yours, then: retortwright assess {file}", err=True)


@commands.command()
@_rig_options
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def assess(rig: str, edits: tuple[str, ...], output: str | None, form: str) -> None:
    """Answer what can be answered about a rig, gravest first.

    Example:  retortwright assess rig.toml --set "piece.line.length=250 mm"
    """
    from retortwright.report.json_report import as_json
    from retortwright.report.text_report import as_text

    _may_put(output, rig)
    assessment = _assessed(rig, edits)
    _put(as_json(assessment) if form == "json" else as_text(assessment), output, rig)
    sys.exit(1 if assessment.verdict in ("fails", "unknown") else 0)


@commands.command()
@_rig_options
@click.argument("finding")
def explain(rig: str, edits: tuple[str, ...], output: str | None, finding: str) -> None:
    """Show one finding down to its formula, inputs and sources.

    Example:  retortwright explain rig.toml seal-heat/charging-arm.closed/distil
    """
    from retortwright.report.explanation import explained, explained_refusal

    _may_put(output, rig)
    assessment = _assessed(rig, edits, finding)
    refusal = assessment.refusal(finding)
    if refusal is not None:
        _put(explained_refusal(assessment, refusal), output, rig)
        sys.exit(1)
    found = assessment.find(finding)
    _put(explained(assessment, found, assessment.shares(found)), output, rig)
    sys.exit(1 if found.verdict in ("fails", "unknown") else 0)


@commands.command()
@_rig_options
@click.option("--state", metavar="STATE", help="The state to draw; the hottest one unless said.")
@click.option("--plot", type=click.Choice(["pressures", "line"]), help="Draw curves instead of the rig.")
def draw(rig: str, edits: tuple[str, ...], output: str | None, state: str | None, plot: str | None) -> None:
    """Draw a rig as a section to scale, with its temperatures, vapour and the verdict at every joint, as SVG.

    One state is drawn, with nothing lost: what a lost cooling does is told by assess. `--plot pressures`
    draws what stands over the charge against temperature, `--plot line` the wall temperature along every
    branch with the dew point. Exit code 0 whatever the verdicts: they are in the picture.

    Example:  retortwright draw rig.toml --state distil -o rig.svg
    """
    from retortwright.assess.one_state import joints_of
    from retortwright.report.drawing.pictures import picture_of
    from retortwright.report.drawing.scene import state_to_draw
    from retortwright.rig.edit import edited, parse_edit
    from retortwright.rig.reading import read_rig

    _may_put(output, rig)
    changes = [parse_edit(edit) for edit in edits]
    changed = edited(read_rig(rig), changes)
    state = state_to_draw(changed, state)
    found = joints_of(changed, state, edits=[(change.key, change.value) for change in changes])
    _put(picture_of(found, state, plot), output, rig)


@commands.command()
@_rig_options
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def closed(rig: str, edits: tuple[str, ...], output: str | None, form: str) -> None:
    """Print what every closed volume comes to, whatever is shut, plugged or stops: to hang at the furnace.

    Example:  retortwright closed rig.toml -o closed.txt
    """
    from retortwright.assess.closed_rows import closed_rows
    from retortwright.assess.refusals import refusals_of
    from retortwright.belief.beliefs import Draws
    from retortwright.reference.tables import shipped
    from retortwright.report.closed_table import closed_json, closed_text
    from retortwright.rig.edit import edited, parse_edit
    from retortwright.rig.reading import read_rig
    from retortwright.situation.situation import Situation

    _may_put(output, rig)
    changes = [parse_edit(edit) for edit in edits]
    situation = Situation(edited(read_rig(rig), changes), shipped(), Draws())
    if form == "json":
        text = closed_json(situation, [(change.key, change.value) for change in changes])
    else:
        text = closed_text(situation, [str(change) for change in changes])
    _put(text, output, rig)
    stands = [row.verdict for row in closed_rows(situation)]
    sys.exit(1 if refusals_of(situation) or "fails" in stands or "unknown" in stands else 0)


def _assessed(path: str, edits: tuple[str, ...], remedies: bool | str = True) -> Assessment:
    from retortwright.assess.assessment import assess as assessed
    from retortwright.rig.edit import edited, parse_edit
    from retortwright.rig.reading import read_rig

    changes = [parse_edit(edit) for edit in edits]
    rig = edited(read_rig(path), changes)
    return assessed(rig, edits=[(change.key, change.value) for change in changes], remedies=remedies)


def _may_put(output: str | None, rig: str) -> None:
    """Refuse a place that may not be written before anything is computed."""
    if output not in (None, "-"):
        from retortwright.cli.writing import may_write

        may_write(str(output), rig)


def _put(text: str, output: str | None, rig: str) -> None:
    if output in (None, "-"):
        click.echo(text, nl=False)
        sys.stdout.flush()  # so that a full disk shows here and not on the way out
        return
    from retortwright.cli.writing import write_over_own

    write_over_own(str(output), text, rig)
    click.echo(f"{output} written.", err=True)


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
