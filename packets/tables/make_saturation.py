"""Writes the saturation tables: `python -m packets.tables.make_saturation [R-448A ...]`.

One JSON file a refrigerant in `packets/tables/saturation/`, from the compositions in
`recipes.json` there. CoolProp is needed for this alone, in one version, so that the same
recipe gives the same bytes. A blend is computed with the mixture model of its components
(Helmholtz equations with a fitted set of interaction parameters for every pair); a table is
refused, not approximated, when

- a pair has no parameters of its own,
- the two phases found are not in equilibrium,
- the normal boiling range or critical point is more than `MOST_OFF` from the published one.

Grid points are added until the table's own interpolation gives back the model.
"""

from __future__ import annotations

import argparse
import json
import math
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

from packets.formulas.constants import ZERO_CELSIUS
from packets.formulas.saturation import SaturationTable
from packets.tables.refrigerant_model import (
    COOLPROP_VERSION,
    Model,
    Point,
    UnsoundModel,
    require_version,
)

FOLDER = Path(__file__).parent / "saturation"
MOST_OFF = 0.5  # K, against published normal boiling range and critical temperature
BELOW_CRITICAL = 3.0  # K left free under the critical point, where the model is unsure
PRESSURE_GOAL, DENSITY_GOAL = 1e-4, 5e-4  # relative, of the interpolation between points
DIGITS = 7


def recipes() -> dict[str, Any]:
    """The compositions and published check values."""
    content: dict[str, Any] = json.loads((FOLDER / "recipes.json").read_text(encoding="utf-8"))
    return content


def table(points: list[Point]) -> SaturationTable:
    """The points as a table, rounded as they are written."""
    columns = ("temperature", "bubble", "dew", "liquid", "vapor")
    return SaturationTable(*(tuple(rounded(getattr(p, c)) for p in points) for c in columns))


def rounded(value: float) -> float:
    """`value` to the digits a table is written with."""
    return float(f"{value:.{DIGITS}g}")


def worst_errors(lines: SaturationTable, checks: list[Point]) -> tuple[float, float]:
    """Largest relative error in pressure and in density at the check points."""
    pressure = density = 0.0
    for p in checks:
        t = p.temperature
        for told, true in ((lines.bubble_pressure(t), p.bubble), (lines.dew_pressure(t), p.dew)):
            pressure = max(pressure, abs(told / true - 1.0))
        for told, true in ((lines.liquid_density(t), p.liquid), (lines.vapor_density(t), p.vapor)):
            density = max(density, abs(told / true - 1.0))
    return pressure, density


def inside(temperatures: list[float], parts: int = 4) -> list[float]:
    """Temperatures that cut each gap of the grid in equal parts, grid points left out."""
    return [a + (b - a) * k / parts for a, b in pairwise(temperatures) for k in range(1, parts)]


def refine(model: Model, grid: list[float]) -> list[float]:
    """Halve every gap in which the interpolation misses the model by more than the goals."""
    while True:
        lines, checks = table(model.points(grid)), model.points(inside(grid))
        added = []
        for k, (low, high) in enumerate(pairwise(grid)):
            pressure, density = worst_errors(lines, checks[3 * k : 3 * k + 3])
            if pressure > PRESSURE_GOAL or density > DENSITY_GOAL:
                added.append(round(0.5 * (low + high), 3))
        if not added:
            return grid
        grid = sorted(grid + added)


def base_grid(lowest_c: float, highest_c: float, step: float, critical: float) -> list[float]:
    """Even steps [K] from the lowest temperature, and the highest as last point."""
    low = lowest_c + ZERO_CELSIUS
    top = min(highest_c + ZERO_CELSIUS, math.floor((critical - BELOW_CRITICAL) * 100.0) / 100.0)
    count = math.ceil((top - low) / step - 1e-9)
    return [round(low + step * k, 3) for k in range(count)] + [round(top, 3)]


