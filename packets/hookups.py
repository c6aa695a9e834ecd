"""The circuit of a job: what the work opens, where nitrogen, vacuum and refrigerant go.

Puts the machine's differences and the parts that the work adds into its circuit, and hands the
whole to `packets.circuit`. Problems become findings at the line that can mend them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from packets import reference
from packets.catalog import Catalog
from packets.circuit import brazing, differences, names, placing, sweeping, unbrazing
from packets.circuit import graph as graphs
from packets.circuit.checking import check, lacking
from packets.circuit.evacuation import evacuation_plan
from packets.circuit.graph import Graph
from packets.circuit.recovery import is_liquid, recovery_plan
from packets.circuit.sides import side
from packets.circuit.volumes import volumes
from packets.findings import Findings, suggest
from packets.formulas.ranges import OutOfRange
from packets.formulas.saturation import NoDensity
from packets.job_files import JobFiles
from packets.model.circuits import CircuitPlan, Difference, Problem
from packets.model.hookups import (
    BrazePlan,
    Hookups,
    LineSize,
    Opened,
    RecoveryPlan,
    Route,
    Volumes,
)
from packets.model.plans import Plan
from packets.model.procedures import Fragment
from packets.quantities import INCH
from packets.saturation_data import SaturationData

_K_77F = (77 + 459.67) / 1.8
# A line that the record gives no size for lies inside the unit: no longer than this [m].
_SHORT_LINE = 1.0


def machine(files: JobFiles, catalog: Catalog, name: str, findings: Findings) -> CircuitPlan | None:
    """The circuit of a machine as it stands, its differences worked in; None with findings."""
    record = files.equipment.circuits[name]
    drawn = catalog.library.circuits[record.circuit]
    made, wrong = differences.apply(drawn, record.differences)
    for problem in wrong:
        place = files.place("equipment", "circuits", name, *problem.path)
        findings.error(problem.code, place, problem.message, problem.fix)
    if wrong:
        return None
    # The file itself has been checked with the library; what the record makes of it has not.
    unsound = (check(made) or lacking(made)) if record.differences else ()
    for problem in unsound:
        at = _by_difference(record.differences, problem)
        place = files.place("equipment", "circuits", name, "differences", *at)
        findings.error(problem.code, place, problem.message, problem.fix)
    return None if unsound else made


def _by_difference(differences: Iterable[Difference], problem: Problem) -> tuple[int, ...]:
    """The number of the difference that brought in what a problem is about, if one did."""
    about = str(problem.path[1]) if len(problem.path) > 1 else ""
    for at, one in enumerate(differences):
        names = (
            one.add,
            one.change,
            one.port,
            *(f"{part}-{one.as_ or '2'}" for part in one.repeat),
        )
        if about and about in names:
            return (at,)
    return ()


def work_out(
    files: JobFiles,
    catalog: Catalog,
    plan: Plan,
    name: str,
    fluid: SaturationData | None,
    findings: Findings,
) -> Hookups | None:
    """Every hook-up of one circuit of a job; None when its circuit does not hang together."""
    found = machine(files, catalog, name, findings)
    if found is None:
        return None
    fragments = [
        catalog.library.fragments[one.fragment] for one in plan.order if one.circuit == name
    ]
    sizes = _sizes(files, name, found, findings)
    made, wrong = _with_additions(found, fragments)
    for fragment, problem in wrong:
        place = catalog.place("fragment", fragment, "adds")
        findings.error(problem.code, place, problem.message, problem.fix)
    if wrong:
        return None
    opened = _opened(files, name, made, fragments)
    cut = _unbrazed(made, fragments)
    volume = _volumes(files, name, made, sizes, fluid)
    recovery, evacuation = recovery_plan(found), evacuation_plan(made, sizes)
    braze = brazing.braze_plan(made, opened, sizes)
    charging = _charging(made, recovery)
    hookups = Hookups(
        found=found,
        made=made,
        opened=opened,
        cut=cut,
        braze=braze,
        repairs=_repairs(made, opened, braze, sizes),
        unbraze=unbrazing.unbraze_plan(found, _stubs(found, cut), cut, sizes),
        recovery=recovery,
        sweep=sweeping.sweep_plan(found, volume, sizes),
        evacuation=evacuation,
        charging=charging,
        volumes=volume,
        charging_side=side(made, charging) if charging else "",
    )
    _told(files, catalog, name, hookups, fragments, findings)
    return hookups


def _with_additions(
    circuit: CircuitPlan, fragments: Iterable[Fragment]
) -> tuple[CircuitPlan, list[tuple[str, Problem]]]:
    """The circuit with the parts that the work adds and that it has not yet, and what of it
    cannot be, by fragment."""
    found: list[tuple[str, Problem]] = []
    for fragment in fragments:
        for new in fragment.adds:
            if new.part in circuit.parts:
                continue
            line = _line_to(circuit, new.before)
            if line is None:
                continue
            spot = placing.place(circuit, line)
            added = Difference(add=new.part, in_=line, kind=new.kind, at=spot)
            circuit, wrong = differences.apply(circuit, [added])
            found += [(fragment.fragment, problem) for problem in wrong or check(circuit)]
    return circuit, found


def _line_to(circuit: CircuitPlan, port: str) -> str | None:
    return next((name for name, line in circuit.lines.items() if line.to == port), None)


def _opened(
    files: JobFiles, name: str, circuit: CircuitPlan, fragments: Iterable[Fragment]
) -> Opened:
    """The parts that are out, the joints that the job names or that were left open, and which
    joints are not brazed."""
    out = tuple(
        dict.fromkeys(
            part for fragment in fragments for part in fragment.remakes if part in circuit.parts
        )
    )
    graph = graphs.build(circuit)
    kinds = joint_kinds(files, name, graph)
    screwed = {joint for joint, kind in kinds.items() if kind != "brazed"}
    left = files.job.now.circuits[name].left
    wanted = (*files.job.joints.get(name, ()), *(left.open if left else ()))
    named = [key for key in wanted if key in graph.joint_of]
    joints = tuple(dict.fromkeys(graph.joint_of[key] for key in named))
    return Opened(out, joints, tuple(sorted(screwed)))


def joint_kinds(files: JobFiles, name: str, graph: Graph) -> dict[str, str]:
    """How each joint of the record is made, by the joint's name in the graph."""
    record = files.equipment.circuits[name]
    return {
        graph.joint_of[key]: joint.kind
        for key, joint in record.joints.items()
        if key in graph.joint_of
    }


