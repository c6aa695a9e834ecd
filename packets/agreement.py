"""Whether what the files say of one machine, one kit and one day can be true together."""

from __future__ import annotations

from datetime import date
from math import pi

from packets import reference, saturation_data
from packets.catalog import Catalog
from packets.circuit import differences
from packets.findings import Findings, suggest
from packets.formulas.ranges import OutOfRange
from packets.formulas.saturation import NoDensity
from packets.job_files import JobFiles
from packets.model.equipment import Line, Span, Store
from packets.model.procedures import CircuitPlan, Library
from packets.quantities import INCH, Quantity

_K_77F = (77 + 459.67) / 1.8
# From a store's setpoint to its coldest place, at most [K]: common practice, no source.
_STORE_SPREAD = 25.0
# From the highest evaporating to the setpoint, above which it is doubted [K]: common practice, no
# source. Coils run some 4 to 15 K below their box.
_COIL_SPREAD = 30.0


def check(files: JobFiles, catalog: Catalog, findings: Findings) -> None:
    """Add a finding for each pair of statements that cannot both hold."""
    _kit(files, findings)
    _pipes(files, findings)
    for circuit in files.job.work:
        record = files.equipment.circuits[circuit]
        plan = catalog.library.circuits[record.circuit]
        made, wrong = differences.apply(plan, record.differences)
        one = _Circuit(files, circuit, plan if wrong else made, findings)
        one.pairs()
        one.days()
        one.lines()
        one.volumes()
        one.joints(catalog.library)
        one.facts(catalog.library)


def _kit(files: JobFiles, findings: Findings) -> None:
    """Nothing in the kit was made or weighed after the day of the job."""
    day = files.job.date
    dates: list[tuple[tuple[str | int, ...], date | None]]
    dates = [(("recovery_machine", "made"), files.kit.recovery_machine.made)]
    dates += [
        (("recovery_cylinders", at, "as_of"), cylinder.as_of)
        for at, cylinder in enumerate(files.kit.recovery_cylinders)
    ]
    for path, said in dates:
        if said is not None and said > day:
            findings.error(
                "date-after",
                files.place("kit", *path),
                f"{said} is after the day of the job, {day}",
                "check both dates",
            )
    for at, cylinder in enumerate(files.kit.nitrogen):
        if cylinder.pressure.value > 1.1 * cylinder.full_pressure.value:
            findings.error(
                "range",
                files.place("kit", "nitrogen", at, "pressure"),
                f"{cylinder.pressure.text} is above a full cylinder's"
                f" {cylinder.full_pressure.text}",
                "check both against the gauge and the cylinder",
            )


def _pipes(files: JobFiles, findings: Findings) -> None:
    """The coldest pipe is no warmer than the hottest, and hardly than the air outdoors."""
    day = files.job.conditions
    coldest, place = day.coldest_pipe, files.place("job", "conditions", "coldest_pipe")
    if coldest is None or day.hottest_pipe.value < day.outdoor.value:
        return  # the hottest pipe is then told by itself
    if coldest.value > day.hottest_pipe.value:
        findings.error(
            "range",
            place,
            f"the coldest pipe, {coldest.text}, is warmer than the hottest,"
            f" {day.hottest_pipe.text}",
            "check both, degF or degC",
        )
    elif coldest.value > day.outdoor.value and files.equipment.space.kind != "indoor":
        findings.warn(
            "coldest-pipe",
            place,
            f"the coldest pipe, {coldest.text}, is warmer than the outdoor air, {day.outdoor.text}",
            "check both: the hold's table begins at the coldest the pipe may get",
        )


