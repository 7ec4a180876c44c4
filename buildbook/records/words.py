"""Closed word lists of the record. Trade words: common practice, no source."""

from __future__ import annotations

from enum import StrEnum


class Stage(StrEnum):
    """When, within a step, a photo was taken: the name of its folder."""

    BEFORE = "before"
    DURING = "during"
    AFTER = "after"


class ReadingStage(StrEnum):
    """When a value was measured: on arrival, around a step, or on leaving."""

    INTAKE = "intake"
    BEFORE = "before"
    DURING = "during"
    AFTER = "after"
    HANDOVER = "handover"


class Action(StrEnum):
    """Intervention on a part, least first; meanings follow conservation usage (see docs/record.md)."""

    PRESERVE = "preserve"
    CONSERVE = "conserve"
    REPAIR = "repair"
    REFURBISH = "refurbish"
    REPLACE = "replace"


KEPT = frozenset({Action.PRESERVE, Action.CONSERVE})
REFURBISHED = frozenset({Action.REPAIR, Action.REFURBISH})


class Source(StrEnum):
    """Where a fitted part comes from: a statement by whoever fitted it, not a fact."""

    GENUINE = "genuine"
    NEW_OLD_STOCK = "new-old-stock"
    OEM = "oem"
    PATTERN = "pattern"
    REPRODUCTION = "reproduction"
    REMANUFACTURED = "remanufactured"
    USED = "used"
    WORKSHOP_MADE = "workshop-made"
    ORIGINAL = "original"


class Outcome(StrEnum):
    """What became of an observation: corrected (step, part line) or accepted as it is (approval)."""

    CORRECTED = "corrected"
    ACCEPTED = "accepted"


class Decision(StrEnum):
    """What the client said."""

    APPROVED = "approved"
    DECLINED = "declined"


class Body(StrEnum):
    """Body form, for zones and the plan of the car."""

    SALOON = "saloon"
    ESTATE = "estate"
    COUPE = "coupe"
    CONVERTIBLE = "convertible"
    VAN = "van"
    MOTORCYCLE = "motorcycle"


class Operation(StrEnum):
    """What kind of work a step is."""

    INTAKE = "intake"
    INSPECT = "inspect"
    DISMANTLE = "dismantle"
    STRIP = "strip"
    CLEAN = "clean"
    REPAIR = "repair"
    REPLACE = "replace"
    REFURBISH = "refurbish"
    PRIME = "prime"
    PAINT = "paint"
    POLISH = "polish"
    COAT = "coat"
    PROTECT = "protect"
    TRIM = "trim"
    ADJUST = "adjust"
    ASSEMBLE = "assemble"
    TEST = "test"
    HANDOVER = "handover"


class MaterialKind(StrEnum):
    """What a used-up material is."""

    PRIMER = "primer"
    PAINT = "paint"
    CLEAR_COAT = "clear-coat"
    THINNER = "thinner"
    FILLER = "filler"
    COATING = "coating"
    POLISH = "polish"
    CLEANER = "cleaner"
    PROTECTION = "protection"
    SEALANT = "sealant"
    ADHESIVE = "adhesive"
    LUBRICANT = "lubricant"
    FLUID = "fluid"
    ABRASIVE = "abrasive"
    BLAST_MEDIUM = "blast-medium"
    GAS = "gas"
    OTHER = "other"


class Basis(StrEnum):
    """On what a statement of history rests: kept apart, never mixed."""

    SEEN = "seen"
    DOCUMENT = "document"
    OWNER = "owner"
