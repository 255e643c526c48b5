# SPDX-License-Identifier: MIT
"""What the commands share: how a rig is named and changed, and where an answer goes."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from retortwright.rig.edit import Edit
    from retortwright.situation.situation import Situation

__all__ = ["changed_situation", "may_put", "put", "rig_options"]


def rig_options(command: Callable[..., Any]) -> Callable[..., Any]:
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


def changed_situation(
    rig: str, edits: tuple[str, ...], samples: int | None = None
) -> tuple[Situation, list[Edit]]:
    """The situation of a rig with the edits of --set made, and those edits."""
    from retortwright.belief.beliefs import Draws
    from retortwright.reference.tables import shipped
    from retortwright.rig.edit import edited, parse_edit
    from retortwright.rig.reading import read_rig
    from retortwright.situation.situation import Situation

    changes = [parse_edit(edit) for edit in edits]
    draws = Draws() if samples is None else Draws(samples)
    return Situation(edited(read_rig(rig), changes), shipped(), draws), changes


def may_put(output: str | None, rig: str) -> None:
    """Refuse a place that may not be written before anything is computed."""
    if output not in (None, "-"):
        from retortwright.cli.writing import may_write

        may_write(str(output), rig)


def put(text: str, output: str | None, rig: str) -> None:
    """Write an answer to the screen or over one that this program wrote."""
    if output in (None, "-"):
        click.echo(text, nl=False)
        sys.stdout.flush()  # so that a full disk shows here and not on the way out
        return
    from retortwright.cli.writing import write_over_own

    write_over_own(str(output), text, rig)
    click.echo(f"{output} written.", err=True)
