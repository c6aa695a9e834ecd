"""Which refrigerants the packet takes, on what ground, and what it says of that ground on paper."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from packets import reference
from packets.pipeline import Prepared
from packets.saturation_data import MODEL_ONLY, load, names, refused
from tests import jobs

# Wanted: those of the working list for which a sound mixture model exists, and five more.
WANTED = [
    "R-22",
    "R-32",
    "R-134a",
    "R-404A",
    "R-407A",
    "R-407C",
    "R-407F",
    "R-410A",
    "R-422D",
    "R-448A",
    "R-449A",
    "R-450A",
    "R-452B",
    "R-454A",
    "R-454B",
    "R-454C",
    "R-455A",
    "R-507A",
    "R-513A",
    "R-290",
    "R-600a",
    "R-744",
    "R-1234yf",
    "R-1234ze(E)",
    "R-123",
    "R-1233zd(E)",
    "R-427A",
    "R-515B",
    "R-23",
    "R-508B",
    "R-717",
]
# Deep-cold fluids start lower; carbon dioxide has no liquid below its triple point, -56.6 °C
# (216.6 K; Span and Wagner, J. Phys. Chem. Ref. Data 25, 1996).
LOWEST_C = {"R-23": -100.0, "R-508B": -100.0, "R-744": -56.0}


def machine(folder: Path, refrigerant: str, kit: list[jobs.Change] | None = None) -> Prepared:
    """The creamery's cooler with another refrigerant."""
    swaps = [("refrigerant: R-448A", f"refrigerant: {refrigerant}")]
    return jobs.prepared(
        folder,
        {
            "equipment.yaml": swaps,
            "kit.yaml": [*swaps, *(kit or [])],
            "job.yaml": [("R-448A, R-449A", f"{refrigerant}, R-449A")],
        },
    )


def test_every_refrigerant_wanted_has_a_table_and_no_other() -> None:
    assert len(WANTED) >= 28
    assert sorted(WANTED) == sorted(names())


@pytest.mark.parametrize("name", WANTED)
def test_a_table_spans_its_range(name: str) -> None:
    data = load(name)
    assert data.table.low - 273.15 == pytest.approx(LOWEST_C.get(name, -60.0))
    top = min(65.0, data.critical_temperature - 273.15 - 3.0)
    assert data.table.high - 273.15 == pytest.approx(top, abs=0.01)


@pytest.mark.parametrize("name", WANTED)
def test_each_has_a_safety_class_of_the_same_composition(name: str) -> None:
    row = reference.table("refrigerants").find(refrigerant=name)
    assert row is not None, f"add {name} to packets/tables/refrigerants.yaml"
    assert row["safety_class"] in ("A1", "A2L", "A3", "B1", "B2L")
    assert row["composition_percent"] == dict(load(name).composition)


def test_classes_from_memory_say_so() -> None:
    # ANSI/ASHRAE 34, from memory.
    for name, wanted in {"R-717": "B2L", "R-427A": "A1", "R-515B": "A1", "R-23": "A1"}.items():
        row = reference.table("refrigerants").find(refrigerant=name)
        assert row is not None
        assert (row["safety_class"], row["confidence"]) == (wanted, "memory")


def test_the_four_without_a_sound_model_are_refused_with_the_reason(tmp_path: Path) -> None:
    assert set(refused()) == {"R-402A", "R-408A", "R-409A", "R-438A"}
    for name, reason in refused().items():
        folder = tmp_path / name
        folder.mkdir()
        done = machine(folder, name)
        (told,) = [f for f in done.findings.errors() if f.code == "refrigerant-refused"]
        assert reason in told.message
        assert "interaction parameters" in told.message
        assert "chart" in told.fix
        assert done.packet is None


@pytest.mark.parametrize("name", ["R-717", "R-123"])
def test_a_poisonous_refrigerant_is_no_job_for_these_procedures(tmp_path: Path, name: str) -> None:
    done = machine(tmp_path, name)
    assert "refrigerant-toxic" in jobs.codes(done)
    assert done.packet is None


@pytest.mark.parametrize(
    "name", [str(row["refrigerant"]) for row in reference.table("refrigerants").rows]
)
def test_each_refrigerant_of_the_table_gets_a_packet_or_one_clear_refusal(
    tmp_path: Path, name: str
) -> None:
    row = reference.table("refrigerants").find(refrigerant=name)
    assert row is not None
    rated = [(old, new.replace("A2L]", "A2L, A3]")) for old, new in jobs.RATED]
    done = machine(tmp_path, name, rated if row["safety_class"].startswith("A2") else None)
    errors = list(done.findings.errors())
    if done.packet is not None:
        assert not errors
        assert name not in REFUSED
        return
    (told,) = errors
    assert told.code == REFUSED[name], str(told)
    assert name in told.message
    assert told.fix


