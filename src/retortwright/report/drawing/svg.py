# SPDX-License-Identifier: MIT
"""Elements of an SVG text: escaped, with short numbers, the same bytes for the same picture."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from retortwright import __version__

__all__ = [
    "FAINT",
    "INK",
    "MAKER",
    "Point",
    "circle",
    "document",
    "element",
    "escaped",
    "group",
    "line",
    "number",
    "path",
    "polygon",
    "rectangle",
    "text",
    "text_width",
]

Point = tuple[float, float]
INK, FAINT = "#1b1b1b", "#666666"
MAKER = "retortwright drawing"  # begins the comment by which a picture is known as written here
_NARROW, _WIDE = frozenset("ijl.,:;'|!()[] "), frozenset("mwMWQ@%<>=+→↘↗↙↖")
_STYLE = (
    "text{font-family:sans-serif;fill:#1b1b1b}"
    ".bold{font-weight:bold}.slanted{font-style:italic}.faint{fill:#555}.middle{text-anchor:middle}"
    ".end{text-anchor:end}"
)


def escaped(words: str) -> str:
    """Words as XML character data, also inside quotes; what XML cannot hold is left out.

    >>> escaped('a < "b" & c')
    'a &lt; &quot;b&quot; &amp; c'
    """
    held = "".join(letter for letter in words if _is_letter(ord(letter)))
    for raw, safe in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        held = held.replace(raw, safe)
    return held


def _is_letter(code: int) -> bool:
    """Whether XML can hold a character."""
    return code in (9, 10, 13) or 32 <= code < 0xD800 or 0xE000 <= code < 0xFFFE or code >= 0x10000


def number(value: float) -> str:
    """A number with two decimals at most.

    >>> number(3.0), number(-0.001), number(2.345)
    ('3', '0', '2.35')
    """
    shown = f"{value + 0.0:.2f}".rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown


def element(name: str, attributes: dict[str, str | float], *inside: str) -> str:
    """An element; an attribute that is an empty text is left out."""
    said = "".join(
        f' {key}="{escaped(value) if isinstance(value, str) else number(value)}"'
        for key, value in attributes.items()
        if value != ""
    )
    body = "".join(inside)
    return f"<{name}{said}>{body}</{name}>" if body else f"<{name}{said}/>"


def group(label: str, inside: Iterable[str], **attributes: str | float) -> str:
    """A group with an id, one element a line."""
    said: dict[str, str | float] = {"id": label}
    return element("g", said | _dashed(attributes), "\n", *(f"{each}\n" for each in inside))


def path(points: Sequence[Point], closed: bool = False, **attributes: str | float) -> str:
    """A line through points."""
    where = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    said: dict[str, str | float] = {"d": f"M{where}{'Z' if closed else ''}", "fill": "none"}
    return element("path", said | _dashed(attributes))


def polygon(points: Sequence[Point], **attributes: str | float) -> str:
    """A filled outline."""
    return path(points, True, **attributes)


def line(start: Point, end: Point, **attributes: str | float) -> str:
    """One stroke."""
    return path([start, end], False, **attributes)


def circle(middle: Point, radius: float, **attributes: str | float) -> str:
    """A circle."""
    where: dict[str, str | float] = {"cx": middle[0], "cy": middle[1], "r": radius}
    return element("circle", where | _dashed(attributes))


def rectangle(corner: Point, width: float, height: float, **attributes: str | float) -> str:
    """An upright rectangle by its upper left corner."""
    where: dict[str, str | float] = {"x": corner[0], "y": corner[1], "width": width, "height": height}
    return element("rect", where | _dashed(attributes))


def text(words: str, at: Point, size: float, face: str = "", **attributes: str | float) -> str:
    """Words on a base line."""
    where: dict[str, str | float] = {"x": at[0], "y": at[1], "font-size": size, "class": face}
    return element("text", where | _dashed(attributes), escaped(words))


def text_width(words: str, size: float, bold: bool = False) -> float:
    """A width that no common sans-serif face exceeds."""
    whole = sum(
        0.42 if letter in _NARROW else 1.0 if letter in _WIDE else 0.72 if letter.isupper() else 0.64
        for letter in words
    )
    return whole * size * (1.12 if bold else 1.0)


def document(width: float, height: float, title: str, says: str, inside: Iterable[str]) -> str:
    """A whole picture on landscape A4, as wide and high as said in its own units."""
    body = "\n".join(inside)
    across, down = (297.0, 297.0 * height / width) if width >= height else (210.0, 210.0 * height / width)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f"<!-- {MAKER} {__version__}: may be written over by the same command -->\n"
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" viewBox="0 0 {number(width)} {number(height)}"'
        f' width="{number(across)}mm" height="{number(down)}mm" role="img" aria-labelledby="title about">\n'
        f'<title id="title">{escaped(title)}</title>\n<desc id="about">{escaped(says)}</desc>\n'
        f"<style>{_STYLE}</style>\n"
        f'<rect width="100%" height="100%" fill="#ffffff"/>\n{body}\n</svg>\n'
    )


def _dashed(attributes: dict[str, str | float]) -> dict[str, str | float]:
    """Attribute names as SVG writes them."""
    return {key.replace("_", "-"): value for key, value in attributes.items()}
