"""Words of the full sample packet: invented, of the length and kind that real fragments have.

Marks: {value}, [blank], <step>. Readings: `label = limit`; see packet_samples.limit.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class StepWords:
    """One step, short."""

    action: str
    readings: tuple[str, ...] = ()
    if_out: str = ""
    cautions: tuple[str, ...] = ()
    sign: str = ""
    hold: bool = False
    group: str = ""
    table: tuple[int, int] | None = None
    tries: int = 1


@dataclass(frozen=True)
class SectionWords:
    """One section, short."""

    id: str
    title: str
    needs: tuple[str, ...]
    steps: tuple[StepWords, ...]
    stop_here: str = "Leave the machine locked out, both ports capped, the panel on."


S = StepWords
# fmt: off
SECTIONS: tuple[SectionWords, ...] = (
    SectionWords("confirm-diagnosis", "Confirm the diagnosis", (), (
        S("Measure the line volts at the line side of the contactor.",
          ("L1 to L2 = 187..229 V", "L2 to L3 = 187..229 V", "L1 to L3 = 187..229 V"),
          "Call the manager before any further step.", ("shock",)),
        S("Measure each pair of the motor's windings at the contactor, leads off.",
          ("T1 to T2 = number:ohm", "T2 to T3 = number:ohm", "T1 to T3 = number:ohm")),
        S("Measure each winding to the ground screw, terminal cover on.",
          ("Lowest of the three = number:ohm", "Winding grounded = yes|no"),
          "If no winding is grounded, stop and call: the order is for a burnt motor.",
          ("terminals",), "Diagnosis confirmed, work may begin", True),
    )),
    SectionWords("verify-part", "Verify the new parts", (), (
        S("Read the new compressor's model from its plate: {scroll, 5 hp, 208 V, 3 phase}.",
          ("Model as marked = words:",), "Call the manager; do not open the system."),
        S("Compare the oil on its plate with {POE 32, 56 fl oz}.", ("Oil = same|other",),
          "Stop: another oil needs the manager's decision."),
        S("Hold the stubs to the old pipe: {suction 1 1/8 in, discharge 7/8 in}.",
          ("Stubs = fit|do not fit",)),
    )),
    SectionWords("prepare-site", "Prepare the site", (), (
        S("Move the product out of the cooler, or get the owner's word that it may warm.",
          ("Who said so = words:",)),
        S("Tie the ladder at the roof edge.", cautions=("lift",)),
        S("Write the hot-work permit's number and the watch's name.",
          ("Permit = words:", "Fire watch = words:"), sign="The watch has read the permit"),
    )),
    SectionWords("lock-out", "Lock out and prove dead", ("the site is made safe to work on",), (
        S("Write the phase order at the load side of the contactor before any lead comes off.",
          ("Order = words:",)),
        S("Lock the unit's disconnect and the evaporator's circuit.", cautions=("shock",)),
        S("Prove the load side dead, each phase to each and to ground.", ("Volts = <= 1 V",),
          "Find the second source and lock it; go back to <4.2>.", (),
          "Every source locked, proved dead", True),
        S("Discharge each capacitor through the resistor on the load list.",
          ("Volts left = <= 1 V",)),
    )),
    SectionWords("recover", "Recover the refrigerant",
                 ("the site is made safe to work on", "every source is locked out"), (
        S("Hold the liquid line solenoid open with the magnet.", cautions=("solenoid",)),
        S("Set both receiver valves to mid-seat."),
        S("Fit the acid-rated drier ahead of the recovery machine."),
        S("Read cylinder C-114 on the scale before the start: {30.4 lb} is expected.",
          ("Cylinder at the start = number:lb oz",), group="Cylinder C-114",
          cautions=("pressure",)),
        S("Stop when the scale shows {61.2 lb}, never later.",
          ("Cylinder at the end = <= 979 lb oz",), "Close the cylinder at once and weigh again."),
        S("Recover liquid, then vapor, until the low-side gauge reads {0 psig} or less.",
          ("Start = clock:", "Low side = <= 0 psig"),
          "Warm the sump to at most {125 °F} and go back to <5.6>."),
        S("Wait {10 min} with the machine off.", ("After the wait = <= 0 psig",),
          "Recover again; go back to <5.6>.", tries=2),
        S("Let the recovery machine pump itself out, then valve it off.",
          sign="Refrigerant out, cylinder labelled", hold=True),
    )),
    SectionWords("isolate", "Prove the circuit empty", ("the refrigerant is recovered",), (
        S("Open both gauge ports to the air through the hose that ends outdoors."),
        S("Read both gauges after {10 min}.", ("Low side = 0..0 psig", "High side = 0..0 psig"),
          "Go back to <5.6>.", ("pressure",)),
    )),
    SectionWords("sweep", "Sweep with nitrogen", ("the circuit is proved to be at 0 psig",), (
        S("Set the regulator's relief to at most {250 psig}.", cautions=("nitrogen",)),
        S("Sweep from the low side at {30 scfh} for {9 min}, both ends wide open.",
          ("Start = clock:", "End = clock:")),
        S("Turn the flow down to {2 to 5 scfh}.", ("Flow = 2..5 scfh",)),
    )),
    SectionWords("replace-compressor", "Replace the compressor",
                 ("the circuit is swept", "every source is locked out"), (
        S("Cut the suction and discharge pipes {3 in} from the stubs with the tube cutter.",
          cautions=("fire", "acid")),
        S("Plug the four open ends at once.", cautions=("water",)),
        S("Lift the old compressor out.", cautions=("lift",)),
        S("Drain its oil into the measuring can.",
          ("Oil = number:fl oz", "Colour = clear|dark", "Acid kit = clean|acid")),
        S("Set the new compressor on new isolators; tighten to {13 ft·lbf}.",
          ("Torque = 12..14 ft·lbf",), "Use the figure on the part's own sheet: [bolt torque]."),
        S("Pull the stub plugs and write the time.", ("Opened = clock:",),
          "More than {15 min} open: plug it, fit a new drier, call the manager.", ("water",)),
    )),
    SectionWords("burnout-clean-up", "Clean up after the burnout", ("a sound compressor is set",), (
        S("Take out the strainer ahead of the expansion valve."),
        S("Look at the screen under the lamp.", ("Screen = clean|soot",),
          "Renew the expansion valve's inlet screen before <9.3>."),
        S("Fit the suction drier shell with ports on both sides, arrow to the compressor."),
        S("Renew the contactor and each lug that is dark.",
          ("Contactor part number = words:",)),
    )),
    SectionWords("replace-drier", "Replace the liquid drier", ("the circuit is proved empty",), (
        S("Cut the old drier out; never unbraze it.", cautions=("fire",)),
        S("Set the new drier dry, caps on, arrow with the flow."),
        S("Leave {8 in} of line loose at its inlet so that the last joint lies in the open."),
    )),
    SectionWords("purge-and-braze", "Purge and braze",
                 ("the circuit is swept", "the site is made safe to work on",
                  "every source is locked out"), (
        S("Feed nitrogen at the low-side port; cap the discharge stub; vent at the suction stub.",
          ("Flow = 2..5 scfh",), "No flow at the vent: stop, find the closed valve.",
          ("fire", "nitrogen"), group="Joint 1: suction stub, 1 1/8 in"),
        S("Braze with {15 % silver filler, no flux}."),
        S("Keep the trickle until a damp cloth no longer hisses."),
        S("Feed at the high-side port; vent at the discharge stub.", ("Flow = 2..5 scfh",),
          group="Joint 2: discharge stub, 7/8 in"),
        S("Braze with {45 % silver filler, with flux}."),
        S("Keep the trickle until a damp cloth no longer hisses."),
        S("Feed at the low-side port; cap the suction stub; vent at the drier's inlet end.",
          ("Flow = 2..5 scfh",), group="Joint 3: drier outlet, 1/2 in"),
        S("Braze with {15 % silver filler, no flux}."),
        S("Write the time of the last flame.", ("Last flame = clock:",),
          sign="Fire watch starts for {60 min}"),
    )),
    SectionWords("pressure-hold", "Pressure hold",
                 ("every joint is made", "no leak is known that is not repaired"), (
        S("Fill both sides together to {50 psig} and listen for {5 min}.",
          cautions=("nitrogen",)),
        S("Fill to {150 psig}; bubble each joint made and write it.",
          ("Joint 1 = tight|leaks", "Joint 2 = tight|leaks", "Joint 3 = tight|leaks"),
          "Let the pressure off through the hose, then go back to <11.1>."),
        S("Fill to the pressure that the table gives for the pipe's temperature.",
          ("Pipe, shaded = number:°F", "Start = table"), table=(12, 3)),
        S("Write the start time and wait {15 min}, then {1 h}.", ("Start = clock:",)),
        S("Read pipe and gauge at the end; compare with the table in <12.3>.",
          ("Pipe, shaded = number:°F", "End = table"),
          "Find the leak with bubbles; go back to <12.1>.", (), "Circuit is tight", True),
        S("Let the nitrogen off through the hose that ends outdoors."),
    )),
    SectionWords("evacuate", "Evacuate",
                 ("the circuit has passed its pressure hold", "the drier is new"), (
        S("Change the pump's oil."),
        S("Blank off the pump with both hoses.", ("Pump and hoses = <= 100 micron",),
          "Renew hose gaskets and oil; go back to <13.1>."),
        S("Take the cores out at both ports and fit the gauge at the receiver port."),
        S("Pull to {1500 micron}.", ("Reached = clock:",), group="Nitrogen break 1"),
        S("Break with nitrogen to {2 psig} and stand {10 min}.", cautions=("nitrogen",)),
        S("Pull to {1500 micron}.", ("Reached = clock:",), group="Nitrogen break 2"),
        S("Break with nitrogen to {2 psig} and stand {10 min}."),
        S("Pull to {500 micron} or less.", ("Gauge = <= 500 micron",)),
        S("Close both core tools, wait {10 min}, read the rise.", ("Rise to = <= 1000 micron",),
          "If it levels off: water, warm the sump. If it climbs in a straight line: leak, "
          "go back to <12.1>.", (), "Circuit is dry", True, tries=2, table=(5, 3)),
    )),
    SectionWords("weigh-in", "Weigh in the charge",
                 ("the circuit is tight", "the circuit is dry", "every joint is made"), (
        S("Write the scale at the start: {24 lb 2 oz} is expected.",
          ("Scale = number:lb oz",), group="Cylinder N-7"),
        S("Charge as liquid into the receiver port until the scale shows {9 lb 10 oz}.",
          ("Scale = 153..155 lb oz",), "Over: recover the difference into C-115.",
          ("pressure",)),
        S("Write the total put in beside {14 lb 8 oz}.", ("Total = 231..233 lb oz",),
          sign="Charge weighed in", hold=True),
    )),
    SectionWords("find-cause", "Find the cause", ("every source is locked out",), (
        S("Pull the contactor's cover and read the points.", ("Points = even|burnt",)),
        S("Test the low-pressure control against {5 psig}.", ("Opens at = 4..6 psig",)),
        S("Name the cause, or write that it was not found.", ("Cause = words:",), "", (),
          "The manager has heard the cause and agrees to the start", True),
    )),
    SectionWords("start-up", "Start up", ("the weighed charge is in", "the cause is named"), (
        S("Take off our locks and tags in the order of the list.", cautions=("shock",)),
        S("Read the crankcase heater's hours.", ("Hours on = >= 12 h",),
          "Wait; liquid in the sump breaks the scroll."),
        S("Bump for one second and look for a falling suction gauge.",
          ("Rotation = right|wrong",), "Lock out, swap two leads, go back to <16.1>."),
        S("Start and read amps and volts within {1 min}.",
          ("L1 = <= 17.5 A", "L2 = <= 17.5 A", "L3 = <= 17.5 A", "Volts at start = >= 187 V")),
    )),
    SectionWords("verify", "Verify the running machine", ("the compressor runs",), (
        S("Wait until the cooler's box is within {5 °F} of {36 °F}.", ("Box = 31..41 °F",)),
        S("Read the suction pressure and the suction line; find the band in the table.",
          ("Suction = number:psig", "Line = number:°F"),
          "Below the band: move the bulb's strap, wait {15 min}, read again.", table=(8, 3)),
        S("Read the liquid line and the glass.", ("Glass = clear|flashing", "Line = number:°F"),
          table=(8, 3)),
        S("Read the discharge line {6 in} from the compressor.", ("Discharge = <= 220 °F",)),
        S("Run the leak detector over each joint made.", ("Joints = tight|leak",),
          sign="Readings are within their limits"),
    )),
    SectionWords("fire-watch", "End the fire watch", ("the site is made safe to work on",), (
        S("Walk round the work {60 min} after the last flame, both sides of the wall.",
          ("Time = clock:", "Warm spots = none|some"), "Stay; call the fire service.",
          ("fire",), "Fire watch over", True),
    )),
    SectionWords("leave-clean", "Leave clean and record", ("the running readings are within limits",
                                                          "our locks and tags are off"), (
        S("Cap both ports; tighten to {8 ft·lbf}.", ("Caps = on|missing",)),
        S("Carry rags, oil and the old drier to the van's closed can."),
        S("Tell the owner what was found and what comes next.", ("Told = words:",),
          sign="Work accepted by the owner's contact"),
    )),
    SectionWords("return-visit", "Return visits at 24 and 48 h", ("the job is still open",), (
        S("Read the drop across the suction drier.", ("Drop = <= 3 psi",),
          "Renew the core; come again after 24 h.", group="First return, 24 h",
          cautions=("pressure",)),
        S("Take an oil sample and test it.", ("Taken on = date:", "Acid kit = clean|acid")),
        S("Read the drop across the suction drier.", ("Drop = <= 3 psi",),
          group="Second return, 48 h"),
        S("Test the oil again.", ("Acid kit = clean|acid",), "", (),
          "Circuit is clean, the job may close", True, table=(4, 3)),
    ), ""),
)
Line = tuple[str, str, str, str, bool, str]
CARD: tuple[tuple[str, tuple[Line, ...]], ...] = (
    ("Machine", (
        ("Charge on record", "14 lb 8 oz", "6.58 kg", "", False, ""),
        ("Oil", "POE 32, 56 fl oz", "", "", True, ""),
        ("Supply", "208 V, 3 phase", "", "", False, ""),
    )),
    ("Recovery", (
        ("Recover to, at most", "0 psig", "101 kPa abs", "", False, ""),
        ("Rise wait", "10 min", "", "", False, ""),
        ("C-114, stop at", "61.2 lb", "27.8 kg", "gross on the scale", False, ""),
        ("C-115, stop at", "58.9 lb", "26.7 kg", "gross on the scale", False, ""),
    )),
    ("Nitrogen", (
        ("Sweep", "30 scfh", "14 L/min", "9 min, ends open", False, ""),
        ("While brazing", "2 to 5 scfh", "", "", False, ""),
    )),
    ("Pressure hold", (
        ("Never above", "250 psig", "1724 kPa", "low-side design pressure", False, ""),
        ("Start, pipe at 88 °F", "244 psig", "1682 kPa", "", False, ""),
        ("First step", "50 psig", "", "", False, ""),
        ("Hold for", "1 h", "", "after 15 min of settling", False, ""),
        ("High-side design", "", "", "", False, "psig, on the nameplate"),
    )),
    ("Evacuation", (
        ("Target", "500 micron", "67 Pa", "", False, ""),
        ("After 10 min, at most", "1000 micron", "133 Pa", "", False, ""),
        ("Pump and hoses blanked", "100 micron", "13 Pa", "", True, ""),
        ("Water boils there at", "\N{MINUS SIGN}12 °F", "", "", False, ""),
    )),
    ("Charge", (
        ("Put in", "14 lb 8 oz", "6.58 kg", "as liquid, receiver port", False, ""),
        ("N-7 at the start", "24 lb 2 oz", "", "", False, ""),
        ("N-7, stop at", "9 lb 10 oz", "", "", False, ""),
        ("Tolerance", "1 oz", "28 g", "", False, ""),
    )),
    ("Start", (
        ("Crankcase heater", "12 h", "", "", True, ""),
        ("Low-pressure cut-in", "15 psig", "", "", True, ""),
        ("Rated load current", "13.7 A", "", "", False, ""),
    )),
    ("Running", (
        ("Superheat", "6 to 10 °F", "", "box within 5 °F", False, ""),
        ("Subcooling", "4 to 8 °F", "", "", False, ""),
        ("Discharge line, at most", "220 °F", "104 °C", "", True, ""),
        ("Volts unbalance", "2 %", "", "", False, ""),
    )),
    ("Torque", (
        ("Mounting bolts", "13 ft·lbf", "18 N·m", "", True, ""),
        ("Port caps", "8 ft·lbf", "11 N·m", "", True, ""),
        ("Terminal screws", "", "", "", False, "in·lbf, on the part's sheet"),
    )),
    ("After", (
        ("Fire watch", "60 min", "", "from the last flame", False, ""),
        ("Return visits", "24 and 48 h", "", "", False, ""),
        ("Drier drop, at most", "3 psi", "21 kPa", "", True, ""),
    )),
)
LOAD: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    ("Safety", (("Goggles and face shield", "2"), ("Rubber gloves, acid", "2 pair"),
                ("Extinguisher, dry powder", "1"), ("Oxygen meter", "1"), ("Lock and tag set", "4"),
                ("Roof harness", "2"))),
    ("Electrical", (("Meter, category III", "1"), ("Discharge resistor", "1"),
                    ("Contactor, 3 pole", "1"), ("Lugs", "8"))),
    ("Gauges and hoses", (("Gauge set, low-loss ends", "1"), ("Micron gauge", "1"),
                          ("Core tools", "2"), ("Vacuum hoses 3/8 in", "2"))),
    ("Recovery", (("Recovery machine", "1"), ("Acid-rated drier", "1"),
                  ("Cylinder C-114, empty, evacuated", "1"), ("Cylinder C-115", "1"),
                  ("Scale", "1"), ("Solenoid magnet", "1"))),
    ("Torch and nitrogen", (("Torch set", "1"), ("Nitrogen, 80 ft3", "2 cylinders"),
                            ("Regulator with relief", "1"), ("Flowmeter, scfh", "1"),
                            ("Filler, 15 % silver", "5 rods"), ("Filler, 45 % silver", "2 rods"),
                            ("Flux", "1"), ("Wet cloth, shield", "2"))),
    ("Vacuum", (("Pump, 8 cfm", "1"), ("Pump oil", "1 qt"), ("Hose gaskets", "6"))),
    ("Charging", (("R-448A, new, N-7", "24 lb 2 oz"), ("Charging scale", "1"))),
    ("Hand tools", (("Tube cutter, large and small", "1"), ("Torque wrench", "1"),
                    ("Stub plugs", "8"), ("Lifting gear, 92 lb", "1"), ("Mirror and lamp", "1"))),
    ("Parts", (("Compressor, scroll, 5 hp", "1"), ("Isolator set", "1"),
               ("Liquid drier 1/2 in", "1"), ("Suction drier 1 1/8 in, ports", "1"),
               ("Inlet screen", "1"))),
    ("Consumables", (("Bubble solution", "1"), ("Acid kit, ester oil", "3"),
                     ("Rags and closed can", "1"), ("Labels", "2"))),
    ("Paper", (("Field packet", "1"), ("Hot-work permit", "1"), ("Cylinder labels", "2"))),
)
