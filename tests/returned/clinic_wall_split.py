"""The clinic's wall split: two flares made again, a refrigerant that burns, a scale of 0.1 oz.

The line set is within what the plate covers, so the full charge is its 2 lb 10 oz = 42 oz.
"""

from __future__ import annotations

from tests.returned import Answers, Example, Returned

_IN, _OUT = "remake-flares__evaporator-in__", "remake-flares__evaporator-out__"

_COMMON: Answers = {
    "technician": "P. Ostrander",
    "leave-clean__record__sign": "L. Devane",
    "lock-out__live-volts__r-volts-12": "209",
    "lock-out__lock__r-sources": "disconnect outside, breaker 14",
    "find-leak__oil__r-oil-at": "both indoor nuts",
    "find-leak__sniff__r-alarm-at": "gas nut of the indoor coil",
    "find-leak__bubbles__r-joint__evaporator-in": "tight",
    "find-leak__bubbles__r-joint__evaporator-out": "leaks",
    # 24 lb 0.4 oz - 22 lb 1.6 oz = 1 lb 14.8 oz = 30.8 oz out; 42 - 30.8 = 11.2 oz had leaked.
    "recover__cylinder-1__fill__r-weight-start": "22 lb 1.6 oz",
    "recover__cylinder-1__fill__r-weight-end": "24 lb 0.4 oz",
    "recover__clear__r-recovered": "1 lb 14.8 oz",
    "purge-fuel__pull__r-pulled": "1210",
    f"{_IN}undo__r-old": "sound",
    f"{_IN}tighten__r-unplugged": "9:40",
    f"{_IN}tighten__r-reached": "12",
    f"{_IN}tighten__r-closed-at": "9:53",
    f"{_OUT}undo__r-old": "cracked",
    f"{_OUT}tighten__r-unplugged": "10:02",
    f"{_OUT}tighten__r-reached": "40",
    f"{_OUT}tighten__r-closed-at": "10:16",
    "pressure-hold__fill__r-fill-temperature": "70",
    "pressure-hold__fill__r-filled": "308",
    "pressure-hold__start__r-start-clock": "10:50",
    "pressure-hold__start__r-start-temperature": "70",
    "pressure-hold__start__r-start-pressure": "307",
    "pressure-hold__end__r-end-clock": "11:55",
    "pressure-hold__end__r-end-temperature": "74",
    "pressure-hold__end__r-end-pressure": "309",
    "evacuate__blank-off__r-blanked": "55",
    "evacuate__pull__r-pull-start": "12:15",
    "evacuate__rise__r-pump-off": "12:40",
    "evacuate__pull__r-pulled": "241",
    "evacuate__rise__r-first": "262",
    "evacuate__rise__r-second": "270",
    "evacuate__rise__r-risen": "275",
    # 24 lb 6 oz - 21 lb 12 oz = 2 lb 10 oz = 42 oz in; net 42 - 30.8 = 11.2 oz.
    "weigh-in-charge__cylinder-1__charge-vapor__r-scale-start-vapor": "24 lb 6 oz",
    "weigh-in-charge__cylinder-1__charge-vapor__r-scale-end-vapor": "21 lb 12 oz",
    "weigh-in-charge__close__r-charged": "2 lb 10 oz",
    "weigh-in-charge__close__r-standing": "188",
    "restore-detection__test__r-room": "none",
    "start-up__start__r-volts": "207",
    "start-up__start__r-amps": "5.4",
    "verify__heat__r-discharge-line": "161",
    "verify__heat__r-amps": "5.6",
    "record__owner": "Harrow Street Clinic",
    "record__full-charge-method": "nameplate",
    "record__level-reached": "0",
    "record__recovered": "1 lb 14.8 oz",
    "record__recovery-cylinder": "F-34",
    "record__sent-to": "stays on van 12",
    "record__charged": "2 lb 10 oz",
    "record__charge-cylinder": "N-77",
    "record__net": "11.2 oz",
    "record__leak": "gas flare at the indoor coil, made again",
    "record__service-date": "2026-06-09",
    "record__technician": "P. Ostrander, U-0003",
}

