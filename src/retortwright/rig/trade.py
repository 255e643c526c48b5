# SPDX-License-Identifier: MIT
"""What the trade says for a word of the closed lists: to ask back with the right one."""

from __future__ import annotations

from collections.abc import Iterable

from retortwright.ground.errors import nearest

__all__ = ["meant"]

_FKM = ("FKM O-ring cap", "FKM flange gasket", "FKM compression", "FKM clamp", "FKM seat", "gauge port FKM")
_WELDS = ("TIG", "MIG", "stick weld", "oxy-fuel weld")
_BRAZES = ("nickel braze", "copper braze", "silver braze")
_STAINLESS = ("304L", "316L", "310S")
_RINGS = ("FKM O-ring cap", "NBR O-ring", "silicone O-ring")

_TRADE: dict[str, tuple[str, ...]] = {
    "viton": _FKM, "fkm": _FKM, "fluoro-elastomer": _FKM, "nitrile": ("NBR O-ring",),
    "o-ring": _RINGS, "oring": _RINGS, "ring": _RINGS, "silicone": ("silicone O-ring", "silicone"),
    "weld": _WELDS, "welded": _WELDS, "arc weld": _WELDS, "braze": _BRAZES, "brazed": _BRAZES,
    "hard solder": _BRAZES, "solder": ("soft solder",), "soldered": ("soft solder",), "glue": ("epoxy",),
    "kf": ("FKM clamp",), "cf": ("copper knife-edge flange",), "knife edge": ("copper knife-edge flange",),
    "ferrule": ("twin ferrule",), "bung": ("rubber bung",), "stopper": ("rubber bung",), "wax": ("sealing wax",),
    "ground joint": ("greased ground joint", "dry ground joint"), "fused": ("blown", "flame"),
    "glass seal": ("graded glass seal", "glass-to-metal seal"),
    "stainless": _STAINLESS, "stainless steel": _STAINLESS, "inox": _STAINLESS, "304": ("304L",), "316": ("316L",),
    "310": ("310S",), "steel": ("mild steel", "304L"), "iron": ("mild steel",), "carbon steel": ("mild steel",),
    "glass": ("borosilicate", "fused silica"), "quartz": ("fused silica",), "silica": ("fused silica",),
    "ceramic": ("alumina",), "rubber": ("natural rubber", "butyl"), "teflon": ("PTFE",),
    "mineral wool": ("ceramic wool", "glass wool"), "wool": ("ceramic wool", "glass wool"),
    "rotary": ("rotary, two-stage", "rotary, one-stage"), "rotary vane": ("rotary, two-stage", "rotary, one-stage"),
    "vane": ("rotary, two-stage", "rotary, one-stage"), "membrane": ("diaphragm",), "turbomolecular": ("turbo",),
    "oil diffusion": ("diffusion",), "aspirator": ("water jet",),
    "fan": ("air",), "water": ("water coil",), "ice": ("ice water", "dry ice"), "co2": ("dry ice",),
    "ln2": ("liquid nitrogen",), "nitrogen": ("liquid nitrogen",), "polished": ("bright",), "scaled": ("oxidised",),
    "rusty": ("oxidised",), "lithium": ("Li",), "sodium": ("Na",), "potassium": ("K",), "rubidium": ("Rb",),
    "caesium": ("Cs",), "cesium": ("Cs",), "magnesium": ("Mg",), "calcium": ("Ca",), "strontium": ("Sr",),
    "barium": ("Ba",), "samarium": ("Sm",), "europium": ("Eu",), "ytterbium": ("Yb",), "zinc": ("Zn",),
}  # fmt: skip


def meant(word: str, allowed: Iterable[str]) -> str:
    """What may have been meant by a word, as a question: by the trade's usage, else by spelling.

    >>> meant("potassium", ["Na", "K"]), meant("rotary", ["turbo", "rotary, two-stage"])
    ('did you mean K? ', "did you mean 'rotary, two-stage'? ")
    """
    words = tuple(allowed)
    known = [
        f"'{each}'" if "," in each else each
        for each in _TRADE.get(word.casefold().strip(), ())
        if each in words
    ]
    if not known:
        return nearest(word, words)
    said = known[0] if len(known) == 1 else f"{', '.join(known[:-1])} or {known[-1]}"
    return f"did you mean {said}? "
