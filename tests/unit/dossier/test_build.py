"""The dossier as a whole: links, words, figures, and that it depends on nothing but its arguments."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import fields, is_dataclass, replace

import factory
import pytest

from buildbook.dossier import build_dossier, record_json
from buildbook.dossier.blocks import anchors_of, flat, links_of, pictures_of, words_of
from buildbook.dossier.model import Claim, Counters, Heading, PictureGrid, SealMark, Table


def marked(record, counter, free_text, key=None):
    """The record with each given free text made unlike any other, and the texts made."""
    kind = key or type(record)
    changes = {}
    for name in free_text.get(kind, ()):
        if getattr(record, name):
            counter.append(f"{getattr(record, name)} «{len(counter)}»")
            changes[name] = counter[-1]
    return replace(record, **changes)


def marked_job(job, free_text):
    made: list[str] = []
    changes = {}
    for field in fields(job):
        value = getattr(job, field.name)
        if is_dataclass(value) and type(value) in free_text:
            changes[field.name] = marked(value, made, free_text)
        elif isinstance(value, tuple) and value and type(value[0]) in free_text:
            changes[field.name] = tuple(marked(item, made, free_text) for item in value)
    steps = tuple(replace(s, pairs=tuple(marked(p, made, free_text) for p in s.pairs)) for s in changes["steps"])
    return marked(replace(job, **changes | {"steps": steps}), made, free_text, "Job"), made


def test_every_free_text_of_the_record_is_printed(job, issue, free_text):
    changed, written = marked_job(job, free_text)
    assert len(written) > 100
    words = words_of(build_dossier(changed, (), issue))
    flat_words = words.replace("\n\n", "\n")
    for said in written:
        # A blank line in prose parts paragraphs; the pieces are still there, in order.
        assert said.replace("\n\n", "\n") in flat_words, said


def test_the_list_of_free_texts_is_whole(job, free_text, not_free):
    """A text field added to a record must be sorted into one list or the other."""
    for kind in (k for k in free_text if k != "Job"):
        named = {*free_text[kind], *not_free.get(kind, ())}
        texts = {f.name for f in fields(kind) if f.type in ("str", "tuple[str, ...]")}
        assert texts == named, kind.__name__
    texts = {f.name for f in fields(job) if f.type == "str"}
    assert texts == {*free_text["Job"], *not_free["Job"]}


def test_each_anchor_is_set_once_and_each_link_arrives(dossier):
    anchors = Counter(anchors_of(dossier))
    assert [a for a, n in anchors.items() if n > 1] == []
    assert set(links_of(dossier)) - set(anchors) == set()
    assert len(links_of(dossier)) > 100


@pytest.mark.parametrize("kind", ["photo", "reading", "doc", "part", "approval", "obs", "step", "material", "zone"])
def test_each_kind_of_evidence_has_its_anchors(dossier, kind):
    assert [a for a in anchors_of(dossier) if a.startswith(f"{kind}-")]


def test_a_draft_and_an_empty_job_hold_the_same_promises(bare, job, findings, draft, issue):
    for made in (
        build_dossier(bare, findings, draft),
        build_dossier(bare, (), issue),
        build_dossier(job, findings, draft),
    ):
        anchors = Counter(anchors_of(made))
        assert max(anchors.values()) == 1
        assert set(links_of(made)) <= set(anchors)
        assert len(made.sections) == 11


def test_ids_twice_or_odd_never_make_two_anchors_alike(issue):
    parts = (factory.part(id="P 1/ü"), factory.part(id="P 1/ü"), factory.part(id=""), factory.part(id=""))
    made = build_dossier(factory.job(parts=parts), (), issue)
    anchors = [a for a in anchors_of(made) if a.startswith("part-")]
    assert len(anchors) == len(set(anchors)) == 4
    assert all(re.fullmatch(r"[A-Za-z0-9._~-]+", a) for a in anchors)


def test_every_claim_names_its_evidence(dossier):
    claims = [b for b in flat(dossier.sections[0].blocks) if isinstance(b, Claim)]
    assert 3 <= len(claims) <= 6
    assert all(claim.evidence for claim in claims)


def test_an_outcome_is_a_claim_of_those_who_did_the_work(dossier):
    (claim, *rest) = [b for b in flat(dossier.sections[3].blocks) if isinstance(b, Claim)]
    assert rest[0].evidence  # the wheels: a photo after and the torque
    assert claim.stated_by == "Anneke Brandt"
    assert [ref.label for ref in claim.evidence] == ["P001", "P002"]


def test_the_counts_of_the_summary_are_those_of_the_lists(dossier, job):
    (counters,) = [b for b in dossier.sections[0].blocks if isinstance(b, Counters)]
    said = {c.label: int(c.value) for c in counters.items}
    assert said["observations at intake, 1 corrected"] == len(job.observations)
    assert said["parts replaced"] == 2
    assert said["part kept, 1 refurbished"] == 1
    assert said["steps of work"] == 4
    assert said["accepted exception"] == 1
    assert said["open item"] == 1
    # 118 and 131 µm and 90 N·m lie within; 74 µm and the disc lie outside, at intake and before the work.
    assert said["readings within their limits"] == 3
    assert said["readings outside their limits as left, 2 as found"] == 0


def test_every_photo_is_in_the_index_and_placed_from_its_hash(dossier, job):
    index = dossier.sections[9]
    sheets = [b for b in flat(index.blocks) if isinstance(b, PictureGrid)]
    shown = sorted((p for p in job.photos if p.shown), key=lambda p: p.path)
    assert [p.asset for g in sheets for p in g.pictures] == [p.sha256 for p in shown]
    (table,) = [b for b in index.blocks if isinstance(b, Table) and b.caption == "Every photo of the record"]
    assert len(table.rows) == len(job.photos)
    assert table.dense
    assert set(dossier.assets) == {p.sha256 for p in shown}
    assert len(dossier.assets) == len(set(dossier.assets))


def test_a_photo_link_leads_to_its_best_placement(dossier):
    places = {}
    for number, section in enumerate(dossier.sections, 1):
        for block in flat(section.blocks):
            for picture in pictures_of(block):
                if picture.anchor:
                    places[picture.label] = number
    assert places["P002"] in (2, 3, 4)  # paired: never only on the contact sheet or in the summary
    assert set(places.values()) <= {2, 3, 4, 10}


def test_the_same_arguments_give_the_same_dossier(job, findings, issue):
    assert build_dossier(job, findings, issue) == build_dossier(job, findings, issue)


def test_contact_data_stand_on_the_identity_page_alone(dossier, job):
    for section in dossier.sections:
        alone = replace(dossier, sections=(section,))
        words = words_of(alone)
        for private in (job.client.address, job.client.phone, job.client.email):
            assert (private in words) == (section.number == "2")


def test_it_never_promises(dossier, job, findings, draft):
    for made in (dossier, build_dossier(job, findings, draft)):
        words = words_of(made).casefold()
        assert not re.search(r"\bsafe(ly)?\b|guarante|repainted|certif(y|ied)", words)


def test_it_says_not_recorded_instead_of_nothing(bare, issue):
    made = build_dossier(bare, (), issue)
    assert "not recorded" in words_of(made)
    for section in made.sections:
        assert section.blocks
    assert made.cover.vehicle == "Vehicle not recorded"


def test_draft_says_so_and_lists_the_findings_first(job, findings, draft):
    made = build_dossier(job, findings, draft)
    assert made.draft
    assert made.issue == 0
    headings = [b.text for b in made.sections[7].blocks if isinstance(b, Heading)]
    assert headings[0] == "Open findings of the check"
    assert "P2 has no receipt." in words_of(made)
    assert "draft" in words_of(made).casefold()


def test_an_issue_lists_queries_and_notes_after_the_limits(dossier):
    headings = [b.text for b in dossier.sections[7].blocks if isinstance(b, Heading)]
    assert headings == ["Open items", "Limits of this record", "What the check left to be looked at"]


def test_the_seal_and_its_chain_are_on_the_last_page(dossier):
    (last,) = [b for b in dossier.sections[-1].blocks if isinstance(b, SealMark)]
    assert last.payload == f"buildbook seal {dossier.seal} job J-1 issue 2"
    assert dossier.previous_seal in words_of(replace(dossier, sections=dossier.sections[-1:]))


def test_one_is_said_in_the_singular(issue):
    made = build_dossier(
        factory.job(
            steps=(factory.step(),), parts=(factory.part(),), observations=(factory.observation(),),
            readings=(factory.reading(),), limits=(factory.limit(),),
        ),
        (),
        issue,
    )  # fmt: skip
    summary = words_of(replace(made, sections=made.sections[:1]))
    assert "1 observation was recorded at intake" in summary
    assert "1 part was replaced" in summary
    assert "1 value was measured" in summary
    assert not re.search(r"\b1 (observations|parts|values|steps|people)\b", summary)


def test_an_issue_made_again_says_the_same(job, issue):
    """The second time its own small JSON lies in the folder already; it changes nothing."""
    own = factory.document("issued/002.json")
    earlier = factory.document("issued/001.json")
    first = replace(job, files=(*job.documents, earlier))
    issued = replace(job.issued[0], number=2, seal=issue.seal)
    again = replace(job, files=(*job.documents, earlier, own), issued=(*job.issued, issued))
    assert build_dossier(first, (), issue) == build_dossier(again, (), issue)
    assert record_json(first, (), issue) == record_json(again, (), issue)


def test_a_long_brief_leaves_the_summary_one_page(job, issue):
    long = replace(job, brief="Word " * 200)
    made = build_dossier(long, (), issue)
    assert "Word Word" not in words_of(replace(made, sections=made.sections[:1]))
    assert "Word Word" in words_of(replace(made, sections=made.sections[1:2]))


def test_settings_are_printed(job, issue):
    made = build_dossier(replace(job, settings={"tyre_jurisdiction": "EU", "strict": True, "list": [1, 2]}), (), issue)
    words = words_of(made)
    assert all(f"\n{said}\n" in words for said in ("EU", "yes", "1, 2"))
