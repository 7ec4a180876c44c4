"""What each edition of an issue withholds: the one table, which the code obeys and each dossier prints.

A group names fields of the record (`parts.price`), or is a kind of file. The owner's edition withholds nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Edition(StrEnum):
    """Whom an edition of an issue is for."""

    OWNER = "owner"
    INSURER = "insurer"
    RESALE = "resale"


class Group(StrEnum):
    """What is withheld together."""

    CLIENT_NAME = "client-name"
    CLIENT_CONTACT = "client-contact"
    OTHERS = "others"
    PEOPLE = "people"
    PLATE = "plate"
    MONEY = "money"
    MARKED_PHOTOS = "marked-photos"
    POSITION = "position"
    PHOTO_DATA = "photo-data"
    CLIENT_PAPERS = "client-papers"
    RECEIPTS = "receipts"
    TABLES = "tables"
    NOTES = "notes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A line of the table. fields: of the job, `record.field`. withheld: from which editions."""

    group: Group
    fields: tuple[str, ...] = ()
    withheld: frozenset[Edition]


_BOTH = frozenset({Edition.INSURER, Edition.RESALE})
_RESALE = frozenset({Edition.RESALE})

TABLE: tuple[Row, ...] = (
    Row(group=Group.CLIENT_NAME, fields=("client.name", "approvals.given_by"), withheld=_RESALE),
    Row(group=Group.CLIENT_CONTACT, fields=("client.address", "client.phone", "client.email"), withheld=_BOTH),
    Row(group=Group.OTHERS, fields=("editions.private",), withheld=_BOTH),
    Row(group=Group.PEOPLE, fields=("people.id", "people.name"), withheld=_RESALE),
    Row(group=Group.PLATE, fields=("vehicle.registration",), withheld=_RESALE),
    Row(
        group=Group.MONEY,
        fields=(
            "parts.price", "parts.total", "parts.currency",
            "receipts.net", "receipts.other", "receipts.tax", "receipts.total", "receipts.currency",
        ),
        withheld=_RESALE,
    ),
    Row(group=Group.MARKED_PHOTOS, fields=("editions.withhold_photos",), withheld=_RESALE),
    Row(group=Group.POSITION, withheld=_BOTH),
    Row(group=Group.PHOTO_DATA, fields=("cameras.serial",), withheld=_RESALE),
    Row(group=Group.CLIENT_PAPERS, withheld=_BOTH),
    Row(group=Group.RECEIPTS, withheld=_RESALE),
    Row(group=Group.TABLES, withheld=_RESALE),
    Row(group=Group.NOTES, withheld=_BOTH),
)  # fmt: skip


def withholds(edition: Edition, group: Group) -> bool:
    """Whether an edition withholds a group."""
    return any(edition in row.withheld for row in TABLE if row.group is group)


def withheld_fields(edition: Edition) -> dict[str, frozenset[str]]:
    """Record -> names of its fields that an edition withholds."""
    found: dict[str, set[str]] = {}
    for row in TABLE:
        if edition in row.withheld:
            for path in row.fields:
                record, _, name = path.partition(".")
                found.setdefault(record, set()).add(name)
    return {record: frozenset(names) for record, names in found.items()}
