"""Facts to and from the cache: what is wrong with a photo can still be said in another language afterwards."""

import json

import pytest

from buildbook.dossier.language import speaking
from buildbook.dossier.said import in_language
from buildbook.photos.facts import from_plain, to_plain
from buildbook.records.photo import PhotoFacts
from buildbook.records.said import Said, figure, said

BIG = said(
    "The picture has {n} million pixels; up to {most} million are shown.", n=figure(1234.4, ",.0f"), most=figure(200, ",.0f")
)  # fmt: skip
TIME = said("The EXIF date of capture reads “{text}”, which is no date.", text="0000 {x}")


def kept(facts):
    return from_plain(json.loads(json.dumps(to_plain(facts))))


def test_a_sentence_comes_back_from_the_cache_with_its_template():
    facts = PhotoFacts(format="JPEG", problem=BIG, taken_problem=TIME)
    back = kept(facts)
    assert back == facts
    assert isinstance(back.problem, Said)
    assert isinstance(back.taken_problem, Said)
    assert back.problem == "The picture has 1,234 million pixels; up to 200 million are shown."
    assert (back.problem.template, back.taken_problem.values) == (BIG.template, {"text": "0000 {x}"})
    with speaking("de"):
        assert in_language(back.problem) == in_language(BIG)


def test_plain_text_of_an_older_cache_is_read_too():
    assert kept(PhotoFacts(problem="The file is empty.")).problem == "The file is empty."


@pytest.mark.parametrize(
    "broken",
    [{"said": "{x}", "values": {}}, {"said": "{x}"}, {"said": 3, "values": {}}, {"figure": "x", "spec": ""},
     {"said": "{x}", "values": []}, {}],
)  # fmt: skip
def test_what_is_no_sentence_is_refused(broken):
    with pytest.raises((TypeError, ValueError)):
        from_plain({"problem": broken})
