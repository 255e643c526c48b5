# SPDX-License-Identifier: MIT
"""A joint between walls that it cannot join is a mistake that names what could."""

from __future__ import annotations

import pytest

from retortwright.ground.errors import RigError
from retortwright.reference.datum import Row
from retortwright.reference.tables import shipped
from retortwright.rig.pairing import fits, fitting_joints, wall_class
from retortwright.rig.reading import rig_of
from retortwright.rig.starter import starter_text
from retortwright.rig.vocabulary import joints, materials

STEEL, GLASS, SILICA, CERAMIC, HOSE = "304L", "borosilicate", "fused silica", "alumina", "butyl"


def the_mistake(old: str, new: str) -> tuple[str, str]:
    """Key and words of the one mistake after a change of the starter."""
    assert starter_text().count(old) == 1
    with pytest.raises(RigError) as error:
        rig_of(starter_text().replace(old, new))
    (found,) = error.value.mistakes
    return found.key, found.says


def test_every_joint_says_what_it_joins_and_every_wall_is_of_one_class() -> None:
    words = {"metal", "glass", "ceramic", "hose", "any", "alike"}
    for joint in joints():
        row = shipped().find("joints", joint, "joins")
        assert isinstance(row, Row), joint
        assert set(row.data.replace(" / ", " ").split()) <= words, joint
    assert {wall_class(material) for material in materials()} == {"metal", "glass", "ceramic", "hose"}
    assert [wall_class(material) for material in ("PTFE", "tantalum", SILICA)] == ["hose", "metal", "glass"]


@pytest.mark.parametrize(
    ("joint", "walls", "joined"),
    [  # practice: welding, brazing and glass-blowing
        ("TIG", (STEEL, "nickel"), True),
        ("TIG", (STEEL, GLASS), False),
        ("TIG", (GLASS,), False),
        ("silver braze", (STEEL, CERAMIC), False),
        ("blown", (GLASS, GLASS), True),
        ("blown", (GLASS, SILICA), False),
        ("blown", (STEEL, GLASS), False),
        ("flame", (GLASS,), True),
        ("graded glass seal", (STEEL, GLASS), True),
        ("graded glass seal", (SILICA, GLASS), True),
        ("graded glass seal", (STEEL, STEEL), False),
        ("glass-to-metal seal", (STEEL, GLASS), False),
        ("glass-to-metal seal", (STEEL, SILICA), False),
        ("tungsten seal", (GLASS, STEEL), True),
        ("copper knife-edge flange", (STEEL, GLASS), False),
        ("FKM compression", (STEEL, GLASS), True),
        ("epoxy", (CERAMIC, STEEL), True),
        ("rubber bung", (SILICA,), True),
        ("twin ferrule", (STEEL, GLASS), False),
        ("twin ferrule", ("nylon", STEEL), True),
        ("hose clamp", (STEEL, HOSE), True),
        ("hose clamp", (STEEL, STEEL), False),
        ("PTFE seat", (GLASS,), True),
        ("metal seat", (GLASS,), False),
    ],
)
def test_what_joins_what(joint: str, walls: tuple[str, ...], joined: bool) -> None:
    assert fits(joint, walls) is joined
    assert fits(joint, walls[::-1]) is joined


def test_a_weld_on_glass_is_a_mistake_with_a_way_out() -> None:
    key, says = the_mistake('joined   = "graded glass seal"', 'joined   = "TIG"')
    assert key == "piece.receiver.joined"
    assert says.startswith(
        "TIG joins metal to metal; here 304L meets borosilicate; for these: dry ground joint, epoxy, "
    )
    allowed = says.rpartition(": ")[2].split(", ")
    assert allowed == sorted(fitting_joints((STEEL, GLASS)), key=str.casefold)
    assert "graded glass seal" in allowed
    assert not {"TIG", "blown", "glass-to-metal seal", "FKM seat"} & set(allowed)


def test_a_direct_seal_to_borosilicate_is_a_mistake() -> None:
    key, says = the_mistake('joined   = "graded glass seal"', 'joined   = "glass-to-metal seal"')
    assert key == "piece.receiver.joined"
    assert "joins metal to glass, but not borosilicate or fused silica; here 304L meets borosilicate" in says


@pytest.mark.parametrize(
    ("old", "new", "key", "part"),
    [
        ('closed = "copper knife-edge flange"', 'closed = "flame"', "piece.retort.closed", "the wall is 304L"),
        ('thick = "3 mm", joined = "TIG"', 'thick = "3 mm", joined = "blown"', "piece.retort.bottom.joined",
         "blown joins glass to the same glass; here the wall is 304L; for these: "),
        ('valve  = "FKM seat"', 'valve  = "blown"', "piece.V1.valve", "for these: FKM seat, metal seat, PTFE seat"),
        ('sealed = "flame"', 'sealed = "TIG"', "piece.receiver.receives.sealed", "the wall is borosilicate"),
    ],
)  # fmt: skip
def test_ends_and_seats_too(old: str, new: str, key: str, part: str) -> None:
    found, says = the_mistake(old, new)
    assert found == key
    assert part in says


def test_a_by_pass_too() -> None:
    piece = '[piece.loop]\non = "line"\nat = "50 mm"\njoined = "TIG"\ntube = "6 x 1 mm"\nlength = "90 mm"\n'
    meets = 'of = "304L"\nmeets = { piece = "receiver", at = "60 mm", joined = "flare" }\n\n[piece.pump-arm]'
    key, says = the_mistake("[piece.pump-arm]", piece + meets)
    assert key == "piece.loop.meets.joined"
    assert "flare joins metal to metal; here borosilicate meets 304L" in says
