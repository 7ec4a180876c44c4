"""Words of the trade computations as the dossier prints them: they are known by their English text.

`trade_word` looks up only what stands here, so that text of the record is never taken for a string of the program.
"""

from __future__ import annotations

from buildbook.dossier.wording import N_, _

_WORDS = frozenset({
    # verdicts and why there is none
    N_("pass"), N_("conditional pass"), N_("conditional fail"), N_("fail"), N_("not judged"), N_("not evidence"),
    N_("simple acceptance, uncertainty not considered"), N_("simple acceptance, guard band 0"),
    N_("guard band equal to the expanded uncertainty (w = U)"), N_("stated guard band"),
    N_("no limit on record"), N_("not a single number"), N_("judged by its course, not value by value"),
    N_("the reference itself"), N_("no reference measured in the same step, stage and angle"),
    N_("the reference cannot be read"),
    N_("in calibration"), N_("out of calibration"), N_("read before the calibration on record"),
    N_("calibration not recorded"),
    # film
    N_("80-20, fewer than the share (after ISO 19840)"), N_("80-20, at most the share (a paint maker's sheet)"),
    N_("mean below nominal"), N_("single reading below the floor"), N_("too large a share of low readings"),
    N_("single reading above the maximum"), N_("a rule for steel structures, borrowed"),
    N_("a rule for steel structures, borrowed; ISO 19840 is not meant for a nominal below 40 µm"),
    N_("spot below 80 % of the minimum"), N_("spot above 120 % of the maximum"),
    N_("area mean outside the specified range"),
    # the window between coats
    N_("not yet"), N_("within the window"), N_("window closed: scuff first"),
    # brakes and tyres
    N_("Turn the disc on its hub by one hole and measure again before rejecting it (makers' manuals)."),
    N_("The law of the place where the car is used decides; it may ask more."),
})  # fmt: skip
# Short words that need to be told what they speak of.
_OF_TYRES = frozenset({N_("under", "age"), N_("may be over", "age"), N_("over", "age")})
_OF_BATTERIES = frozenset({
    N_("full", "battery"), N_("partly charged", "battery"), N_("low", "battery"), N_("flat", "battery"),
})  # fmt: skip


def trade_word(said: str) -> str:
    """A word of the computations in the language of the dossier; any other text as it is."""
    said = str(said)  # a member of a list becomes its text
    if said in _WORDS:
        return _(said)
    if said in _OF_TYRES:
        return _(said, "age")
    return _(said, "battery") if said in _OF_BATTERIES else said
