"""The creamery's cooler: a burnt compressor, refrigerant weighed in by half ounces.

Full charge by hand: 14 lb 8 oz as recorded = 232 oz.
"""

from __future__ import annotations

from tests.returned import Answers, Example, Returned

# What is weighed, timed and read in step with something else; all else is filled in as sound.
_COMMON: Answers = {
    "lock-out__live-volts__r-volts-12": "207",
    "lock-out__live-volts__r-volts-23": "209",
    "lock-out__live-volts__r-volts-31": "208",
    "lock-out__live-volts__r-spread": "2",
    # 41 lb 1.5 oz - 27 lb 9.5 oz = 13 lb 8 oz = 216 oz out; 232 - 216 = 16 oz were missing.
    "recover__cylinder-1__fill__r-weight-start": "27 lb 9.5 oz",
    "recover__cylinder-1__fill__r-weight-end": "41 lb 1.5 oz",
    "recover__clear__r-recovered": "13 lb 8 oz",
    "pressure-hold__start__r-start-clock": "18:10",
    "pressure-hold__end__r-end-clock": "06:30",
    "pressure-hold__start__r-start-temperature": "66",
    "pressure-hold__end__r-end-temperature": "52",
    "evacuate__rise__r-first": "318",
    "evacuate__rise__r-second": "332",
    "evacuate__rise__r-risen": "341",
    "pressure-hold__watch__r-last-flame": "15:05",
    "pressure-hold__watch__r-watch-over": "16:05",
    # 35 lb 4 oz - 20 lb 12 oz = 14 lb 8 oz = 232 oz in; net 232 - 216 = 16 oz.
    "weigh-in-charge__cylinder-1__break-vacuum__r-scale-start": "35 lb 4 oz",
    "weigh-in-charge__cylinder-1__charge-on__r-scale-end-on": "20 lb 12 oz",
    "serve-heater__heater-on__r-on-clock": "17:30",
    "serve-heater__lock-again__r-off-clock": "07:00 +1",
    "return-visit__drop__r-first-day": "2026-03-21",
    "return-visit__drop__r-second-day": "2026-03-22",
    "record__owner": "Brookfold Creamery",
    "record__full-charge-method": "recorded at installation",
    "record__level-reached": "0",
    "record__recovered": "13 lb 8 oz",
    "record__recovery-cylinder": "C-121",
    "record__sent-to": "reclaimer, 2026-03-24",
    "record__charged": "14 lb 8 oz",
    "record__charge-cylinder": "N-31",
    "record__net": "1 lb",
    "record__leak": "none found",
    "record__service-date": "2026-03-20",
    "record__technician": "J. Orrin, U-0001",
}

# The return visit, 24 and 48 h later, which nobody has made yet.
_VISIT = (
    "return-visit__drop__r-first-day",
    "return-visit__drop__r-first-drop",
    "return-visit__drop__r-second-day",
    "return-visit__drop__r-second-drop",
    "return-visit__acid__r-acid-one",
    "return-visit__acid__r-acid-two",
    "return-visit__decide__r-circuit-is",
    "return-visit__decide__r-drier-is",
)

GOOD = Returned(
    _COMMON,
    state="closed",
    verdicts={
        # 209 less 207 V; 16:05 less 15:05 is the hour that was asked.
        "lock-out__live-volts__r-spread": ("pass", ""),
        "pressure-hold__watch__r-watch-over": ("pass", ""),
    },
    tests={
        "Pressure hold": ("holds", "pass", "held 12 h 20 min"),
        "Vacuum rise": ("tight", "pass", "limit 500 micron"),
        "Charge by the scale": ("14 lb 8 oz", "pass", ""),
    },
    # Last charged 282 days before, 24 oz. 16 / 232 x 365 / 282; (24 + 16) / 232.
    leak_rates=(8.9, 17.2),
    ounces={
        "full_charge": 232.0,
        "recovered": 216.0,
        "missing_before": 16.0,
        "charged": 232.0,
        "net_added": 16.0,
        "in_machine": 232.0,
    },
)

# Much gone wrong: a leak, a slipped point, words for water, names missing.
BAD = Returned(
    {
        **_COMMON,
        "pressure-hold__end__r-end-pressure": "219",
        "evacuate__rise__r-first": "820",
        "evacuate__rise__r-second": "1340",
        "evacuate__rise__r-risen": "2380",
        "evacuate__answer__r-shows": "water",
        "recover__level__r-after-wait": "2",
        "recover__level__r-reached__t2": "0",
        "recover__level__r-after-wait__t2": "0",
        "weigh-in-charge__close__r-charged": "14.5",
        "weigh-in-charge__cylinder-1__charge-on__r-scale-end-on": "20 lb 4 oz",
        "pressure-hold__watch__r-watch-over": "4:05",
        "pressure-hold__watch__sign": None,
        "start-up__unlock__sign": None,
        "verify__superheat__r-suction-pressure": "48",
        "verify__superheat__r-suction-line": "0",
        "verify__liquid-receiver__tick": None,
        "verify__heat__r-discharge-line": "2010",
        "verify__heat__r-amps": "14.2",
        "return-visit__drop__tick": None,
        "return-visit__drop__r-first-day": None,
        "return-visit__drop__r-first-drop": None,
        "return-visit__drop__r-second-day": None,
        "return-visit__drop__r-second-drop": None,
        "return-visit__acid__tick": None,
        "return-visit__acid__r-acid-one": None,
        "return-visit__acid__r-acid-two": None,
        "return-visit__decide__tick": None,
        "return-visit__decide__r-circuit-is": None,
        "return-visit__decide__r-drier-is": None,
        "return-visit__decide__sign": None,
        "record__recovered": "12 lb 8 oz",
    },
    state="open",
    verdicts={
        "pressure-hold__end__r-end-pressure": ("out", "under"),
        "recover__level__r-after-wait": ("pass", ""),
        "evacuate__rise__r-risen": ("out", "1880 micron over"),
        "evacuate__answer__r-shows": ("out", "asked for tight"),
        "weigh-in-charge__close__r-charged": ("not-plausible", "pounds or ounces"),
        # 4:05 is meant for 16:05 and cannot be told from a night's watch.
        "pressure-hold__watch__r-watch-over": ("not-plausible", "comes before 15:05"),
        "verify__heat__r-discharge-line": ("not-plausible", "no field instrument"),
        "verify__heat__r-amps": ("out", "0.5 A over"),
        # 0 °C is 32 °F, inside 28 to 33.
        "verify__superheat__r-suction-line": ("not-plausible", "read as °C"),
        **dict.fromkeys(_VISIT, ("missing", "nothing written")),
    },
    tests={
        "Pressure hold": ("out", "out", "changed by"),
        # 300 with the pump on, 520 micron in each quarter of an hour, 1,040 in half an hour:
        # straight, and past the reading from which the paper calls it a leak.
        "Vacuum rise": ("leak", "out", "the paper says water"),
        # 35 lb 4 oz - 20 lb 4 oz.
        "Charge by the scale": ("15 lb 0 oz", "pass", "14.5"),
    },
    # 24 / 232 x 365 / 282; (24 + 24) / 232.
    leak_rates=(13.4, 20.7),
    ounces={
        "full_charge": 232.0,
        "recovered": 216.0,
        "missing_before": 16.0,
        "charged": 240.0,
        "net_added": 24.0,
        "in_machine": 240.0,
    },
    notes=("the record says 12 lb 8 oz recovered, the steps say 13 lb 8 oz",),
    actions=("hold points signed", "Return visit"),
)

EXAMPLE = Example("creamery-cooler", GOOD, BAD)
