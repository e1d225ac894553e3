"""An Answer as the document that `hangtag work --json` prints.

Must not calculate anything.
"""

from __future__ import annotations

from hangtag.answers.model import Answer, Cell, Given, Result, Shown, Solved
from hangtag.calculators import Calculator, ChoiceInput
from hangtag.entries import Band
from hangtag.formula.to_text import text as formula_text
from hangtag.strings import DEFAULT_LANGUAGE


def caution_of(calculator: Calculator, language: str = DEFAULT_LANGUAGE) -> str | None:
    """The calculator's caution, with that of the one it replaces."""
    cautions = [text.within(language) for text in (calculator.caution, calculator.inherited_caution) if text]
    return "\n\n".join(cautions) or None


def as_json(answer: Answer, language: str = DEFAULT_LANGUAGE) -> dict[str, object]:
    """An Answer as the document that `hangtag work --json` prints; absent is null, `value` is the full float.

    An uncertain result's text is `low to high`; its value is that at the middle of all ranges, and null in a one-way
    calculator.
    """
    trees = {step.name: formula_text(step.tree) for step in answer.calculator.steps}
    # where working backwards would be unsafe, so would one number out of the middle of an interval
    middle = answer.calculator.one_way is None
    return {
        "calculator": answer.calculator.id,
        "inputs": {given.name: _given_json(answer.calculator, given, language) for given in answer.inputs},
        "steps": [
            {"name": step.name, "is": trees[step.name], **_result_json(step, language, middle=middle)}
            for step in answer.steps
        ],
        "outputs": {step.name: _result_json(step, language, middle=middle) for step in answer.outputs},
        "refused": {"because": answer.refused.because, "input": answer.refused.input} if answer.refused else None,
        "solved": _solved_json(answer.solved),
        "caution": caution_of(answer.calculator, language),
    }


def _solved_json(solved: Solved | None) -> dict[str, object] | None:
    if solved is None:
        return None
    answers = [
        {
            "value": its.choice if its.shown is None else its.shown.value,
            "unit": None if its.shown is None else its.shown.unit.id,
            "text": its.choice if its.shown is None else its.shown.text,
            "low": its.ends[0].value if its.ends else None,
            "high": its.ends[1].value if its.ends else None,
        }
        for its in solved.answers
    ]
    return {"input": solved.input, "answers": answers, "because": solved.because}


def _given_json(calculator: Calculator, given: Given, language: str) -> dict[str, object]:
    low, high = given.ends or (None, None)
    ends = {"low": low.value if low else None, "high": high.value if high else None}
    return {**_value_json(calculator, given, language), "from": given.origin, **ends}


def _value_json(calculator: Calculator, given: Given, language: str) -> dict[str, object]:
    if given.rows is not None:
        rows = [{cell.column: _cell_json(cell) for cell in row} for row in given.rows]
        return {"value": rows, "unit": None, "text": str(len(rows))}
    if given.ends and given.shown:
        low, high = given.ends
        text = low.text if low == high else f"{low.text} to {high.text}"
        return {"value": given.shown.value, "unit": given.shown.unit.id, "text": text}
    if given.shown is None:
        field = next(field for field in calculator.inputs if field.name == given.name)
        options = field.options if isinstance(field, ChoiceInput) else ()
        text = next(option.label.within(language) for option in options if option.name == given.choice)
        return {"value": given.choice, "unit": None, "text": text}
    return _shown_json(given.shown)


def _cell_json(cell: Cell) -> dict[str, object]:
    if cell.unit is None:
        return {"value": cell.text, "unit": None, "text": cell.text}
    return {"value": float(cell.text), "unit": cell.unit.id, "text": cell.text}


def _shown_json(shown: Shown) -> dict[str, object]:
    return {"value": shown.value, "unit": shown.unit.id, "text": shown.text}


def _result_json(result: Result, language: str, *, middle: bool) -> dict[str, object]:
    return {
        **_uncertain_json(result.shown, result.ends, middle=middle),
        "also": _also_json(result, middle=middle),
        "low": result.ends[0].value if result.ends else None,
        "high": result.ends[1].value if result.ends else None,
        "low_when": result.low_when,
        "high_when": result.high_when,
        "band": band_json(result.bands[0] if result.ends else result.band, language),
        "band_high": band_json(result.bands[1], language),
    }


def _uncertain_json(shown: Shown, ends: tuple[Shown, Shown] | None, *, middle: bool) -> dict[str, object]:
    if ends is None:
        return _shown_json(shown)
    low, high = ends
    text = low.text if low.text == high.text else f"{low.text} to {high.text}"
    return {"value": shown.value if middle else None, "unit": shown.unit.id, "text": text}


def _also_json(result: Result, *, middle: bool) -> list[dict[str, object]]:
    every = result.also_ends or (None,) * len(result.also)
    return [
        {
            **_uncertain_json(shown, ends, middle=middle),
            "low": ends[0].value if ends else None,
            "high": ends[1].value if ends else None,
        }
        for shown, ends in zip(result.also, every, strict=True)
    ]


def band_json(band: Band | None, language: str = DEFAULT_LANGUAGE) -> dict[str, object] | None:
    """A band's words and basis."""
    if band is None:
        return None
    basis = band.basis
    words = band.says.within(language)
    return {"says": words, "basis": basis.kind, "source": basis.source, "of": basis.of, "at": basis.at}
