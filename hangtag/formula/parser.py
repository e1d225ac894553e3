"""Text to nodes: a hand-written lexer and a parser by binding power, every node with its span.

The grammar rule of each function is its docstring. Must not know names or dimensions: that is `check.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

from hangtag.formula.functions import FUNCTIONS
from hangtag.formula.nodes import (
    Binary,
    Call,
    Compare,
    If,
    In,
    Logic,
    Lookup,
    Name,
    Negate,
    Node,
    Number,
    Sum,
    Word,
)
from hangtag.numbers import is_author_number
from hangtag.problems import Problem, ProblemError, Span, near_hint

KEYWORDS = ("if", "then", "else", "in", "where", "and", "or")
RESERVED = (*KEYWORDS, "sum", "table", "pi")  # no name of an author's
DEEPEST = 50
Place = Callable[[int, int], Span]

_LETTERS = frozenset("abcdefghijklmnopqrstuvwxyz")
_UPPER = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
_DIGITS = frozenset("0123456789")
_MARKS = ("<=", ">=", "!=", "+", "-", "*", "/", "^", "(", ")", ",", "<", ">", "=")
# What people write that the language does not have, and what to write instead.
_INSTEAD = {
    "×": "*",
    "·": "*",
    "−": "-",
    "–": "-",
    "÷": "/",
    "²": "^2",
    "³": "^3",
    "√": "sqrt(...)",
    "≤": "<=",
    "≥": ">=",
    "π": "pi",
}
_COMPARISONS = ("<=", ">=", "!=", "<", ">", "=")


@dataclass(frozen=True)
class _Token:
    kind: str  # number, word, text, mark, end
    text: str
    start: int
    end: int
    unit: str | None = None
    unit_end: int = 0


def parse(text: str, unit_ids: Collection[str], place: Place | None = None, path: str | None = None) -> Node:
    """A formula's tree. `place` gives the file's span for characters start..end of `text`.

    Raises ProblemError with one Problem, at the first place that cannot be read.
    """
    parser = _Parser(text, unit_ids, place or _in_one_line, path)
    return parser.formula()


def _in_one_line(start: int, end: int) -> Span:
    return Span(1, start + 1, 1, end + 1)


class _Parser:
    def __init__(self, text: str, unit_ids: Collection[str], place: Place, path: str | None) -> None:
        self._text = text
        # Longest first, so that `m^2` is never read as `m`.
        self._units = sorted(unit_ids, key=len, reverse=True)
        self._place = place
        self._path = path
        self._depth = 0
        self._open = 0  # brackets, while splitting
        self._tokens = self._split()
        self._at = 0

    # ------------------------------------------------------------------------------------------------------ tokens

    def _split(self) -> list[_Token]:
        tokens: list[_Token] = []
        at = 0
        text = self._text
        while at < len(text):
            character = text[at]
            if character in " \n":
                at += 1
            elif character in _DIGITS or character == ".":
                token = self._number(at)
                tokens.append(token)
                at = token.unit_end
            elif character in _LETTERS or character in _UPPER or character == "_":
                end = at
                while end < len(text) and (
                    text[end] in _LETTERS or text[end] in _UPPER or text[end] in _DIGITS or text[end] == "_"
                ):
                    end += 1
                tokens.append(_Token("word", text[at:end], at, end))
                at = end
            elif character == '"':
                end = text.find('"', at + 1)
                if end < 0:
                    raise self._problem("formula-quote-open", at, at + 1)
                tokens.append(_Token("text", text[at + 1 : end], at, end + 1))
                at = end + 1
            else:
                mark = next((mark for mark in _MARKS if text.startswith(mark, at)), None)
                if mark is None:
                    self._fail_character(at)
                else:
                    self._open += (mark == "(") - (mark == ")")
                    tokens.append(_Token("mark", mark, at, at + len(mark)))
                    at += len(mark)
        tokens.append(_Token("end", "", len(text.rstrip()), len(text.rstrip())))
        return tokens

    def _number(self, start: int) -> _Token:
        """number: digit+ ["." digit+] ["e" ["+" | "-"] digit+] [unit]."""
        text = self._text
        end = self._digits(start)
        if end == start and self._digits(start + 1) == start + 1:
            raise self._problem("formula-character", start, start + 1, character=".")
        if end == start:
            raise self._problem(
                "formula-number-leading-point", start, start + 1, fix=f"0{text[start : self._digits(start + 1)]}"
            )
        if text.startswith(".", end):
            fraction = self._digits(end + 1)
            if fraction == end + 1:
                raise self._problem("formula-number-trailing-point", start, end + 1, fix=text[start:end])
            end = fraction
        if text.startswith("e", end):
            sign = end + 1 + (text[end + 1 : end + 2] in ("+", "-"))
            exponent = self._digits(sign)
            if exponent > sign:
                end = exponent
        if not is_author_number(text[start:end]):
            raise self._problem("formula-number-too-large", start, end, number=text[start:end][:20])
        self._refuse_marks_of_thousands(start, end)
        return self._with_unit(start, end)

    def _with_unit(self, start: int, end: int) -> _Token:
        text = self._text
        at = end
        while at < len(text) and text[at] == " ":
            at += 1
        for unit in self._units:
            stop = at + len(unit)
            if text.startswith(unit, at) and (stop == len(text) or not _continues_word(text[stop])):
                after = stop
                while text.startswith(" ", after):
                    after += 1
                if text.startswith("^", after):
                    raise self._problem("formula-unit-power", start, stop, text=text[start:stop])
                return _Token("number", text[start:end], start, end, unit, stop)
        if at < len(text) and (text[at] in _LETTERS or text[at] in _UPPER):
            word_end = at
            while word_end < len(text) and _continues_word(text[word_end]):
                word_end += 1
            word = text[at:word_end]
            if word == "k" and at == end:
                raise self._problem("formula-number-k", start, word_end, fix=f"{text[start:end]}000")
            if word not in KEYWORDS:
                hint = near_hint(word, self._units)
                raise self._problem(
                    "formula-number-then-word", at, word_end, number=text[start:end], word=word, hint=hint
                )
        return _Token("number", text[start:end], start, end, None, end)

    def _digits(self, start: int) -> int:
        end = start
        while end < len(self._text) and self._text[end] in _DIGITS:
            end += 1
        return end

    def _refuse_marks_of_thousands(self, start: int, end: int) -> None:
        text = self._text
        inside_call = self._open > 0
        follows = text[end : end + 1]
        if (follows in ("'", "_") or (follows == "," and not inside_call)) and text[end + 1 : end + 2] in _DIGITS:
            stop = self._digits(end + 1)
            if follows == "," and stop - end != len(",000"):
                fix = f"{text[start:end]}.{text[end + 1 : stop]}"
                raise self._problem("formula-number-comma", start, stop, fix=fix)
            raise self._problem("formula-number-thousands", start, stop, fix=text[start:end] + text[end + 1 : stop])

    def _fail_character(self, at: int) -> None:
        character = self._text[at]
        if character in _INSTEAD:
            raise self._problem("formula-character-instead", at, at + 1, character=character, fix=_INSTEAD[character])
        raise self._problem("formula-character", at, at + 1, character=character)

    # ----------------------------------------------------------------------------------------------------- grammar

    def formula(self) -> Node:
        """formula: expression end."""
        node = self._expression()
        token = self._peek()
        if token.kind != "end":
            raise self._unexpected(token)
        return node

    def _expression(self) -> Node:
        """expression: (conditional | condition) ["in" unit]; `in` ends a bracket, an argument or the formula."""
        self._depth += 1
        if self._depth > DEEPEST:
            token = self._peek()
            raise self._problem("formula-too-deep", token.start, token.end, most=DEEPEST)
        start = self._peek().start
        node = self._conditional() if self._is_word("if") else self._condition()
        if self._is_word("in"):
            node = self._in(node, start)
        self._depth -= 1
        return node

    def _conditional(self) -> Node:
        """conditional: "if" condition "then" branch "else" branch; a branch takes all that follows."""
        start = self._next().start
        condition = self._condition()
        self._want_word("then")
        then = self._branch()
        self._want_word("else")
        otherwise = self._branch()
        return If(condition, then, otherwise, self._since(start))

    def _branch(self) -> Node:
        """branch: conditional | comparison."""
        self._depth += 1
        if self._depth > DEEPEST:
            token = self._peek()
            raise self._problem("formula-too-deep", token.start, token.end, most=DEEPEST)
        node = self._conditional() if self._is_word("if") else self._comparison()
        self._depth -= 1
        return node

    def _condition(self) -> Node:
        """condition: conjunction ("or" conjunction)*."""
        return self._logic("or", lambda: self._logic("and", self._comparison))

    def _logic(self, word: str, part: Callable[[], Node]) -> Node:
        """conjunction: comparison ("and" comparison)*."""
        start = self._peek().start
        node = part()
        parts = 1
        while self._is_word(word):
            parts = self._one_more(parts, self._next())
            node = Logic(word, node, part(), self._since(start))
        return node

    def _comparison(self) -> Node:
        """comparison: sum [("<" | "<=" | ">" | ">=" | "=" | "!=") sum]; comparisons do not chain."""
        start = self._peek().start
        left = self._sum()
        token = self._peek()
        if token.text not in _COMPARISONS or token.kind != "mark":
            return left
        self._next()
        right = self._sum()
        again = self._peek()
        if again.kind == "mark" and again.text in _COMPARISONS:
            raise self._problem("formula-chain", again.start, again.end, mark=again.text)
        return Compare(token.text, left, right, self._place(token.start, token.end), self._since(start))

    def _sum(self) -> Node:
        """sum: product (("+" | "-") product)*."""
        start = self._peek().start
        node = self._product()
        terms = 1
        while self._peek().kind == "mark" and self._peek().text in ("+", "-"):
            token = self._next()
            terms = self._one_more(terms, token)
            right = self._product()
            node = Binary(token.text, node, right, self._place(token.start, token.end), self._since(start))
        return node

    def _product(self) -> Node:
        """product: signed (("*" | "/") signed)*."""
        start = self._peek().start
        node = self._signed()
        factors = 1
        while self._peek().kind == "mark" and self._peek().text in ("*", "/"):
            token = self._next()
            factors = self._one_more(factors, token)
            right = self._signed()
            node = Binary(token.text, node, right, self._place(token.start, token.end), self._since(start))
        return node

    def _signed(self) -> Node:
        """signed: "-" signed | power; so `-x^2` is -(x^2)."""
        token = self._peek()
        if token.kind == "mark" and token.text == "-":
            self._next()
            self._deeper(token)
            node = Negate(self._signed(), self._since(token.start))
            self._depth -= 1
            return node
        return self._power()

    def _power(self) -> Node:
        """power: atom ["^" signed]; binds from the right."""
        start = self._peek().start
        base = self._atom()
        token = self._peek()
        if token.kind == "mark" and token.text == "^":
            self._next()
            self._deeper(token)
            exponent = self._signed()
            self._depth -= 1
            return Binary("^", base, exponent, self._place(token.start, token.end), self._since(start))
        return base

    def _atom(self) -> Node:
        """atom: number | name | word | sum | look-up | call | "(" expression ")"."""
        token = self._next()
        if token.kind == "number":
            return Number(token.text, token.unit, self._place(token.start, token.unit_end))
        if token.kind == "mark" and token.text == "(":
            node = self._expression()
            self._want_mark(")", token)
            return node
        if token.kind == "text":
            return Word(token.text, self._place(token.start, token.end))
        if token.kind == "word" and token.text not in KEYWORDS:
            if token.text in ("sum", "table"):
                return self._sum_of(token) if token.text == "sum" else self._lookup(token)
            if self._peek().kind == "mark" and self._peek().text == "(":
                return self._call(token)
            if not set(token.text) <= _LETTERS | _DIGITS | {"_"} or token.text[0] not in _LETTERS:
                raise self._problem("formula-bad-name", token.start, token.end, name=token.text)
            if token.text in FUNCTIONS:
                raise self._problem("formula-function-without-brackets", token.start, token.end, name=token.text)
            return Name(token.text, self._place(token.start, token.end))
        raise self._unexpected(token)

    def _call(self, name: _Token) -> Node:
        """call: name "(" expression ("," expression)* ")"."""
        opening = self._next()
        arguments = [self._expression()]
        while self._peek().kind == "mark" and self._peek().text == ",":
            self._next()
            arguments.append(self._expression())
        self._want_mark(")", opening)
        return Call(name.text, tuple(arguments), self._place(name.start, name.end), self._since(name.start))

    def _sum_of(self, name: _Token) -> Node:
        """sum: "sum" "(" expression ["where" condition] ")"."""
        opening = self._open_bracket(name)
        of = self._expression()
        where = None
        if self._is_word("where"):
            self._next()
            where = self._condition()
        self._want_mark(")", opening)
        return Sum(of, where, self._place(name.start, name.end), self._since(name.start))

    def _lookup(self, name: _Token) -> Node:
        """look-up: "table" "(" expression "," name ")"."""
        opening = self._open_bracket(name)
        of = self._expression()
        self._want_mark(",", opening)
        table = self._next()
        if table.kind != "word" or table.text in KEYWORDS:
            raise self._unexpected(table)
        self._want_mark(")", opening)
        return Lookup(of, table.text, self._place(table.start, table.end), self._since(name.start))

    def _open_bracket(self, name: _Token) -> _Token:
        token = self._peek()
        if token.kind != "mark" or token.text != "(":
            raise self._problem("formula-function-without-brackets", name.start, name.end, name=name.text)
        return self._next()

    def _in(self, node: Node, start: int) -> Node:
        """in: "in" unit, then ")" or "," or "where" or the end."""
        keyword = self._next()
        at = keyword.end
        while self._text.startswith(" ", at):
            at += 1
        for unit in self._units:
            stop = at + len(unit)
            if self._text.startswith(unit, at) and (stop == len(self._text) or not _continues_word(self._text[stop])):
                while self._peek().kind != "end" and self._peek().start < stop:
                    self._next()
                follows = self._peek()
                if follows.kind != "end" and follows.text not in (")", ",", "where"):
                    raise self._problem("formula-in-needs-brackets", keyword.start, stop, unit=unit)
                return In(node, unit, self._place(at, stop), self._place(start, stop))
        end = at
        while end < len(self._text) and self._text[end] not in " ),":
            end += 1
        raise self._problem("unknown-unit", at, max(end, at + 1), unit=self._text[at:end] or "?")

    # ----------------------------------------------------------------------------------------------------- helpers

    def _peek(self) -> _Token:
        return self._tokens[self._at]

    def _next(self) -> _Token:
        token = self._tokens[self._at]
        self._at = min(self._at + 1, len(self._tokens) - 1)
        return token

    def _since(self, start: int) -> Span:
        last = self._tokens[self._at - 1]
        return self._place(start, last.unit_end or last.end)

    def _deeper(self, token: _Token) -> None:
        self._depth += 1
        if self._depth > DEEPEST:
            raise self._problem("formula-too-deep", token.start, token.end, most=DEEPEST)

    def _one_more(self, length: int, token: _Token) -> int:
        # a chain is a tree as deep as it is long
        if length >= DEEPEST:
            raise self._problem("formula-too-long", token.start, token.end, most=DEEPEST)
        return length + 1

    def _is_word(self, word: str) -> bool:
        return self._peek().kind == "word" and self._peek().text == word

    def _want_word(self, word: str) -> None:
        token = self._peek()
        if not self._is_word(word):
            raise self._problem(
                "formula-wants", token.start, max(token.end, token.start + 1), wanted=word, got=_named(token)
            )
        self._next()

    def _want_mark(self, mark: str, opening: _Token) -> None:
        token = self._peek()
        if token.kind != "mark" or token.text != mark:
            if token.kind == "end":
                raise self._problem("formula-bracket-open", opening.start, opening.end)
            raise self._unexpected(token)
        self._next()

    def _unexpected(self, token: _Token) -> ProblemError:
        if token.kind == "end":
            return self._problem("formula-ends-early", max(0, token.start - 1), max(1, token.end))
        if token.kind in ("number", "word", "text") and token.text not in KEYWORDS:
            return self._problem("formula-two-values", token.start, token.end, got=token.text)
        return self._problem("formula-unexpected", token.start, token.end, got=_named(token))

    def _problem(self, code: str, start: int, end: int, hint: str | None = None, **values: object) -> ProblemError:
        return ProblemError(Problem(code, values, self._path, self._place(start, max(end, start + 1)), hint=hint))


def _continues_word(character: str) -> bool:
    return character in _LETTERS or character in _UPPER or character in _DIGITS or character == "_"


def _named(token: _Token) -> str:
    return "the end" if token.kind == "end" else token.text
