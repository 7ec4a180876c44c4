"""Where a value stands in the job folder, in the language of the dossier. Names of files, columns and keys stay."""

from __future__ import annotations

from buildbook.dossier.wording import _, comma
from buildbook.records.place import Place


def place_words(place: Place) -> str:
    """`readings.csv, row 22, column value`; the folder as a whole is named as such."""
    told = [place.file or _("the job folder")]
    if place.row is not None:
        told.append(_("row {n}").format(n=place.row))
    if place.column is not None:
        told.append(_("column {name}").format(name=place.column))
    if place.key is not None:
        told.append(_("key {name}").format(name=place.key))
    return comma().join(told)
