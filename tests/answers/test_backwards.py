"""Working backwards: what it finds, run forwards, is what was wanted."""

from __future__ import annotations

import json

import pytest

from hangtag.answers import as_json, read_field, run_values, work, work_backwards
from hangtag.answers.run import uncertain_of
from hangtag.book import Book
from hangtag.calculator_reader import option_values
from hangtag.calculators import Calculator, ChoiceInput, QuantityInput
from hangtag.problems import ProblemError

from .test_compliance import load


def test_answers_run_forwards_to_what_was_wanted(shared: Book) -> None:
    tried = 0
    for case in load("backwards/answers.json")["cases"]:
        if not case.get("answers"):
            continue
        calculator = shared.calculators[case["calculator"]]
        solved = work_backwards(
            shared, calculator, case.get("given", {}), case["output"], case["wanted"], case["unknown"]
        ).solved
        assert solved is not None
        if solved.because and "At some ends" in solved.because:
            continue  # the middle of the uncertain values has no answer
        field = next(its for its in calculator.inputs if its.name == case["unknown"])
        typed = case.get("given", {})
        values = run_values(calculator, [read_field(shared, its, typed.get(its.name)) for its in calculator.inputs])
        for solution in solved.answers:
            at = {field.name: solution.si}
            if isinstance(field, ChoiceInput):
                at = option_values(field, field.words.index(solution.choice or ""))
            output = calculator.program.run({**values, **at})[case["output"]]
            wanted = solved.wanted.unit.to_si(solved.wanted.value)
            assert output == pytest.approx(wanted, rel=1e-3 if case["wanted"] == "1.714 kg" else 1e-9, abs=1e-9)
            tried += 1
    assert tried > 15


def questions(book: Book) -> list[tuple[Calculator, str, QuantityInput]]:
    return [
        (calculator, output.name, field)
        for calculator in book.calculators.values()
        if calculator.one_way is None
        for output in calculator.outputs
        for field in calculator.inputs
        if isinstance(field, QuantityInput)
    ]


def test_every_calculator_of_the_reference_book_finds_its_way_back(reference: Book) -> None:
    """From the start values' own answer, each input that has an influence is found again, or a refusal is said."""
    found = 0
    for calculator, output, field in questions(reference):
        answer = work(reference, calculator, {})
        if uncertain_of(calculator, answer.inputs) or answer.refused:
            continue
        result = next(its for its in answer.outputs if its.name == output)
        unit = result.shown.unit
        wanted = f"{result.shown.value!r} {unit.id}" if unit.id != "plain" else repr(result.shown.value)
        if "e" in wanted.split()[0] or "inf" in wanted:
            continue
        solved = work_backwards(reference, calculator, {}, output, wanted, field.name).solved
        assert solved is not None
        start = field.start.si
        near = [its for its in solved.answers if its.si == pytest.approx(start, rel=1e-6, abs=1e-9)]
        assert near or solved.because, (calculator.id, output, field.name, solved)
        found += bool(near)
        json.dumps(as_json(work_backwards(reference, calculator, {}, output, wanted, field.name)), allow_nan=False)
    assert found > 20


@pytest.mark.parametrize("wanted", ["", "x", "NaN", "1e999", "<script>", "9" * 10_000, "3 kg"])
def test_hostile_wishes_are_refused_in_words(shared: Book, wanted: str) -> None:
    with pytest.raises(ProblemError) as stop:
        work_backwards(shared, shared.calculators["wave"], {}, "wave", wanted, "x")
    assert all(problem.message for problem in stop.value.problems)
    assert len(str(stop.value)) < 400


def test_the_first_answer_is_worked(shared: Book) -> None:
    answer = work_backwards(shared, shared.calculators["walk"], {}, "each", "4 kg", "people")
    people = next(its for its in answer.inputs if its.name == "people")
    assert (people.origin, people.si) == ("solved", 3.0)
    assert next(its for its in answer.outputs if its.name == "each").shown.text == "4"
