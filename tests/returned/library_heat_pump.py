"""The library's heat pump: a new compressor in a machine whose refrigerant burns.

Full charge by hand: the plate's 6 lb 2 oz covers 15 ft of line set, the rest is (38 - 15) ft x
0.6 oz/ft = 13.8 oz, together 111.8 oz, on a scale of half ounces 7 lb 0 oz.
"""

from __future__ import annotations

from tests.returned import Answers, Example, Returned

_COMMON: Answers = {
    "technician": "M. Castellan",
    "replace-compressor__compressor-discharge__unbraze__sign": "T. Halloway",
    "pressure-hold__watch__sign": "T. Halloway",
    "leave-clean__record__sign": "T. Halloway",
    "prepare-site__fire-cleared__r-permit": "HW-2087",
    "prepare-site__fire-cleared__r-watch": "T. Halloway",
    "lock-out__live-volts__r-volts-12": "233",
    "lock-out__lock__r-sources": "disconnect, heater, air handler",
    # Start to run is the other two in series: 1.9 + 0.6 ohm.
    "confirm-diagnosis__windings-and-capacitor__r-common-start": "1.9",
    "confirm-diagnosis__windings-and-capacitor__r-common-run": "0.6",
    "confirm-diagnosis__windings-and-capacitor__r-start-run": "2.5",
    "confirm-diagnosis__windings-and-capacitor__r-ground-single": "open",
    "confirm-diagnosis__windings-and-capacitor__r-capacitor": "44.6",
    # 24 lb 8 oz - 17 lb 13 oz = 6 lb 11 oz = 107 oz out. Missing before: 111.8 - 107 = 4.8 oz,
    # 4.3 % of the charge, less than the 5 % that stay in the oil (common practice, no source).
    "recover__cylinder-1__fill__r-weight-start": "17 lb 13 oz",
    "recover__cylinder-1__fill__r-weight-end": "24 lb 8 oz",
    "recover__clear__r-recovered": "6 lb 11 oz",
    "purge-fuel__pull__r-pulled": "1180",
    "replace-compressor__oil__r-drained": "35 fl oz",
    "replace-compressor__compressor-discharge__unbraze__r-flame-out": "10:20",
    "replace-compressor__compressor-suction__unbraze__r-flame-out": "10:35",
    "purge-and-braze__compressor-suction__open__r-caps-off": "11:20",
    "purge-and-braze__compressor-suction__open__r-flowing": "11:22",
    "purge-and-braze__compressor-suction__braze__r-flame-out": "11:32",
    "purge-and-braze__compressor-discharge__open-at-port__r-caps-off": "11:36",
    "purge-and-braze__compressor-discharge__open-at-port__r-flowing": "11:39",
    "purge-and-braze__compressor-discharge__braze__r-flame-out": "11:49",
    "pressure-hold__fill__r-fill-temperature": "60",
    "pressure-hold__fill__r-filled": "240",
    "pressure-hold__start__r-start-clock": "12:30",
    "pressure-hold__start__r-start-temperature": "60",
    "pressure-hold__start__r-start-pressure": "239",
    "pressure-hold__end__r-end-clock": "13:40",
    "pressure-hold__end__r-end-temperature": "64",
    "pressure-hold__end__r-end-pressure": "241",
    "evacuate__blank-off__r-blanked": "42",
    "evacuate__pull__r-pull-start": "13:55",
    "evacuate__rise__r-pump-off": "14:25",
    "evacuate__pull__r-pulled": "268",
    "evacuate__rise__r-first": "291",
    "evacuate__rise__r-second": "304",
    "evacuate__rise__r-risen": "312",
    "pressure-hold__watch__r-last-flame": "11:49",
    "pressure-hold__watch__r-watch-over": "12:55",
    # 30 lb 2 oz - 23 lb 2 oz = 7 lb 0 oz = 112 oz in; net 112 - 107 = 5 oz.
    "weigh-in-charge__cylinder-1__charge__r-scale-start": "30 lb 2 oz",
    "weigh-in-charge__cylinder-1__charge__r-scale-end": "23 lb 2 oz",
    "weigh-in-charge__close__r-charged": "7 lb 0 oz",
    "weigh-in-charge__close__r-standing": "118",
    "find-cause__suspects__r-cause": "bearing, 14 years old",
    "find-cause__suspects__r-told": "T. Halloway",
    "start-up__start__r-volts": "229",
    "start-up__start__r-amps": "11.8",
    "verify__by-weight__r-outdoor": "yes",
    "verify__by-weight__r-suction-cooling": "116",
    "verify__heat__r-discharge-line": "148",
    "verify__heat__r-amps": "11.6",
    "record__owner": "Fennimore Lane Library",
    "record__full-charge-method": "plate and line set",
    "record__level-reached": "0",
    "record__recovered": "6 lb 11 oz",
    "record__recovery-cylinder": "F-21",
    "record__sent-to": "reclaimer, 2026-04-20",
    "record__charged": "7 lb 0 oz",
    "record__charge-cylinder": "N-52",
    "record__net": "5 oz",
    "record__leak": "none found",
    "record__service-date": "2026-04-14",
    "record__technician": "M. Castellan, U-0002",
}

