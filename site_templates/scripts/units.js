// What a reader typed, with its unit: the same rules as hangtag/typed.py, proved by tests/compliance/fields.
// Must not know calculators. The table of units is generated and handed to `define`.
(function () {
  'use strict';
  const hangtag = (window.hangtag = window.hangtag || {});
  const { Refused, numbers } = hangtag;

  /**
   * Prints, typed, says; exact factor n/d and its float f; float and exact offset o, on; what it measures; its system.
   * @typedef {{p: string, t: string[], s: string, n: string, d: string, f: number, o?: number, on?: string, k: string,
   *   a?: string, y?: "si" | "us"}} Unit
   */

  /** @type {Map<string, Unit>} */
  const table = new Map();

  /** Add units; a factor of two small whole numbers comes without its float. @param {Object<string, Unit>} units */
  function define(units) {
    for (const [id, unit] of Object.entries(units)) table.set(id, { f: Number(unit.n) / Number(unit.d), ...unit });
  }

  /** Add units from lines: see `_units` in hangtag/browser/scripts.py. @param {string} text */
  function read(text) {
    let k = '';
    for (const line of text.split('\n')) {
      const [id, p, s, factor, y, a, f, o, on, ...t] = line.split('\t');
      if (s === undefined) {
        k = id;
        continue;
      }
      const [n, d = '1'] = factor.split('/');
      const prints = p || id.replace('^2', '²').replace('^3', '³');
      const unit = { p: prints, t, s, n, d, k, y, a: a || (id === 'plain' ? '' : id.replace('^', '')) };
      define({ [id]: { ...unit, ...(f && { f: Number(f) }), ...(o && { o: Number(o), on }) } });
    }
  }

  /** A unit of the table. @param {string} id */
  const get = (id) => /** @type {Unit} */ (table.get(id));

  const ALIKE = '⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉−‐‑‒–⁻·⋅∙×⁄∕µμº˚’′″“”';
  const PLAIN = '01234567890123456789------****//uu°°\'\'"""';

  /** Spaces left away, look-alikes made one, case kept. @param {string} text */
  const spellingKey = (text) =>
    Array.from(text.replace(/[\^ \t\n\r\f\v\u00a0\u2002-\u200a\u202f\u205f\u3000]/g, ''), (character) => {
      const at = ALIKE.indexOf(character);
      return at < 0 ? character : PLAIN[at];
    }).join('');

  /** @param {string} text */
  const foldedKey = (text) => spellingKey(text).replace(/[A-Z]/g, (letter) => letter.toLowerCase());

  /** @param {string} text @param {string[]} ids @returns {string | null} */
  function among(text, ids) {
    const written = [
      (/** @type {string} */ id) => id === text,
      (/** @type {string} */ id) => get(id).p === text,
      (/** @type {string} */ id) => get(id).t.includes(text),
    ];
    for (const fits of written) {
      const hit = ids.find(fits);
      if (hit !== undefined) return hit;
    }
    for (const key of [spellingKey, foldedKey]) {
      const wanted = key(text);
      const hits = ids.filter((id) => [id, get(id).p, ...get(id).t, get(id).s].some((known) => key(known) === wanted));
      if (hits.length === 1) return hits[0];
    }
    return null;
  }

  /** The id of a typed unit, or null: the field's own units first, then all. @param {string} text @param {string[]} ownIds */
  const find = (text, ownIds) => among(text, ownIds) ?? among(text, Array.from(table.keys()));

  /** One sum where there is an offset, one product. @param {number} number @param {string} id */
  function toSi(number, id) {
    const { f, o } = get(id);
    return o === undefined ? number * f : (number + o) * f;
  }

  /** @param {number} value @param {string} id */
  function fromSi(value, id) {
    const { f, o } = get(id);
    return o === undefined ? value / f : value / f - o;
  }

  /** `10K` on a water head is ten thousand; in a field of temperatures it must never be. @param {Unit} field */
  function readsKelvin(field) {
    if (field.o !== undefined) return true;
    for (const [id, unit] of table) {
      if (id === 'K' || unit.p === 'K' || unit.t.includes('K')) return unit.k === field.k;
    }
    return false;
  }

  /**
   * A typed quantity of a field; without a unit it is in the first of `ownIds`. Throws hangtag.Refused.
   * @param {string} text @param {string[]} ownIds @param {string} [language]
   * @returns {{number: string, unit: string, si: number, doubted: boolean}}
   */
  function readQuantity(text, ownIds, language = 'en') {
    const field = get(ownIds[0]);
    const typed = numbers.readTyped(text, language, readsKelvin(field));
    const unit = typed.unit ? find(typed.unit, ownIds) : ownIds[0];
    const known = ownIds.map((id) => get(id).p).join(', ');
    if (unit === null) throw new Refused('unit-unknown', { unit: typed.unit, known });
    if (get(unit).k !== field.k) {
      throw new Refused('unit-wrong-dimension', { unit: typed.unit, found: get(unit).k, wanted: field.k, known });
    }
    return { number: typed.number, unit, si: toSi(Number(typed.number), unit), doubted: typed.doubted };
  }

  /** @typedef {[bigint, bigint]} Fraction above and below the line; below is positive */

  /** `-12.5`, `5463/20` as a fraction. @param {string} text @returns {Fraction} */
  function fraction(text) {
    const [above, below = '1'] = text.split('/');
    const [whole, decimals = ''] = above.split('.');
    return [BigInt(whole + decimals), BigInt(below) * 10n ** BigInt(decimals.length)];
  }

  /** A typed number in another unit, by one exact fraction. @param {string} number @param {string} fromId @param {string} toId */
  function convertText(number, fromId, toId) {
    const [from, to] = [get(fromId), get(toId)];
    let [above, below] = fraction(number);
    const add = (/** @type {string | undefined} */ offset, /** @type {bigint} */ sign) => {
      const [a, b] = fraction(offset || '0');
      above = above * b + sign * a * below;
      below *= b;
    };
    add(from.on, 1n);
    above *= BigInt(from.n) * BigInt(to.d);
    below *= BigInt(from.d) * BigInt(to.n);
    add(to.on, -1n);
    return numbers.showExact(above, below);
  }

  hangtag.units = { define, read, get, find, readQuantity, toSi, fromSi, convertText };
})();
