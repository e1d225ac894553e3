"""Running a calculator as a reader does: fields, refusals in words, bands, and the JSON document."""

from __future__ import annotations

import json

import pytest

from hangtag.answers import as_json, band_of, work
from hangtag.book import Book
from hangtag.calculators import QuantityInput
from hangtag.problems import ProblemError


@pytest.mark.parametrize("head", ["10000 mm", "10k", "10 000 mm", "10,000", "10 000mm", "10 m", "98.0665 kPa"])
def test_one_head_in_many_spellings(reference: Book, head: str) -> None:
    answer = work(reference, reference.calculators["water-column"], {"head": head})
    pressure = answer.outputs[0]
    assert (pressure.name, pressure.shown.unit.id) == ("pressure", "kPa")
    assert pressure.shown.value == pytest.approx(98.0665, rel=1e-15)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"head": "abc"}, "does not begin with a number"),
        ({"head": "3 kg"}, "measures another thing"),
        ({"head": "-5"}, "Needs 0"),
        ({"head": "1e999"}, "power of ten"),
        ({"head": "NaN"}, "does not begin with a number"),
        ({"heda": "5"}, "there is no input heda"),
        ({"pressure": "5 kPa"}, "is an answer of this calculator"),
    ],
)
def test_what_is_refused(reference: Book, given: dict[str, str], words: str) -> None:
    with pytest.raises(ProblemError, match=words):
        work(reference, reference.calculators["water-column"], given)


def test_every_wrong_field_is_told_at_once(reference: Book) -> None:
    with pytest.raises(ProblemError) as caught:
        work(reference, reference.calculators["down-loft"], {"fill_power": "x", "fill_weight": "9 kg", "aera": "1"})
    assert len(caught.value.problems) == 3


def test_a_failed_requirement_is_an_answer_in_words(reference: Book) -> None:
    for calculator in reference.calculators.values():
        if not calculator.requires:
            continue
        fields = [field for field in calculator.inputs if isinstance(field, QuantityInput)]
        lows = {field.name: f"{field.low.text} {field.low.unit.id}" for field in fields}
        highs = {field.name: f"{field.high.text} {field.high.unit.id}" for field in fields}
        corners = [
            lows,
            highs,
            *({**lows, name: highs[name]} for name in lows),
            *({**highs, name: lows[name]} for name in lows),
        ]
        answers = [work(reference, calculator, corner) for corner in corners]
        refused = [answer for answer in answers if answer.refused]
        assert refused, f"no corner of {calculator.id} fails its requirements"
        said = {str(requirement.say) for requirement in calculator.requires}
        assert all(answer.refused and answer.refused.because in said and not answer.steps for answer in refused)


def test_a_band_takes_its_limit_as_its_author_said(reference: Book) -> None:
    for entry in reference.entries.values():
        scale = entry.scale
        if scale is None:
            continue
        for band, after in zip(scale.bands, scale.bands[1:], strict=False):
            limit = band.below or band.up_to
            assert limit is not None
            wanted = after if band.below else band
            assert band_of(reference, entry.id, limit.unit.to_si(float(limit.text))) is wanted


def test_the_document_has_every_key(reference: Book) -> None:
    for calculator in reference.calculators.values():
        document = json.loads(json.dumps(as_json(work(reference, calculator, {})), allow_nan=False))
        assert list(document) == ["calculator", "inputs", "steps", "outputs", "refused", "solved", "caution"]
        for its in document["inputs"].values():
            assert " ".join(its) == "value unit text from low high"
            assert its["from"] == "start"
        for step in document["steps"]:
            assert " ".join(step) == "name is value unit text also low high low_when high_when band band_high"
            assert all(" ".join(other) == "value unit text low high" for other in step["also"])
        assert set(document["outputs"]) == {step.name for step in calculator.outputs}