def _unbrazed(circuit: CircuitPlan, fragments: Iterable[Fragment]) -> tuple[str, ...]:
    """Parts that are cut out cold and whose stubs are then taken out hot."""
    named = (part for fragment in fragments for part in fragment.unbrazes)
    return tuple(dict.fromkeys(part for part in named if part in circuit.parts))


def _repairs(
    circuit: CircuitPlan, opened: Opened, plan: BrazePlan, sizes: Mapping[str, LineSize]
) -> tuple[tuple[str, Route | None], ...]:
    """Each brazed joint made again when all others are done: the ways it was made by are shut."""
    joints = [step.joint for step in plan.steps]
    found: list[tuple[str, Route | None]] = []
    for step in plan.steps:
        if step.route is not None:
            others = [joint for joint in joints if joint != step.joint]
            ways = brazing.routes_for(circuit, opened, others, step.joint, sizes)
            found.append((step.joint, ways[0] if ways else None))
    return tuple(found)


def _stubs(circuit: CircuitPlan, cut: Iterable[str]) -> tuple[str, ...]:
    """The joints at which stubs of the cut parts are left."""
    return tuple(f"{part}.{port}" for part in cut for port in circuit.parts[part].ports)


def _sizes(
    files: JobFiles, name: str, circuit: CircuitPlan, findings: Findings
) -> dict[str, LineSize]:
    """Bore and length of the lines that the record gives a size for."""
    rows = reference.table("tube").rows
    sizes = {}
    for at, line in enumerate(files.equipment.circuits[name].lines):
        if line.name not in circuit.lines:
            findings.error(
                "unknown-line",
                files.place("equipment", "circuits", name, "lines", at, "name"),
                f"the circuit has no line {line.name!r}",
                suggest(line.name, circuit.lines),
            )
        fits = [row for row in rows if abs(row["od_in"] * INCH - line.size.value) < 1e-4]
        temper = [row for row in fits if row["temper"] == line.temper] or fits
        if temper:
            bore = max(row["bore_in"] for row in temper) * INCH
            sizes[line.name] = LineSize(bore, line.length.value)
    return sizes


def _volumes(
    files: JobFiles,
    name: str,
    circuit: CircuitPlan,
    sizes: Mapping[str, LineSize],
    fluid: SaturationData | None,
) -> Volumes:
    record = files.equipment.circuits[name]
    total = record.internal_volume.value if record.internal_volume else None
    liquid = None
    if fluid is not None:
        try:
            liquid = record.charge.value / fluid.table.liquid_density(_K_77F)
        except (NoDensity, OutOfRange):
            liquid = None
    bore = max((size.bore for size in sizes.values()), default=0.0)
    unsized = LineSize(bore, _SHORT_LINE) if bore else None
    return volumes(circuit, sizes, None, liquid, total, unsized)


def _charging(circuit: CircuitPlan, recovery: RecoveryPlan) -> str:
    """The port the charge is weighed in at: where liquid stands in service, else the high side's,
    else the only one there is."""
    graph = graphs.build(circuit)
    ports = [use.port for use in (*recovery.liquid, *recovery.vapor)]
    ports += [port for port in circuit.service_ports if port not in ports]
    ranked = sorted(
        ports, key=lambda port: (not is_liquid(graph, port), side(circuit, port) != "high")
    )
    return ranked[0] if ranked else ""


def _told(
    files: JobFiles,
    catalog: Catalog,
    name: str,
    hookups: Hookups,
    fragments: Iterable[Fragment],
    findings: Findings,
) -> None:
    """What the plans found wrong. Only acts that the job does can go wrong."""
    acts = {act for fragment in fragments for act in fragment.acts}
    for problem in _problems(hookups, acts):
        findings.error(
            problem.code,
            files.place("equipment", "circuits", name, "circuit"),
            problem.message,
            f"{problem.fix}; state it under circuits.{name}.differences"
            if problem.code in ("no-route", "no-service-port", "section-keeps-refrigerant")
            else problem.fix,
        )
    for step in hookups.braze.steps:
        if step.route is not None and step.route.pressed:
            findings.warn(
                "joint-pressed",
                files.place("equipment", "circuits", name, "circuit"),
                f"at {names.joint(hookups.made, step.joint)} nitrogen can leave only through a"
                " capillary and stands under pressure",
                "fit a service port on the far side, or braze this joint before the capillary's",
            )


def _problems(hookups: Hookups, acts: set[str]) -> Iterator[Problem]:
    yield from hookups.braze.problems
    yield from hookups.unbraze.problems
    if "removes-refrigerant" in acts:
        yield from hookups.recovery.problems
    if "evacuates" in acts:
        yield from hookups.evacuation.problems
