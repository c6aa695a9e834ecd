"""The committed saturation tables against CoolProp, run live, and the script that wrote them."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import CoolProp
import pytest
import yaml
from CoolProp.CoolProp import (
    PQ_INPUTS,
    QT_INPUTS,
    AbstractState,
    PropsSI,
    get_fluid_param_string,
    get_mixture_binary_pair_data,
)
from iapws.ammonia import NH3

from packets.locating import tables
from packets.saturation_data import NoTable, SaturationData, load, names, refused
from packets.tables import make_saturation
from packets.tables.refrigerant_model import Model, UnsoundModel, require_version

FLUIDS: dict[str, str] = {
    **make_saturation.recipes()["fluids"],
    "R-124": "R124",
    "R-142b": "R142b",
    "R-600": "n-Butane",
    "R-601a": "Isopentane",
}
PRESSURE_ERROR, DENSITY_ERROR = 5e-4, 1e-3  # relative, what a table may be off at most


@cache
def content(name: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((make_saturation.FOLDER / name).read_text(encoding="utf-8"))
    return data


def state(data: SaturationData) -> Any:
    """CoolProp's model of a refrigerant, set up here and not by the generator."""
    made = AbstractState("HEOS", "&".join(FLUIDS[part] for part in data.composition))
    if len(data.composition) > 1:
        made.set_mass_fractions([share / 100.0 for share in data.composition.values()])
    return made


def test_every_recipe_has_a_table() -> None:
    assert set(names()) == set(make_saturation.recipes()["refrigerants"])
    assert not set(names()) & set(refused())


@pytest.mark.parametrize("name", names())
def test_plain_flash_of_coolprop(name: str) -> None:
    """Between grid points, by a flash that knows nothing of the generator's march."""
    data, table = load(name), load(name).table
    model = state(data)
    for share in (0.123, 0.456, 0.678):
        t = table.low + share * (table.high - table.low)
        model.update(QT_INPUTS, 0.0, t)
        assert table.bubble_pressure(t) == pytest.approx(model.p(), rel=PRESSURE_ERROR)
        assert table.liquid_density(t) == pytest.approx(model.rhomass(), rel=DENSITY_ERROR)
        model.update(QT_INPUTS, 1.0, t)
        assert table.dew_pressure(t) == pytest.approx(model.p(), rel=PRESSURE_ERROR)
        assert table.vapor_density(t) == pytest.approx(model.rhomass(), rel=DENSITY_ERROR)
    if table.bubble_range.low < 101325.0 and table.dew_range.low < 101325.0:
        model.update(PQ_INPUTS, 101325.0, 1.0)
        assert table.dew_temperature(101325.0) == pytest.approx(model.T(), abs=0.005)


@pytest.mark.parametrize("name", names())
def test_everywhere_between_points(name: str) -> None:
    """Each interval of the grid at its middle and its thirds, where the model was not fitted."""
    table = load(name).table
    model = Model(dict(load(name).composition), FLUIDS)
    grid = list(table.temperatures)
    between = sorted(make_saturation.inside(grid, 2) + make_saturation.inside(grid, 3))
    assert len(between) == 3 * (len(grid) - 1)
    pressure, density = make_saturation.worst_errors(table, model.points(between))
    assert pressure < PRESSURE_ERROR
    assert density < DENSITY_ERROR


@pytest.mark.parametrize(
    ("name", "equation"),
    [("R-404A", "R404A"), ("R-407C", "R407C"), ("R-410A", "R410A"), ("R-507A", "R507A")],
)
def test_pseudo_pure_equation(name: str, equation: str) -> None:
    """The mixture model against the blend's own equation of state (Lemmon 2003)."""
    table = load(name).table
    for t in (243.0, 273.0, 313.0, 328.0):
        bubble, dew = (PropsSI("P", "T", t, "Q", quality, equation) for quality in (0, 1))
        assert table.bubble_pressure(t) == pytest.approx(bubble, rel=5e-4)
        assert table.dew_pressure(t) == pytest.approx(dew, rel=5e-4)