def checked_against(name: str, recipe: dict[str, Any], model: Model, pseudo: str | None) -> str:
    """What the model was held against, in words; "model only" where nothing was at hand.

    Raises:
        UnsoundModel: more than `MOST_OFF` from a published temperature.
    """
    tellers: dict[str, Callable[[], float]] = {
        "normal bubble": lambda: model.normal_boiling(0),
        "normal dew": lambda: model.normal_boiling(1),
        "critical": model.critical_temperature,
    }
    said = []
    for what, published in recipe.get("published_C", {}).items():
        off = tellers[what]() - ZERO_CELSIUS - published
        if abs(off) > MOST_OFF:
            raise UnsoundModel(f"{name}: {what} temperature off by {off:+.2f} K")
        said.append(f"{what} {published:.1f} C, model {round(off, 2) + 0.0:+.2f} K")
    texts = [f"{recipe['published_source']}: {'; '.join(said)}"] if said else []
    if pseudo:
        texts.append(f"pseudo-pure equation {_against_pseudo_pure(model, pseudo)}")
    return ". ".join(texts) or "model only"


def _against_pseudo_pure(model: Model, fluid: str) -> str:
    """Largest difference in pressure from the separate pseudo-pure equation, -40 to 60 C."""
    from CoolProp.CoolProp import PropsSI, get_BibTeXKey

    worst = 0.0
    for p in model.points([ZERO_CELSIUS + t for t in range(-40, 61, 5)]):
        for quality, told in ((0, p.bubble), (1, p.dew)):
            other = float(PropsSI("P", "T", p.temperature, "Q", quality, fluid))
            worst = max(worst, abs(told / other - 1.0))
    return f"{get_BibTeXKey(fluid, 'EOS')}, -40 to 60 C: pressure within {worst:.2%}"


def contents(name: str) -> dict[str, Any]:
    """Everything that stands in the file of one refrigerant.

    Raises:
        UnsoundModel: see the head of this module.
    """
    require_version()
    book = recipes()
    recipe = {**book["default"], **book["refrigerants"][name]}
    model = Model(recipe["composition"], book["fluids"])
    critical = model.critical_temperature()
    grid = base_grid(recipe["lowest_C"], recipe["highest_C"], recipe["step_K"], critical)
    lines = table(model.points(refine(model, grid)))
    kind = "Helmholtz equation of the pure fluid"
    if model.blend:
        kind = "mixture of Helmholtz equations, every pair with fitted parameters"
    tag = recipe["composition_confidence"]
    return {
        "format": "saturation-table/1",
        "refrigerant": name,
        "composition_mass_percent": recipe["composition"],
        "composition_source": recipe["composition_source"],
        "composition_confidence": tag,
        "source": f"computed with CoolProp {COOLPROP_VERSION}, {kind}",
        "confidence": tag if tag == "memory" else "computed",
        "checked_against": checked_against(name, recipe, model, book["pseudo_pure"].get(name)),
        "equations": model.equations(),
        "pairs": model.pairs,
        "critical_temperature_K": rounded(critical),
        "temperature_K": lines.temperatures,
        "bubble_pressure_Pa": lines.bubble_pressures,
        "dew_pressure_Pa": lines.dew_pressures,
        "liquid_density_kg_m3": lines.liquid_densities,
        "vapor_density_kg_m3": lines.vapor_densities,
    }


def encode(content: dict[str, Any]) -> bytes:
    """JSON with one line a key, the same bytes for the same content."""
    rows = (f"{json.dumps(key)}: {json.dumps(value)}" for key, value in content.items())
    return ("{\n" + ",\n".join(rows) + "\n}\n").encode("ascii")


def main() -> None:
    """Write the tables asked for, or all."""
    parser = argparse.ArgumentParser(description="Write saturation tables from the recipes.")
    known = list(recipes()["refrigerants"])
    parser.add_argument("refrigerants", nargs="*", metavar="R-...", help="default: all")
    names = parser.parse_args().refrigerants or known
    if unknown := [name for name in names if name not in known]:
        parser.error(f"no recipe for {', '.join(unknown)}")
    written = {name: encode(contents(name)) for name in names}  # all sound, or none written
    for name, content in written.items():
        (FOLDER / f"{name}.json").write_bytes(content)
        print(f"{name}: {len(content)} bytes")


if __name__ == "__main__":
    main()
