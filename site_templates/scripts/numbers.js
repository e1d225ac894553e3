// Reading and printing numbers: the same rules as hangtag/numbers.py, proved by tests/compliance/numbers.
// What stands between <readings> and </readings> also goes into the finder's script, which needs no more.
// Must not know units: what follows a typed number is handed back as it stands.
(function () {
  'use strict';
  const hangtag = (window.hangtag = window.hangtag || {});

  /** Why a typed text was refused: `code` is a label of the strings table, `values` fill its holes. */
  class Refused extends Error {
    /** @param {string} code @param {Object<string, string>} values */
    constructor(code, values) {
      super(code);
      this.code = code;
      this.values = values;
    }
  }

  const DIGIT = /^[0-9]$/;
  const POINT = new Set('en es-mx es-us he hi ja ko ms sw th zh'.split(' '));
  const UNSEEN = /[\u200b-\u200f\u2060\u2066-\u2069\ufeff]/g;
  /** @type {Array<[RegExp, string]>} */
  const FOLDS = [
    [/[\t\n\r\f\v\u0085\u00a0\u2000-\u200a\u202f\u205f\u3000]/g, ' '],
    [/[\u2010-\u2015\u2212\ufe58\ufe63\uff0d]/g, '-'],
    [/[\u2018\u2019\u02bc\u00b4`\uff07]/g, "'"],
    [/\uff0b/g, '+'],
    [/\uff0c/g, ','],
    [/\uff0e/g, '.'],
  ];

  // <readings>
  /** @param {string} whole @param {string} decimals */
  const canonical = (whole, decimals) => {
    const tail = decimals.replace(/0+$/, '');
    return (whole.replace(/^0+/, '') || '0') + (tail && '.' + tail);
  };
  // </readings>

  /** Half-up on a string of digits. @returns {[boolean, string, number]} */
  function rounded(/** @type {boolean} */ negative, /** @type {string} */ digits, /** @type {number} */ exponent, /** @type {number} */ keep) {
    if (keep < digits.length) {
      let kept = digits.slice(0, Math.max(keep, 0));
      if (keep >= 0 && digits[keep] >= '5') {
        const grown = String(BigInt(kept || '0') + 1n);
        if (grown.length > kept.length) exponent += 1;
        kept = grown;
      }
      digits = kept;
    }
    digits = digits.replace(/0+$/, '');
    return digits ? [negative, digits, exponent] : [false, '0', 0];
  }

  /** Significant digits of a float, half-up from its shortest digits: [negative, digits, exponent of d.ddd]. */
  function halfUp(/** @type {number} */ value, /** @type {number} */ digits) {
    if (!Number.isFinite(value)) throw new RangeError(String(value));
    const [mantissa, power] = Math.abs(value).toExponential().split('e');
    return rounded(value < 0, value ? mantissa.replace('.', '') : '', Number(power), digits);
  }

  /** The float at 15 significant digits: what bands and conditions compare. @param {number} value */
  function snap(value) {
    const [negative, digits, exponent] = halfUp(value, 15);
    const snapped = Number((negative ? '-' : '') + digits + 'e' + (exponent - digits.length + 1));
    return Number.isFinite(snapped) ? snapped : value;
  }

  function plain(/** @type {[boolean, string, number]} */ [negative, digits, exponent]) {
    if (exponent < 0) {
      digits = '0'.repeat(-exponent) + digits;
      exponent = 0;
    }
    const decimals = digits.slice(exponent + 1);
    return (negative ? '-' : '') + digits.slice(0, exponent + 1).padEnd(exponent + 1, '0') + (decimals && '.' + decimals);
  }

  /** By the one display rule, with ASCII `-`: for addresses. `whole` keeps no decimals. */
  function showPlain(/** @type {number} */ value, digits = 4, places = 6, whole = false) {
    const [negative, text, exponent] = halfUp(value, 15);
    const units = exponent + 1;
    return plain(rounded(negative, text, exponent, whole ? units : Math.min(Math.max(digits, units), units + places)));
  }

  /** By the one display rule, with a true minus sign: for people. */
  const show = (/** @type {number} */ value, digits = 4, places = 6, whole = false) =>
    showPlain(value, digits, places, whole).replace('-', '\u2212');

  /** An exact fraction in decimals, half-up to at most 15 digits. @param {bigint} above @param {bigint} below positive */
  function showExact(above, below) {
    const size = above < 0n ? -above : above;
    const shift = 16 - String(size).length + String(below).length;
    const quotient = shift >= 0 ? (size * 10n ** BigInt(shift)) / below : size / (below * 10n ** BigInt(-shift));
    const text = String(quotient);
    return plain(rounded(above < 0n, quotient ? text : '', text.length - 1 - shift, 15));
  }

  /**
   * Round numbers between two ends, at most `most` steps of 1, 2, 2.5 or 5 times a power of ten apart; with `around` they
   * reach beyond both.
   */
  function rounds(/** @type {number} */ low, /** @type {number} */ high, /** @type {number} */ most, around = false) {
    const power = 10 ** Math.floor(Math.log10((high - low) / most));
    const step = power * /** @type {number} */ ([1, 2, 2.5, 5, 10].find((nice) => power * nice >= ((high - low) / most) * (1 - 1e-9)));
    const [down, up] = around ? [low / step + 1e-9, high / step - 1e-9] : [high / step + 1e-9, low / step - 1e-9];
    const [first, last] = [Math.floor(down), Math.ceil(up)].sort((a, b) => a - b);
    return Array.from({ length: last - first + 1 }, (_, i) => snap((first + i) * step));
  }

  // <readings>
  const marksOf = (/** @type {string} */ body) => body.replace(/[0-9]/g, '');
  const kinds = (/** @type {string} */ marks) => new Set(marks).size;

  /** Digits in groups of three as one number, or null. @param {string} body */
  function joined(body) {
    const [first, ...others] = body.split(/[., ']/);
    const good = first && first.length <= 3 && first[0] !== '0' && others.every((group) => group.length === 3);
    return good ? first + others.join('') : null;
  }

  /** [marks as thousands, last mark as the decimal one]; null where a reading is not honest. @param {string} body */
  function readings(body) {
    const marks = marksOf(body);
    if (!marks) return [canonical(body, ''), null];
    const last = marks[marks.length - 1];
    const at = body.lastIndexOf(last);
    const [head, tail] = [body.slice(0, at), body.slice(at + 1)];
    const thousands = kinds(marks) === 1 ? joined(body) : null;
    let decimal = null;
    if ((last === '.' || last === ',') && marks.indexOf(last) === marks.length - 1) {
      const whole = marks.length > 1 ? joined(head) : head;
      if (whole !== null && kinds(marks) <= 2 && (whole || tail)) decimal = canonical(whole, tail);
    }
    return [thousands, decimal];
  }

  /** Every honest reading of digits with marks, as author's numbers. @param {string} body @returns {string[]} */
  const honest = (body) => /** @type {string[]} */ (readings(body).filter((value) => value !== null));
  // </readings>

  function past(/** @type {string} */ text, /** @type {number} */ at, /** @type {string} */ among) {
    while (at < text.length && among.includes(text[at])) at += 1;
    return at;
  }

  /** Where digits and the marks between them end. @param {string} text @param {number} start */
  function endOfBody(text, start) {
    let at = past(text, start, '0123456789');
    let marks = '';
    while (at < text.length && ".,' ".includes(text[at])) {
      const mark = text[at];
      const after = past(text, at + 1, '0123456789');
      const count = after - at - 1;
      if (" '".includes(mark) && (at === start || count !== 3 || marks.split(mark).join(''))) break;
      if (count === 0 && at === start) break;
      marks += mark;
      at = after;
      if (count === 0) break;
    }
    return at;
  }

  /** Whether a page in this language writes 1.5 rather than 1,5. @param {string} language */
  function isPointLanguage(language) {
    const code = language.toLowerCase();
    return POINT.has(code) || POINT.has(code.split('-')[0]);
  }

  /**
   * A number as people type it, and what follows it. With `kelvin` a `K` after the digits is left as the unit.
   * @param {string} text @param {string} [language] @param {boolean} [kelvin]
   * @returns {{number: string, unit: string, doubted: boolean}}
   */
  function readTyped(text, language = 'en', kelvin = false) {
    if (text.length > 200 || Array.from(text).length > 100) throw new Refused('number-too-long', { most: '100' });
    const seen = text.replace(UNSEEN, '');
    let folded = seen.replace(/[\uff10-\uff19]/g, (digit) => String(digit.charCodeAt(0) - 0xff10));
    for (const [from, to] of FOLDS) folded = folded.replace(from, to);
    const unitEnd = folded.replace(/ +$/, '').length;
    const shown = { text: folded.slice(past(folded, 0, ' '), unitEnd) };
    if (!shown.text) throw new Refused('number-empty', {});

    const start = past(folded, 0, '+- ');
    const signs = folded.slice(0, start).replace(/ /g, '');
    if (signs.length > 1) throw new Refused('number-two-signs', shown);
    let end = endOfBody(folded, start);
    const body = folded.slice(start, end);
    if (!body) throw new Refused('number-none', shown);

    const marks = marksOf(body);
    const [thousands, decimal] = readings(body);
    const native = kinds(marks) === 1 && marks[0] === (isPointLanguage(language) ? '.' : ',');
    let number = thousands;
    let doubted = false;
    if (number === null || (native && decimal !== null)) {
      if (decimal === null) throw new Refused(/[.,]/.test(marks) ? 'number-two-points' : 'number-two', shown);
      doubted = number !== null || (kinds(marks) === 1 && DIGIT.test(body[body.length - 1]) && !native);
      number = decimal;
    }
    if (/^[kK]([^a-zA-Z0-9\u007f-\uffff]|$)/.test(folded.slice(end)) && DIGIT.test(folded[end - 1]) && !(kelvin && folded[end] === 'K')) {
      const [whole, decimals = ''] = number.split('.');
      const moved = decimals.padEnd(3, '0');
      number = canonical(whole + moved.slice(0, 3), moved.slice(3));
      doubted = doubted || folded[end] === 'K';
      end += 1;
    }
    const rest = folded.slice(end);
    if (/^[eE][+-]?[0-9]/.test(rest)) throw new Refused('number-exponent', shown);
    if (/^ *[.,]/.test(rest)) throw new Refused('number-two-points', shown);
    if (/^[-+/:~'" ]*[0-9\u00bc-\u00be\u2150-\u215e]| [0-9]/.test(rest)) throw new Refused('number-two', shown);
    if (number !== '0' && signs === '-') number = '-' + number;
    return { number, unit: seen.slice(past(folded, end, ' '), unitEnd), doubted };
  }

  hangtag.Refused = Refused;
  hangtag.numbers = { halfUp, snap, show, showPlain, showExact, rounds, honest, isPointLanguage, readTyped };
})();
