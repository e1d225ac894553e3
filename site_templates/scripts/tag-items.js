/**
 * Tags in the browser, first part: tokens become items, numbers that mean nothing to gear are found, and each item gets
 * its part of the product. The same as hangtag/tag_reader/items.py, figures.py and parts.py, over the same data; names
 * are those of the Python rooms, and a test holds the two together. Needs numbers.js and words.js before it.
 * Must not know what a word means.
 */
window.hangtag = window.hangtag || {};
hangtag.tag = {};
(function () {
  "use strict";
  const { tag } = hangtag;

  // ------------------------------------------------------------------------------------------------ items.py

  const [GLUED, SPACED, HYPHEN, COLON] = ["", " ", "-", ":"];
  const BREAKS = new Set(",;|•");

  /**
   * @typedef {{text: string[], count: number, word: string[], kind: string[], start: number[], end: number[],
   *   gap: string[], segment: number[], sentence: number[], clause: number[], values: string[][]}} Items
   * @param {string} text @param {{same: Map<string, string>, abbreviated: Set<string>, unitWords: Set<string>}} spelling
   * @returns {Items}
   */
  function items(text, spelling) {
    const characters = Array.from(text);
    const all = hangtag.words.tokens(text);
    const rows = { word: [], kind: [], start: [], end: [], gap: [], segment: [], sentence: [], clause: [], values: [] };
    let [segment, sentence, clause] = [0, 0, 0];
    const push = (word, kind, start, end, gap, values) => {
      const row = { word, kind, start, end, gap, segment, sentence, clause, values };
      for (const [name, value] of Object.entries(row)) rows[name].push(value);
    };
    let gap = SPACED;
    let at = 0;
    while (at < all.length) {
      const { kind, folded, start, glued, values } = all[at];
      let { end } = all[at];
      if (!glued && gap === GLUED) gap = SPACED;
      if (at && !glued && hasBreak(characters, all[at - 1].end, start)) {
        segment += 1;
        sentence += 1;
        clause += 1;
      }
      if (kind === "number") push(folded, kind, start, end, gap, values);
      else if (kind === "word") {
        const word = spelling.same.get(folded) ?? folded;
        let exactGap = gap;
        for (const [piece, first, last] of pieces(word, all, at, spelling)) {
          push(piece, kind, first, last, exactGap, values);
          exactGap = GLUED;
        }
      } else if (BREAKS.has(folded) || folded === ".") {
        if (folded !== "." || !belongs(rows, all, at, spelling, characters)) {
          segment += 1;
          if (folded !== ",") clause += 1;
          if (folded !== "," && folded !== ";") sentence += 1;
        }
        gap = SPACED;
        at += 1;
        continue;
      } else if (folded === "=" || (folded === ":" && !isTime(all, at))) {
        gap = COLON;
        at += 1;
        continue;
      } else if (folded === "-" && isJoined(all, at)) {
        gap = HYPHEN;
        at += 1;
        continue;
      } else {
        const next = all[at + 1];
        if ((folded === "<" || folded === ">") && next && next.folded === "=" && next.glued) {
          at += 1;
          end = next.end;
        }
        push(folded, kind, start, end, gap, values);
      }
      gap = GLUED;
      at += 1;
    }
    return { text: characters, count: rows.word.length, ...rows };
  }

  function hasBreak(/** @type {string[]} */ text, /** @type {number} */ start, /** @type {number} */ end) {
    return text.slice(start, end).some((character) => "\n\r\u2028\u2029".includes(character));
  }

  function belongs(rows, all, at, spelling, text) {
    if (!all[at].glued || !rows.word.length) return false;
    const before = all[at - 1];
    if (!spelling.abbreviated.has(before.folded) && !spelling.abbreviated.has(rows.word.at(-1))) return false;
    const follower = all[at + 1];
    if (!follower) return true;
    if (follower.kind === "mark") return !".•|".includes(follower.folded);
    const shouted = !text.slice(before.start, before.end).some((character) => character >= "a" && character <= "z");
    return shouted || !isCapital(text[follower.start]);
  }

  const isCapital = (/** @type {string} */ character) => character >= "A" && character <= "Z";
  const isBetween = (all, at) => at > 0 && at + 1 < all.length && all[at].glued && all[at + 1].glued;
  const isTime = (all, at) => isBetween(all, at) && all[at - 1].kind === "number" && all[at + 1].kind === "number";
  const isJoined = (all, at) => isBetween(all, at) && all[at - 1].kind !== "mark" && all[at + 1].kind === "word";

  /** @returns {Array<[string, number, number]>} */
  function pieces(word, all, at, spelling) {
    const { start, end, glued } = all[at];
    if (word.includes(" ")) return word.split(" ").map((piece) => [piece, start, end]);
    if (!glued || word.length < 2 || spelling.unitWords.has(word) || all[at - 1].kind !== "number") return [[word, start, end]];
    if (word[0] === "k" && spelling.unitWords.has(word.slice(1))) {
      return [["k", start, start + 1], [word.slice(1), start + 1, end]];
    }
    const next = all[at + 1];
    if (next && next.glued && next.kind === "number" && word.at(-1) === "x" && spelling.unitWords.has(word.slice(0, -1))) {
      return [[word.slice(0, -1), start, end - 1], ["x", end - 1, end]];
    }
    return [[word, start, end]];
  }

  // ------------------------------------------------------------------------------------------------ figures.py

  const JOINS = new Set("/-.:");
  const isDigits = (/** @type {string} */ word) => /^[0-9]+$/.test(word);
  const isYear = (/** @type {string} */ word) => word.length === 4 && isDigits(word) && Number(word) >= 1900 && Number(word) <= 2099;

  /** @param {Items} its @param {Object<string, Set<string>>} figures @returns {Set<number>} */
  function blocked(its, figures) {
    const found = new Set();
    let at = 0;
    while (at < its.count) {
      if (its.kind[at] !== "number") {
        at += 1;
        continue;
      }
      const end = chain(its, at);
      if ((end > at + 1 && isDate(its, at, end)) || isBlocked(its, at, figures)) {
        for (let each = at; each < end; each += 1) found.add(each);
      }
      at = end;
    }
    return found;
  }

  function chain(its, at) {
    let end = at + 1;
    while (
      end + 1 < its.count && its.gap[end] === GLUED && its.gap[end + 1] === GLUED &&
      JOINS.has(its.word[end]) && its.kind[end + 1] === "number"
    ) end += 2;
    return end;
  }

  const isDate = (its, at, end) =>
    its.word[at + 1] === ":" || (end - at === 5 && (isYear(its.word[at]) || isYear(its.word[end - 1])));

  function isBlocked(its, at, figures) {
    const word = its.word[at];
    const group = word.length === 3 && at > 0 && its.kind[at - 1] === "number" && its.word[at - 1].length <= 3;
    if (word.length > 1 && word[0] === "0" && isDigits(word) && !group) return true;
    const before = at && its.segment[at - 1] === its.segment[at] ? its.word[at - 1] : "";
    if (at > 1 && Array.from(before).length === 1 && its.gap[at] === GLUED && figures.numbered.has(its.word[at - 2])) return true;
    if (figures.money.has(before) || figures.numbered.has(before) || before === "#") return true;
    const after = at + 1 < its.count && its.segment[at + 1] === its.segment[at] ? its.word[at + 1] : "";
    if (figures.money.has(after) && !(after === "$" && its.gap[at + 1] !== GLUED)) return true;
    if (figures.months.has(before) || figures.months.has(after)) {
      return isYear(word) || (isDigits(word) && word.length < 3 && Number(word) <= 31);
    }
    return ["since", "©", "in"].includes(before) && isYear(word);
  }

  // ------------------------------------------------------------------------------------------------ parts.py

  /**
   * @param {Items} its @param {{always: Set<string>, withColon: Set<string>, measures: Set<string>}} words
   * @returns {{names: Array<string | null>, regions: number[]}}
   */
  function partsOf(its, words) {
    const [names, regions] = [[], []];
    let current = null;
    let lasting = false;
    let [region, start] = [0, 0];
    while (start < its.count) {
      let end = start + 1;
      while (end < its.count && its.segment[end] === its.segment[start] && !turns(its, end, words)) end += 1;
      if (start) {
        const ended = its.sentence[start] !== its.sentence[start - 1];
        if (ended || (its.clause[start] !== its.clause[start - 1] && !lasting)) current = null;
      }
      const [at, colon] = beginning(its, start, end, words);
      let name;
      if (at >= 0) {
        [current, lasting] = [its.word[at], colon];
        region += 1;
        name = current;
      } else name = onlyOne(its, start, end, words) ?? current;
      for (; start < end; start += 1) {
        names.push(name);
        regions.push(region);
      }
    }
    return { names, regions };
  }

  /** @returns {[number, boolean]} */
  function beginning(its, start, end, words) {
    for (let at = start; at < Math.min(end, start + 3); at += 1) {
      if (its.kind[at] === "number") break;
      const follows = at + 1 < end;
      const colon = follows && (its.gap[at + 1] === COLON || its.word[at + 1] === "-");
      if (follows && words.measures.has(its.word[at + 1])) break;
      const stands = colon || (follows && (at === start || its.kind[at + 1] === "number")) || (at === start && !follows);
      if (words.always.has(its.word[at]) && stands) return [at, colon];
      if (colon && its.gap[at + 1] === COLON && words.withColon.has(its.word[at])) return [at, true];
      if (colon) break;
    }
    return [-1, false];
  }

  function turns(its, at, words) {
    const turn = ["/", "|", "+", "and"].includes(its.word[at - 1]) && words.always.has(its.word[at]) && at + 1 < its.count;
    return turn && its.segment[at + 1] === its.segment[at] && (its.kind[at + 1] === "number" || its.gap[at + 1] === COLON);
  }

  function onlyOne(its, start, end, words) {
    let found = null;
    for (let at = start; at < end; at += 1) {
      const word = its.word[at];
      if (words.always.has(word) && !(at + 1 < end && words.measures.has(its.word[at + 1]))) {
        if (found !== null && found !== word) return null;
        found = word;
      }
    }
    return found;
  }

  Object.assign(tag, { GLUED, SPACED, HYPHEN, COLON, items, blocked, partsOf, isCapital, isDigits });
})();
