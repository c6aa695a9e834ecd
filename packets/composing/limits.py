"""Readings with their limits: number ids become decimals in the instrument's unit, once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from packets.composing import grids
from packets.composing.below_air import across_air
from packets.composing.texts import NONE, Own, Texts, marked
from packets.findings import Findings, Place, suggest
from packets.formatting import Shown, gauge_unit, printed_step, show, step_in, unit_of
from packets.model.kit import EXAMPLES, Instrument, Kit
from packets.model.limits import Limit, Row, plain
from packets.model.numbers import Number, NumberGrid, NumberTable, Words, WriteIn
from packets.model.packet import Blank, Choice, TableBlock, Wanted
from packets.model.procedures import LimitSpec, Reading


@dataclass
class Readings:
    """Makes the blanks and limits of one circuit's sections; `kit_place` tells where a kit
    that is a file lists an instrument."""

    texts: Texts
    kit: Kit
    findings: Findings
    kit_place: Callable[[str], Place] | None = None

    def blank(
        self,
        reading: Reading,
        base: str,
        turn: str,
        place: Place,
        own: Own,
        steps: Mapping[str, str],
    ) -> Blank:
        """One blank with its limit; its field is called by the step, the reading and the turn."""
        field, only = f"{base}{reading.id}{turn}", reading.only_if
        limit = self.limit(reading, place, own) if reading.limit else None
        kind = reading.kind or ("number" if reading.quantity else "words")
        choices: tuple[Choice, ...] = ()
        if limit is not None and limit.kind == "choice":
            kind = "choice"
            choices = tuple(
                Choice(f"{field}__c{at}", word, word in limit.good or not limit.good)
                for at, word in enumerate(limit.choices, 1)
            )
        unit = unit_of(reading.quantity, self.texts.units) if reading.quantity else ""
        if limit is not None and limit.unit and limit.kind != "write_in":
            unit = limit.unit
        return Blank(
            id=reading.id,
            field=field,
            label=self.texts.fill(reading.label, place, own, steps),
            kind=kind,  # type: ignore[arg-type]
            unit=unit,
            limit_text=limit.text() if limit and limit.kind != "choice" else "",
            limit=limit,
            choices=choices,
            instrument=self.instrument_name(reading, place),
            mark=self.marked(reading, own),
            quantity=reading.quantity,
            step=self.shown_step(reading, unit),
            feeds=reading.feeds,
            after=self.time(reading.after, place, own),
            about=self.about(own),
            within=self.time(reading.within, place, own),
            only_if=Wanted(f"{base}{only.reading}{turn}", only.says) if only else None,
        )

    def time(self, name: str, place: Place, own: Own) -> float:
        """A time that a reading is held to [s]; 0 for none."""
        entry = self.texts.entry(name, place, own) if name else None
        if isinstance(entry, Number) and entry.quantity == "time":
            return entry.value
        if isinstance(entry, (Number, NumberTable, NumberGrid, Words)):
            message = f"a reading is held to {name}, which is no time"
            self.findings.error("after-kind", place, message, "name a time")
        return 0.0

    def about(self, own: Own) -> str:
        """The cylinder or joint that a repeated reading is of."""
        entry = own.get("cylinder.id") or own.get("joint.name")
        return entry.text if isinstance(entry, Words) else ""

    def shown_step(self, reading: Reading, unit: str) -> Decimal | None:
        """The instrument's step in the unit of the box, as values are printed there; None where
        it is not known."""
        step = self.step(reading)
        if not step or not reading.quantity:
            return None
        return step_in(
            printed_step(reading.quantity, self.texts.units, step), reading.quantity, unit
        )

    def marked(self, reading: Reading, own: Own) -> bool:
        """Whether a limit printed beside the box stands on weaker ground than a seen source."""
        spec = reading.limit
        names = (spec.at_least, spec.at_most) if spec else ()
        entries = (own.get(name) or self.texts.register.entries.get(name) for name in names)
        return any(marked(entry) for entry in entries if entry is not None)

    def instrument_name(self, reading: Reading, place: Place) -> str:
        """The mark of the instrument that a reading is taken with."""
        if not reading.with_:
            return ""
        instrument = self.instrument(reading.with_)
        head, _, gauge = reading.with_.partition(".")
        if instrument is None and (gauge in vars(self.kit.gauges) or head in ("scale", "kit")):
            self.findings.error(
                "instrument",
                self.kit_at(reading.with_, place),
                f"the work reads with {reading.with_} and the kit has none",
                f"fill in {reading.with_} in the kit, e.g. `{EXAMPLES.get(gauge or head, '')}`",
            )
            return ""
        if instrument is None:
            self.findings.error(
                "instrument",
                place,
                f"the kit has no {reading.with_}",
                suggest(
                    reading.with_, [f"gauges.{name}" for name in vars(self.kit.gauges)] + ["scale"]
                ),
            )
            return ""
        return instrument.id if isinstance(instrument, Instrument) else ""

    def instrument(self, name: str) -> object | None:
        head, _, rest = name.partition(".")
        if head == "gauges":
            return vars(self.kit.gauges).get(rest)
        return self.kit.scale if name in ("scale", "kit.scale") else None

    def limit(self, reading: Reading, place: Place, own: Own = NONE) -> Limit | None:
        """The limit of a reading in the unit its instrument shows, rounded to the safe side."""
        spec = reading.limit
        assert spec is not None
        if spec.choice:
            unknown = [word for word in spec.good if word not in spec.choice]
            for word in unknown:
                self.findings.error(
                    "limit-choice", place, f"{word!r} is not a choice", suggest(word, spec.choice)
                )
            return Limit("choice", choices=spec.choice, good=spec.good)
        if spec.write_in:
            return Limit("write_in", write_in=spec.write_in)
        if spec.rows:
            return self.rows(spec, reading, place)
        low = self.bound(spec.at_least, reading, "up", place, own)
        high = self.bound(spec.at_most, reading, "down", place, own)
        if isinstance(low, WriteIn) or isinstance(high, WriteIn):
            reads = [entry.read for entry in (low, high) if isinstance(entry, WriteIn)]
            return Limit("write_in", write_in="; ".join(dict.fromkeys(reads)))
        if low is None and high is None:
            return None
        if low is not None and high is not None and low.unit != high.unit:
            low, high = across_air(low), across_air(high)
        unit = (high or low).unit  # type: ignore[union-attr]
        if low is not None and high is not None:
            if low.value > high.value:
                self.too_coarse(reading.id, reading, place)
            return Limit("between", unit, low.value, high.value)
        if high is not None:
            return Limit("at_most", unit, None, high.value)
        assert low is not None
        return Limit("at_least", unit, low.value)

    def bound(
        self, name: str, reading: Reading, way: str, place: Place, own: Own
    ) -> Shown | WriteIn | None:
        if not name:
            return None
        entry = self.texts.entry(name, place, own)
        if entry is None or isinstance(entry, WriteIn):
            return entry
        if not isinstance(entry, Number) or entry.quantity != reading.quantity:
            self.findings.error(
                "limit-kind",
                place,
                f"{name} is no {reading.quantity or 'quantity'}",
                "use a number of the reading's own kind",
            )
            return None
        step = entry.step or self.step(reading)
        shown = show(entry.value, entry.quantity, self.texts.units, way, step, entry.unit)
        # A temperature may lie below the zero of its scale; else nothing would be left.
        none_left = entry.quantity != "temperature" and shown.value <= 0 < entry.value
        if way == "down" and none_left:
            self.too_coarse(name, reading, place)
        return shown

    def step(self, reading: Reading) -> float:
        """The step of the reading's instrument, in SI."""
        instrument = self.instrument(reading.with_) if reading.with_ else None
        resolution = getattr(instrument, "resolution", None)
        return float(resolution.value) if resolution is not None else 0.0

    def rows(self, spec: LimitSpec, reading: Reading, place: Place) -> Limit | None:
        entry = self.texts.entry(spec.rows, place)
        if entry is None:
            return None
        if isinstance(entry, WriteIn):
            return Limit("write_in", write_in=entry.read)
        if not isinstance(entry, NumberTable):
            self.findings.error(
                "limit-table", place, f"{spec.rows} is no table", "use at_most or at_least"
            )
            return None
        if entry.quantity != reading.quantity:
            self.findings.error(
                "limit-kind",
                place,
                f"{spec.rows} gives a {entry.quantity}, not a {reading.quantity or 'quantity'}",
                "use a table of the reading's own kind",
            )
            return None
        rows = self.table_rows(entry)
        if len({row.by for row in rows}) < len(rows):
            self.too_coarse(spec.rows, reading, place)
        limit = Limit(
            "rows",
            unit_of(entry.quantity, self.texts.units),
            rows=rows,
            by=spec.by,
            by_unit=unit_of(entry.by_quantity, self.texts.units),
            straight=entry.straight,
        )
        if any(row.low > row.high for row in rows) or any(
            max(a.low, b.low) > min(a.high, b.high) for a, b in pairwise(rows)
        ):
            self.too_coarse(spec.rows, reading, place)
        return limit

    def table_rows(self, table: NumberTable) -> tuple[Row, ...]:
        """A table's rows as printed: the low end rounded up, the high end down."""
        units = self.texts.units
        # One unit a column: a gauge pressure below the air stays in psig here.
        by_unit, unit = gauge_unit(table.by_quantity, units), gauge_unit(table.quantity, units)
        return tuple(
            Row(
                show(row.by, table.by_quantity, units, "nearest", table.by_step, by_unit).value,
                show(row.low, table.quantity, units, "up", table.step, unit).value,
                show(row.high, table.quantity, units, "down", table.step, unit).value,
            )
            for row in table.rows
        )

    def kit_at(self, name: str, place: Place) -> Place:
        """Where the kit lists an instrument; `place` where it is no file, or none is named."""
        return self.kit_place(name) if self.kit_place and name else place

    def too_coarse(self, name: str, reading: Reading, place: Place) -> None:
        """It is the kit's instrument that has to change, not the standard work that reads it."""
        step = getattr(self.instrument(reading.with_), "resolution", None)
        read = f", read with {reading.with_} in steps of {step.text}" if step else ""
        self.findings.error(
            "gauge-too-coarse",
            self.kit_at(reading.with_, place),
            f"{name}{read}: rounded to the instrument's steps, no reading is allowed",
            "load a finer instrument and write its resolution into the kit",
        )

    def table(self, name: str, place: Place) -> TableBlock | None:
        """A computed table as printed under a step."""
        entry = self.texts.entry(name, place)
        if isinstance(entry, WriteIn):
            return TableBlock(name, entry.label, ("Work it out on site",), ((entry.read,),))
        if isinstance(entry, NumberGrid):
            return grids.block(entry, self.texts.units)
        if not isinstance(entry, NumberTable):
            if entry is not None:
                self.findings.error("table-kind", place, f"{name} is no table", "name a table")
            return None
        units = self.texts.units
        printed = self.table_rows(entry)
        by_unit, unit = unit_of(entry.by_quantity, units), unit_of(entry.quantity, units)
        cells: list[tuple[str, ...]] = []
        today: list[int] = []
        for at, (row, shown) in enumerate(zip(entry.rows, printed, strict=True)):
            line = [plain(shown.by)]
            if row.target is not None:
                line.append(
                    plain(
                        show(
                            row.target, entry.quantity, units, entry.target_round, entry.step
                        ).value
                    )
                )
            cells.append((*line, f"{plain(shown.low)} to {plain(shown.high)}"))
            if entry.today is not None and abs(row.by - entry.today) <= entry.by_step / 2 + 1e-9:
                today.append(at)
        heads = [f"{entry.by_label} {by_unit}"]
        if entry.rows[0].target is not None:
            heads.append(f"{entry.target_label} {unit}")
        heads.append(f"{entry.label} {unit}")
        return TableBlock(
            name,
            entry.title,
            tuple(heads),
            tuple(cells),
            entry.note,
            tuple(today),
            marked(entry),
        )
