"""One refrigerant in CoolProp's Helmholtz models: the only door to CoolProp.

Used by `make_saturation` and by tests, never by a packet. CoolProp is imported where it is
used, since that takes two seconds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from packets.formulas.constants import STANDARD_ATMOSPHERE

if TYPE_CHECKING:
    from CoolProp.CoolProp import AbstractState, GuessesStructure

COOLPROP_VERSION = "8.0.0"
MARCH_STEP = 0.5  # K from one solution of a blend to the next


class UnsoundModel(RuntimeError):
    """This refrigerant cannot be computed to a standard worth printing."""


@dataclass(frozen=True)
class Point:
    """Saturation at one temperature [K]; Pa absolute, kg/m3."""

    temperature: float
    bubble: float
    dew: float
    liquid: float
    vapor: float


def require_version() -> None:
    """Refuse any CoolProp but the pinned one: another would give other bytes."""
    import CoolProp

    if CoolProp.__version__ != COOLPROP_VERSION:
        raise SystemExit(f"CoolProp {COOLPROP_VERSION} is needed, found {CoolProp.__version__}")


class Model:
    """One refrigerant of given mass percent in CoolProp's Helmholtz models."""

    def __init__(self, composition: dict[str, float], fluids: dict[str, str]) -> None:
        self._fluids = [fluids[name] for name in composition]
        total = math.fsum(composition.values())
        if abs(total - 100.0) > 1e-9:
            raise UnsoundModel(f"the composition adds up to {total} %")
        self._mass = [share / total for share in composition.values()]
        self.blend = len(self._fluids) > 1
        self.pairs = {"/".join(pair): _pair_source(*pair) for pair in combinations(self._fluids, 2)}
        self._state = self._new()

    def _new(self) -> AbstractState:
        from CoolProp.CoolProp import AbstractState

        state = AbstractState("HEOS", "&".join(self._fluids))
        if self.blend:
            state.set_mass_fractions(self._mass)
        return state

    def equations(self) -> dict[str, str]:
        """The equation of state of each component, as CoolProp's bibliography names it."""
        from CoolProp.CoolProp import get_BibTeXKey

        return {fluid: get_BibTeXKey(fluid, "EOS") for fluid in self._fluids}

    def critical_temperature(self) -> float:
        """Critical temperature [K]; for a blend that of the mixture as composed."""
        if not self.blend:
            return float(self._state.T_critical())
        # The solver also lists roots of the equations at negative pressure, far below.
        real = [c.T for c in self._state.all_critical_points() if c.stable and c.p > 0]
        return float(max(real))

    def normal_boiling(self, quality: int) -> float:
        """Temperature [K] of bubble (quality 0) or dew (1) at one atmosphere."""
        from CoolProp.CoolProp import PQ_INPUTS

        self._state.update(PQ_INPUTS, STANDARD_ATMOSPHERE, quality)
        return float(self._state.T())

    def points(self, temperatures: list[float]) -> list[Point]:
        """Saturation at rising temperatures."""
        bubble, dew = (self._march(temperatures, quality) for quality in (0, 1))
        return [
            Point(t, b[0], d[0], b[1], d[2])
            for t, b, d in zip(temperatures, bubble, dew, strict=True)
        ]

    def _march(self, temperatures: list[float], quality: int) -> list[tuple[float, float, float]]:
        """(pressure, liquid density, vapor density) at each temperature.

        A blend's flash fails near the critical point unless it starts from a near solution,
        so it marches up in steps. Each temperature starts from the last step, not from the
        point before: started from too near, the solver stops before it is done.
        """
        from CoolProp.CoolProp import QT_INPUTS, iDmass

        state, found = self._state, []
        anchor = temperatures[0]
        state.update(QT_INPUTS, quality, anchor)
        guess = _guess(state)
        for temperature in temperatures:
            if self.blend and temperature > temperatures[0]:
                while temperature - anchor > 1.5 * MARCH_STEP:
                    anchor += MARCH_STEP
                    state.update_with_guesses(QT_INPUTS, quality, anchor, guess)
                    guess = _guess(state)
                state.update_with_guesses(QT_INPUTS, quality, temperature, guess)
                # Once more, since the densities lag one iteration behind the pressure.
                state.update_with_guesses(QT_INPUTS, quality, temperature, _guess(state))
            else:
                state.update(QT_INPUTS, quality, temperature)
            if self.blend:
                self._check_equilibrium(temperature)
            liquid = state.saturated_liquid_keyed_output(iDmass)
            vapor = state.saturated_vapor_keyed_output(iDmass)
            found.append((float(state.p()), float(liquid), float(vapor)))
        return found

    def _check_equilibrium(self, temperature: float) -> None:
        """Two different phases of one pressure, and each component as willing in both."""
        from CoolProp.CoolProp import DmolarT_INPUTS, iDmolar, iphase_gas, iphase_liquid

        state = self._state
        sides = (
            (iphase_liquid, state.mole_fractions_liquid(), state.saturated_liquid_keyed_output),
            (iphase_gas, state.mole_fractions_vapor(), state.saturated_vapor_keyed_output),
        )
        told = []
        for phase, fractions, output in sides:
            side = self._new()
            side.set_mole_fractions(fractions)
            side.specify_phase(phase)
            side.update(DmolarT_INPUTS, output(iDmolar), temperature)
            told.append([side.p(), *(side.fugacity(i) for i in range(len(fractions)))])
        off = max(abs(liquid / vapor - 1.0) for liquid, vapor in zip(*told, strict=True))
        apart = sides[0][2](iDmolar) / sides[1][2](iDmolar)
        if off > 1e-6 or apart < 1.2:
            raise UnsoundModel(f"no equilibrium at {temperature} K: off by {off:.1e}")


def _guess(state: AbstractState) -> GuessesStructure:
    from CoolProp.CoolProp import PyGuessesStructure, iDmolar

    guess = PyGuessesStructure()
    guess.T, guess.p = state.T(), state.p()
    guess.rhomolar_liq = state.saturated_liquid_keyed_output(iDmolar)
    guess.rhomolar_vap = state.saturated_vapor_keyed_output(iDmolar)
    guess.x, guess.y = state.mole_fractions_liquid(), state.mole_fractions_vapor()
    return guess


def _pair_source(first: str, second: str) -> str:
    """Where the interaction parameters of two fluids come from."""
    from CoolProp.CoolProp import get_fluid_param_string, get_mixture_binary_pair_data

    one, other = (get_fluid_param_string(fluid, "CAS") for fluid in (first, second))
    for order in ((one, other), (other, one)):
        try:
            return get_mixture_binary_pair_data(*order, "BibTeX")
        except ValueError:
            continue
    raise UnsoundModel(f"no interaction parameters for {first}/{second}")
