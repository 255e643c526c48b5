# SPDX-License-Identifier: MIT
"""The line locator against the standard parser, on random texts."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from retortwright.rig.locate import locate

KEY = st.one_of(
    st.from_regex(r"[a-z_]{1,5}", fullmatch=True),
    st.text(alphabet="ab .\"'é#[]{}=,\n", min_size=1, max_size=4),
)
LEAF = st.one_of(
    st.integers(-9, 9),
    st.booleans(),
    st.text(alphabet="ab\"'\\\n#[]{}=, é", max_size=8),
)
VALUE = st.recursive(
    LEAF,
    lambda child: st.one_of(st.lists(child, max_size=3), st.dictionaries(KEY, child, max_size=3)),
    max_leaves=12,
)


def paths(node: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Every path of a parsed document with its value."""
    pairs = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in pairs:
        yield (*path, key), value
        yield from paths(value, (*path, key))


@given(st.dictionaries(KEY, VALUE, max_size=5))
def test_every_path_is_found_on_a_line_that_holds_its_key(document: dict[str, Any]) -> None:
    text = tomlkit.dumps(document)
    try:
        parsed = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return  # the writer made something the parser refuses; not ours to place
    lines = text.split("\n")
    found = locate(text)
    for path, _ in paths(parsed):
        assert path in found  # exact: the locator knows every key the parser knows
        key = path[-1]
        if isinstance(key, str) and key.isidentifier():
            assert key in lines[found[path] - 1]


def test_multi_line_strings_that_look_like_keys_do_not_confuse_it() -> None:
    text = (
        '[a]\nnote = """\n[b]\nlength = 1\n"""\n'
        "lit = '''\nx = 2\n'''\nlength = 3\n"
        "[[c]]\nd = 1\n[[c]]\nd.e = 2\n"
    )
    found = locate(text)
    assert found[("a", "length")] == 9  # exact: counted by hand
    assert ("b",) not in found
    assert found[("c", 1, "d", "e")] == 13
