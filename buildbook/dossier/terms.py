"""The record's closed words as printed."""

from __future__ import annotations

from enum import StrEnum

from buildbook.dossier.wording import _
from buildbook.records.finding import Grade
from buildbook.records.words import (
    Action,
    Basis,
    Body,
    Decision,
    MaterialKind,
    Operation,
    Outcome,
    ReadingStage,
    Source,
    Stage,
)

_BY_MEMBER: tuple[tuple[StrEnum, str], ...] = (
    (Stage.BEFORE, _("before")),
    (Stage.DURING, _("during")),
    (Stage.AFTER, _("after")),
    (ReadingStage.INTAKE, _("intake")),
    (ReadingStage.BEFORE, _("before the work")),
    (ReadingStage.DURING, _("during the work")),
    (ReadingStage.AFTER, _("after the work")),
    (ReadingStage.HANDOVER, _("handover")),
    (Action.PRESERVE, _("preserved")),
    (Action.CONSERVE, _("conserved")),
    (Action.REPAIR, _("repaired")),
    (Action.REFURBISH, _("refurbished")),
    (Action.REPLACE, _("replaced")),
    (Source.GENUINE, _("genuine")),
    (Source.NEW_OLD_STOCK, _("new old stock")),
    (Source.OEM, _("OEM")),
    (Source.PATTERN, _("pattern")),
    (Source.REPRODUCTION, _("reproduction")),
    (Source.REMANUFACTURED, _("remanufactured")),
    (Source.USED, _("used, from a donor car")),
    (Source.WORKSHOP_MADE, _("made by the workshop")),
    (Source.ORIGINAL, _("original to the car")),
    (Outcome.CORRECTED, _("corrected")),
    (Outcome.ACCEPTED, _("accepted as it is")),
    (Decision.APPROVED, _("approved")),
    (Decision.DECLINED, _("declined")),
    (Body.SALOON, _("saloon")),
    (Body.ESTATE, _("estate")),
    (Body.COUPE, _("coupé")),
    (Body.CONVERTIBLE, _("convertible")),
    (Body.VAN, _("van")),
    (Body.MOTORCYCLE, _("motorcycle")),
    (Operation.INTAKE, _("Intake")),
    (Operation.INSPECT, _("Inspection")),
    (Operation.DISMANTLE, _("Dismantling")),
    (Operation.STRIP, _("Stripping")),
    (Operation.CLEAN, _("Cleaning")),
    (Operation.REPAIR, _("Repair")),
    (Operation.REPLACE, _("Replacement")),
    (Operation.REFURBISH, _("Refurbishing")),
    (Operation.PRIME, _("Priming")),
    (Operation.PAINT, _("Painting")),
    (Operation.POLISH, _("Polishing")),
    (Operation.COAT, _("Coating")),
    (Operation.PROTECT, _("Protection")),
    (Operation.TRIM, _("Trim work")),
    (Operation.ADJUST, _("Adjustment")),
    (Operation.ASSEMBLE, _("Assembly")),
    (Operation.TEST, _("Test")),
    (Operation.HANDOVER, _("Handover")),
    (MaterialKind.PRIMER, _("primer")),
    (MaterialKind.PAINT, _("paint")),
    (MaterialKind.CLEAR_COAT, _("clear coat")),
    (MaterialKind.THINNER, _("thinner")),
    (MaterialKind.FILLER, _("filler")),
    (MaterialKind.COATING, _("coating")),
    (MaterialKind.POLISH, _("polish")),
    (MaterialKind.CLEANER, _("cleaner")),
    (MaterialKind.PROTECTION, _("protection")),
    (MaterialKind.SEALANT, _("sealant")),
    (MaterialKind.ADHESIVE, _("adhesive")),
    (MaterialKind.LUBRICANT, _("lubricant")),
    (MaterialKind.FLUID, _("fluid")),
    (MaterialKind.ABRASIVE, _("abrasive")),
    (MaterialKind.BLAST_MEDIUM, _("blast medium")),
    (MaterialKind.GAS, _("gas")),
    (MaterialKind.OTHER, _("other")),
    (Basis.SEEN, _("seen on the car")),
    (Basis.DOCUMENT, _("the document says")),
    (Basis.OWNER, _("the owner says")),
    (Grade.STOP, _("stop")),
    (Grade.QUERY, _("query")),
    (Grade.NOTE, _("note")),
)
# Members of different lists may be equal as text ("before" of a photo and of a reading), so the list counts too.
_WORDS = {(type(member), member): words for member, words in _BY_MEMBER}

_MARKETS = {
    "north-america": _("North America"),
    "europe": _("Europe"),
    "japan": _("Japan"),
    "other": _("another market"),
}


def term(word: StrEnum | None) -> str:
    """The printed word for a member of a closed list; "not recorded" for None."""
    return _("not recorded") if word is None else _WORDS[type(word), word]


def market(name: str) -> str:
    """The printed name of a market; an unknown one as written."""
    return _MARKETS.get(name, name)
