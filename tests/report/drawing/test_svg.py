# SPDX-License-Identifier: MIT
"""Elements as text."""

from __future__ import annotations

from xml.etree import ElementTree

from retortwright.report.drawing.svg import circle, document, element, escaped, group, number, path, text

UGLY = "a<b>&\"c\" 'd' \x00\x1b ]]> é °"


def test_words_come_back_as_they_were() -> None:
    picture = document(100, 70, UGLY, UGLY, [text(UGLY, (1, 2), 10), element("g", {"id": UGLY})])
    root = ElementTree.fromstring(picture)
    kept = UGLY.replace("\x00", "").replace("\x1b", "")  # exact: what XML 1.0 cannot hold
    assert [each.text for each in root.iter() if each.tag.endswith(("title", "desc", "text"))] == [kept] * 3
    assert any(each.attrib.get("id") == kept for each in root.iter())


def test_numbers_are_short() -> None:
    # exact: two decimals at most, no minus before nothing
    assert [number(each) for each in (1.0, 0.125, -0.001, 1e6, -2.5)] == ["1", "0.12", "0", "1000000", "-2.5"]


def test_elements() -> None:
    assert circle((1, 2), 3, fill="none") == '<circle cx="1" cy="2" r="3" fill="none"/>'
    assert path([(0, 0), (1.5, 2)], stroke_width=2) == '<path d="M0,0 1.5,2" fill="none" stroke-width="2"/>'
    assert group("a", ["<b/>"]) == '<g id="a">\n<b/>\n</g>'
    assert escaped("plain") == "plain"
