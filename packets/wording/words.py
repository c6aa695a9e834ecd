"""Word lists of the writing rules: vague words, verbs, units, abbreviations everyone knows."""

from __future__ import annotations

import re


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# What to write instead stands behind each.
VAGUE: dict[str, str] = {
    r"adequate(ly)?": "say how much, or against what it is compared",
    r"sufficient(ly)?|enough": "say how much",
    r"as (needed|necessary|required|appropriate)|if (needed|necessary|required)": "say when",
    r"proper(ly)?|correct(ly)?": "say what it looks like when it is done",
    r"careful(ly)?|with care|gentl[ey]|gently": "say what to keep from, or how far",
    r"approximate(ly)?|roughly": "give the two ends of the band",
    r"normal(ly)?|usual(ly)?|generally|typical(ly)?": "give the band",
    r"appropriate(ly)?|suitable|suitably|reasonabl[ey]": "name it",
    r"ensure|make sure|be sure|see to it": "say the act that brings it about",
    r"etc|and so on|and the like": "write the list out",
    r"regularly|periodically|occasionally|from time to time": "say how often",
    r"a while|some time|a few minutes|briefly|a moment": "name the time",
    r"should|ought to|try to|attempt to|may want to": "write it as an order",
    r"good condition|good order|satisfactory|acceptable": "say what is seen or read",
}
# Vague alone, clear beside a named value or an end that is seen.
RATES = re.compile(r"\b(slowly|quickly|rapidly|promptly)\b", re.IGNORECASE)
# "Check" says nothing without the other side of the comparison.
CHECK = re.compile(r"(?:^|[.;:,]\s*|\band )check\b(?! valve)(?P<rest>[^.;]*)", re.IGNORECASE)
AGAINST = re.compile(r"\b(against|for|that|whether|with)\b|§")

# Verbs that an order in this trade begins with; another is reported, not refused.
VERBS = _words(
    """
    add adjust aim air apply ask attach back-seat bag balance bend blank bleed block blow
    bolt braze break bring brush bump call cap carry catch change charge check choose circle
    clamp clean clear climb clip close collect compare confirm connect cool count cover
    crack crimp cut deburr defrost dial dip discharge disconnect drain draw drill drop dry
    empty end energize enter evacuate exchange face fasten feed feel fetch file fill find
    fit flare flush flux follow free front-seat get give go grip ground guard hand hang have
    heat hoist hold hook insert inspect insulate invert isolate join keep label land lay
    lead leak-check leave let level lift light line listen load lock log look loosen lower
    lubricate make mark measure meter mid-seat moisten mount move name note number observe
    oil open order pack paint pass phone photograph pick pinch place plan plug point
    position post preheat prepare press pressurize protect prove pull pump purge push put
    quench raise reach read ream recheck reclaim reconnect record recover reduce refill
    refit release remake remove renew reopen repair repeat replace report reread reset rest
    restart restore return ring rinse roll rotate rub run sand saw scrape screw seal seat
    send separate serve set shake shield shine shorten show shut sign silence slide slip
    smell sniff soak solder split spray spread squeeze stand start stay step stick stop
    store straighten strap strip support suspend swap sweep switch tag take tap tape tear
    tell test thread throttle throw tick tie tighten tilt torque touch transfer trickle trim
    trip try turn twist unbolt unbraze uncap uncover undo unlock unplug unscrew unwire use
    vacuum valve vent ventilate verify wait walk warm wash watch wear wedge weigh wet wind
    wipe wire withdraw work wrap write zero
    """
)
# An order may begin with its condition or the state it needs.
CONDITIONS = _words(
    """
    after as at before by during for from if in on once unless until when where while with
    within without
    """
)
PROHIBITIONS = _words(
    """
    do never no nobody none not
    """
)

# Written the same in every shop; no reader needs them explained.
KNOWN_ABBREVIATIONS = frozenset({"OK", "SI", "PDF", "UV", "LED", "AC", "DC"})

NUMBER_WORDS = (
    "half|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty"
    "|forty|fifty|sixty|ninety|hundred|thousand"
)
_UNIT = (
    "psi[ag]?|inhg|kpa[ag]?|mpa[ag]?|bar[ag]?|mbar|torr|microns?|pounds?|ounces?|lbs?|oz|kg|grams?"
    "|degrees?|deg[fck]|°\\s?[fck]|feet|foot|ft[23²³]?|inch(?:es)?|in\\.? hg|mm|cm|minutes?|mins?"
    "|hours?|hrs?|seconds?|secs?|days?|volts?|amps?|amperes?|ohms?|watts?|kw|hz|hertz|scfh|scfm"
    "|cfm|lpm|percent|lbf(?: ft| in)?|n m|nm|fl oz|liters?|litres?|ml"
)
# After digits also the short ones, which alone are letters or little words.
_SHORT = (
    "%|in\\b(?=[.,;:)]|$| (?:of|from|tube|pipe|hose|bore|line|OD|ID|long|wide|deep))|[hsmgLVAFCKW]"
)
_ANY_CASE = f"(?i:{_UNIT})"
# Not the digits of a name such as R-22, but those of 1-1/8 and of 2-5.
_DIGITS = r"(?<![\w§.])(?<![A-Za-z]-)\d[\d.,/]*(?:-\d+/\d+)?"
TYPED = re.compile(
    rf"(?:{_DIGITS}(?:[\s-]?{_ANY_CASE}|\s?(?:{_SHORT}))(?!\w)"
    rf"|\b(?i:{NUMBER_WORDS}|half an?)[\s-]{_ANY_CASE}(?!\w)"
    rf"|§\s{_ANY_CASE}(?!\w))",
)
