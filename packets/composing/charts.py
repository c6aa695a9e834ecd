"""Charts of a step: the register's numbers, in the unit printed, handed to `packets.charts`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from packets.charts import hold, rise, scale
from packets.charts.ink import Picture
from packets.composing.limits import Readings
from packets.findings import Findings, Place
from packets.formatting import show, unit_of
from packets.model import packet as printed
from packets.model.numbers import Number, NumberTable, WriteIn
from packets.numbers.context import Context
from packets.quantities import from_si, to_si

# SI units' names by quantity, as `quantities` knows them.
_NAMES = {
    "ip": {"temperature": "degF", "gauge-pressure": "psig", "vacuum": "micron"},
    "si": {"temperature": "degC", "gauge-pressure": "kPag", "vacuum": "Pa"},
}
_MARGIN = 5.0  # K that a scale reaches beyond the range it is for


@dataclass
class Charts:
    """Makes the charts of one circuit. A chart whose numbers wait is no chart, and a finding."""

    context: Context
    readings: Readings

    @property
    def findings(self) -> Findings:
        return self.readings.findings

    def chart(self, kind: str, place: Place) -> printed.Figure | None:
        """The chart that a step asks for; None where the site has yet to give a number."""
        makers: dict[str, Callable[[Place], Picture | None]] = {
            "hold": self._hold,
            "rise": self._rise,
            "pressure-temperature": self._card,
            "superheat": partial(self._worksheet, "superheat"),
            "subcooling": partial(self._worksheet, "subcooling"),
        }
        try:
            drawn = makers[kind](place)
        except ValueError as problem:
            # Numbers that an instrument's coarse step has made equal, or nothing.
            self.findings.error(
                "no-chart",
                place,
                f"the {kind} chart cannot be drawn: {problem}",
                "load finer instruments, or check the values that it is made of",
            )
            return None
        if drawn is None:
            return None
        return printed.Figure(
            kind, drawn.svg, drawn.width_mm, drawn.height_mm, drawn.title, drawn.description
        )

    def _in_unit(self, value: float, quantity: str) -> float:
        return from_si(value, quantity, _NAMES[self.context.units][quantity])

    def _unit(self, quantity: str) -> str:
        return unit_of(quantity, self.context.units)

    def _number(self, name: str, place: Place) -> Number | None:
        entry = self.readings.texts.entry(name, place)
        if isinstance(entry, Number):
            return entry
        if entry is not None and not isinstance(entry, WriteIn):
            self.findings.error("chart-kind", place, f"{name} is no number", "use another chart")
        return None

    def _table(self, name: str, place: Place) -> NumberTable | None:
        entry = self.readings.texts.entry(name, place)
        if isinstance(entry, NumberTable):
            return entry
        if entry is not None and not isinstance(entry, WriteIn):
            self.findings.error("chart-kind", place, f"{name} is no table", "use another chart")
        return None

    def _hold(self, place: Place) -> Picture | None:
        table, limit = self._table("hold.allowed", place), self._number("hold.limit", place)
        if table is None or limit is None:
            return None
        highest = show(limit.value, limit.quantity, self.context.units, limit.round, limit.step)
        rows = [
            hold.Row(
                float(shown.by),
                float(shown.low),
                float(shown.high),
                self._in_unit(row.target or 0.0, "gauge-pressure"),
            )
            for row, shown in zip(table.rows, self.readings.table_rows(table), strict=True)
        ]
        return hold.chart(
            rows,
            float(highest.value),
            self._unit("temperature"),
            self._unit("gauge-pressure"),
        )

    def _rise(self, place: Place) -> Picture | None:
        names = ("target", "rise_limit", "water_plateau", "rise_first", "rise_second", "rise_time")
        found = [self._number(f"evac.{name}", place) for name in names]
        numbers = [number for number in found if number is not None]
        if len(numbers) < len(names):
            return None
        target, limit, water, *times = (
            float(show(n.value, n.quantity, self.context.units, n.round, n.step).value)
            for n in numbers
        )
        return rise.chart(rise.Rise(target, limit, water, times, times[-1], self._unit("vacuum")))

    def _side(self, name: str, span: scale.Span) -> scale.Side | None:
        """The dew or bubble scale of the refrigerant over a span of temperatures."""
        if self.context.fluid is None:
            return None
        table, air = self.context.fluid.table, self.context.atmosphere
        dew = name == "Dew"
        back = table.dew_temperature if dew else table.bubble_temperature
        forth = table.dew_pressure if dew else table.bubble_pressure
        unit = _NAMES[self.context.units]["gauge-pressure"]

        def temperature(pressure: float) -> float:
            return self._in_unit(back(to_si(pressure, "gauge-pressure", unit) + air), "temperature")

        def pressure(temperature: float) -> float:
            kelvin = to_si(temperature, "temperature", _NAMES[self.context.units]["temperature"])
            return self._in_unit(forth(kelvin) - air, "gauge-pressure")

        return scale.Side(name, temperature, pressure(span.low), pressure(span.high))

    def _span(self, *kelvins: float, width: float = scale.WIDTH) -> scale.Span | None:
        """Whole degrees that hold the temperatures and a margin, within the refrigerant's table."""
        if self.context.fluid is None:
            return None
        table = self.context.fluid.table
        low = max(min(kelvins) - _MARGIN, table.low)
        high = min(max(kelvins) + _MARGIN, table.high)
        ends = self._in_unit(low, "temperature"), self._in_unit(high, "temperature")
        return scale.span(*ends, width)

    def _card(self, place: Place) -> Picture | None:
        record, conditions = self.context.record, self.context.job.conditions
        ranges = [span for span in (record.evaporating, record.condensing) if span]
        kelvins = [end.value for span in ranges for end in (span.low, span.high)]
        span = self._span(conditions.outdoor.value, conditions.hottest_pipe.value, *kelvins)
        if span is None:
            self.findings.error(
                "chart-refrigerant",
                place,
                f"no saturation data of {record.refrigerant} for the pressure-temperature card",
                "write the published chart into the equipment record, under chart",
            )
            return None
        names = ("Dew", "Bubble") if self.context.glide else ("Sat.",)
        sides = [side for name in names if (side := self._side(name, span)) is not None]
        units = self._unit("temperature"), self._unit("gauge-pressure")
        return scale.card(record.refrigerant, sides, span, *units)

    def _worksheet(self, name: str, place: Place) -> Picture | None:
        """Superheat from the dew scale, subcooling from the bubble scale, over the table's rows."""
        table, fluid = self._table(f"verify.{name}", place), self.context.fluid
        if table is None or fluid is None:
            return None
        air, dew = self.context.atmosphere, name == "superheat"
        back = fluid.table.dew_temperature if dew else fluid.table.bubble_temperature
        first, last = (back(row.by + air) for row in (table.rows[0], table.rows[-1]))
        span = self._span(first, last, width=scale.BESIDE)
        side = None if span is None else self._side("Dew" if dew else "Bubble", span)
        if span is None or side is None:
            return None
        row = table.rows[0]
        ends = sorted(abs(end - first) for end in (row.low, row.high))
        units = self.context.units
        least = show(ends[0], "temperature-difference", units, "up").value
        most = show(ends[1], "temperature-difference", units, "down").value
        side_word = side.name.lower()
        sheet = scale.Sheet(
            name.capitalize(),
            "Suction" if dew else "Liquid",
            "Suction line" if dew else "Liquid line",
            float(least),
            float(most),
            "line" if dew else side_word,
            side_word if dew else "line",
        )
        return scale.worksheet(
            self.context.record.refrigerant,
            side,
            span,
            sheet,
            self._unit("temperature"),
            self._unit("gauge-pressure"),
            self._unit("temperature-difference"),
        )
