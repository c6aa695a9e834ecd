"""Refrigerant in, out and lost: scale arithmetic, the balance, the ledger of cylinders."""

from __future__ import annotations

from dataclasses import dataclass

from packets.formatting import System, show
from packets.judging import entries
from packets.judging.entries import NotRead
from packets.judging.feeds import Fed, Feeds
from packets.judging.steps import Sheet
from packets.model.basis import CircuitBasis, CylinderBasis
from packets.model.packet import Packet
from packets.model.record import Balance, Cylinder, StepDone


@dataclass(frozen=True)
class _Flow:
    """One direction: what the scales say by cylinder, and what the paper says in all [kg]."""

    weighed: float | None
    written: float | None
    cylinders: tuple[Cylinder, ...]
    asked: bool
    step: str = ""

    @property
    def mass(self) -> float | None:
        """The scales govern; the written total stands in where a weight is missing."""
        return self.weighed if self.weighed is not None else self.written


def balances(sheet: Sheet, steps: tuple[StepDone, ...]) -> tuple[Balance, ...]:
    """One balance a circuit."""
    return tuple(
        _balance(Feeds(sheet, steps, name), basis, sheet.packet)
        for name, basis in sheet.circuits.items()
    )


def _balance(feeds: Feeds, basis: CircuitBasis, packet: Packet) -> Balance:
    notes: list[str] = []
    units = packet.units
    out = _flow(feeds, basis, "recovery", notes, units)
    into = _flow(feeds, basis, "charging", notes, units)
    # A packet that asks for no recovery is of a machine found empty.
    recovered = out.mass if out.asked else 0.0
    charged = into.mass if into.asked else 0.0
    for name, mass in (("recovered", recovered), ("charged", charged)):
        _compare_record(feeds.sheet, basis, name, mass, notes, units)
    within = basis.scale_step * max(len(out.cylinders), 1) * bool(out.asked)
    within += basis.scale_step * max(len(into.cylinders), 1) * bool(into.asked)
    missing = None if recovered is None else basis.held_before - recovered
    if missing is not None and missing < -within:
        notes.append(
            f"{_mass(-missing, units, basis)} more came out than the full charge on record:"
            " overcharged before, or oil, or another weight"
        )
    net = None if recovered is None or charged is None else charged - recovered
    return Balance(
        circuit=basis.circuit,
        refrigerant=basis.refrigerant,
        full_charge=basis.full_charge,
        recovered=recovered,
        charged=charged,
        missing_before=missing,
        net_added=net,
        in_machine=charged if into.asked else None,
        within=within,
        scale_step=basis.scale_step,
        cylinders=(*out.cylinders, *into.cylinders),
        notes=tuple(notes),
    )


def _flow(feeds: Feeds, basis: CircuitBasis, use: str, notes: list[str], units: System) -> _Flow:
    start_name, end_name, total = (
        ("recovery-start", "recovery-end", "recovered")
        if use == "recovery"
        else ("charge-start", "charge-end", "charged")
    )
    starts = {fed.blank.about: fed for fed in feeds.all(start_name)}
    ends = {fed.blank.about: fed for fed in feeds.all(end_name)}
    known = {one.id: one for one in basis.cylinders if one.use == use}
    names = list(dict.fromkeys([*starts, *ends, *known])) if starts or ends else []
    cylinders = tuple(
        _cylinder(
            feeds, use, name, known.get(name), starts.get(name), ends.get(name), basis, notes, units
        )
        for name in names
    )
    changes = [one.change for one in cylinders]
    sign = 1.0 if use == "recovery" else -1.0
    weighed = (
        sign * sum(change for change in changes if change is not None)
        if changes and None not in changes
        else None
    )
    fed = feeds.last(total)
    written = feeds.sheet.si(fed.blank) if fed else None
    tells = basis.scale_step * max(len(changes), 1) + 1e-6
    if weighed is not None and written is not None and abs(weighed - written) > tells:
        notes.append(
            f"the scales say {_mass(weighed, units, basis)} {total}, the paper says"
            f" {_mass(written, units, basis)}; the scales are taken"
        )
    return _Flow(weighed, written, cylinders, bool(fed or names), fed.step if fed else "")


def _cylinder(
    feeds: Feeds,
    use: str,
    name: str,
    known: CylinderBasis | None,
    start: Fed | None,
    end: Fed | None,
    basis: CircuitBasis,
    notes: list[str],
    units: System,
) -> Cylinder:
    """One line of the ledger. A change against the direction of the work is none."""
    first = feeds.sheet.si(start.blank) if start else None
    last = feeds.sheet.si(end.blank) if end else None
    tare = known.tare if known else None
    change = None if first is None or last is None else last - first
    note = ""
    if change is not None and abs(change) <= basis.scale_step + 1e-9:
        # Nothing moved that the scale can tell: a step the wrong way is no weight.
        change = max(change, 0.0) if use == "recovery" else min(change, 0.0)
    if change is not None and (change < 0) == (use == "recovery") and abs(change) > 1e-9:
        note = "start and end weights run the wrong way"
        notes.append(f"{name}: {note}; it is left out of the balance")
        change = None
    elif first is not None and known and abs(first - known.start) > 2 * basis.scale_step + 1e-6:
        stated = _mass(known.start, units, basis)
        note = f"started at {_mass(first, units, basis)}, the kit says {stated}"
        notes.append(f"{name} {note}: mend the kit's record")
    if last is not None and tare is not None and last < tare - _tare_within(basis):
        notes.append(f"{name} ends at {_mass(last, units, basis)}, lighter than its own tare")
    return Cylinder(
        id=name,
        use=use,
        refrigerant=basis.refrigerant,
        before=_above(first, tare, known.contents if known else None),
        change=change,
        after=_above(last, tare, None),
        gross=last,
        note=note,
    )


# A tare is stamped to a tenth of a pound: common practice, no source.
_STAMPED = 0.1 * 0.45359237


def _tare_within(basis: CircuitBasis) -> float:
    """How far an empty cylinder may weigh under its stamped tare [kg]: half the stamp's last digit,
    the step of the scale that weighs it, and a step that its printed stop was rounded by."""
    return _STAMPED / 2 + 2 * basis.scale_step + 1e-6


def _above(gross: float | None, tare: float | None, stated: float | None) -> float | None:
    """Contents from a gross weight; what the kit stated where it was not weighed."""
    return stated if gross is None or tare is None else gross - tare


def _compare_record(
    sheet: Sheet,
    basis: CircuitBasis,
    line_id: str,
    mass: float | None,
    notes: list[str],
    units: System,
) -> None:
    """The refrigerant record at the packet's end against the steps."""
    for line in sheet.packet.record:
        one = sheet.entry(line.field)
        if line.id != line_id or one is None or not isinstance(one.value, str) or mass is None:
            continue
        if not line.field.startswith(f"{basis.circuit}__"):
            continue
        try:
            value = entries.to_si(entries.number(one.value, "mass", line.unit), "mass", line.unit)
        except NotRead as problem:
            notes.append(f"the record's line “{line.label}”: {problem}")
            continue
        if abs(value - mass) > 2 * basis.scale_step + 1e-6:
            notes.append(
                f"the record says {_mass(value, units, basis)} {line_id}, the steps say"
                f" {_mass(mass, units, basis)}"
            )


def _mass(value: float, units: System, basis: CircuitBasis) -> str:
    """A mass in the scale's own steps."""
    return show(value, "mass", units, "nearest", basis.scale_step).text
