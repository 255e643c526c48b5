# SPDX-License-Identifier: MIT
"""An edit changes its own place and nothing else, and reads back as what was written."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import replace
from typing import Any

import pytest

from retortwright.ground.errors import EditError, RigError
from retortwright.ground.units import DIMENSIONS, Band, read_band
from retortwright.rig.compound import HoseLength, Stretch, Tube
from retortwright.rig.edit import Edit, edited, edited_text, parse_edit
from retortwright.rig.kinds import Quantity
from retortwright.rig.reading import rig_of
from retortwright.rig.starter import starter_text
from rig.other_values import TOGETHER, as_toml, edit_key, other_values
from rig.whole import FILE, SLOTS, TEXT, Slot, ids, line_at, span_of

RIG = rig_of(TEXT, FILE)
SETTABLE = [slot for slot in SLOTS if not slot.is_table and not isinstance(slot.path[-1], int)]
SETTABLE = [slot for slot in SETTABLE if slot.dotted not in ("retortwright", "programme.steps", *TOGETHER)]


def changed_lines(before: str, after: str) -> list[tuple[str, str]]:
    """The lines that differ, each as it was and as it is."""
    old, new = before.split("\n"), after.split("\n")
    assert len(old) == len(new)
    return [(one, other) for one, other in zip(old, new, strict=True) if one != other]


def after(*edits: str, text: str = TEXT) -> str:
    """The text with edits made."""
    return edited_text(text, [parse_edit(edit) for edit in edits])


def refused(edit: str) -> str:
    """What an edit that cannot be made says."""
    with pytest.raises(EditError) as caught:
        edited(RIG, [parse_edit(edit)])
    return str(caught.value)


def at(text: str, path: tuple[str | int, ...]) -> Any:
    """What a text holds at a path."""
    node: Any = tomllib.loads(text)
    for part in path:
        node = node[part]
    return node


@pytest.mark.parametrize("slot", SETTABLE, ids=ids(SETTABLE))
def test_every_key_can_be_set_and_reads_back(slot: Slot) -> None:
    value = other_values(slot, 1)[0]
    edit = Edit(edit_key(slot), value if isinstance(value, str) else as_toml(value))
    rig = edited(RIG, [edit])
    assert at(rig.text, slot.path) == value != slot.value
    lines = changed_lines(TEXT, rig.text)
    assert len(lines) == 1
    old, new = lines[0]
    assert old in TEXT.split("\n")[line_at(TEXT, span_of(slot.path).key[0]) - 1]
    assert old.partition("#")[2] == new.partition("#")[2]
    if slot.dotted != "about":  # the one key that is for the reader alone
        assert replace(rig, text="", lines={}) != replace(RIG, text="", lines={})
    before = slot.value if isinstance(slot.value, str) else as_toml(slot.value)
    assert edited(rig, [Edit(edit_key(slot, rig.text), before)]) == RIG


@pytest.mark.parametrize("key", TOGETHER)
def test_keys_that_are_set_together(key: str) -> None:
    rig = edited(RIG, [Edit(*pair) for pair in TOGETHER[key].items()])
    path = tuple(key.split("."))
    assert at(rig.text, path) != at(TEXT, path)


def test_the_parts_of_a_rig_hold_what_was_set() -> None:
    cases: dict[str, tuple[Any, Any]] = {
        "piece.line.length=170 mm": (lambda rig: rig.piece("line").length, Band(0.17, 0.17, 0.17)),
        "piece.line.falls=20 deg": (lambda rig: round(rig.piece("line").slope, 6), -0.349066),  # exact: pi / 9
        "piece.ampoule.count=3": (lambda rig: rig.piece("ampoule").count, 3),
        "piece.retort.tube=33.7 x 2 mm": (lambda rig: rig.piece("retort").tube, Tube(0.0337, 0.002)),
        "heat.tape.over.line=all": (lambda rig: rig.heat[1].over["line"], Stretch(0.0, None)),
        "heat.tape.holds=120 degC": (lambda rig: rig.heat[1].holds, 393.15),
        "cool.fan.speed=3 to 5 m/s": (lambda rig: rig.cool[2].speed, Band(3.0, 4.0, 5.0)),
        "plant.argon.hose=2 m PVC": (lambda rig: rig.plant.argon_hose, HoseLength(2.0, "PVC")),
        "state.distil.running=[\"furnace\"]": (lambda rig: rig.states[0].running, ("furnace",)),
        "assume.room.temperature=25 degC": (lambda rig: rig.assume["room.temperature"].best, 298.15),
        "tighten.seal-reserve=60 K": (lambda rig: rig.tighten["seal-reserve"], 60.0),
    }
    for edit, (part, value) in cases.items():
        assert part(edited(RIG, [parse_edit(edit)])) == value, edit
        assert part(RIG) != value, edit


def test_comments_and_blanks_survive() -> None:
    text = after("piece.retort.tube=33.7 x 2.6 mm", "retortwright=1", "aim.amount=4 g")
    assert 'tube   = "33.7 x 2.6 mm"                   # a nominal pipe size' in text
    lines = list(difflib.unified_diff(TEXT.split("\n"), text.split("\n"), n=0, lineterm=""))
    assert sum(line.startswith("+") for line in lines[2:]) == 2
    assert after(text=starter_text()) == starter_text()
    starter = after("piece.line.length=250 mm", text=starter_text())
    assert changed_lines(starter_text(), starter) == [('length = "220 mm"', 'length = "250 mm"')]


def test_windows_line_ends_survive() -> None:
    text = after("aim.amount=4 g", text=TEXT.replace("\n", "\r\n"))
    assert text == TEXT.replace('"3.6 g"', '"4 g"').replace("\n", "\r\n")


@pytest.mark.parametrize(
    ("edit", "old", "new"),
    [
        ("piece.line.tube.wall=0.75 mm", 'tube    = "12 x 1 mm"', 'tube    = "12 x 0.75 mm"'),
        ("piece.line.tube.outside=0.5 in", 'tube    = "12 x 1 mm"', 'tube    = "12.7 x 1 mm"'),
        ("piece.line.tube.wall=0.05 cm", 'tube    = "12 x 1 mm"', 'tube    = "12 x 0.5 mm"'),
        # exact: 1 in pipe is 33.4 mm outside, schedule 40 is 3.38 mm
        ("piece.retort.tube.wall=2 mm", '"1 in sch 40"', '"33.4 x 2 mm"'),
        ("heat.furnace.over.retort.to=100 mm", '"0 to 110 mm"', '"0 to 100 mm"'),
        ("heat.tape.over.line.from=5 cm", '"60 to 130 mm"', '"50 to 130 mm"'),
        ("plant.argon.hose.of=PVC", '"1.5 m nylon"', '"1.5 m PVC"'),
        ("plant.argon.hose.length=2 m", '"1.5 m nylon"', '"2 m nylon"'),
        ("piece.V1.tube.wall=2 mm", 'tube = "8.5 x 1 mm"', 'tube = "8.5 x 2 mm"'),
    ],
)
def test_inside_a_text(edit: str, old: str, new: str) -> None:
    lines = changed_lines(TEXT, after(edit))
    assert len(lines) == 1
    assert lines[0][0].replace(old, new) == lines[0][1]
    assert edited(RIG, [parse_edit(edit)]).text == after(edit)


def test_inside_a_text_only_what_stands_there() -> None:
    assert "inside tube stand: outside, wall" in refused("piece.line.tube.bore=3 mm")
    assert "inside tube stand: outside, wall" in refused("piece.line.tube.wall.x=3 mm")
    assert "there is no tapers_to in the file to change" in refused("piece.line.tapers_to.wall=1 mm")
    assert "expected 'all' or a stretch" in refused("heat.tape.over.cone.from=1 mm")
    assert "expected a length such as '160 mm'" in refused("piece.line.tube.wall=1 kg")
    with pytest.raises(RigError, match="is no tube"):
        edited(RIG, [parse_edit("piece.line.tube.wall=6 mm")])


def test_steps_by_their_state() -> None:
    text = after("programme.steps.backfill.hold=5 min")
    assert changed_lines(TEXT, text) == [
        ('  { state = "backfill", hold = "10 min" },', '  { state = "backfill", hold = "5 min" },')
    ]
    text = after("programme.steps.distil#2.to=500 degC")
    assert at(text, ("programme", "steps", 2, "to")) == "500 degC"
    assert at(text, ("programme", "steps", 0, "to")) == "600 degC"
    text = after("programme.steps.distil#1.ramp=2 K/min")
    assert at(text, ("programme", "steps", 0, "ramp")) == "2 K/min"
    assert at(after("programme.steps.backfill.to=90 degC"), ("programme", "steps", 1, "to")) == "90 degC"
    assert "2 steps run in state distil; say distil#1 or distil#2" in refused("programme.steps.distil.to=500 degC")
    assert "there are 2 steps in state distil" in refused("programme.steps.distil#3.to=500 degC")
    assert "there are 2 steps in state distil" in refused("programme.steps.distil#0.to=500 degC")
    assert "there are 2 steps in state distil" in refused("programme.steps.distil#x.to=500 degC")
    assert "no step runs in state 'distill'; did you mean distil? " in refused("programme.steps.distill.to=500 degC")
    assert "name the key of the step too, such as programme.steps.distil#1.to" in refused("programme.steps.distil#1=1")


def test_new_names_are_written_whole() -> None:
    rig = edited(RIG, [parse_edit('cool.jet={ over = { retort = "110 to 120 mm" }, by = "air", speed = "3 m/s" }')])
    assert [cool.name for cool in rig.cool] == ["coil", "cloth", "fan", "ice", "jet"]
    rig = edited(RIG, [parse_edit('piece.stub={ on = "line", at = "50 mm", joined = "TIG", tube = "6 x 1 mm", '
                                  'length = "20 mm", of = "304L", closed = "TIG" }')])  # fmt: skip
    assert rig.piece("stub").at == 0.05
    assert refused("piece.stub.length=2 mm") == (
        "piece.stub.length: there is no piece.stub in the file; there are: ampoule, bulb, by-pass, cone, elbow, hose, "
        "line, manifold, retort, V1; a new one is written whole, as piece.stub={ ... }"
    )
    assert "did you mean line? there are: " in refused("piece.lime.length=2 mm")


def test_new_keys_of_what_is_there() -> None:
    rig = edited(RIG, [parse_edit("piece.cone.finish=bright"), parse_edit("piece.cone.towards=west")])
    assert (rig.piece("cone").finish, rig.piece("cone").towards) == ("bright", "west")
    lines = list(difflib.ndiff(TEXT.split("\n"), rig.text.split("\n")))
    assert [line[2:] for line in lines if line[0] in "+-"] == ['finish = "bright"', 'towards = "west"']
    bare = TEXT[: TEXT.index("[tighten]")]
    assert rig_of(after("tighten.seal-reserve=45 K", text=bare)).tighten == {"seal-reserve": 45.0}
    reagent = edited(RIG, [parse_edit("charge.RbCl.contains.CsCl=0.2 %")]).charge[0]
    assert reagent.contains["CsCl"].best == pytest.approx(0.002)
    rig = edited(RIG, [parse_edit("piece.V1.receives.at=10 mm")])
    assert rig.piece("V1").receives is not None
    assert rig.piece("V1").receives.at == 0.01  # type: ignore[union-attr]


def test_unknown_keys_say_the_nearest() -> None:
    assert "unknown key 'lenght'; did you mean length? allowed: at, " in refused("piece.line.lenght=2 mm")
    assert "unknown key 'peice'; did you mean piece? allowed: about, " in refused("peice.line.length=2 mm")
    assert "unknown key 'x'; what stands there is material: " in refused("piece.line.of.x=2")
    assert "this is a table" not in refused("piece.line.of.x=2")
    says = refused("assume.emissivity.304L-oxidized=0.8")
    assert "no assumption is called 'emissivity.304L-oxidized'; did you mean emissivity.304L-oxidised? " in says
    assert "no tightening is called 'seal-reserv'; did you mean seal-reserve? allowed: agent-reserve" in refused(
        "tighten.seal-reserv=50 K"
    )


@pytest.mark.parametrize("text", ["", "=", "piece.line.length", "=3 mm", "  = 3"])
def test_what_is_no_edit(text: str) -> None:
    with pytest.raises(EditError, match=r"^expected KEY=VALUE such as piece\.line\.length='250 mm', got "):
        parse_edit(text)


def test_key_and_value_part_at_the_first_equals_sign() -> None:
    edit = parse_edit(' cool.jet = { by = "air" } ')
    assert edit == Edit("cool.jet", '{ by = "air" }')
    assert str(edit) == 'cool.jet={ by = "air" }'
    assert parse_edit(str(edit)) == edit


def test_dotted_figures() -> None:
    names = {
        "assume.emissivity.304L-oxidised": "0.6 to 0.7",
        "assume.emissivity.304L-bright": "0.15 to 0.2",
        "assume.convection.free": "0.9 to 1.1",
        "assume.contact.FKM clamp": "800 W/m2/K",
        "assume.contact.twin ferrule": "4000 W/m2/K",
        "assume.conductivity.mild steel": "0.9",
        "tighten.seal-reserve": "70 K",
    }
    rig = edited(RIG, [Edit(key, value) for key, value in names.items()])
    for key, value in names.items():
        table, _, name = key.partition(".")
        if table == "assume":
            unit = value.split()[-1] if "W" in value else ""
            dimension = DIMENSIONS["film_coefficient" if unit else "plain"]
            assert rig.assume[name] == read_band(value, dimension)
    assert rig.tighten["seal-reserve"] == 70.0
    assert rig_of(rig.text).assume == rig.assume


def test_a_laxer_limit_is_refused() -> None:
    for value in ("39.9 K", "0 K", "-50 K", "1000 K"):
        with pytest.raises(RigError, match="is laxer than common practice or beyond sense: 40 to 500 K is allowed"):
            edited(RIG, [Edit("tighten.seal-reserve", value)])
    assert edited(RIG, [Edit("tighten.seal-reserve", "40 K")]).tighten["seal-reserve"] == 40.0


def test_edits_are_made_in_their_order_and_the_rig_stays() -> None:
    rig = edited(RIG, [Edit("aim.amount", "4 g"), Edit("aim.amount", "5 g")])
    assert rig.aim.amount == pytest.approx(5e-3)
    assert RIG.aim.amount == pytest.approx(3.6e-3)
    assert edited(RIG, []) is RIG
    assert edited(rig, [Edit("aim.amount", "3.6 g")]).text == TEXT


def test_a_bad_value_is_a_mistake_at_its_line() -> None:
    with pytest.raises(RigError) as caught:
        edited(RIG, [Edit("piece.line.length", "250"), Edit("aim.metal", "Rx")])
    assert [(mistake.line, mistake.key) for mistake in caught.value.mistakes] == [
        (7, "aim.metal"),
        (line_at(TEXT, span_of(("piece", "line", "length")).key[0]), "piece.line.length"),
    ]


def test_plain_words_and_toml_mean_the_same() -> None:
    for value in ("250 mm", '"250 mm"', "'250 mm'"):
        assert edited(RIG, [Edit("piece.line.length", value)]).piece("line").length.best == 0.25
    assert edited(RIG, [Edit("about", "two = 2, or # so")]).text.split("\n")[3] == 'about = "two = 2, or # so"'


def test_every_quantity_has_bounds_that_it_can_say() -> None:
    for slot in SLOTS:
        if isinstance(slot.kind, Quantity):
            assert slot.kind.bounds()
