# SPDX-License-Identifier: MIT
"""Commands that print a sheet: the drawing, closed volumes, the card, the run in time, the routes to a metal."""

from __future__ import annotations

import sys

import click

from retortwright.cli.shared import changed_situation, may_put, put, rig_options

__all__ = ["card", "closed", "draw", "forecast", "routes"]


@click.command()
@rig_options
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

    may_put(output, rig)
    changes = [parse_edit(edit) for edit in edits]
    changed = edited(read_rig(rig), changes)
    state = state_to_draw(changed, state)
    found = joints_of(changed, state, edits=[(change.key, change.value) for change in changes])
    put(picture_of(found, state, plot), output, rig)


@click.command()
@rig_options
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def closed(rig: str, edits: tuple[str, ...], output: str | None, form: str) -> None:
    """Print what every closed volume comes to, whatever is shut, plugged or stops: to hang at the furnace.

    Example:  retortwright closed rig.toml -o closed.txt
    """
    from retortwright.assess.closed_rows import closed_rows
    from retortwright.assess.refusals import refusals_of
    from retortwright.report.closed_table import closed_json, closed_text

    may_put(output, rig)
    situation, changes = changed_situation(rig, edits)
    if form == "json":
        text = closed_json(situation, [(change.key, change.value) for change in changes])
    else:
        text = closed_text(situation, [str(change) for change in changes])
    put(text, output, rig)
    stands = [row.verdict for row in closed_rows(situation)]
    sys.exit(1 if refusals_of(situation) or "fails" in stands or "unknown" in stands else 0)


@click.command()
@rig_options
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def card(rig: str, edits: tuple[str, ...], output: str | None, form: str) -> None:
    """Print the card for fire, opening and quench: what lies where, what it does, what has to stand ready.

    Example:  retortwright card rig.toml -o card.txt
    """
    from retortwright.assess.refusals import refusals_of
    from retortwright.report.card import card_findings, card_json, card_text

    may_put(output, rig)
    situation, changes = changed_situation(rig, edits)
    if form == "json":
        text = card_json(situation, [(change.key, change.value) for change in changes])
    else:
        text = card_text(situation, [str(change) for change in changes])
    put(text, output, rig)
    stands = [each.verdict for each in card_findings(situation)]
    sys.exit(1 if refusals_of(situation) or "fails" in stands or "unknown" in stands else 0)


@click.command()
@rig_options
@click.option(
    "--samples", metavar="N", type=click.IntRange(16, 4096), default=256, show_default=True, help="How many."
)
@click.option(
    "--every", metavar="TIME", default="10 min", show_default=True, help="How far apart the rows are."
)
@click.option(
    "--format", "form", type=click.Choice(["text", "csv", "json"]), default="text", show_default=True
)
def forecast(
    rig: str, edits: tuple[str, ...], output: str | None, samples: int, every: str, form: str
) -> None:
    """Follow the programme in time: what the charge does, what comes over, what the gauges show, what bounds it.

    Exit code 0 if it can be told, 1 if something that is not known, or a refusal, stops it.

    Example:  retortwright forecast rig.toml --every "5 min" --format csv -o run.csv
    """
    from retortwright.cli.writing import every_of
    from retortwright.report.forecast_data import forecast_csv, forecast_json
    from retortwright.report.forecast_rows import told_of
    from retortwright.report.forecast_text import forecast_text

    may_put(output, rig)
    apart = every_of(every)
    situation, changes = changed_situation(rig, edits, samples)
    told = told_of(situation, apart, [(change.key, change.value) for change in changes])
    faces = {"text": forecast_text, "csv": forecast_csv, "json": forecast_json}
    put(faces[form](told), output, rig)
    sys.exit(0 if told.known is not None else 1)


@click.command()
@click.argument("metal")
@click.option("--hottest", metavar="TEMPERATURE", help='The most the pot may get, such as "900 degC".')
@click.option("--vessel", metavar="MATERIAL", help="What the pot is made of, such as 304L.")
@click.option("--stock", metavar="FORMULAS", help='Only what is at hand, such as "KCl, Ca, Li".')
@click.option(
    "--grade", type=click.Choice(["display", "cell", "ultra-clean"]), default="display", show_default=True
)
@click.option(
    "--samples",
    type=click.IntRange(16, 1024),
    default=64,
    show_default=True,
    help="How finely bands are drawn.",
)
@click.option(
    "--format", "form", type=click.Choice(["text", "json", "csv"]), default="text", show_default=True
)
@click.option("-o", "output", metavar="FILE", help="Write to this file, not to the screen; - is the screen.")
def routes(
    metal: str, hottest: str | None, vessel: str | None, stock: str | None, grade: str, samples: int, form: str,
    output: str | None,
) -> None:  # fmt: skip
    """List the routes to a METAL, best first: salt or oxide, reductant, temperatures, what comes along, walls.

    Each is a charge weighed by the book and computed as `assess` computes yours. Exit code 0 where one of them
    holds or is thin, 1 where none does.

    Example:  retortwright routes K --vessel 304L --hottest "850 degC"
    """
    from retortwright.belief.beliefs import Draws
    from retortwright.cli.routes import answer, asked_of

    may_put(output, "")
    asked = asked_of(metal, grade, vessel, hottest, stock)
    text, cards = answer(asked, form, Draws(samples))
    put(text, output, "")
    sys.exit(0 if any(card.verdict in ("holds", "thin") for card in cards) else 1)
