/**
 * Tags in the browser: all patterns of a book against a text, in one walk. The same as hangtag/tag_reader/match.py.
 * Must not choose between matches.
 */
(function () {
  "use strict";
  const { tag } = hangtag;
  const { GLUED, COLON } = tag;
  const LONGEST = 8;

  /** @typedef {{words: Map<string, any>, holes: Map<number, any>, bare: any, thousand: any, ends: number[]}} Node */
  /** @returns {Node} */
  const node = () => ({ words: new Map(), holes: new Map(), bare: null, thousand: null, ends: [] });
  const hasHoles = (/** @type {Node} */ its) => its.holes.size > 0 || its.bare !== null || its.thousand !== null;

  /** Every match of a text, by where it begins. */
  function matches(items, quantities, matcher) {
    const walk = { items, quantities, matcher, numeric: numeric(items), found: [] };
    for (let at = 0; at < items.count; at += 1) {
      if (walk.numeric[at] || matcher.root.words.has(items.word[at])) from(walk, at);
    }
    return walk.found;
  }

  function numeric(items) {
    const flags = items.kind.map((kind, at) => kind === "number" || (kind === "mark" && items.word[at] > "~"));
    const nearby = [...flags];
    flags.forEach((flag, at) => {
      for (let before = Math.max(0, at - 4); flag && before < at; before += 1) nearby[before] = true;
    });
    return nearby;
  }

  function from(walk, first) {
    const { items, matcher } = walk;
    if (!beginsCleanly(walk, first)) return;
    const segment = items.segment[first];
    const stack = [[matcher.root, first, 0, 0, []]];
    while (stack.length) {
      const [its, at, length, skipped, filled] = stack.pop();
      if (its.ends.length && !skipped && endsCleanly(items, at, !filled.length)) {
        for (const pattern of its.ends) walk.found.push({ pattern, first, end: at, quantities: filled });
      }
      if (at >= items.count || length >= LONGEST || items.segment[at] !== segment) continue;
      const afterHole = filled.length > 0 && filled.at(-1).end === at - skipped;
      if (!(afterHole && items.gap[at] === COLON)) {
        const following = its.words.get(items.word[at]);
        if (following !== undefined) stack.push([following, at + 1, length + 1, 0, filled]);
      }
      if (hasHoles(its) && walk.numeric[at]) {
        for (const quantity of [...walk.quantities.at(at)].reverse()) {
          for (const following of through(its, quantity, matcher.signatures)) {
            stack.push([following, quantity.end, length + 1, 0, [...filled, quantity]]);
          }
        }
      }
      if (at > first && skipped < 2 && isFiller(walk, at) && (its.words.size || hasHoles(its))) {
        stack.push([its, at + 1, length, skipped + 1, filled]);
      }
    }
  }

  function isFiller({ items, matcher }, at) {
    if (!matcher.fillers.has(items.word[at])) return false;
    const joins = items.gap[at] === GLUED && items.kind[at - 1] === "word";
    return items.word[at] !== "-" || joins || (at + 1 < items.count && items.gap[at + 1] !== GLUED);
  }

  function through(its, quantity, signatures) {
    if (quantity.spelling) {
      return (signatures.get(quantity.spelling) ?? []).map((each) => its.holes.get(each)).filter((each) => each !== undefined);
    }
    const found = [];
    if (its.bare !== null) found.push(its.bare);
    if (quantity.thousand && its.thousand !== null) found.push(its.thousand);
    return found;
  }

  function beginsCleanly({ items, matcher }, at) {
    if (at === 0 || items.gap[at] !== GLUED || items.segment[at] !== items.segment[at - 1]) return true;
    const before = items.word[at - 1];
    if (items.kind[at - 1] === "mark") return !["#", "_", "@", "\\", "$", "€", "£", "¥"].includes(before);
    if (items.kind[at] !== "number" || matcher.words.has(before)) return true;
    return before === "x" && at > 1 && items.gap[at - 1] === GLUED;
  }

  function endsCleanly(items, at, isWord) {
    if (at >= items.count || items.gap[at] !== GLUED || items.segment[at] !== items.segment[at - 1]) return true;
    return items.kind[at] === "mark" || isWord || items.word[at] === "x";
  }

  Object.assign(tag, { LONGEST, node, matches });
})();