class _Circuit:
    """The statements about one circuit."""

    def __init__(self, files: JobFiles, name: str, plan: CircuitPlan, findings: Findings) -> None:
        self.files, self.name, self.plan, self.findings = files, name, plan, findings
        self.record = files.equipment.circuits[name]

    def error(self, code: str, path: tuple[str | int, ...], message: str, fix: str) -> None:
        self.findings.error(
            code, self.files.place("equipment", "circuits", self.name, *path), message, fix
        )

    def pairs(self) -> None:
        """Of two values one is the lower."""
        one, metering = self.record, self.record.metering
        controls, store = one.controls, self.files.equipment.store
        evaporating, condensing = one.evaporating, one.condensing
        cut_in, cut_out = controls.low_pressure_cut_in, controls.low_pressure_cut_out
        high = controls.high_pressure_cut_out
        self._below(cut_out, cut_in, ("controls", "low_pressure_cut_out"), "the cut-in's")
        self._below(
            high, one.design_pressure.high, ("controls", "high_pressure_cut_out"), "the plate's"
        )
        self._below(one.head_minimum, high, ("head_minimum",), "the high-pressure cut-out's")
        spans: tuple[tuple[Span | None, tuple[str, ...]], ...] = (
            (one.compressor.superheat, ("compressor", "superheat")),
            (one.heating.rise if one.heating else None, ("heating", "rise")),
            (one.heating.evaporating if one.heating else None, ("heating", "evaporating")),
        )
        for span, path in spans:
            if span:
                self._below(span.low, span.high, (*path, "low"), "the high end of")
        if evaporating and condensing:
            self._below(
                evaporating.high, condensing.high, ("condensing",), "the highest condensing"
            )
        for key in ("superheat", "subcooling"):
            within, whole = getattr(metering, f"{key}_within"), getattr(metering, key)
            self._below(within, whole, ("metering", f"{key}_within"), f"the {key} of")
        if store and store.coldest.value > store.setpoint.value:
            self.findings.error(
                "range",
                self.files.place("equipment", "store", "coldest"),
                f"the coldest place, {store.coldest.text}, is warmer than the setpoint of"
                f" {store.setpoint.text}",
                "check both",
            )
        elif store and store.setpoint.value - store.coldest.value > _STORE_SPREAD:
            self.findings.error(
                "range",
                self.files.place("equipment", "store", "setpoint"),
                f"the setpoint of {store.setpoint.text} is far from the coldest place's"
                f" {store.coldest.text}",
                "check both, and whether each is in degF or degC",
            )
        if store and evaporating and evaporating.high.value >= store.setpoint.value:
            said = f"evaporating at {evaporating.high.text} cools no store to {store.setpoint.text}"
            self.error("range", ("evaporating", "high"), said, "check both, degF or degC")
        elif store and evaporating:
            self._store_doubts(store, evaporating)

    def _store_doubts(self, store: Store, evaporating: Span) -> None:
        """What a store and its coil may be, but hardly are."""
        superheat = self.record.metering.superheat
        if store.setpoint.value - evaporating.high.value > _COIL_SPREAD:
            self.findings.warn(
                "store-far",
                self.files.place("equipment", "store", "setpoint"),
                f"a store at {store.setpoint.text} is far above a coil at most at"
                f" {evaporating.high.text}",
                "check both, degF or degC",
            )
        elif superheat and superheat.value > store.setpoint.value - evaporating.low.value:
            self.findings.warn(
                "superheat-high",
                self.files.place("equipment", "circuits", self.name, "metering", "superheat"),
                f"with a superheat of {superheat.text} over {evaporating.low.text} the gas would"
                f" leave the coil warmer than the store's {store.setpoint.text}",
                "check the maker's superheat",
            )

    def _below(
        self,
        low: Quantity | None,
        high: Quantity | None,
        path: tuple[str | int, ...],
        words: str,
    ) -> None:
        if low is not None and high is not None and low.value >= high.value:
            said = f"{path[-1]}: {low.text} is not below {words} {high.text}"
            self.error("range", path, said.replace("_", " "), "check both with plate and maker")

    def days(self) -> None:
        """What is past lies before the day of the job, and stands once."""
        day, seen = self.files.job.date, set()
        for at, added in enumerate(self.record.additions or ()):
            path = ("additions", at, "date")
            if added.date > day:
                message = f"{added.date} is after the day of the job, {day}"
                self.error("date-after", path, message, "check both dates")
            if (added.date, added.mass.value) in seen:
                place = self.files.place("equipment", "circuits", self.name, *path)
                message = f"{added.mass.text} on {added.date} stands twice"
                self.findings.warn("addition-twice", place, message, "leave out one, if it was one")
            seen.add((added.date, added.mass.value))
        verified = self.record.leak_verified
        if verified is not None and verified > day:
            message = f"{verified} is after the day of the job, {day}"
            self.error("date-after", ("leak_verified",), message, "check both dates")

    def lines(self) -> None:
        """Each line is described once."""
        seen: set[str] = set()
        for at, line in enumerate(self.record.lines):
            if line.name in seen:
                message = f"{line.name} is described twice"
                self.error("line-twice", ("lines", at, "name"), message, "keep one")
            seen.add(line.name)

    def volumes(self) -> None:
        """Lines and parts fit into the whole, and the liquid lines hold no more than the charge."""
        record = self.record
        parts = sum(each.value for each in record.part_volumes.values())
        inside = parts + sum(_volume(line, line.length.value) for line in record.lines)
        whole = record.internal_volume
        if whole is not None and inside > whole.value:
            message = f"the lines and parts given hold more than {whole.text} by themselves"
            self.error("volume-parts", ("internal_volume",), message, "check sizes and volume")
        receiver = any(part.kind == "receiver" for part in self.plan.parts.values())
        if record.receiver_charge and not receiver:
            place = self.files.place("equipment", "circuits", self.name, "receiver_charge")
            fix = "leave it out, or write the receiver under differences"
            self.findings.warn("receiver-none", place, "the circuit has no receiver", fix)
        density = self._density()
        if whole is not None and density and record.charge.value / density > whole.value:
            message = f"a charge of {record.charge.text} fills more than {whole.text} as liquid"
            self.error("volume-charge", ("internal_volume",), message, "check volume and charge")
        covered = record.line_set.covers.value if record.line_set else None
        held = 0.0
        for line in record.lines:
            drawn = self.plan.lines.get(line.name)
            if drawn is not None and drawn.liquid:
                long = line.length.value
                held += density * _volume(line, long if covered is None else min(long, covered))
        if held > record.charge.value:
            message = f"the liquid lines alone hold more than the charge of {record.charge.text}"
            self.error("charge-lines", ("charge",), message, "check the charge and the lines")

    def _density(self) -> float:
        """Of the liquid at 77 degF [kg/m3]; 0 where it is not known."""
        if self.record.chart:
            return 0.0
        try:
            return saturation_data.load(self.record.refrigerant).table.liquid_density(_K_77F)
        except (NoDensity, OutOfRange):
            return 0.0

    def joints(self, library: Library) -> None:
        """A joint of the record is a port of the circuit, or of a part that work may add."""
        ports = {f"{name}.{port}" for name, part in self.plan.parts.items() for port in part.ports}
        for fragment in library.fragments.values():
            ports |= {f"{new.part}.{port}" for new in fragment.adds for port in ("in", "out")}
        for key in self.record.joints:
            if key not in ports:
                self.findings.warn(
                    "joint-not-drawn",
                    self.files.documents["equipment"].key_place(
                        "circuits", self.name, "joints", key
                    ),
                    f"the circuit has no port {key!r}: no route and no drawing can show it",
                    suggest(key, ports),
                )

    def facts(self, library: Library) -> None:
        """Facts that never hold together are not both said to hold now."""
        now = self.files.job.now.circuits[self.name]
        for one, other in library.acts.apart:
            if one in now.facts and other in now.facts:
                self.findings.error(
                    "facts-apart",
                    self.files.place("job", "now", "circuits", self.name, "facts"),
                    f"`{one}` and `{other}` never hold together",
                    "keep the one that holds",
                )


def _volume(line: Line, length: float) -> float:
    """Inside of a line [m3]; 0 where its size is in no table."""
    rows = reference.table("tube").rows
    fits = [row for row in rows if abs(row["od_in"] * INCH - line.size.value) < 1e-4]
    bore = min((row["bore_in"] for row in fits), default=0.0) * INCH
    return pi / 4 * bore * bore * length
