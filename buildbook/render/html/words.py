"""The fixed words of the page, in one place so that they can be translated; those of the script go to it as data."""

from __future__ import annotations

from buildbook.dossier.wording import _, plural


def page_words() -> dict[str, str]:
    """Words of the page, by name."""
    return {
        "skip": _("Skip to the contents"),
        "contents": _("Contents"),
        "top": _("Back to the top"),
        "draft": _("DRAFT · not an issued record"),
        "job": _("Job {number}"),
        "issue": _("Issue {n}"),
        "before": _("Before"),
        "after": _("After"),
        "slider": _("Compare before and after: {what}"),
        "slider_hint": _("Drag the picture, or use the arrow keys on the slider."),
        "seal": _("Seal"),
        "seal_whole": _("The whole seal"),
        "check_seal": _("Check the seal"),
        "no_evidence": _("no evidence on file"),
        "stated_by": _("stated by {who}"),
        "evidence": _("Evidence:"),
        "caution": _("Caution:"),
        "source": _("Source: {source}"),
        "map": _("The car as a map"),
        "map_plain": _("Place by place"),
        "map_how": _("Choose a place, on the plan or in the list: what was seen there, done, fitted and measured."),
        "more": _("and {n} more"),
        "places": _("Places on the vehicle"),
        "observations": _("Observations"),
        "steps": _("Steps of work"),
        "parts": _("Parts"),
        "readings": _("Readings"),
        "photos": _("Photographs"),
        "in_dossier": _("Before and after, in section 3"),
        "grades": _("Worst grade on arrival → on leaving, 0 none to 5 severe; darker is worse."),
        "search": _("Search these rows"),
        "search_hint": _("part, number, supplier, step …"),
        "scroll": _("{what} (scrolls sideways)"),
        "viewer": _("Photograph"),
        "close": _("Close"),
        "previous": _("Previous photograph"),
        "next": _("Next photograph"),
        "taken": _("Taken"),
        "camera": _("Camera"),
        "place": _("Place"),
        "stage": _("Stage"),
        "file": _("File"),
        "hash": _("SHA-256 of the original"),
        "used": _("Evidence for"),
        "in_place": _("Show it where it stands"),
        "verify": _("Check it yourself, here"),
        "verify_says": _(
            "This page holds the manifest of the record. Your browser can compute the seal from it, and hash the files "
            "of a job folder or an unpacked archive and compare each with its line. Nothing leaves this computer."
        ),
        "verify_seal": _("Compute the seal"),
        "verify_pick": _("Choose the job folder, or the unpacked archive"),
        "verify_none": _(
            "This browser cannot compute SHA-256 in a page opened from a disk, or runs no scripts. Three commands do "
            "the same; the manifest lies beside the dossier, and is attached to the PDF."
        ),
        "verify_save": _("Save the manifest"),
        "ok_list": _("Unchanged"),
        "changed_list": _("Changed"),
        "missing_list": _("Missing"),
        "added_list": _("Added since"),
        "unread_list": _("Could not be read"),
        "colophon": _("Made from the same record as the printed dossier. This page loads nothing from any network."),
    }  # fmt: skip


def script_words() -> dict[str, str]:
    """Words the script needs; `{name}` is filled in by it."""
    return {
        "shown": _("{n} of {all} rows"),
        "percent": _("{n} % after"),
        "of": _("{n} of {all}"),
        "unknown": _("not recorded"),
        "seal_ok": _("The manifest in this page has the seal {seal}. It is the seal of this dossier."),
        "seal_bad": _("The manifest in this page has the digest {seal}. It is NOT the seal of this dossier."),
        "hashing": _("Hashing {n} of {all} files …"),
        "all_ok": _("All {n} files of the record are there and unchanged."),
        "not_ok": _("{ok} of {all} files are unchanged; {changed} changed, {missing} missing, {added} added."),
        "no_record": _("The folder holds none of the files of this record. Choose the folder that holds job.toml."),
        "record_ok": _("{name} beside the record is the one of this issue."),
        "record_bad": _("{name} beside the record is NOT the one of this issue."),
    }


def sealed_files(n: int) -> str:
    return plural("{n} file sealed", "{n} files sealed", n)


def rows_count(n: int) -> str:
    return plural("{n} row", "{n} rows", n)


def photo_count(n: int) -> str:
    return plural("{n} photograph", "{n} photographs", n)
