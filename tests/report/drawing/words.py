# SPDX-License-Identifier: MIT
"""What is wrong with the words of a picture: off the page, or on each other."""

from __future__ import annotations

from itertools import combinations
from xml.etree import ElementTree

from retortwright.report.drawing.labels import Box
from retortwright.report.drawing.svg import text_width

__all__ = ["SVG", "beyond", "words_on_words"]

SVG = "{http://www.w3.org/2000/svg}"


def beyond(picture: str) -> list[str]:
    """The words that may run off the page."""
    root = ElementTree.fromstring(picture)
    width, height = (float(part) for part in root.attrib["viewBox"].split()[2:])
    off = []
    for each in root.iter(f"{SVG}text"):
        if "transform" in each.attrib:
            continue
        words, size, face = each.text or "", float(each.attrib["font-size"]), each.attrib.get("class", "")
        wide = text_width(words, size, "bold" in face)
        x, y = float(each.attrib["x"]), float(each.attrib["y"])
        left = x - wide if "end" in face else x - wide / 2 if "middle" in face else x
        if left < -2 or left + wide > width + 2 or not size <= y <= height:
            off.append(words)
    return off


def words_on_words(picture: str) -> list[tuple[str, str]]:
    """Pairs of words that may lie on each other."""
    boxes = []
    for each in ElementTree.fromstring(picture).iter(f"{SVG}text"):
        if "transform" not in each.attrib:
            words, size, face = each.text or "", float(each.attrib["font-size"]), each.attrib.get("class", "")
            wide = 0.8 * text_width(words, size, "bold" in face)
            x, y = float(each.attrib["x"]), float(each.attrib["y"])
            left = x - wide if "end" in face else x - wide / 2 if "middle" in face else x
            boxes.append((words, Box(left, y - 0.75 * size, left + wide, y)))
    return [(a[0], b[0]) for a, b in combinations(boxes, 2) if a[1].meets(b[1])]
