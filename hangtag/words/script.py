"""The browser's half of the normaliser: the same table and the same tokenizer as a classic script.

Must not differ from `tokens.py` in anything: tests/compliance/words and a property test hold the two together.
"""

from __future__ import annotations

import json

from hangtag.words.characters import DROPPED, LETTERS, RAISED, READ_AS, SHIFTED

_LEAST_RUN = 4
_SCRIPT = """\
// The normaliser of words, written by hangtag/words/ from its table of characters.
// Needs scripts/numbers.js before it.
(function () {
  'use strict';
  const hangtag = (window.hangtag = window.hangtag || {});
  const READ_AS = __READ_AS__;
  const SHIFTED = __SHIFTED__;
  const DROPPED = __DROPPED__;
  const LETTERS = __LETTERS__;

  const table = new Map();
  for (const [first, last, shift] of SHIFTED) {
    for (let code = first; code <= last; code += 1) {
      table.set(String.fromCodePoint(code), String.fromCodePoint(code + shift));
    }
  }
  for (const [first, last] of DROPPED) {
    for (let code = first; code <= last; code += 1) table.set(String.fromCodePoint(code), '');
  }
  for (const [readAs, runs] of READ_AS) {
    // `a-c` stands for a, b and c
    const characters = runs.replace(/([^])-([^])/gu, (run, first, last) => {
      let all = '';
      for (let code = first.codePointAt(0); code <= last.codePointAt(0); code += 1) all += String.fromCodePoint(code);
      return all;
    });
    for (const character of characters) table.set(character, readAs);
  }
  const RAISED = new Set('__RAISED__');

  /** @param {string} character */
  const isDigit = (character) => character >= '0' && character <= '9' && character.length === 1;

  /** @param {string} character */
  function isLetter(character) {
    const code = /** @type {number} */ (character.codePointAt(0));
    if (code < 128) return character >= 'a' && character <= 'z';
    return LETTERS.some(([first, last]) => first <= code && code <= last);
  }

  /**
   * Every token of a text in order; `start` and `end` count code points.
   * @typedef {{kind: 'number' | 'word' | 'mark', folded: string, start: number, end: number, glued: boolean,
   *   values: string[]}} Token
   * @param {string} text @returns {Token[]}
   */
  function tokens(text) {
    /** @type {Array<{is: string, start: number, end: number, raised: boolean}>} */
    const all = [];
    let place = 0;
    for (const character of text) {
      const readAs = table.get(character) ?? character;
      if (!readAs && all.length && all[all.length - 1].end === place) all[all.length - 1].end = place + 1;
      for (const is of readAs) all.push({ is, start: place, end: place + 1, raised: RAISED.has(character) });
      place += 1;
    }
    /** @type {Token[]} */
    const found = [];

    const written = (/** @type {number} */ at, /** @type {number} */ end) =>
      all.slice(at, end).map((each) => each.is).join('');
    const digitAt = (/** @type {number} */ at, /** @type {boolean} */ raised) =>
      at < all.length && isDigit(all[at].is) && all[at].raised === raised;

    function take(/** @type {Token['kind']} */ kind, /** @type {number} */ at, /** @type {number} */ end) {
      const folded = written(at, end);
      const start = all[at].start;
      const glued = found.length > 0 && found[found.length - 1].end === start;
      const values = kind === 'number' ? hangtag.numbers.honest(folded) : [];
      found.push({ kind, folded, start, end: all[end - 1].end, glued, values });
      return end;
    }

    function leadsDecimals(/** @type {number} */ at) {
      if (!'.,'.includes(all[at].is) || !digitAt(at + 1, false)) return false;
      const before = at ? all[at - 1].is : ' ';
      return !(isDigit(before) || '.,'.includes(before) || isLetter(before));
    }

    function number(/** @type {number} */ at) {
      const raised = all[at].raised;
      /** @type {Array<[Token['kind'], number, number]>} */
      const pieces = [];
      let end = at;
      for (;;) {
        const start = end;
        while (digitAt(end, raised)) end += 1;
        if (end > start) pieces.push(['number', start, end]);
        if (raised || end >= all.length || !".,'".includes(all[end].is) || !digitAt(end + 1, false)) break;
        pieces.push(['mark', end, end + 1]);
        end += 1;
      }
      if (pieces.length > 1 && !hangtag.numbers.honest(written(at, end)).length) {
        for (const piece of pieces) take(...piece);
        return end;
      }
      return take('number', at, end);
    }

    let at = 0;
    while (at < all.length) {
      const { is } = all[at];
      if (is === ' ') at += 1;
      else if (isDigit(is) || leadsDecimals(at)) at = number(at);
      else if (isLetter(is)) {
        let end = at + 1;
        while (end < all.length && isLetter(all[end].is)) end += 1;
        at = take('word', at, end);
      } else at = take('mark', at, at + 1);
    }
    return found;
  }

  /** Folded tokens parted by single spaces. @param {string} text */
  const folded = (text) => tokens(text).map((token) => token.folded).join(' ');

  hangtag.words = { tokens, folded };
})();
"""


def to_javascript() -> str:
    """The whole of scripts/words.js: the same table and the same tokenizer. Needs scripts/numbers.js before it."""
    # What cannot be seen is escaped; letters stay as they are, which is shorter and readable.
    read_as = ", ".join(
        f"[{json.dumps(key, ensure_ascii=False)}, {json.dumps(_runs(characters), ensure_ascii=not key.isalnum())}]"
        for key, characters in READ_AS.items()
    )
    holes = {
        "__READ_AS__": f"[{read_as}]",
        "__SHIFTED__": json.dumps(SHIFTED),
        "__DROPPED__": json.dumps(DROPPED),
        "__LETTERS__": json.dumps(LETTERS),
        "__RAISED__": "".join(sorted(RAISED)),
    }
    script = _SCRIPT
    for hole, filled in holes.items():
        script = script.replace(hole, filled)
    return script


def _runs(characters: str) -> str:
    """The same characters, three and more that follow one another as `first-last`: half the bytes."""
    assert "-" not in characters  # noqa: S101  the table has one sign for all hyphens, as what they are read as
    runs: list[str] = []
    for character in characters:
        if runs and ord(character) == ord(runs[-1][-1]) + 1:
            runs[-1] += character
        else:
            runs.append(character)
    return "".join(run if len(run) < _LEAST_RUN else f"{run[0]}-{run[-1]}" for run in runs)
