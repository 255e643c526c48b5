# SPDX-License-Identifier: MIT
"""Commands that judge a rig: a file to start from, the assessment, one finding, one key solved for."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from retortwright.cli.shared import may_put, put, rig_options

if TYPE_CHECKING:
    from retortwright.assess.assessment import Assessment

__all__ = ["assess", "explain", "new", "solve"]


@click.command()
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


@click.command()
@rig_options
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def assess(rig: str, edits: tuple[str, ...], output: str | None, form: str) -> None:
    """Answer what can be answered about a rig, gravest first.

    Example:  retortwright assess rig.toml --set "piece.line.length=250 mm"
    """
    from retortwright.report.json_report import as_json
    from retortwright.report.text_report import as_text

    may_put(output, rig)
    assessment = _assessed(rig, edits)
    put(as_json(assessment) if form == "json" else as_text(assessment), output, rig)
    sys.exit(1 if assessment.verdict in ("fails", "unknown") else 0)


@click.command()
@rig_options
@click.argument("finding")
def explain(rig: str, edits: tuple[str, ...], output: str | None, finding: str) -> None:
    """Show one finding down to its formula, inputs and sources.

    Example:  retortwright explain rig.toml seal-heat/charging-arm.closed/distil
    """
    from retortwright.report.explanation import explained, explained_refusal

    may_put(output, rig)
    assessment = _assessed(rig, edits, finding)
    refusal = assessment.refusal(finding)
    if refusal is not None:
        put(explained_refusal(assessment, refusal), output, rig)
        sys.exit(1)
    found = assessment.find(finding)
    put(explained(assessment, found, assessment.shares(found)), output, rig)
    sys.exit(1 if found.verdict in ("fails", "unknown") else 0)


@click.command()
@rig_options
@click.option("--vary", "key", required=True, metavar="KEY", help="The key of the rig file to change.")
@click.option(
    "--until",
    required=True,
    metavar="FINDING=holds",
    help="The finding by its id; =holds (what is taken) or =thin.",
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def solve(rig: str, edits: tuple[str, ...], output: str | None, key: str, until: str, form: str) -> None:
    """Look for the smallest change of one key after which a finding holds, and say what else turns with it.

    Exit code 0 where a value was found or none is needed, 1 where none serves.

    Example:  retortwright solve rig.toml --vary piece.charging-arm.length --until seal-heat/charging-arm.closed/distil
    """
    from retortwright.assess.solving import solve as solved
    from retortwright.reference.tables import shipped
    from retortwright.report.solution_report import solution_json, solution_text
    from retortwright.rig.edit import edited, parse_edit
    from retortwright.rig.reading import read_rig
    from retortwright.situation.situation import Situation

    may_put(output, rig)
    changes = [parse_edit(edit) for edit in edits]
    found = solved(edited(read_rig(rig), changes), shipped(), key, until)
    situation = Situation(found.rig, shipped(), found.draws)
    made = [(change.key, change.value) for change in changes]
    text = solution_json(found, situation, made) if form == "json" else solution_text(found, situation)
    put(text, output, rig)
    sys.exit(0 if found.good else 1)


def _assessed(path: str, edits: tuple[str, ...], remedies: bool | str = True) -> Assessment:
    from retortwright.assess.assessment import assess as assessed
    from retortwright.rig.edit import edited, parse_edit
    from retortwright.rig.reading import read_rig

    changes = [parse_edit(edit) for edit in edits]
    rig = edited(read_rig(path), changes)
    return assessed(rig, edits=[(change.key, change.value) for change in changes], remedies=remedies)
