# SPDX-License-Identifier: MIT
"""The whole assessment of a rig: questions asked, findings, cautions, what was not asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from retortwright.assess.across_remedies import with_across_mends
from retortwright.assess.attacked import WHAT_ATTACKS
from retortwright.assess.attacked_remedies import with_attacked_mends
from retortwright.assess.cautions import Caution, cautions_of
from retortwright.assess.clean_remedies import with_clean_mends
from retortwright.assess.drivers import shares_of
from retortwright.assess.finding import Finding
from retortwright.assess.gets_across import GETS_ACROSS
from retortwright.assess.how_clean import HOW_CLEAN
from retortwright.assess.hurts_remedies import with_hurts_mends
from retortwright.assess.hurts_you import what_can_hurt
from retortwright.assess.joints_cooling import joints_cooling
from retortwright.assess.joints_live import joints_live
from retortwright.assess.joints_lost import joints_lost
from retortwright.assess.makes_metal import MAKES_METAL
from retortwright.assess.makes_remedies import with_charge_mends
from retortwright.assess.measure import values_of, with_next
from retortwright.assess.refusal import Refusal
from retortwright.assess.refusals import refusals_of, withheld
from retortwright.assess.remedies import with_mends
from retortwright.assess.scaled_remedies import with_scaled_mends
from retortwright.assess.stands import STANDS
from retortwright.assess.stands_remedies import with_stands_mends
from retortwright.assess.tight import is_it_tight
from retortwright.assess.tight_remedies import with_gas_mends
from retortwright.assess.worth_it import WORTH_IT
from retortwright.belief.beliefs import Draws
from retortwright.ground.errors import AskError, nearest
from retortwright.ground.words import QUESTIONS, VERDICTS, worst
from retortwright.reference.tables import Tables, shipped
from retortwright.rig.parts import Rig
from retortwright.situation.situation import Situation

__all__ = ["ANSWERED", "Assessment", "assess", "findings_of"]


def _will_every_joint_live(situation: Situation) -> Iterator[Finding]:
    yield from joints_live(situation)
    yield from joints_cooling(situation)
    yield from joints_lost(situation)


ANSWERED: dict[int, Callable[[Situation], Iterator[Finding]]] = {
    1: MAKES_METAL.findings,
    2: GETS_ACROSS.findings,
    3: HOW_CLEAN.findings,
    4: _will_every_joint_live,
    5: STANDS.findings,
    6: is_it_tight,
    7: WHAT_ATTACKS.findings,
    8: what_can_hurt,
    10: WORTH_IT.findings,
}


@dataclass(frozen=True, slots=True)
class Assessment:
    """All findings of a rig, worst first within each question."""

    rig: Rig
    draws: Draws
    tables: Tables
    asked: tuple[int, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]
    edits: tuple[tuple[str, str], ...] = ()
    situation: Situation | None = None
    refused: tuple[Refusal, ...] = ()

    def shares(self, finding: Finding) -> dict[str, float]:
        """The share of the spread of a finding that each input explains."""
        if self.situation is None or finding.judgement.best is None:
            return {}
        return shares_of(values_of(self.situation, finding), finding.inputs, self.draws)

    @property
    def verdict(self) -> str:
        """The gravest verdict of all findings; what is refused fails."""
        return "fails" if self.refused else worst([finding.verdict for finding in self.findings])

    @property
    def not_asked(self) -> tuple[int, ...]:
        """The questions that nothing here answers."""
        return tuple(number for number in QUESTIONS if number not in self.asked)

    def counts(self) -> dict[str, int]:
        """How many findings bear each verdict."""
        return {word: sum(finding.verdict == word for finding in self.findings) for word in VERDICTS}

    def of(self, question: int) -> tuple[Finding, ...]:
        """The findings of one question, gravest first."""
        found = [finding for finding in self.findings if finding.question == question]
        return tuple(sorted(found, key=_gravity))

    def refusal(self, name: str) -> Refusal | None:
        """The refusal of an id, None if that names none."""
        return next((each for each in self.refused if each.id == name), None)

    def find(self, name: str) -> Finding:
        """The finding of an id. Raises AskError with the nearest one."""
        by_id = {finding.id: finding for finding in self.findings}
        if name not in by_id:
            listing = f"retortwright assess {self.rig.path} --format json"
            known = [*by_id, *(each.id for each in self.refused)]
            raise AskError(f"no finding is called '{name}'; {nearest(name, known)}list them with: {listing}")
        return by_id[name]


def _gravity(finding: Finding) -> tuple[int, float, str]:
    margin = finding.judgement.margin
    if margin is not None and finding.quantity != "temperature" and finding.limit:
        margin = margin / abs(finding.limit)  # unlike quantities side by side
    return VERDICTS.index(finding.verdict), margin if margin is not None else float("inf"), finding.id


def findings_of(situation: Situation) -> tuple[Finding, ...]:
    """The findings of every question that can be answered, without measurements and remedies."""
    return tuple(finding for answer in ANSWERED.values() for finding in answer(situation))


def assess(
    rig: Rig,
    draws: Draws | None = None,
    tables: Tables | None = None,
    edits: Sequence[tuple[str, str]] = (),
    remedies: bool | str = True,
) -> Assessment:
    """The assessment of a rig.

    Parameters: the rig; how to draw (256 samples, seed 1 unless said); the tables (the shipped
    ones unless said); the edits that made this rig, to be repeated on every face; whether to
    look for measurements and remedies too, or the id of the one finding to look for.
    """
    tables = tables or shipped()
    situation = Situation(rig, tables, draws or Draws())
    refused = refusals_of(situation)
    findings = withheld(findings_of(situation), refused)
    if remedies:
        one = remedies if isinstance(remedies, str) else None
        findings = with_next(situation, findings, one)
        findings = with_mends(situation, findings, lambda changed: tuple(joints_live(changed)), one)
        findings = with_gas_mends(situation, findings, one)
        findings = with_charge_mends(situation, findings, one)
        findings = with_across_mends(situation, findings, one)
        findings = with_clean_mends(situation, findings, one)
        findings = with_hurts_mends(situation, findings, one)
        findings = with_stands_mends(situation, findings, one)
        findings = with_attacked_mends(situation, findings, one)
        findings = with_scaled_mends(situation, findings, one)
    return Assessment(
        rig,
        situation.draws,
        tables,
        tuple(ANSWERED),
        findings,
        cautions_of(situation),
        tuple(edits),
        situation,
        refused,
    )
