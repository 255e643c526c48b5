# SPDX-License-Identifier: MIT
"""Every key of the rig file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from retortwright.rig.compound import StretchKind, TubeKind
from retortwright.rig.dotted import DottedKind
from retortwright.rig.kinds import (
    Choice,
    Context,
    Count,
    Either,
    Formula,
    Kind,
    Listing,
    Name,
    Quantity,
    Text,
    length_kind,
)
from retortwright.rig.locate import Path
from retortwright.rig.plantfile import PlantKind
from retortwright.rig.schema import DRAWING, LATER, Field, Named, Record
from retortwright.rig.vocabulary import (
    assumable,
    compass,
    coolants,
    cooling_keys,
    end_shapes,
    finishes,
    forms,
    grades,
    insulations,
    joints,
    materials,
    metals,
    piece_shapes,
    tightenable,
)

__all__ = ["FORMAT", "PIECE_KEYS", "RIG_FILE", "ROOT_KEYS", "kind_within"]

FORMAT = 1
_Q1 = "question 1"
_Q2 = "question 2"
_Q12 = "questions 1 and 2"
_Q126 = "questions 1, 2 and 6"
_Q4 = "question 4"
_Q6 = "question 6"
_Q124 = "questions 1, 2 and 4"
_Q16 = "questions 1 and 6"
_BOTH = "questions 4 and 6"

_MATERIAL = Choice("material", materials)
_JOINT = Choice("joint", joints)
_TUBE = TubeKind()


_AIM = Record(
    (
        Field("metal", Choice("metal", metals), "the metal wanted", _Q124, required=True),
        Field(
            "amount", Quantity("mass", 1e-6, 10.0, "3.6 g"), "how much of it, all receivers together", _Q126
        ),
        Field("grade", Choice("grade", grades), "how clean it has to be", _Q16),
    )
)

_REAGENT = Record(
    (
        Field(
            "mass", Quantity("mass", 1e-6, 100.0, "9.0 g", banded=True), "as weighed", _Q126, required=True
        ),
        Field("form", Choice("form", forms), "in what pieces it comes", _Q1),
        Field(
            "contains",
            Named(Quantity("mass_fraction", 0.0, 1.0, "0.1 %", banded=True), "impurity", Formula()),
            "what is in it besides, percent by mass",
            _Q16,
        ),
    )
)

_BOTTOM = Record(
    (
        Field("shape", Choice("end shape", end_shapes), "how the end is made", LATER, required=True),
        Field("thick", length_kind(0.05, "5 mm", 1e-4), "its wall", _Q6, required=True),
        Field("joined", _JOINT, "what joins it to the tube", _Q4, required=True),
    )
)

_CLOSURE = Record(
    (
        Field("joined", _JOINT, "what joins the closure to the tube", _Q4, required=True),
        Field("shape", Choice("end shape", end_shapes), "how the end is made", LATER),
        Field("thick", length_kind(0.05, "3 mm", 1e-4), "its wall", _Q6),
    )
)

_BEND = Record(
    (
        Field(
            "turns",
            Quantity("angle", 0.0, 3.1416, "90 deg"),
            "by how much the piece turns",
            _Q4,
            required=True,
        ),
        Field("radius", length_kind(1.0, "20 mm", 1e-3), "of its centre line", _Q4, required=True),
    )
)

_RECEIVES = Record(
    (
        Field("up_to", Quantity("mass_fraction", 0.01, 1.0, "80 %"), "how full it may get", _Q2),
        Field("sealed", Choice("joint", joints), "how it is closed off", LATER),
        Field("at", length_kind(5.0, "18 mm"), "where, from its near end", _Q12),
    )
)

_MEETS = Record(
    (
        Field("piece", Name("piece"), "the piece that the far end meets", _Q4, required=True),
        Field("at", length_kind(10.0, "100 mm"), "where on it", _Q4, default="its far end"),
        Field("joined", _JOINT, "with what joint", _Q4, required=True),
    )
)

_PIECE = Record(
    (
        Field("on", Name("piece"), "the piece it sits on; just one piece, the retort, sits on nothing", _Q4),
        Field(
            "at", length_kind(10.0, "140 mm"), "where, from that piece's near end", _Q4, default="its far end"
        ),
        Field(
            "every",
            length_kind(10.0, "24 mm", 1e-3),
            "distance between the first and the next where `count` is given",
            _Q4,
        ),
        Field("count", Count(1, 60), "how many alike", _Q4, default="1"),
        Field("joined", _JOINT, "the joint at its own near end", _Q4),
        Field("tube", _TUBE, "its size at the near end", _Q124, required=True),
        Field("tapers_to", _TUBE, "its size at the far end, for a cone", _Q4, default="as at the near end"),
        Field(
            "shape",
            Choice("piece shape", piece_shapes),
            "a flask is a sphere of the outside diameter",
            _Q4,
            default="tube",
        ),
        Field(
            "length",
            Quantity("length", 1e-3, 10.0, "160 mm", banded=True),
            "near end to far end; a bend or flask has its own",
            _Q4,
        ),
        Field(
            "rises",
            Quantity("angle", 0.0, 1.5708, "90 deg"),
            "upward from its near end",
            _Q4,
            default="level",
        ),
        Field(
            "falls",
            Quantity("angle", 0.0, 1.5708, "5 deg"),
            "downward from its near end",
            _Q4,
            default="level",
        ),
        Field(
            "towards",
            Choice("compass direction", compass),
            "where it points",
            DRAWING,
            default="as the piece it sits on",
        ),
        Field("bend", _BEND, "an elbow: its length follows from it", _Q4),
        Field("of", _MATERIAL, "what the wall is made of", _Q4, required=True),
        Field(
            "finish",
            Choice("finish", finishes),
            "of the outside",
            _Q4,
            default="not stated: the band covers all",
        ),
        Field("lined", _MATERIAL, "a loose liner inside", LATER),
        Field("bottom", _BOTTOM, "what closes its near end; unsaid, its own wall", _Q4),
        Field("closed", Either(_JOINT, _CLOSURE), "what shuts its far end; unsaid, its own wall", _Q4),
        Field("valve", _JOINT, "the seat, if the piece is a valve", _Q4),
        Field("receives", _RECEIVES, "the piece is a receiver", _Q1),
        Field("meets", _MEETS, "a by-pass: its far end joins another piece", _Q4),
    )
)

_OVER = Field(
    "over",
    Named(StretchKind(), "piece", Name("row", "piece")),
    "which stretch of which pieces it lies over",
    _Q4,
    required=True,
)

_HEAT = Record(
    (
        _OVER,
        Field(
            "holds",
            Quantity("temperature", 280.0, 1500.0, "90 degC"),
            "its own thermostat; without it the programme leads",
            _Q4,
        ),
        Field(
            "power",
            Quantity("power", 0.1, 1e5, "600 W"),
            "at most; what a tape gives when it sticks on",
            _Q124,
        ),
    )
)

_LAG = Record(
    (
        _OVER,
        Field("of", Choice("insulation", insulations), "material", _Q4, required=True),
        Field("thick", length_kind(0.3, "20 mm", 1e-3), "thickness", _Q4, required=True),
    )
)


@dataclass(frozen=True, slots=True)
class _CoolKind:
    """A cooling: which keys it takes depends on what it cools by."""

    record: Record
    example: str = "{}"

    def allowed(self) -> str:
        """What may be written."""
        return self.record.allowed()

    def read(self, value: Any, path: Path, context: Context) -> dict[str, Any] | None:
        """The values by key."""
        read = self.record.read(value, path, context)
        if read is None or read.get("by") is None:
            return read
        needed = cooling_keys(read["by"])
        for key in ("speed", "flow", "inlet", "feed"):
            if key in read and key not in needed:
                context.wrong(
                    (*path, key),
                    f"a cooling by {read['by']} takes no {key}; it takes: {', '.join(needed) or 'nothing more'}",
                )
            if key in needed and key not in read:
                context.wrong(path, f"the key {key} is missing: a cooling by {read['by']} needs it")
        return read


_COOL_FIELDS = Record(
    (
        _OVER,
        Field("by", Choice("coolant", coolants), "what takes the heat away", _Q4, required=True),
        Field(
            "speed",
            Quantity("speed", 0.05, 50.0, "1 to 2 m/s", banded=True),
            "of the air across the piece (air)",
            _Q4,
        ),
        Field(
            "flow",
            Quantity("volume_flow", 1e-8, 1e-2, "0.3 L/min", banded=True),
            "of the water (water coil)",
            _Q4,
        ),
        Field(
            "inlet",
            Quantity("temperature", 273.15, 353.15, "18 degC", banded=True),
            "temperature of the water (water coil)",
            _Q4,
        ),
        Field(
            "feed",
            Quantity("volume_flow", 1e-10, 1e-4, "0.5 L/h", banded=True),
            "water that reaches the cloth (wet wrap)",
            _Q4,
        ),
    )
)
_COOL = _CoolKind(_COOL_FIELDS)

_STATE = Record(
    (
        Field(
            "open",
            Listing(Name("valve")),
            "the valves that are open; all others are shut",
            _Q6,
            required=True,
        ),
        Field(
            "running",
            Listing(Name("switch", "heating, cooling, pump or argon")),
            "what runs; all else is off",
            _Q4,
            required=True,
        ),
        Field("until", Quantity("pressure", 1e-3, 1e6, "50 kPa"), "the pressure that ends it", _Q6),
    )
)

_STEP = Record(
    (
        Field("state", Name("state"), "the state it runs in", _Q4, required=True),
        Field(
            "to", Quantity("temperature", 250.0, 2000.0, "680 degC"), "furnace set-point at its end", _Q124
        ),
        Field("ramp", Quantity("ramp", 1e-4, 2.0, "4 K/min"), "how fast", _Q16),
        Field("hold", Quantity("time", 1.0, 1e6, "60 min"), "how long there", _Q126),
    )
)
_PROGRAMME = Record((Field("steps", Listing(_STEP), "the heat steps in their order", _Q4, required=True),))

RIG_FILE = Record(
    (
        Field(
            "retortwright",
            Count(FORMAT, FORMAT, str(FORMAT)),
            "format of the file",
            "reading the file",
            required=True,
        ),
        Field("about", Text(), "a line about the rig, for you", LATER),
        Field("aim", _AIM, "what is wanted", _Q4, required=True),
        Field(
            "charge",
            Named(_REAGENT, "reagent", Formula()),
            "what goes into the pot, named by formula; leave it out for a thermal blank",
            _Q4,
        ),
        Field("piece", Named(_PIECE, "piece"), "the apparatus, a tree", _Q4, required=True),
        Field("heat", Named(_HEAT, "heating"), "what heats which stretch", _Q4),
        Field("lag", Named(_LAG, "lagging"), "what lags which stretch", _Q4),
        Field("cool", Named(_COOL, "cooling"), "what cools which stretch", _Q4),
        Field("plant", PlantKind(), "pump, argon, gauges, relief", _Q6),
        Field("state", Named(_STATE, "state"), "what is open and running, by name", _Q4, required=True),
        Field("programme", _PROGRAMME, "the heat steps", _Q4, required=True),
        Field(
            "assume", DottedKind("assumption", assumable), "figures you know better than our defaults", _Q4
        ),
        Field("tighten", DottedKind("tightening", tightenable), "limits stricter than common practice", _Q4),
    )
)


def kind_within(kind: Kind, key: str) -> Kind | None:
    """The kind of what stands under a key of a table, None if the key is unknown there."""
    if isinstance(kind, _CoolKind):
        kind = kind.record
    if isinstance(kind, Either):
        kind = kind.long
    if isinstance(kind, PlantKind):
        return kind.within(key)
    if isinstance(kind, Named):
        return kind.item
    if isinstance(kind, Record):
        return next((field.kind for field in kind.fields if field.key == key), None)
    return None


ROOT_KEYS = tuple(field.key for field in RIG_FILE.fields)
PIECE_KEYS = tuple(field.key for field in _PIECE.fields)