# Which are refused, by which finding. Class A1 and A2L refrigerants of usual pressure get a packet.
REFUSED = {
    **dict.fromkeys(("R-744", "R-23", "R-508B", "R-1233zd(E)"), "refrigerant-not-covered"),
    **dict.fromkeys(("R-717", "R-123"), "refrigerant-toxic"),
    **dict.fromkeys(("R-290", "R-600a"), "flammable-label"),
    **dict.fromkeys(("R-402A", "R-408A", "R-409A", "R-438A"), "refrigerant-refused"),
}


def test_the_reasons_of_those_not_covered_agree_with_a_reference_library() -> None:
    """Figures in the refusals, by CoolProp: saturation at 70 °F (294.26 K), critical points."""
    from CoolProp.CoolProp import PropsSI

    psi = 6894.757
    listed = {
        row["refrigerant"]: " ".join(row["why"].split())
        for row in reference.table("not_covered").rows
    }
    at_70 = {
        name: PropsSI("P", "T", 294.26, "Q", 1, fluid) / psi
        for name, fluid in {"R-744": "CO2", "R-123": "R123", "R-1233zd(E)": "R1233zd(E)"}.items()
    }
    assert f"{at_70['R-744'] - 14.696:.0f} psig at 70" in listed["R-744"]
    assert f"{at_70['R-123']:.1f} psia at 70" in listed["R-123"]
    assert f"{at_70['R-1233zd(E)']:.1f} psia at 70" in listed["R-1233zd(E)"]
    for name, fluid in {"R-744": "CO2", "R-23": "R23"}.items():
        fahrenheit = PropsSI("Tcrit", fluid) * 1.8 - 459.67
        assert f"critical point at {fahrenheit:.0f} degF" in listed[name]
    triple = PropsSI("ptriple", "CO2") / psi - 14.696
    assert f"below {triple:.0f} psig" in listed["R-744"]


def test_a3_over_the_unlabeled_limit_needs_the_label_s_figure(tmp_path: Path) -> None:
    """150 g: UL 471 for cabinets, from memory; a greater charge is the label's to allow."""
    for at, (charge, source, code) in enumerate(
        [
            ("151 g", "recorded", "flammable-label"),
            ("150 g", "recorded", "flammable-flame"),
            ("151 g", "nameplate", "flammable-flame"),
        ]
    ):
        folder = tmp_path / str(at)
        folder.mkdir()
        rated = [(old, new.replace("A2L]", "A2L, A3]")) for old, new in jobs.RATED]
        done = jobs.prepared(
            folder,
            {
                "equipment.yaml": [
                    ("refrigerant: R-448A", "refrigerant: R-290"),
                    ("charge: 14 lb 8 oz", f"charge: {charge}"),
                    ("charge_from: recorded", f"charge_from: {source}"),
                ],
                "kit.yaml": [("refrigerant: R-448A", "refrigerant: R-290"), *rated],
            },
        )
        assert code in jobs.codes(done), [str(f) for f in done.findings]
        assert ("flammable-label" in jobs.codes(done)) == (code == "flammable-label")


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("R-427A", "composition from memory; held against no published figure"),
        ("R-515B", "held against no published figure"),
        ("R-448A", "checked against: ASHRAE Handbook Fundamentals 2021"),
    ],
)
def test_the_packet_says_on_what_ground_its_pressures_stand(
    tmp_path: Path, name: str, says: str
) -> None:
    assert (load(name).checked_against == MODEL_ONLY) == ("no published" in says)
    done = machine(tmp_path, name)
    assert done.packet is not None, [str(f) for f in done.findings]
    (note,) = [note for note in done.packet.notes if note.startswith("Saturation: ")]
    assert name in note
    assert says in note


def test_a_table_is_read_without_numpy_and_without_coolprop() -> None:
    """A new process: load one table, look it up a hundred times, see what was imported."""
    code = (
        "import sys\n"
        "from packets.saturation_data import load\n"
        "table = load('R-448A').table\n"
        "steps = [table.low + k * (table.high - table.low) / 99 for k in range(100)]\n"
        "total = sum(table.dew_temperature(table.dew_pressure(t)) for t in steps)\n"
        "assert abs(total / 100 - (table.low + table.high) / 2) < 0.01, total\n"
        "print([name for name in ('numpy', 'scipy', 'CoolProp') if name in sys.modules])\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", code],
        check=True,
        capture_output=True,
        text=True,
        cwd=Path(__file__).parent.parent,
    )
    assert told.stdout.strip() == "[]"