@pytest.mark.parametrize("celsius", [-40.0, -10.0, 0.0, 30.0, 50.0])
def test_ammonia_by_another_library(celsius: float) -> None:
    """IAPWS G4-01 carries the 1993 equation of Tillner-Roth for ammonia; ours is of 2020."""
    table, t = load("R-717").table, celsius + 273.15
    liquid, vapor = NH3(T=t, x=0), NH3(T=t, x=1)
    assert table.bubble_pressure(t) == pytest.approx(liquid.P * 1e6, rel=2e-3)
    assert table.liquid_density(t) == pytest.approx(liquid.rho, rel=2e-3)
    assert table.vapor_density(t) == pytest.approx(vapor.rho, rel=3e-3)


@pytest.mark.parametrize("name", ["R-22", "R-410A", "R-454B", "R-508B", "R-744"])
def test_generator_gives_the_committed_bytes(name: str) -> None:
    written = make_saturation.encode(make_saturation.contents(name))
    assert written == (make_saturation.FOLDER / f"{name}.json").read_bytes()


@pytest.mark.parametrize("name", names())
def test_tables_stand_on_their_recipes(name: str) -> None:
    recipe = make_saturation.recipes()["refrigerants"][name]
    data, written = load(name), content(f"{name}.json")
    assert dict(data.composition) == recipe["composition"]
    assert sum(data.composition.values()) == pytest.approx(100.0)
    assert (data.confidence == "memory") == (recipe["composition_confidence"] == "memory")
    assert (data.checked_against == "model only") == ("published_C" not in recipe)
    assert data.table.high <= data.critical_temperature - make_saturation.BELOW_CRITICAL + 0.01
    assert len(written["pairs"]) == len(data.composition) * (len(data.composition) - 1) // 2


def test_compositions_agree_with_the_refrigerant_table() -> None:
    """Two files carry compositions; neither may drift from the other."""
    rows = yaml.safe_load((tables() / "refrigerants.yaml").read_text(encoding="utf-8"))["rows"]
    told = {row["refrigerant"]: row["composition_percent"] for row in rows}
    ours = {name: dict(load(name).composition) for name in names()}
    ours |= {
        name: row["composition"] for name, row in content("refused.json")["refrigerants"].items()
    }
    shared = set(told) & set(ours)
    assert len(shared) > 20
    assert {name: told[name] for name in shared} == {name: ours[name] for name in shared}


@pytest.mark.parametrize("name", refused())
def test_refused_for_want_of_a_pair(name: str) -> None:
    row = content("refused.json")["refrigerants"][name]
    for one, other in row["missing_pairs"]:
        assert f"{one}/{other}" in row["reason"]
        numbers = [get_fluid_param_string(FLUIDS[part], "CAS") for part in (one, other)]
        for first, second in (numbers, numbers[::-1]):
            with pytest.raises(ValueError, match="Could not match"):
                get_mixture_binary_pair_data(first, second, "BibTeX")
    with pytest.raises(UnsoundModel, match="no interaction parameters"):
        Model(row["composition"], FLUIDS)
    with pytest.raises(NoTable, match="simple mixing rule"):
        load(name)


def test_generator_refuses_another_coolprop(monkeypatch: pytest.MonkeyPatch) -> None:
    require_version()
    monkeypatch.setattr(CoolProp, "__version__", "7.9.9")
    with pytest.raises(SystemExit, match=r"8\.0\.0 is needed, found 7\.9\.9"):
        make_saturation.contents("R-22")


def test_generator_refuses_a_model_far_from_the_published_value() -> None:
    recipe = dict(make_saturation.recipes()["refrigerants"]["R-454B"])
    model = Model(recipe["composition"], FLUIDS)
    make_saturation.checked_against("R-454B", recipe, model, None)
    recipe["published_C"] = {"normal bubble": -51.4}
    with pytest.raises(UnsoundModel, match="normal bubble"):
        make_saturation.checked_against("R-454B", recipe, model, None)


def test_generator_refuses_a_composition_that_is_not_whole() -> None:
    with pytest.raises(UnsoundModel, match="adds up to"):
        Model({"R-32": 50.0, "R-125": 49.0}, FLUIDS)


def test_unknown_refrigerant_names_the_nearest() -> None:
    with pytest.raises(NoTable, match="did you mean R-448A"):
        load("R448A")
    with pytest.raises(NoTable):
        load("../recipes")


def test_a_table_is_read_once() -> None:
    assert load("R-290") is load("R-290")