GOOD = Returned(
    _COMMON,
    state="closed",
    verdicts={
        # 45 uF within 5 % by the record: 42.75 to 47.25.
        "confirm-diagnosis__windings-and-capacitor__r-capacitor": ("pass", ""),
        # 11:39 less 11:36 is 3 min, allowed 15. 12:55 less 11:49 is 66 min, asked 60.
        "purge-and-braze__compressor-discharge__open-at-port__r-flowing": ("pass", ""),
        "pressure-hold__watch__r-watch-over": ("pass", ""),
        # 15.5 oz over 6 lb to 7 lb 0 oz.
        "weigh-in-charge__close__r-charged": ("pass", ""),
    },
    tests={
        # Air 99,003 Pa = 14.359 psi. (239 + 14.359) x (64 + 459.67) / (60 + 459.67) - 14.359
        # = 240.95: the end stands 0.05 psi over that, shown as 0.0. Table at 64 °F: 240 to 245.
        "Pressure hold": ("holds", "pass", "held 1 h 10 min"),
        "Vacuum rise": ("tight", "pass", "limit 500 micron"),
        "Charge by the scale": ("7 lb 0 oz", "pass", ""),
    },
    # Last charged 322 days before, 4 oz. 5 / 111.8 x 365 / 322; (4 + 5) / 111.8.
    leak_rates=(5.1, 8.1),
    ounces={
        "full_charge": 111.8,
        "recovered": 107.0,
        "missing_before": 4.8,
        "charged": 112.0,
        "net_added": 5.0,
        "in_machine": 112.0,
    },
)

BAD = Returned(
    {
        **_COMMON,
        "purge-fuel__sweep__sign": None,
        # The stub still gave gas, and the torch was lit all the same.
        "replace-compressor__compressor-discharge__unbraze__r-gas": "gas",
        "replace-compressor__oil__r-drained": "30 fl oz",
        "replace-compressor__oil__r-acid": "acid",
        "purge-and-braze__compressor-suction__open__r-flowing": "11:41",
        "purge-and-braze__compressor-suction__braze__r-flame-out": "11:47",
        # kPa in a box for psig: 1650 / 6.895 = 239.3.
        "pressure-hold__fill__r-filled": "1650",
        "evacuate__pull__r-pulled": "460",
        "evacuate__rise__r-first": "9300",
        "evacuate__rise__r-second": "10740",
        "evacuate__rise__r-risen": "10990",
        "evacuate__answer__r-shows": "tight",
        "pressure-hold__watch__r-watch-over": "12:29",
        # A pound misread: 30 lb 2 oz - 22 lb 2 oz = 8 lb 0 oz, the paper says 7 lb 0 oz.
        "weigh-in-charge__cylinder-1__charge__r-scale-end": "22 lb 2 oz",
        "restore-detection__test__r-room": "silent",
        "start-up__start__r-amps": "17.1",
        # Warmer than forecast: the two boxes of a warm day count.
        "verify__by-weight__r-outdoor": "warmer",
        "verify__by-weight__r-liquid-pressure-warm": "270",
        "verify__by-weight__r-liquid-line-warm": "90",
        "verify__heat__r-discharge-line": "1480",
        "verify__heating__tick": None,
        "verify__heating__r-modes": None,
        "record__recovered": "6.7",
        "record__service-date": None,
    },
    state="open",
    verdicts={
        "confirm-diagnosis__windings-and-capacitor__r-capacitor": ("pass", ""),
        "replace-compressor__compressor-discharge__unbraze__r-gas": ("out", "asked for zero"),
        # 0.9 x 38 fl oz = 34.2, never less, so 35.
        "replace-compressor__oil__r-drained": ("out", "5 fl oz under"),
        "replace-compressor__oil__r-acid": ("out", "asked for clean"),
        # 11:41 less 11:20.
        "purge-and-braze__compressor-suction__open__r-flowing": ("out", "21 min"),
        # The next cap came off at 11:36, before that flame was out: one of the times is wrong.
        "purge-and-braze__compressor-discharge__open-at-port__r-caps-off": (
            "not-plausible",
            "11:47",
        ),
        "pressure-hold__fill__r-filled": ("not-plausible", "kPa gauge"),
        "evacuate__pull__r-pulled": ("out", "160 micron over"),
        "evacuate__rise__r-risen": ("out", "10490 micron over"),
        "evacuate__answer__r-shows": ("pass", ""),
        # 12:29 less 11:49.
        "pressure-hold__watch__r-watch-over": ("out", "40 min"),
        "restore-detection__test__r-room": ("out", "asked for"),
        "start-up__start__r-amps": ("out", "1.7 A over"),
        # At 270 psig the paper allows 80 to 85 °F.
        "verify__by-weight__r-liquid-line-warm": ("out", "5 °F over"),
        # 1480 °F is more than 500 °F, where thermometers for pipes end.
        "verify__heat__r-discharge-line": ("not-plausible", "no field instrument"),
        "verify__heating__r-modes": ("missing", "nothing written"),
    },
    tests={
        "Pressure hold": ("holds", "pass", "held 1 h 10 min"),
        # It bends as 11,000 micron x (1 - exp(-t / 8 min)) does: 9,313, 10,741 and 10,994. The
        # paper calls a level from 9,300 to 20,270 micron water; at the coldest part's 61 °F water
        # has a vapor pressure of 0.27 psia (steam tables), 13,800 micron.
        "Vacuum rise": ("water", "out", "the paper says tight"),
        "Charge by the scale": ("8 lb 0 oz", "out", "the paper says 7 lb 0 oz"),
    },
    # 21 / 111.8 x 365 / 322; (4 + 21) / 111.8.
    leak_rates=(21.3, 22.4),
    # The scales govern: 128 oz in, 107 out.
    ounces={
        "full_charge": 111.8,
        "recovered": 107.0,
        "missing_before": 4.8,
        "charged": 128.0,
        "net_added": 21.0,
        "in_machine": 128.0,
    },
    notes=(
        "the scales say 8 lb 0 oz charged, the paper says 7 lb 0 oz",
        "pounds or ounces",
    ),
    actions=("hold points signed",),
)

EXAMPLE = Example("library-heat-pump", GOOD, BAD)
