# SPDX-License-Identifier: MIT
"""Mistakes that only the whole file shows, many at once and in the order of the file."""

from __future__ import annotations

import pytest

from retortwright.ground.errors import AskError, Mistake, RigError
from retortwright.rig.reading import read_rig, rig_of
from retortwright.rig.starter import starter_text
from rig.whole import FILE, TEXT, line_at, mistakes_of


def changed(*changes: tuple[str, str]) -> str:
    """The whole text with some pieces of it replaced, each of which stands there once."""
    text = TEXT
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def line_of(text: str, part: str) -> int:
    """The line on which a part of the text begins."""
    return line_at(text, text.index(part))


# Each: what is changed, the dotted key of each mistake, words in each message.
CASES: dict[str, tuple[list[tuple[str, str]], list[tuple[str, str]]]] = {
    "a circle": (
        [('on     = "line"', 'on     = "manifold"')],
        [
            (f"piece.{name}.on", f"the pieces run in a circle: {name} sits on itself in the end")
            for name in ("elbow", "cone", "manifold")
        ],
    ),
    "a piece on itself": (
        [('on      = "retort"', 'on      = "line"')],
        [("piece.line.on", "the pieces run in a circle: line sits on itself in the end")],
    ),
    "two roots": (
        [('on      = "retort"\nat      = "140 mm"\njoined  = "TIG"\n', "")],
        [("piece", "just one piece, the retort, sits on nothing; here: retort, line; give every other one its `on`")],
    ),
    "no root": (
        [
            ('tube   = "1 in sch 40"', 'on = "hose"\njoined = "TIG"\ntube   = "1 in sch 40"'),
            ('bottom = { shape = "flat", thick = "5 mm", joined = "TIG" }\n', ""),
        ],
        [("piece", "just one piece, the retort, sits on nothing; here: none; give every other one its `on`")],
    ),
    "a root that is joined": (
        [("tube   = \"1 in sch 40\"", 'joined = "TIG"\ntube   = "1 in sch 40"')],
        [("piece.retort", "the piece that sits on nothing takes no at, joined or count")],
    ),
    "a bottom in the middle": (
        [('[piece.cone]\n', '[piece.cone]\nbottom = { shape = "flat", thick = "2 mm", joined = "TIG" }\n')],
        [("piece.cone.bottom", "only the piece that sits on nothing has a bottom")],
    ),
    "up and down": (
        [('falls   = "10 deg"', 'falls   = "10 deg"\nrises = "5 deg"')],
        [("piece.line.falls", "a piece either rises or falls; take one of the two out")],
    ),
    "a child beyond its parent": (
        [('at     = "150 mm"', 'at     = "170 mm"')],
        [("piece.by-pass.at", "170 mm is beyond the end of retort, which is 160 mm long")],
    ),
    "the last of several beyond its parent": (
        [("count    = 2", "count    = 5")],  # 20 + 4 x 24 = 116 mm
        [("piece.ampoule.at", "116 mm is beyond the end of manifold, which is 110 mm long")],
    ),
    "a heated stretch beyond the end": (
        [('line = "60 to 130 mm"', 'line = "60 to 151 mm"')],
        [("heat.tape.over.line", "151 mm is beyond the end of line, which is 150 mm long")],
    ),
    "a lagged stretch beyond the end": (
        [('line = "5 to 40 mm"', 'line = "5 to 400 mm"')],
        [("lag.wool.over.line", "400 mm is beyond the end of line, which is 150 mm long")],
    ),
    "a cooled stretch beyond the end of a flask": (
        [('bulb = "5 to 15 mm"', 'bulb = "5 to 31 mm"')],
        [("cool.cloth.over.bulb", "31 mm is beyond the end of bulb, which is 30 mm long")],
    ),
    "a gauge beyond the end": (
        [('at = "60 mm", gauge', 'at = "120 mm", gauge')],
        [("plant.P1.at", "120 mm is beyond the end of manifold, which is 110 mm long")],
    ),
    "a seal beyond the end": (
        [('at = "18 mm" }', 'at = "51 mm" }')],
        [("piece.ampoule.receives.at", "51 mm is beyond the end of ampoule, which is 50 mm long")],
    ),
    "a by-pass that meets beyond the end": (
        [('at = "110 mm", joined', 'at = "160 mm", joined')],
        [("piece.by-pass.meets.at", "160 mm is beyond the end of line, which is 150 mm long")],
    ),
    "a by-pass that meets itself": (
        [('meets  = { piece = "line"', 'meets  = { piece = "by-pass"')],
        [("piece.by-pass.meets.piece", "a by-pass cannot meet itself")],
    ),
    "a by-pass that is closed": (
        [("meets  =", 'closed = "TIG"\nmeets  =')],
        [("piece.by-pass.closed", "an end that meets another piece is not closed")],
    ),
    "a flask with a length": (
        [('shape  = "flask"', 'shape  = "flask"\nlength = "30 mm"')],
        [("piece.bulb.length", "a bend or a flask has its own length; take this one out")],
    ),
    "a name of one of several": (
        [('"ampoule.2"', '"ampoule.3"')],
        [("piece.bulb.on", "no piece is called 'ampoule.3'; did you mean ampoule.")],
    ),
    "the name of several as one": (
        [('"ampoule.2"', '"ampoule"')],
        [("piece.bulb.on", "no piece is called 'ampoule'; did you mean ampoule.")],
    ),
    "a heating without a set-point": (
        [('to = "600 degC", ', ""), ('to = "560 degC", ', "")],
        [("programme.steps", "furnace runs in state distil, but no step of that state says how hot: give it a `to`")],
    ),
    "a heating and a cooling of one name": (
        [("fan   = { over", "tape   = { over"), (', "fan"', "")],
        [("cool.tape", "there is a heating called tape too; each needs its own name")],
    ),
    "a key that this cooling does not take": (
        [('by = "ice water" }', 'by = "ice water", flow = "1 L/min" }')],
        [("cool.ice.flow", "a cooling by ice water takes no flow; it takes: nothing more")],
    ),
    "a name that is none": (
        [("ice   = {", '"1 ice" = {'), (', "ice"]', "]")],
        [("cool.1 ice", "'1 ice' is no name: letters, digits and hyphens, a letter first")],
    ),
    "a charge that is no formula": (
        [("[charge.Ca]", "[charge.Cq]")],
        [("charge.Cq", "there is no element Cq; expected a chemical formula such as RbCl or Ca(OH)2")],
    ),
    "a band of temperature where it is a limit": (
        [('seal-reserve = "50 K"', 'seal-reserve = "39 K"')],
        [("tighten.seal-reserve", "is laxer than common practice or beyond sense: 40 to 500 K is allowed")],
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_each_alone(case: str) -> None:
    changes, expected = CASES[case]
    text = changed(*changes)
    found = mistakes_of(text)
    assert [mistake.key for mistake in found] == [key for key, _ in expected], found
    for mistake, (key, words) in zip(found, expected, strict=True):
        assert words in mistake.says
        last = key.split(".")[-1]
        assert last in text.split("\n")[mistake.line - 1], mistake
        assert str(mistake).startswith(f"{FILE}:{mistake.line}: {key}: ")


def test_many_at_once_in_the_order_of_the_file() -> None:
    text = changed(
        ('grade  = "cell"', 'grade  = "celll"'),
        ('mass     = "9.0 g"', 'mass     = "9,0 g"'),
        ('tube    = "12 x 1 mm"', 'tubbe   = "12 x 1 mm"'),
        ('every    = "24 mm"', 'every    = "24"'),
        ('at     = "150 mm"', 'at     = "170 mm"'),
        ('on = "hose", kind', 'on = "hoose", kind'),
        ('{ state = "backfill"', '{ state = "bakfill"'),
        ('seal-reserve = "50 K"', 'seal-reserve = "30 K"'),
    )
    found = mistakes_of(text)
    assert [mistake.key for mistake in found] == [
        "aim.grade",
        "charge.RbCl.mass",
        "piece.line.tubbe",
        "piece.ampoule.every",
        "piece.by-pass.at",
        "plant.pump.on",
        "programme.steps.2.state",
        "tighten.seal-reserve",
    ]
    lines = [mistake.line for mistake in found]
    assert lines == sorted(lines)
    assert lines[0] == line_of(text, 'grade  = "celll"')
    assert lines[-1] == line_of(text, "seal-reserve")
    assert "write a decimal point, not a comma" in found[1].says
    says = RigError(found).lines()
    assert len(says) == 8
    assert says[2].startswith(f"{FILE}:{line_of(text, 'tubbe')}: piece.line.tubbe: unknown key; did you mean tube? ")


def test_a_text_that_is_no_toml_says_the_line() -> None:
    found = mistakes_of(changed(('grade  = "cell"', 'grade  = "cell')))
    assert len(found) == 1
    assert found[0].line == 9
    assert found[0].says.startswith("not readable as TOML: ")
    found = mistakes_of(TEXT + "[piece.retort]\n")
    assert [mistake.line for mistake in found] == [line_at(TEXT, len(TEXT))]
    assert mistakes_of("a = " + "[" * 4000 + "]" * 4000)[0].says == "not readable as TOML: nested too deeply"


def test_lines_are_right_with_windows_line_ends() -> None:
    text = changed(('grade  = "cell"', 'grade  = "celll"')).replace("\n", "\r\n")
    assert [(mistake.line, mistake.key) for mistake in mistakes_of(text)] == [(9, "aim.grade")]


def test_a_file_that_cannot_be_read(tmp_path: object) -> None:
    with pytest.raises(AskError, match=r"^cannot read the rig file 'no/such.toml': No such file"):
        read_rig("no/such.toml")


def test_a_file_that_is_no_utf8(tmp_path: pytest.TempPathFactory) -> None:
    path = tmp_path / "rig.toml"  # type: ignore[operator]
    path.write_bytes(b"# one\n# two \xff\n")
    with pytest.raises(RigError) as caught:
        read_rig(str(path))
    assert caught.value.mistakes == (Mistake(str(path), 2, "", "the file is not UTF-8 text; save it as UTF-8"),)


def test_a_byte_order_mark_does_no_harm(tmp_path: pytest.TempPathFactory) -> None:
    path = tmp_path / "rig.toml"  # type: ignore[operator]
    path.write_text(TEXT, encoding="utf-8-sig")
    assert read_rig(str(path)).text == TEXT


def test_the_starter_is_right() -> None:
    assert rig_of(starter_text()).aim.metal == "K"
