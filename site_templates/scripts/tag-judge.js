/**
 * Tags in the browser: which of all matches are believed, and of which kind of gear a tag is. The same as
 * hangtag/tag_reader/judge.py and kinds.py. Must not explain anything.
 */
(function () {
  "use strict";
  const { tag } = hangtag;
  const [NEAR, KIND, PART] = [4, 2, 1];

  /** Whether two sets share nothing. @param {Set<any>} one @param {Set<any>} other */
  const isDisjoint = (one, other) => {
    const [few, many] = one.size < other.size ? [one, other] : [other, one];
    for (const each of few) if (many.has(each)) return false;
    return true;
  };

  /** Whether one list of numbers comes after another of its length. @param {number[]} one @param {number[]} other */
  function isMore(one, other) {
    const at = one.findIndex((each, index) => each !== other[index]);
    return at >= 0 && one[at] > other[at];
  }

  // ------------------------------------------------------------------------------------------------ resolving

  function resolve(match, rule, units) {
    const found = [];
    let fits = true;
    const shared = sharedUnit(match, rule);
    for (const [which, slot] of rule.slots.entries()) {
      for (const amount of match.quantities[which].amounts) {
        const value = valueOf(slot, amount, shared, units);
        if (value === null) return null;
        fits = fits && value.fits;
        found.push(value);
      }
    }
    return { values: found, fits };
  }

  function sharedUnit(match, rule) {
    const shared = new Map();
    if (rule.slots.length === 1) return shared;
    rule.slots.forEach(({ measure }, which) => {
      const { spelling } = match.quantities[which];
      const unit = spelling ? measure.units.get(spelling) : undefined;
      if (unit !== undefined && !shared.has(measure.dimension)) shared.set(measure.dimension, unit);
    });
    return shared;
  }

  function valueOf(slot, amount, shared, units) {
    const { measure } = slot;
    let possible;
    let why = "number";
    if (amount.spelling) {
      const unit = measure.units.get(amount.spelling);
      if (unit === undefined) return null;
      possible = [unit];
    } else {
      const lent = shared.get(measure.dimension);
      possible = lent ? [lent] : slot.isRole ? measure.others : [measure.unit];
      why = possible.length === 1 ? "number" : "unit";
    }
    const good = [];
    for (const unit of possible) {
      amount.values.forEach((value, index) => {
        if (isPlausible(units.toSi(value, unit), measure)) good.push([value, amount.halves[index], unit]);
      });
    }
    if (!good.length) {
      return { slot, amount, value: amount.values[0], half: amount.halves[0], unit: possible[0], fits: false, others: [] };
    }
    const [value, half, unit] = good[0];
    return { slot, amount, value, half, unit, fits: true, others: good.slice(1).map(([one, , its]) => [one, its, why]) };
  }

  const isPlausible = (si, { low, high }) => low - Math.abs(low) * 1e-9 <= si && si <= high + Math.abs(high) * 1e-9;

  // ------------------------------------------------------------------------------------------------ scoring

  function candidates(found, items, court, likely, parts) {
    const segments = wordsBy(items, items.segment);
    const byPart = wordsBy(items, parts);
    const its = products(items);
    const kept = [];
    for (const match of found) {
      const rule = court.rules[match.pattern];
      const resolved = resolve(match, rule, court.units);
      if (resolved === null) continue;
      const { values, fits } = resolved;
      if ((!fits && !isKeptOutside(rule, values)) || (rule.tight && !isTight(match, items))) continue;
      let reasons = 0;
      if (rule.near.size) {
        if (!isDisjoint(rule.near, segments.get(items.segment[match.first]))) reasons += NEAR;
        const part = parts[match.first];
        if ((reasons || !isBorrowed(values)) && part) reasons += isDisjoint(rule.near, byPart.get(part)) ? 0 : PART;
      }
      if (likely.length && likely.every((kind) => rule.kinds.has(kind))) reasons += KIND;
      if (rule.words === 0 && isSomethingElse(match, rule, items, court, reasons, its)) continue;
      kept.push({ rule, first: match.first, end: match.end, values, fits, score: reasons, reasons, rivals: [] });
    }
    return kept;
  }

  const isBorrowed = (values) => values.filter((value) => value.slot.measure.borrowed.has(value.amount.spelling)).length;
  function isTight({ first, end }, items) {
    for (let at = first + 1; at < end; at += 1) {
      const letter = Array.from(items.word[at]).length === 1;
      if (items.gap[at] === tag.SPACED && letter && items.kind[at - 1] === "number") return false;
    }
    return true;
  }

  const isKeptOutside = (rule, values) => rule.names && !values.some((value) => value.slot.isRole && !value.amount.spelling);

  function wordsBy(items, stretch) {
    const words = new Map();
    stretch.forEach((which, at) => {
      if (!words.has(which)) words.set(which, new Set());
      words.get(which).add(items.word[at]);
    });
    return words;
  }

  function isSomethingElse(match, rule, items, court, reasons, its) {
    const { quantities } = match;
    if (!reasons && rule.slots.some(({ measure }, which) => measure.borrowed.has(quantities[which].spelling))) return true;
    if (quantities.every((quantity) => !quantity.spelling)) {
      const thousands = quantities.every((quantity) => quantity.thousand);
      const least = !thousands && !rule.marks ? NEAR : rule.slots.length === 1 ? KIND : 0;
      if (reasons < least || rule.slots.some((slot) => court.units.isShifted(slot.measure.unit))) return true;
    }
    if (rule.lengths && quantities.some(({ amounts }) => amounts.some((amount) => its.has(amount.number)))) return true;
    const segment = items.segment[match.first];
    const tells = (at) => court.elsewhere.has(items.word[at]) || (rule.lengths && court.lengths.has(items.word[at]));
    for (let at = match.first - 1; at >= 0 && at >= match.first - 4; at -= 1) {
      if (items.segment[at] !== segment || items.kind[at] === "number") break;
      if (tells(at)) return true;
    }
    for (let at = match.end; at < items.count && at < match.end + 2 && items.segment[at] === segment; at += 1) {
      if (tells(at)) return true;
      if (items.kind[at] === "number") break;
    }
    return false;
  }

  function products(items) {
    const found = new Set();
    for (let at = 1; at < items.count - 1; at += 1) {
      if (!["x", "by", "*"].includes(items.word[at]) || items.kind[at + 1] !== "number") continue;
      const before = items.kind[at - 1] === "number" ? at - 1 : at - 2;
      if (before >= 0 && items.kind[before] === "number" && items.segment[before] === items.segment[at + 1]) {
        found.add(before);
        found.add(at + 1);
      }
    }
    return found;
  }

  // ------------------------------------------------------------------------------------------------ choosing

  function choose(kept, count) {
    const ending = new Map();
    for (const candidate of bestOfEachStretch(kept)) {
      if (!ending.has(candidate.end)) ending.set(candidate.end, []);
      ending.get(candidate.end).push(candidate);
    }
    const best = [[0, 0, 0, 0]];
    const chosen = [null];
    for (let end = 1; end <= count; end += 1) {
      let [top, pick] = [best[end - 1], null];
      for (const candidate of ending.get(end) ?? []) {
        const before = best[candidate.first];
        const total = [
          before[0] + end - candidate.first,
          before[1] - (candidate.fits ? 0 : 1),
          before[2] - 1,
          before[3] + candidate.score,
        ];
        if (isMore(total, top)) [top, pick] = [total, candidate];
      }
      best.push(top);
      chosen.push(pick);
    }
    const found = [];
    for (let at = count; at > 0; ) {
      const candidate = chosen[at];
      if (candidate === null) at -= 1;
      else {
        found.push(candidate);
        at = candidate.first;
      }
    }
    return found.reverse();
  }

  function bestOfEachStretch(kept) {
    const groups = new Map();
    for (const candidate of kept) {
      const key = candidate.first + " " + candidate.end;
      if (!groups.has(key)) groups.set(key, []);
      groups.get(key).push(candidate);
    }
    return [...groups.values()].map((group) => {
      let top = group[0];
      for (const candidate of group) if (isMore(order(candidate), order(top))) top = candidate;
      const rivals = [];
      for (const candidate of group) {
        const equal = candidate !== top && String(order(candidate).slice(0, 3)) === String(order(top).slice(0, 3));
        if (equal && [top, ...rivals].every((other) => candidate.rule.entry !== other.rule.entry)) rivals.push(candidate);
      }
      return rivals.length ? { ...top, rivals } : top;
    });
  }

  const order = (candidate) => [
    Number(candidate.fits), Number(candidate.rule.words > 0), candidate.score, -isBorrowed(candidate.values), -candidate.rule.rank,
  ];

  // ------------------------------------------------------------------------------------------------ kinds.py

  /** @returns {Array<[number, number, number[]]>} */
  function findPhrases(items, known) {
    const found = [];
    let at = 0;
    while (at < items.count) {
      const groups = [];
      let length = 0;
      for (const [words, group] of known.get(items.word[at]) ?? []) {
        const size = words.length;
        if (length && size < length) break;
        const inside = at + size <= items.count && items.segment[at + size - 1] === items.segment[at];
        if (inside && words.every((word, index) => items.word[at + index] === word)) {
          length = size;
          groups.push(group);
        }
      }
      if (length) found.push([at, at + length, groups]);
      at += length || 1;
    }
    return found;
  }

  function guess(items, named, found, reader) {
    const votes = reader.kinds.map(() => 0);
    const silent = new Set();
    for (const [first, end] of findPhrases(items, reader.noKind)) for (let at = first; at < end; at += 1) silent.add(at);
    let firstNamed = false;
    for (const [first, end, groups] of named) {
      if (silent.has(first)) continue;
      for (const group of groups) {
        votes[group] += Math.floor(((end - first) * 240) / groups.length);
        if (!firstNamed && groups.length === 1) votes[group] += 60;
      }
      firstNamed = firstNamed || groups.length === 1;
    }
    const told = votes.some((its) => its > 0);
    for (const kinds of printedOn(found, reader.court.rules)) {
      for (const kind of kinds) {
        const index = reader.kinds.indexOf(kind);
        if (votes[index] || !told) votes[index] += Math.floor(12 / kinds.size);
      }
    }
    const best = Math.max(0, ...votes);
    return reader.kinds.filter((kind, index) => votes[index] === best && best >= 4);
  }

  function printedOn(found, rules) {
    const longest = new Map();
    for (const { pattern, first, end } of found) {
      const rule = rules[pattern];
      const best = longest.get(first) ?? { end: 0, entries: new Set() };
      if (!rule.words || end < best.end) continue;
      if (end > best.end) best.entries = new Set();
      best.end = end;
      best.entries.add(rule.entry);
      longest.set(first, best);
    }
    const sure = new Set([...longest.values()].filter((its) => its.entries.size === 1).flatMap((its) => [...its.entries]));
    const kinds = new Map();
    for (const { pattern } of found) if (sure.has(rules[pattern].entry)) kinds.set(rules[pattern].entry, rules[pattern].kinds);
    return [...kinds.values()].filter((its) => its.size);
  }

  Object.assign(tag, { NEAR, KIND, isDisjoint, candidates, choose, findPhrases, guess });
})();
