# SPDX-License-Identifier: MIT
"""The next cheap measurement: what would narrow the driver, and the band after it.

The band after is computed again with the driver's spread cut to what such a measurement
leaves; all other draws stay as they are.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from retortwright.assess.attacked import QUESTION as ATTACKS
from retortwright.assess.attacked import WHAT_ATTACKS
from retortwright.assess.drivers import driver_of
from retortwright.assess.finding import Finding, Next, judged
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.assess.how_clean import HOW_CLEAN
from retortwright.assess.hurts_you import QUESTION as HURTS
from retortwright.assess.hurts_you import hurts_values
from retortwright.assess.makes_metal import MAKES_METAL
from retortwright.assess.stands import STANDS
from retortwright.assess.tight import QUESTION as TIGHT
from retortwright.assess.tight import tight_values
from retortwright.assess.worth_it import WORTH_IT
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing, number_of
from retortwright.reference.tables import Tables
from retortwright.situation.loss import cooling_down, losses_of
from retortwright.situation.situation import Situation

__all__ = ["measurement_of", "values_of", "with_next"]

_EVERY, _FEW = 4, 128  # every so many samples, where there are more


def measurement_of(tables: Tables, belief: str) -> tuple[str, float] | None:
    """What to do about a belief and the share of its band that is left; None if we know nothing."""
    parts = belief.split(".")
    for length in range(len(parts), 0, -1):
        subject = ".".join(parts[:length])
        do, left = tables.find("measurements", subject, "do"), tables.find("measurements", subject, "left")
        if not isinstance(do, Missing) and not isinstance(left, Missing):
            return do.data, number_of(left).best
    return None


def with_next(
    situation: Situation, findings: tuple[Finding, ...], one: str | None = None
) -> tuple[Finding, ...]:
    """The findings (or one of them) with driver, and where it does not hold with its next measurement."""
    known: dict[str, Situation] = {}
    return tuple(
        _measured(situation, _driven(situation, finding), known) if one in (None, finding.id) else finding
        for finding in findings
    )


def values_of(situation: Situation, finding: Finding) -> Array:
    """The samples behind a finding."""
    if finding.question == TIGHT:
        return tight_values(situation, finding)
    for asked in (MAKES_METAL, GETS_ACROSS, HOW_CLEAN, STANDS, WHAT_ATTACKS, WORTH_IT):
        if finding.question == asked.number:
            return asked.values(situation, finding)
    if finding.question == HURTS:
        return hurts_values(situation, finding)
    if finding.lost is not None:
        loss = next(loss for loss in losses_of(situation.rig, finding.state) if loss.name == finding.lost)
        if finding.when == "before":
            return situation.heat(finding.state).joints[finding.at]
        if finding.when == "peak":
            return situation.through(loss).peak[finding.at]
        return situation.lasting(loss).joints[finding.at]
    down = cooling_down(situation.rig, finding.state) if finding.when != "steady" else None
    if down is not None and finding.when == "before":
        return situation.heat(down.name).joints[finding.at]
    if down is not None:
        whole = finding.when == "lasting"
        return (
            situation.lasting(down).joints[finding.at] if whole else situation.through(down).peak[finding.at]
        )
    picture = situation.heat(finding.state)
    return (picture.colder if finding.worse == "low" else picture.joints)[finding.at]


def _driven(situation: Situation, finding: Finding) -> Finding:
    if finding.verdict == "unknown" or not finding.inputs:
        return finding
    values = values_of(situation, finding)
    return replace(finding, driver=driver_of(values, finding.inputs, situation.draws))


def _measured(situation: Situation, finding: Finding, known: dict[str, Situation]) -> Finding:
    if (
        finding.driver is None
        or finding.when != "steady"
        or finding.verdict == "holds"
        or finding.limit is None
        or finding.reserve is None
        or (
            finding.question == ATTACKS and finding.judgement.settled
        )  # what touches harms, however hot it is
    ):
        return finding
    driver = finding.driver.input
    measurement = measurement_of(situation.tables, driver)
    if measurement is None:
        return finding
    do, left = measurement
    then = judged(
        values_of(_known(situation, finding, left, known), finding),
        finding.limit,
        finding.reserve,
        finding.worse,
    )
    if then.low is None or then.high is None:
        return finding
    return replace(finding, next=Next(do, driver, then.low, then.high, then.verdict))


def _known(situation: Situation, finding: Finding, left: float, known: dict[str, Situation]) -> Situation:
    """The rig with the driver known better; where a charge has to be followed anew, on every fourth sample."""
    assert finding.driver is not None
    driver = finding.driver.input
    if driver in known or finding.question != HOW_CLEAN.number:
        if driver not in known:
            known[driver] = situation.narrowed(driver, left)
        return known[driver]
    name = f"{driver}, some"
    if name not in known:
        draws, size = situation.draws.narrowed(driver, left), situation.draws.size
        some = np.arange(0, size, _EVERY if size > _FEW else 1)
        picks = some if draws.pick is None else np.array(draws.pick)[some]
        known[name] = situation.drawn(draws if len(some) == size else draws.picked(picks))
    return known[name]
