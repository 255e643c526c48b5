# SPDX-License-Identifier: MIT
"""The pressure in every volume that nothing leads out of: what was shut in, hydrogen, vapour of the product.

Gas that is shut in keeps its moles from the moment before, and takes the temperatures of the walls:
p = n R / sum(V / T). All hydrogen that the water of the charge can give comes on top where the
volume holds the charge and it is or was heated. Vapour of the product comes on top where the volume
holds metal: at its saturation at the hottest wall that it can wet, and no more than there is metal.
Where an open way leads from the charge to a receiver in which it lands, the vapour of each wall is
saturated at that wall, pushes the gas into what is colder, and stands over that by the most that drives
it there in practice; the saturation of the hottest wall is then only an upper bound.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from retortwright.belief.beliefs import Belief
from retortwright.belief.believed import Ledger
from retortwright.ground.arrays import Array
from retortwright.reference.datum import Missing
from retortwright.rig.parts import State
from retortwright.situation.charge import charge_of
from retortwright.situation.closed_contents import ClosedContents
from retortwright.situation.closed_front import Front, front_of, gas_pressure
from retortwright.situation.closed_gas import ShutIn
from retortwright.situation.figure import Figure, figure_of
from retortwright.situation.heat import HeatPicture
from retortwright.situation.holdup import receivers_of
from retortwright.situation.isolated import (
    Case,
    Inner,
    Moment,
    Part,
    cases_of,
    cuts_of,
    inside_of,
    moments_of,
    plant_place,
    plugs_of,
)
from retortwright.situation.loss import cooling_down
from retortwright.situation.regime import regime_of
from retortwright.situation.situation import Situation
from retortwright.situation.slivers import Slivers, slivers_of
from retortwright.situation.timing import is_after_heat, is_hot
from retortwright.situation.vapour_state import gives_metal

__all__ = ["Closed", "ClosedWork", "closed_of"]


@dataclass(frozen=True, slots=True)
class Closed:
    """One volume in one case that nothing but a relief leads out of."""

    case: Case
    inner: Inner
    piece: int  # the piece that it is called by
    volume: float  # m^3
    fed: bool  # whether argon flows in
    charge: bool  # whether it holds the charge
    metal: bool  # whether it holds metal that gives vapour
    open_way: bool  # whether that metal can land in a receiver
    hottest: Array  # K, of its walls
    picture: HeatPicture  # the temperatures at which the pressure is highest
    figure: Figure  # absolute pressure [Pa]; gas, hydrogen, vapour and bound apart


@dataclass(frozen=True, slots=True)
class _Holds:
    """What a volume holds: the charge, metal, an open way from it to a receiver; whether metal may lie in it melted."""

    charge: bool
    metal: bool
    open_way: bool
    melted: bool


class ClosedWork:
    """All closed volumes of one situation."""

    def __init__(self, situation: Situation) -> None:
        self.situation, self.rig, self.tree = situation, situation.rig, situation.tree
        self.moments = moments_of(self.rig)
        self.slivers: Slivers = slivers_of(self.tree, situation.mesh, self._places())
        self.room = self._default("room.temperature")
        self.rest = self._default("rest.gas")
        self.contents = ClosedContents(situation)
        self.gas = ShutIn(self)
        self._metal_in: dict[int, bool] = {}
        self._middles: dict[int, Array] = {}
        self._one: dict[Case, tuple[Closed, ...]] = {}
        self._saturated: dict[int, Array] = {}
        self._rooms: dict[int, Array] = {}
        self._fronts: dict[tuple[int, bytes], Front] = {}
        self._after_heat: dict[str, bool] = {}
        self._cases: tuple[Case, ...] = ()
        self._same: dict[tuple[object, ...], tuple[Figure, Array]] = {}

    def _places(self) -> list[tuple[int, float]]:
        """Everywhere the inside may be cut."""
        opened = {piece.name for piece in self.rig.pieces if piece.valve is not None}
        states = [opened, *(set(state.open) for state in self.rig.states)]
        plugs = [place for each in states for place in plugs_of(self.tree, each)]
        return [*cuts_of(self.tree, ()), *plugs]

    def _default(self, name: str) -> Figure:
        ledger = self.ledger()
        return figure_of(ledger, ledger.default(name))

    def ledger(self) -> Ledger:
        """A new ledger."""
        return Ledger(self.rig, self.situation.tables, self.situation.draws)

    # ---- the cases

    def cases(self) -> tuple[Case, ...]:
        """Every case of the programme."""
        if not self._cases:
            plugged = [each.number for each in self.moments if self.has_metal(each)]
            self._cases = tuple(cases_of(self.rig, self.tree, plugged))
        return self._cases

    def closed(self, case: Case) -> tuple[Closed, ...]:
        """The closed volumes of a case."""
        if case not in self._one:
            inside = inside_of(self.tree, cuts_of(self.tree, case.open, case.plug))
            found = (
                self._closed(case, inner) for inner in inside.volumes() if not self.leads_out(case, inner)
            )
            self._one[case] = tuple(found)
        return self._one[case]

    def leads_out(self, case: Case, inner: Inner) -> bool:
        """Whether gas can leave: the pump draws on it, or a bubbler hangs on it."""
        return ("pump" in case.running and self.has(inner, "pump")) or self.has(inner, "bubbler")

    def has(self, inner: Inner, item: str) -> bool:
        """Whether a thing of the plant sits on a volume."""
        place = plant_place(self.rig, self.tree, item)
        return place is not None and inner.holds(place)

    def has_metal(self, moment: Moment) -> bool:
        """Whether there is metal in a moment: the charge gives it then or has before, or is the metal itself."""
        if moment.number not in self._metal_in:
            self._metal_in[moment.number] = bool(self.rig.charge) and self._finds_metal(moment)
        return self._metal_in[moment.number]

    def _finds_metal(self, moment: Moment) -> bool:
        if charge_of(self.situation).redistils:
            return is_after_heat(self.rig, moment.state.name)
        until = self.moments[: moment.number + 1] if moment.number < len(self.rig.steps) else (moment,)
        return any(gives_metal(self.situation, each.state.name) for each in until)

    # ---- temperatures

    def middle(self, picture: HeatPicture) -> Array:
        """The middle of the samples of each cell [K]."""
        if id(picture) not in self._middles:  # pictures are kept by the situation as long as this is
            self._middles[id(picture)] = np.median(picture.temperature, axis=1)
        return self._middles[id(picture)]

    def saturated(self, picture: HeatPicture) -> Array:
        """Vapour pressure of the product at each cell of wall [Pa]."""
        if id(picture) not in self._saturated:
            self._saturated[id(picture)] = self.contents.saturated(picture.temperature)
        return self._saturated[id(picture)]

    def room_at(self, picture: HeatPicture) -> Array:
        """Volume over temperature of each sliver [m^3/K]."""
        if id(picture) not in self._rooms:
            self._rooms[id(picture)] = self.slivers.room(picture.temperature)
        return self._rooms[id(picture)]

    def after_heat(self, state: str) -> bool:
        """Whether a state is hot, or follows one that was."""
        if state not in self._after_heat:
            self._after_heat[state] = is_after_heat(self.rig, state)
        return self._after_heat[state]

    def pictures(self, case: Case) -> tuple[HeatPicture, ...]:
        """The temperatures that a case can have.

        A state that follows a hot one is looked at as it begins too: as hot as that, or as the step
        between them has let it cool.
        """
        situation, name = self.situation, case.state
        if case.loss is not None:
            return (situation.lasting(case.loss), situation.heat(name))
        found = [situation.heat(name)]
        if situation.dry(name) is not found[0]:  # gas that is shut in may keep vapour off the walls
            found.append(situation.dry(name))
        down = cooling_down(self.rig, name)
        if down is not None:
            cooled = self._cooled_to(case.moment, down.start)
            hot = situation.heat(down.start)
            found.append(hot if cooled is None else self._as_at(name, cooled, down.start))
        return tuple(found)

    def _cooled_to(self, moment: Moment, hot: str) -> float | None:
        """The set-point to which the steps since the hot one have let the furnace cool [K]; None if none says."""
        found: float | None = None
        for step in self.rig.steps[: moment.number]:
            if step.state == hot:
                found = None
            elif step.to is not None and not is_hot(self.rig, step.state):
                found = step.to
        return found

    def _as_at(self, state: str, target: float, hot: str) -> HeatPicture:
        return self.situation.once(
            f"{state} as {hot} at {target}", lambda: self._cooled(state, target, hot)
        )

    def _cooled(self, state: str, target: float, hot: str) -> HeatPicture:
        """The walls in a state as if the furnace held a set-point; a guess lies between it and the hot one."""
        regime = regime_of(self.rig, state)
        low, high = self.situation.heat(state).temperature, self.situation.heat(hot).temperature
        share = (target - 293.15) / ((self.rig.set_point(hot) or target) - 293.15)
        led = tuple((heat.name, target) for heat in self.rig.heat if heat.holds is None)
        return self.situation.heat_in(replace(regime, hot=(*regime.hot, *led)), low + share * (high - low))

    # ---- one volume

    def _closed(self, case: Case, inner: Inner) -> Closed:
        inside = self.slivers.inside(inner)
        heated = self.after_heat(case.state)
        charge = bool(self.rig.charge) and heated and inner.holds((0, 0.0))
        metal = self.has_metal(case.moment) and (charge or self._landed(inner))
        lies = metal and not charge and self._on_way(inner)
        holds = _Holds(charge, metal, metal and charge and self._reaches_receiver(inner), lies)
        found = [(*self._at_once(case, inside, picture, holds), picture) for picture in self.pictures(case)]
        figure, hottest, picture = max(found, key=lambda each: _middle(each[0].values))
        fed = "argon" in case.running and self.has(inner, "argon")
        piece = min((part[0] for part in inner.parts), key=lambda number: (number != 0, number))
        volume = float(np.sum(self.slivers.volume[inside]))
        return Closed(
            case, inner, piece, volume, fed, charge, metal, holds.open_way, hottest, picture, figure
        )

    def _landed(self, inner: Inner) -> bool:
        """Whether metal gets to a volume: some of it is joined to the retort while there is metal, or on its way."""
        return self._on_way(inner) or any(
            part[0] == other[0] and max(part[1], other[1]) < min(part[2], other[2])
            for part in inner.parts
            for other in self._wetted()
        )

    def _vapour_comes(self, moment: Moment) -> bool:
        """Whether vapour is on its way: there is metal, and the furnace is on or was so in the step before."""
        steps = [moment, *([] if moment.before is None else [self.moments[moment.before]])]
        return self.has_metal(moment) and any(is_hot(self.rig, each.state.name) for each in steps)

    def is_wetted(self, place: tuple[int, float]) -> bool:
        """Whether metal gets to a place."""
        return place[0] == 0 or Inner(self._wetted()).holds(place)

    def _on_way(self, inner: Inner) -> bool:
        return bool({part[0] for part in inner.parts} & self.on_way())

    def _wetted(self) -> tuple[Part, ...]:
        """The stretches beyond the retort that are joined to it in a moment with metal."""
        return self.situation.once("stretches with metal", self._find_wetted)

    def _find_wetted(self) -> tuple[Part, ...]:
        cuts = [cuts_of(self.tree, each.state.open) for each in self.moments if self._vapour_comes(each)]
        found = (inside_of(self.tree, each).volume_at((0, 0.0)) for each in dict.fromkeys(cuts))
        return tuple(dict.fromkeys(part for inner in found for part in inner.parts if part[0] > 0))

    def on_way(self) -> frozenset[int]:
        """Every piece on the ways from the retort to the receivers with all valves open."""
        return self.situation.once("pieces on the way", self._find_way)

    def _find_way(self) -> frozenset[int]:
        inside = inside_of(self.tree, ())
        ends = [(number, self.tree.instances[number].length) for number in receivers_of(self.tree)]
        return frozenset(part[0] for end in ends for part in inside.way((0, 0.0), end)) - {0}

    def _reaches_receiver(self, inner: Inner) -> bool:
        return any(
            inner.holds((number, self.tree.instances[number].length)) for number in receivers_of(self.tree)
        )

    def _at_once(
        self, case: Case, inside: NDArray[np.intp], picture: HeatPicture, holds: _Holds
    ) -> tuple[Figure, Array]:
        """The same gas in the same stretches at the same temperatures is worked out once, whatever the case."""
        room = np.sum(self.room_at(picture)[inside], axis=0)
        moles = self.gas.moles(case, inside, room)
        if not np.all(np.isfinite(moles)):
            return self._at(case, inside, picture, holds)
        key = (id(picture), inside.tobytes(), moles.tobytes(), holds)
        if key not in self._same:
            self._same[key] = self._at(case, inside, picture, holds)
        return self._same[key]

    def _at(
        self, case: Case, inside: NDArray[np.intp], picture: HeatPicture, holds: _Holds
    ) -> tuple[Figure, Array]:
        """Absolute pressure at some temperatures, and the hottest wall."""
        used: list[Figure] = [self.rest, self.room]
        total = np.sum(self.room_at(picture)[inside], axis=0)
        moles = self.gas.moles(case, inside, total)
        if not holds.charge and not holds.metal:
            hose, filled = self.gas.hose(case, inside)
            total, moles = total + hose, moles + filled
        gas = gas_pressure(moles, total)
        said = {"gas": gas, "hydrogen": 0 * gas, "vapour": 0 * gas, "bound": 0 * gas, "liquid": 0 * gas}
        if holds.charge:
            solid, hydrogen = self.contents.solid(), self.contents.hydrogen()
            used += [solid, hydrogen]
            total = total - solid.values / self._at_charge(picture)
            said["hydrogen"] = gas_pressure(hydrogen.values, total)
            moles = moles + hydrogen.values
        hottest = np.max(picture.temperature[np.unique(self.slivers.cell[inside])], axis=0)
        permanent = said["gas"] + said["hydrogen"]
        whole = permanent
        if holds.metal:
            vapour = self.contents.vapour(hottest, total)
            used.append(vapour)
            said["vapour"] = said["bound"] = vapour.values
            whole = permanent + vapour.values
            if holds.open_way:
                running = self.contents.running()
                used.append(running)
                if not np.all(vapour.values <= running.values):
                    front = self._front(inside, picture).pressure(moles, permanent, whole)
                    whole = np.minimum(whole, front + running.values)
                    said["vapour"] = whole - permanent
        if holds.melted:
            liquid = self.contents.liquid(float(np.sum(self.slivers.volume[inside])), hottest)
            used.append(liquid)
            said["liquid"], whole = liquid.values, whole + liquid.values
        return self._joined(whole, said, used, picture, case), hottest

    def _front(self, inside: NDArray[np.intp], picture: HeatPicture) -> Front:
        """How vapour would push gas about in a volume at some temperatures."""
        key = (id(picture), inside.tobytes())
        if key not in self._fronts:
            saturated = self.saturated(picture)[self.slivers.cell[inside]]
            self._fronts[key] = front_of(self.room_at(picture)[inside], saturated)
        return self._fronts[key]

    def _joined(
        self, whole: Array, said: dict[str, Array], used: Sequence[Figure], picture: HeatPicture, case: Case
    ) -> Figure:
        inputs: dict[str, Belief] = {belief.name: belief for belief in picture.inputs}
        cites, missing = set(picture.cites), list(picture.missing)
        for each in used:
            inputs |= {belief.name: belief for belief in each.inputs}
            cites |= each.cites
            missing += each.missing
        if not missing and not np.all(np.isfinite(whole)):
            missing.append(self._why(case, picture, whole))
        values = np.full(len(whole), np.nan) if missing else whole
        return Figure(values, said, tuple(inputs.values()), frozenset(cites), tuple(missing))

    def _why(self, case: Case, picture: HeatPicture, whole: Array) -> Missing:
        """Why a pressure has no number: walls of this state or of one before it, or argon without a mark."""
        unmarked = [each for each in self._steps_to(case) if "argon" in each.running and each.until is None]
        if np.all(np.isfinite(picture.temperature)) and unmarked:
            says = (
                f"nothing says up to which pressure argon runs in before {case.state} is over: give the state "
                f"{unmarked[0].name} an `until`"
            )
            return Missing(f"state.{unmarked[0].name}", says)
        for state in self._steps_to(case):
            lacks = self.situation.heat(state.name).missing
            if lacks:
                return lacks[0]
        often = f"{np.sum(~np.isfinite(whole))} of {whole.size} samples"
        says = f"in {often} the walls, or the gas shut in at them, have no number in {case.state} or before it"
        return Missing(f"state.{case.state}", says)

    def _steps_to(self, case: Case) -> list[State]:
        """The states from that of a case back to the beginning."""
        found, number = [case.moment.state], case.moment.before
        while number is not None:
            found.append(self.moments[number].state)
            number = self.moments[number].before
        return found

    # ---- what is in it

    def _at_charge(self, picture: HeatPicture) -> Array:
        mesh, rises = self.situation.mesh, self.tree.instances[0].row.slope >= 0
        return np.asarray(picture.temperature[mesh.first[0] if rises else mesh.last[0]])


def _middle(values: Array) -> float:
    good = values[np.isfinite(values)]
    return float(np.median(good)) if len(good) else float("inf")


def closed_of(situation: Situation) -> ClosedWork:
    """The closed volumes of a situation, made once."""
    return situation.once("closed volumes", lambda: ClosedWork(situation))
