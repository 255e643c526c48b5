# SPDX-License-Identifier: MIT
"""Tables whose keys are dotted names of a closed list: `[assume]` and `[tighten]`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from retortwright.ground.errors import allowed_words, nearest
from retortwright.rig.kinds import Context, Quantity
from retortwright.rig.locate import Path

__all__ = ["DottedKind"]


@dataclass(frozen=True, slots=True)
class DottedKind:
    """Figures by dotted name, each with its own dimension."""

    what: str
    names: Callable[[], Mapping[str, Quantity]]
    example: str = "{}"

    def allowed(self) -> str:
        """What may be written."""
        return f"a table; its keys: {allowed_words(self.names(), most=200)}"

    def read(self, value: Any, path: Path, context: Context) -> dict[str, Any] | None:
        """The figures by full name."""
        if not isinstance(value, dict):
            context.wrong(path, f"expected a table, got {value!r}")
            return None
        known = self.names()
        read: dict[str, Any] = {}
        for keys, item in _leaves(value, known):
            name = ".".join(keys)
            if name not in known:
                close = nearest(name, known)
                context.wrong(
                    (*path, *keys),
                    f"no {self.what} is called '{name}'; {close}allowed: {allowed_words(known)}",
                )
                continue
            read[name] = known[name].read(item, (*path, *keys), context)
        return read


def _leaves(
    table: dict[str, Any], known: Mapping[str, Quantity], path: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], Any]]:
    for key, item in table.items():
        if isinstance(item, dict) and ".".join((*path, key)) not in known:
            yield from _leaves(item, known, (*path, key))
        else:
            yield (*path, key), item
