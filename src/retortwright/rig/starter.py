# SPDX-License-Identifier: MIT
"""The commented rig file that `retortwright new` writes: small, whole, and meant to be changed."""

from __future__ import annotations

__all__ = ["starter_text"]

_TEXT = """\
# A rig file: the whole apparatus in one text. Change every figure to yours; `retortwright assess`
# says what is wrong with the file, all at once, and then what is wrong with the rig.
# A value carries its unit; where you are not sure write a band: "15 to 25 degC" or "160 +- 5 mm".
retortwright = 1                         # format of this file

[aim]
metal  = "K"                             # what you want
amount = "3 g"
grade  = "display"                       # display, cell or ultra-clean

# ---- what goes into the pot, named by its formula; leave all of [charge] out for a thermal blank ----
[charge.KCl]
mass     = "15 g"                        # about 60 % of it gives its metal, then a double salt holds the rest
contains = { H2O = "0.02 to 0.1 %" }     # percent by mass

[charge.Ca]
mass     = "5.4 g"                       # 30 % more than the formula asks, after its crust
form     = "turnings"
contains = { CaO = "3 to 8 %" }

# ---- the apparatus is a tree: a piece sits `on` another, at its far end unless `at` says where.
#      `joined` is the joint at its own near end, `closed` is what shuts its far end ----
[piece.retort]                           # just one piece sits on nothing
tube   = "33.7 x 2.6 mm"                 # outside x wall; or a pipe size such as "1 in sch 10S"
length = "220 mm"
rises  = "90 deg"                        # or falls; level without either
of     = "304L"
finish = "oxidised"                      # oxidised or bright; without it the band covers both
bottom = { shape = "dished", thick = "3 mm", joined = "TIG" }
closed = "copper knife-edge flange"      # the lid

[piece.line]                             # down to the receiver
on     = "retort"
at     = "150 mm"
joined = "TIG"
tube   = "12 x 1 mm"
length = "220 mm"
falls  = "10 deg"
of     = "304L"
finish = "oxidised"

[piece.receiver]
on       = "line"
joined   = "graded glass seal"
tube     = "16 x 1.2 mm"
length   = "100 mm"
falls    = "90 deg"
of       = "borosilicate"
receives = { up_to = "80 %", sealed = "flame", at = "25 mm" }

[piece.pump-arm]
on     = "receiver"
at     = "12 mm"
joined = "blown"
tube   = "12 x 1 mm"
length = "120 mm"
rises  = "45 deg"
of     = "borosilicate"

[piece.V1]                               # a piece with a `valve` is one: its seat
on     = "pump-arm"
joined = "FKM compression"
tube   = "18 x 1 mm"
length = "60 mm"
of     = "304L"
valve  = "FKM seat"

[piece.hose]
on     = "V1"
joined = "FKM clamp"
tube   = "24 x 4 mm"
length = "0.6 m"
of     = "butyl"

# ---- what heats, lags and cools which stretch of which piece, from its near end ----
[heat]
furnace = { over = { retort = "0 to 150 mm" }, power = "800 W" }              # led by the programme
# the tape has its own thermostat and goes on to the neck of the receiver: potassium freezes at 63 degC
tape    = { over = { line = "80 to 220 mm", receiver = "0 to 30 mm" }, holds = "130 degC", power = "40 W" }

[cool]
fan = { over = { retort = "190 to 220 mm" }, by = "air", speed = "1 to 2 m/s" }

[plant]
pump = { on = "hose", kind = "rotary, two-stage", speed = "4 m3/h" }
P1   = { on = "pump-arm", gauge = "Pirani" }
relief = { on = "retort", at = "160 mm", opens = "10 kPa gauge", bore = "4 mm" }   # warm: nothing freezes there

# ---- a state names what is open and what runs; everything else is shut or off ----
[state]
pump-down = { open = ["V1"], running = ["pump"] }
dry       = { open = ["V1"], running = ["pump", "furnace"] }
distil    = { open = ["V1"], running = ["pump", "furnace", "tape", "fan"] }
cool      = { open = ["V1"], running = ["pump", "fan"] }

[programme]                              # furnace set-point, how fast, how long there
steps = [
  { state = "pump-down", hold = "1 h" },
  { state = "dry",    to = "350 degC", ramp = "4 K/min", hold = "2 h" },
  { state = "distil", to = "750 degC", ramp = "2 K/min", hold = "60 min" },
  { state = "cool",   to = "60 degC" },
]

[assume]                                 # figures you know better than our defaults
room.temperature = "18 to 24 degC"

[tighten]                                # stricter than common practice is welcome, laxer is an error
# seal-reserve = "50 K"
"""


def starter_text() -> str:
    """The text of the file."""
    return _TEXT
