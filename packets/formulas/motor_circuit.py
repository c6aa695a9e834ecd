"""A motor circuit with the power locked out: capacitors to discharge, windings to compare.

The meter reading decides in both: the time and the difference tell what to expect.
"""

from __future__ import annotations

import math

from packets.formulas.ranges import Range, guard

RESISTANCE = Range(100.0, 1e6, "ohm")
CAPACITANCE = Range(1e-7, 5e-3, "F")
RATED_VOLTAGE = Range(20.0, 2000.0, "V AC")
END_VOLTAGE = Range(0.1, 50.0, "V DC")
WINDING = Range(0.01, 1000.0, "ohm")
SHARE = Range(0.0, 0.5, "of the lowest reading")
METER_STEP = Range(0.0, 10.0, "ohm")


def peak_voltage(rated: float) -> float:
    """DC voltage that a capacitor can hold after the power is off [V]: sqrt(2) x rated AC.

    Args:
        rated: AC voltage marked on the capacitor, 20 to 2000 [V AC].

    Raises:
        OutOfRange: a voltage outside its range.

    Source: the peak of a sine wave, first principles.

    >>> round(peak_voltage(370.0))
    523
    """
    return math.sqrt(2.0) * guard("rated voltage", rated, RATED_VOLTAGE)


def discharge_time(
    resistance: float, capacitance: float, start_voltage: float, end_voltage: float
) -> float:
    """Time to discharge a capacitor through a resistor [s]: t = R C ln(V0 / V).

    Zero where the capacitor starts at or below the end voltage.

    Args:
        resistance: of the resistor, 100 ohm to 1 Mohm [ohm].
        capacitance: marked on the capacitor, 0.1 to 5000 microfarad [F].
        start_voltage: on the capacitor at the start, 0.1 to 3000 [V DC].
        end_voltage: to be reached, 0.1 to 50 [V DC].

    Raises:
        OutOfRange: an argument outside its range.

    Source: first-order RC circuit, first principles.

    >>> seconds = discharge_time(20e3, 80e-6, peak_voltage(370.0), 10.0)
    >>> round(seconds, 1)  # 80 microfarad, 370 V, 20 kohm, to 10 V
    6.3
    >>> round(discharge_time(20e3, 80e-6, peak_voltage(370.0), 1.0), 1)
    10.0
    """
    end = guard("end voltage", end_voltage, END_VOLTAGE)
    start = guard("start voltage", start_voltage, Range(END_VOLTAGE.low, 3000.0, "V DC"))
    constant = guard("resistance", resistance, RESISTANCE) * guard(
        "capacitance", capacitance, CAPACITANCE
    )
    return constant * math.log(max(start / end, 1.0))


def leg_difference(lowest: float, share: float, meter_step: float) -> float:
    """Largest difference between the legs of a sound winding [ohm]: share x lowest + meter step.

    Args:
        lowest: reading that the difference is compared with, 0.01 to 1000 [ohm].
        share: by which sound legs differ, 0 to 0.5 [-].
        meter_step: what two readings of the meter can be off together, 0 to 10 [ohm].

    Raises:
        OutOfRange: an argument outside its range.

    Source: a share of the reading and the meter's step, linear error sum; the share itself is
    common practice, no source.

    >>> round(leg_difference(2.0, 0.05, 0.1), 2)
    0.2
    """
    base = guard("lowest reading", lowest, WINDING)
    return guard("share", share, SHARE) * base + guard("meter step", meter_step, METER_STEP)
