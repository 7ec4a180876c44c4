"""The record's closed words as printed."""

from __future__ import annotations

from enum import StrEnum

from buildbook.dossier.wording import N_, _
from buildbook.records import zones
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
    (Stage.BEFORE, N_("before")),
    (Stage.DURING, N_("during")),
    (Stage.AFTER, N_("after")),
    (ReadingStage.INTAKE, N_("intake")),
    (ReadingStage.BEFORE, N_("before the work")),
    (ReadingStage.DURING, N_("during the work")),
    (ReadingStage.AFTER, N_("after the work")),
    (ReadingStage.HANDOVER, N_("handover")),
    (Action.PRESERVE, N_("preserved")),
    (Action.CONSERVE, N_("conserved")),
    (Action.REPAIR, N_("repaired")),
    (Action.REFURBISH, N_("refurbished")),
    (Action.REPLACE, N_("replaced")),
    (Source.GENUINE, N_("genuine")),
    (Source.NEW_OLD_STOCK, N_("new old stock")),
    (Source.OEM, N_("OEM")),
    (Source.PATTERN, N_("pattern")),
    (Source.REPRODUCTION, N_("reproduction")),
    (Source.REMANUFACTURED, N_("remanufactured")),
    (Source.USED, N_("used, from a donor car")),
    (Source.WORKSHOP_MADE, N_("made by the workshop")),
    (Source.ORIGINAL, N_("original to the car")),
    (Outcome.CORRECTED, N_("corrected")),
    (Outcome.ACCEPTED, N_("accepted as it is")),
    (Decision.APPROVED, N_("approved")),
    (Decision.DECLINED, N_("declined")),
    (Body.SALOON, N_("saloon")),
    (Body.ESTATE, N_("estate")),
    (Body.COUPE, N_("coupé")),
    (Body.CONVERTIBLE, N_("convertible")),
    (Body.VAN, N_("van")),
    (Body.MOTORCYCLE, N_("motorcycle")),
    (Operation.INTAKE, N_("Intake")),
    (Operation.INSPECT, N_("Inspection")),
    (Operation.DISMANTLE, N_("Dismantling")),
    (Operation.STRIP, N_("Stripping")),
    (Operation.CLEAN, N_("Cleaning")),
    (Operation.REPAIR, N_("Repair")),
    (Operation.REPLACE, N_("Replacement")),
    (Operation.REFURBISH, N_("Refurbishing")),
    (Operation.PRIME, N_("Priming")),
    (Operation.PAINT, N_("Painting")),
    (Operation.POLISH, N_("Polishing")),
    (Operation.COAT, N_("Coating")),
    (Operation.PROTECT, N_("Protection")),
    (Operation.TRIM, N_("Trim work")),
    (Operation.ADJUST, N_("Adjustment")),
    (Operation.ASSEMBLE, N_("Assembly")),
    (Operation.TEST, N_("Test")),
    (Operation.HANDOVER, N_("Handover")),
    (MaterialKind.PRIMER, N_("primer")),
    (MaterialKind.PAINT, N_("paint")),
    (MaterialKind.CLEAR_COAT, N_("clear coat")),
    (MaterialKind.THINNER, N_("thinner")),
    (MaterialKind.FILLER, N_("filler")),
    (MaterialKind.COATING, N_("coating")),
    (MaterialKind.POLISH, N_("polish")),
    (MaterialKind.CLEANER, N_("cleaner")),
    (MaterialKind.PROTECTION, N_("protection")),
    (MaterialKind.SEALANT, N_("sealant")),
    (MaterialKind.ADHESIVE, N_("adhesive")),
    (MaterialKind.LUBRICANT, N_("lubricant")),
    (MaterialKind.FLUID, N_("fluid")),
    (MaterialKind.ABRASIVE, N_("abrasive")),
    (MaterialKind.BLAST_MEDIUM, N_("blast medium")),
    (MaterialKind.GAS, N_("gas")),
    (MaterialKind.OTHER, N_("other")),
    (Basis.SEEN, N_("seen on the car")),
    (Basis.DOCUMENT, N_("the document says")),
    (Basis.OWNER, N_("the owner says")),
    (Grade.STOP, N_("stop")),
    (Grade.QUERY, N_("query")),
    (Grade.NOTE, N_("note")),
)
# Members of different lists may be equal as text ("before" of a photo and of a reading), so the list counts too.
_WORDS = {(type(member), member): words for member, words in _BY_MEMBER}

_MARKETS = {
    "north-america": N_("North America"),
    "europe": N_("Europe"),
    "japan": N_("Japan"),
    "other": N_("another market"),
}


def is_term(word: StrEnum) -> bool:
    """Whether the word is of a closed list of the record."""
    return (type(word), word) in _WORDS


def term(word: StrEnum | None) -> str:
    """The printed word for a member of a closed list; "not recorded" for None."""
    return _("not recorded") if word is None else _(_WORDS[type(word), word])


def zone_title(name: str) -> str:
    """The printed title of a zone; an unknown name as written."""
    found = zones.zone(name)
    return _(found.title) if found else name


def market(name: str) -> str:
    """The printed name of a market; an unknown one as written."""
    return _(_MARKETS[name]) if name in _MARKETS else name