GOOD = Returned(
    _COMMON,
    state="closed",
    verdicts={
        # 11 to 12 and 37 to 44 lbf ft are printed; 9:53 less 9:40 is 13 min, allowed 15.
        f"{_IN}tighten__r-reached": ("pass", ""),
        f"{_OUT}tighten__r-reached": ("pass", ""),
        f"{_IN}tighten__r-closed-at": ("pass", ""),
    },
    tests={
        # Air 100,558 Pa = 14.585 psi. (307 + 14.585) x 533.67 / 529.67 - 14.585 = 309.43: the end
        # stands 0.4 psi under that. Table at 74 °F: 308 to 314.
        "Pressure hold": ("holds", "pass", "changed by \N{MINUS SIGN}0.4 psi"),
        "Vacuum rise": ("tight", "pass", "limit 500 micron"),
        "Charge by the scale": ("2 lb 10 oz", "pass", ""),
    },
    # Last charged 294 days before, 7 oz. 11.2 / 42 x 365 / 294; (7 + 11.2) / 42.
    leak_rates=(33.1, 43.3),
    ounces={
        "full_charge": 42.0,
        "recovered": 30.8,
        "missing_before": 11.2,
        "charged": 42.0,
        "net_added": 11.2,
        "in_machine": 42.0,
    },
)

BAD = Returned(
    {
        **_COMMON,
        "clear-area__detector__r-floor": "gas",
        f"{_IN}undo__r-gas": "gas",
        f"{_IN}tighten__r-reached": None,
        # 9:40 to 10:22 with the plug off.
        f"{_IN}tighten__r-closed-at": "10:22",
        f"{_OUT}tighten__r-unplugged": "10:25",
        # N m in a box for lbf ft: 54 / 1.3558 = 39.8.
        f"{_OUT}tighten__r-reached": "54",
        f"{_OUT}tighten__r-closed-at": "10:39",
        # The gauge reads the same, but the pipe is 8 °F warmer.
        "pressure-hold__end__r-end-temperature": "78",
        "pressure-hold__end__r-end-pressure": "307",
        "evacuate__rise__r-first": "1900",
        "evacuate__rise__r-second": "3580",
        "evacuate__rise__r-risen": "7050",
        "evacuate__answer__r-shows": "leak",
        "weigh-in-charge__hook-up__r-label": "no",
        "weigh-in-charge__cylinder-1__charge-vapor__r-scale-end-vapor": "21 lb 10.5 oz",
        "weigh-in-charge__close__r-charged": "2 lb 11.5 oz",
        "start-up__unlock__sign": None,
        "start-up__start__r-amps": "7.9",
        "verify__leaks__r-running-leak": "leak",
        "record__charged": "2 lb 10 oz",
        "record__net": "12.7 oz",
    },
    state="open",
    verdicts={
        "clear-area__detector__r-floor": ("out", "asked for zero"),
        f"{_IN}undo__r-gas": ("out", "asked for zero"),
        f"{_IN}tighten__r-reached": ("missing", "nothing written"),
        f"{_IN}tighten__r-closed-at": ("out", "42 min"),
        f"{_OUT}tighten__r-reached": ("not-plausible", "read as N m"),
        f"{_OUT}tighten__r-closed-at": ("pass", ""),
        # Table at 78 °F: 311 to 316.
        "pressure-hold__end__r-end-pressure": ("out", "4 psig under"),
        "evacuate__rise__r-risen": ("out", "6550 micron over"),
        "evacuate__answer__r-shows": ("out", "asked for tight"),
        "weigh-in-charge__hook-up__r-label": ("out", "asked for yes"),
        # 2 lb 9 oz to 2 lb 11 oz.
        "weigh-in-charge__close__r-charged": ("out", "0.5 oz over"),
        "start-up__start__r-amps": ("out", "0.7 A over"),
        "verify__leaks__r-running-leak": ("out", "asked for tight"),
    },
    tests={
        # (307 + 14.585) x 537.67 / 529.67 - 14.585 = 311.86: 4.9 psi are gone.
        "Pressure hold": ("out", "out", "changed by \N{MINUS SIGN}4.9 psi"),
        # 241 at the pump, then 1,659 and 1,680 micron in the quarters, 3,470 in the half hour:
        # straight, and past 4,600.
        "Vacuum rise": ("leak", "out", ""),
        "Charge by the scale": ("2 lb 11.5 oz", "out", "2 lb 9 oz to 2 lb 11 oz"),
    },
    # 24 lb 6 oz - 21 lb 10.5 oz = 43.5 oz; net 43.5 - 30.8 = 12.7 oz.
    # 12.7 / 42 x 365 / 294; (7 + 12.7) / 42.
    leak_rates=(37.5, 46.9),
    ounces={
        "full_charge": 42.0,
        "recovered": 30.8,
        "missing_before": 11.2,
        "charged": 43.5,
        "net_added": 12.7,
        "in_machine": 43.5,
    },
    notes=("the record says 2 lb 10 oz charged, the steps say 2 lb 11.5 oz",),
    actions=("hold points signed", "readings that are not written"),
)

EXAMPLE = Example("clinic-wall-split", GOOD, BAD)
