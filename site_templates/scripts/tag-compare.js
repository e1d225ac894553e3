/**
 * Tags side by side: the same claims in rows, each in one unit, and the differences in words. The same as
 * hangtag/tag_reader/compare.py, where the rules stand. Must not read tags.
 */
(function () {
  "use strict";
  const { numbers, tag } = hangtag;
  const unique = (list) => [...new Set(list)];

  /** The rows of two to four tags as `read` gives them. @param {any[]} tags */
  function compare(tags) {
    const byTag = tags.map(byClaim);
    const keys = unique(byTag.flatMap((claims) => [...claims.keys()]));
    return keys.map((key) => {
      const stated = byTag.map((claims) => claims.get(key) ?? []);
      const { part, term, role } = stated.find((its) => its.length)[0];
      const unit = stated.flat().map((one) => one.unit).find((its) => its !== null) ?? null;
      const cells = stated.map((readings) => (readings.length ? cellOf(readings, unit) : null));
      const [verdict, says] = verdictOf(tags, term, unit, stated, cells);
      const end = (value) => (value !== null && Number.isFinite(value) ? value : null);
      const shown = cells.map((cell) => cell && { ...cell, low: end(cell.low), high: end(cell.high) });
      return { part, term, role, unit, cells: shown, verdict, says };
    });
  }

  function byClaim({ readings }) {
    const found = new Map();
    for (const reading of readings) {
      const key = JSON.stringify([reading.part, reading.term, reading.role]);
      if (!found.has(key)) found.set(key, []);
      const its = found.get(key);
      const again = reading.group !== null && its.some((one) => one.group === reading.group && one.unit !== reading.unit);
      if (!again) its.push(reading);
    }
    return found;
  }

  function cellOf(readings, unit) {
    const { reader } = tag;
    const text = unique(readings.map((one) => one.text)).join(", ");
    const figures = readings.filter((one) => one.value !== null).map((one) => [reader.units.toSi(one.value, one.unit), one]);
    if (unit === null || !figures.length) return { text, value: null, low: null, high: null };
    const bounds = unique(figures.map(([, one]) => one.bound)).sort();
    if (figures.length > 1 && String(bounds) === "at least,at most") {
      const values = figures.map(([si]) => si);
      const [low, high] = [Math.min(...values), Math.max(...values)];
      const [first, last] = [low, high].map((si) => numbers.show(reader.units.fromSi(si, unit)));
      return { text, value: reader.say("compare-range", { low: first, high: last }), low, high };
    }
    const shown = figures.map(([si, one]) => {
      const value = numbers.show(reader.units.fromSi(si, unit));
      return one.bound === "exact" ? value : reader.say("compare-" + one.bound.replace(" ", "-"), { value });
    });
    const low = Math.min(...figures.map(([si, one]) => (one.bound === "at most" ? -Infinity : si)));
    const high = Math.max(...figures.map(([si, one]) => (one.bound === "at least" ? Infinity : si)));
    return { text, value: unique(shown).join(", "), low, high };
  }

  function verdictOf(tags, term, unit, stated, cells) {
    const { reader } = tag;
    const there = cells.flatMap((cell, index) => (cell ? [index] : []));
    if (there.length === 1) return ["only", reader.say("compare-only", { tags: named(there) })];
    const figures = there.filter((index) => cells[index].low !== null).map((index) => [cells[index].low, cells[index].high, index]);
    if (unit === null || figures.length < 2) return ["word", reader.say("compare-word", { tags: named(there) })];
    const doubted = there.filter((index) => stated[index].some((one) => one.also_possible.length));
    if (doubted.length) return ["either", reader.say("compare-either", { tags: named(doubted) })];
    const entry = reader.entries.get(term);
    const tests = figures.map(([, , index]) => methodOf(tags[index], entry.methods));
    const told = unique(tests.filter(Boolean));
    if (told.length > 1) return ["methods", reader.say("compare-methods", { tests: told.join(", ") })];
    const [verdict, says] = differenceOf(unit, entry, stated, figures);
    const all = Object.values(entry.methods);
    const untold = all.length > 1 && !tests.every(Boolean) && (verdict === "more" || verdict === "apart");
    return [verdict, untold ? says + " " + reader.say("compare-untold", { tests: all.join(", ") }) : says];
  }

  function differenceOf(unit, entry, stated, figures) {
    const { reader } = tag;
    const tags = named(figures.map(([, , index]) => index));
    const least = figures.reduce((best, its) => (its[1] < best[1] ? its : best));
    const most = figures.reduce((best, its) => (its[0] > best[0] ? its : best));
    const [gap, size] = [most[0] - least[1], Math.max(Math.abs(most[0]), Math.abs(least[1]))];
    const points = figures.every(([low, high]) => low === high);
    if (points && gap <= 1e-9 * size) return ["same", reader.say("compare-same", { tags })];
    if (!points && gap <= 0) return ["overlap", reader.say("compare-overlap")];
    if (entry.spread !== null && gap <= entry.spread * size * (1 + 1e-9)) {
      const values = { percent: numbers.show(entry.spread * 100), basis: entry.spread_basis };
      return ["spread", reader.say("compare-spread", values)];
    }
    const units = unique(figures.flatMap(([, , index]) => stated[index].map((one) => one.unit)));
    if (units.length > 1 && gap <= 0.005 * size && !reader.units.isShifted(unit)) {
      return ["rounding", reader.say("compare-rounding", { tags })];
    }
    const { prints, scale } = reader.data.units[unit];
    const text = numbers.show(gap / scale, 3);
    const difference = !prints || unit === "plain" ? text : text + "\u00a0" + prints;
    const [one, other] = [named([most[2]]), named([least[2]])];
    if (figures.length > 2) return ["apart", reader.say("compare-apart", { difference, one, other })];
    return ["more", reader.say(points ? "compare-more" : "compare-more-least", { one: capital(one), difference, other })];
  }

  function named(indices) {
    const names = indices.map((index) => tag.reader.say("compare-tag", { number: String(index + 1) }));
    if (names.length === 1) return names[0];
    return tag.reader.say("compare-and", { first: names.slice(0, -1).join(", "), last: names.at(-1) });
  }

  const capital = (/** @type {string} */ text) => text.slice(0, 1).toUpperCase() + text.slice(1);

  function methodOf({ text }, methods) {
    if (!Object.keys(methods).length) return "";
    const its = tag.items(text, tag.reader.spelling);
    const words = its.word.filter((_, at) => its.kind[at] !== "mark");
    for (const [method, name] of Object.entries(methods)) {
      const wanted = method.split(" ");
      for (let at = 0; at <= words.length - wanted.length; at += 1) {
        if (!wanted.every((word, index) => words[at + index] === word)) continue;
        const variant = words.slice(at + wanted.length, at + wanted.length + 2);
        const letter = variant.length && variant[0].length === 1 && variant[0] >= "a" && variant[0] <= "z";
        return letter ? [name, ...variant.map((word) => word.toUpperCase())].join(" ") : name;
      }
    }
    return "";
  }

  Object.assign(tag, { compare });
})();
