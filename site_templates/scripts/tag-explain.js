/**
 * Tags in the browser: makers' names, chosen candidates as pieces, readings of one tag that cannot all be true, and
 * pieces in words. The same as hangtag/tag_reader/names.py, pieces.py, contradict.py and explain.py.
 * Must not choose readings, and must never say that something is safe.
 */
(function () {
  "use strict";
  const { numbers, tag } = hangtag;
  const { NEAR, KIND, EXACT } = tag;

  // ------------------------------------------------------------------------------------------------ names.py

  const ENDINGS = "tex lite lyte weave shield veil tec tech therm loft skin web guard dry".split(" ");

  function names(items, taken, near, known, trademarks) {
    const found = [];
    const shouted = isShouted(items.text);
    for (let at = 0; at < items.count; at += 1) {
      if (trademarks.has(items.word[at]) && at && !taken[at - 1] && items.kind[at - 1] === "word") {
        let first = at - 1;
        const least = Math.max(0, at - 3, found.length ? found.at(-1)[1] : 0);
        while (
          first - 1 >= least && !taken[first - 1] && items.segment[first - 1] === items.segment[at] &&
          items.kind[first - 1] === "word" &&
          (items.gap[first] === tag.HYPHEN || (isCapital(items, first - 1) && !known.has(items.word[first - 1])))
        ) first -= 1;
        if (found.length && found.at(-1)[1] > first) found.pop();
        found.push([first, at + 1]);
      } else if (!taken[at] && !shouted && isName(items, at, near, known)) found.push([at, at + 1]);
    }
    return found;
  }

  function isName(items, at, near, known) {
    const word = items.word[at];
    if (items.kind[at] !== "word" || Array.from(word).length < 4 || known.has(word) || !isCapital(items, at)) return false;
    const begins = at === 0 || items.sentence[at] !== items.sentence[at - 1];
    if (begins && !(ENDINGS.some((end) => word.endsWith(end)) || hasInnerCapital(items, at))) return false;
    return [at - 1, at + 1].some(
      (other) => other >= 0 && other < items.count && items.segment[other] === items.segment[at] && near.has(items.word[other]),
    );
  }

  const isSmall = (/** @type {string} */ character) => character >= "a" && character <= "z";
  const isCapital = (items, at) => tag.isCapital(items.text[items.start[at]]);

  function hasInnerCapital(items, at) {
    const written = items.text.slice(items.start[at], items.end[at]);
    return written.slice(1).some(tag.isCapital) && written.some(isSmall);
  }

  const isShouted = (text) => text.filter(tag.isCapital).length > text.filter(isSmall).length;

  // ------------------------------------------------------------------------------------------------ pieces.py

  function pieces(chosen, items, parts) {
    const found = [];
    let group = 0;
    let last = null;
    for (const candidate of chosen) {
      const part = parts[candidate.first];
      if (!candidate.values.length) {
        const piece = wordPiece(candidate, items, part, candidate.end, null);
        const its = [candidate.first, items.segment[candidate.first], piece.term, part];
        if (found.length && last && its.every((each, index) => each === last[index])) found.at(-1).end = piece.end;
        else found.push(piece);
        last = [candidate.end, ...its.slice(1)];
        continue;
      }
      const together = candidate.values.length + (candidate.rule.itself ? 1 : 0) > 1;
      const itsGroup = together ? group : null;
      if (together) group += 1;
      const { first } = candidate.values[0].amount;
      const hasWord = candidate.rule.itself && first > candidate.first;
      if (hasWord) found.push(wordPiece(candidate, items, part, before(items, candidate.first, first), itsGroup));
      candidate.values.forEach((value, index) => {
        const start = index === 0 && !hasWord ? candidate.first : value.amount.first;
        const endsIt = index === candidate.values.length - 1 && !value.amount.again;
        found.push(numberPiece(candidate, index, items, part, start, endsIt ? candidate.end : value.amount.end, itsGroup));
      });
    }
    return found;
  }

  const NOTHING = { role: null, value: null, unit: null, half: 0, bound: EXACT, group: null, again: false, fits: true, measure: null, clue: "", others: [] };

  function makersName(term, items, part, first, end) {
    return { ...NOTHING, term, part, start: items.start[first], end: items.end[end - 1], why: "makers-name" };
  }

  function before(items, first, at) {
    let end = at;
    while (end - 1 > first && items.kind[end - 1] === "mark") end -= 1;
    return end;
  }

  function wordPiece(candidate, items, part, end, group) {
    const others = candidate.rivals.map((rival) => ({ term: rival.rule.entry, value: null, unit: null, why: "either" }));
    const [start, stop] = [items.start[candidate.first], items.end[end - 1]];
    return { ...NOTHING, term: candidate.rule.entry, part, start, end: stop, group, why: "word", others };
  }

  function numberPiece(candidate, index, items, part, first, end, group) {
    const { slot, amount, value, half, unit, fits, others } = candidate.values[index];
    const all = others.map(([one, its, why]) => ({ term: slot.term, value: one, unit: its, why: "either-" + why }));
    for (const rival of candidate.rivals) {
      const its = rival.values[index];
      if (its) all.push({ term: its.slot.term, value: its.value, unit: its.unit, why: "either" });
    }
    const [why, clue] = reason(candidate, items);
    return {
      term: slot.term, role: slot.role, part, start: items.start[first], end: items.end[end - 1], value, unit, half,
      bound: amount.bound, group, again: amount.again, fits, measure: slot.measure, why, clue, others: all,
    };
  }

  function reason(candidate, items) {
    if (candidate.rule.words) return ["named", ""];
    if (candidate.reasons >= NEAR) {
      const segment = items.segment[candidate.first];
      const end = Math.min(items.count, candidate.end + 12);
      for (let at = Math.max(0, candidate.first - 12); at < end; at += 1) {
        if (items.segment[at] === segment && candidate.rule.near.has(items.word[at])) return ["near", written(items, at, at + 1)];
      }
    }
    return [candidate.reasons & KIND ? "kind" : "unit", ""];
  }

  const written = (items, first, end) => items.text.slice(items.start[first], items.end[end - 1]).join("");

  // ------------------------------------------------------------------------------------------------ contradict.py

  function contradictions(all, reader) {
    const found = [];
    for (const term of [...new Set(all.map((piece) => piece.term))].sort()) {
      for (const agreement of reader.entries.get(term).agrees) {
        const one = broken(all, term, agreement, reader);
        if (one) found.push(one);
      }
    }
    return [...found, ...twoUnits(all, reader), ...outside(all, reader)];
  }

  function interval(piece, units) {
    const ends = [units.toSi(piece.value - piece.half, piece.unit), units.toSi(piece.value + piece.half, piece.unit)];
    return ends[0] <= ends[1] ? ends : [ends[1], ends[0]];
  }

  function inWords(piece, reader) {
    const text = numbers.show(piece.value);
    const { prints } = reader.data.units[piece.unit];
    return !prints || piece.unit === "plain" ? text : text + "\u00a0" + prints;
  }

  function broken(all, term, agreement, reader) {
    const [operator, ...operands] = agreement.that;
    const choices = operands.map((operand) => readingsOf(all, operand, term));
    if (choices.some((its) => !its.length)) return null;
    const first = choices.map((its) => its[0]);
    const at = choices.map(() => 0);
    for (;;) {
      const indices = choices.map((its, which) => its[at[which]]);
      if (holds(operator, indices.map((index) => interval(all[index], reader.units)))) return null;
      let which = at.length - 1;
      while (which >= 0 && at[which] + 1 === choices[which].length) at[which--] = 0;
      if (which < 0) break;
      at[which] += 1;
    }
    const listed = first.map((index) => inWords(all[index], reader)).join(", ");
    const because = reader.say("contradiction", { say: agreement.say, numbers: listed });
    return { code: agreement.code, certain: operator !== ">=", because, readings: first };
  }

  function readingsOf(all, operand, term) {
    const at = operand.lastIndexOf(":");
    const [entry, name] = at < 0 ? ["", operand] : [operand.slice(0, at), operand.slice(at + 1)];
    const role = name === "q" ? null : name;
    const fits = (piece) =>
      piece.term === (entry || term) && piece.role === role && piece.value !== null && piece.bound === EXACT;
    return all.flatMap((piece, index) => (fits(piece) ? [index] : [])).slice(0, 8);
  }

  function holds(operator, [one, two, three]) {
    if (operator === ">=") return atLeast(one[1], two[0]);
    let result;
    if (operator === "=-") result = [two[0] - three[1], two[1] - three[0]];
    else {
      const corners = two.flatMap((a) => three.map((b) => a * b));
      result = [Math.min(...corners), Math.max(...corners)];
    }
    return atLeast(result[1], one[0]) && atLeast(one[1], result[0]);
  }

  const atLeast = (high, low) => high >= low - 1e-9 * Math.max(Math.abs(high), Math.abs(low));

  function twoUnits(all, reader) {
    const groups = new Map();
    all.forEach((piece, index) => {
      if (piece.group === null || piece.value === null) return;
      if (!groups.has(piece.group)) groups.set(piece.group, []);
      groups.get(piece.group).push(index);
    });
    const found = [];
    for (const members of groups.values()) {
      const again = members.filter((index) => all[index].again);
      members.filter((index) => !all[index].again).slice(0, again.length).forEach((one, which) => {
        const other = again[which];
        const [mine, theirs] = [interval(all[one], reader.units), interval(all[other], reader.units)];
        if (atLeast(mine[1], theirs[0]) && atLeast(theirs[1], mine[0])) return;
        const because = reader.say("two-units", { one: inWords(all[one], reader), other: inWords(all[other], reader) });
        found.push({ code: "two-units", certain: true, because, readings: [one, other] });
      });
    }
    return found;
  }

  function outside(all, reader) {
    const found = [];
    all.forEach((piece, index) => {
      const times = timesOutside(piece, reader.units);
      if (times < 10) return;
      const values = { value: inWords(piece, reader), name: reader.entries.get(piece.term).name };
      const because = reader.say(times >= 1000 ? "outside-thousand" : "outside-ten", values);
      found.push({ code: "outside-scale", certain: false, because, readings: [index] });
    });
    return found;
  }

  function timesOutside({ fits, measure, value, unit }, units) {
    if (fits || measure === null || value === null || unit === null || units.isShifted(unit)) return 0;
    const si = units.toSi(value, unit);
    if (si > measure.high && measure.high > 0) return si / measure.high;
    return si > 0 && si < measure.low ? measure.low / si : 0;
  }

  // ------------------------------------------------------------------------------------------------ explain.py

  function reading(piece, text, kind, reader) {
    const entry = reader.entries.get(piece.term);
    const band = bandOf(piece, entry, reader);
    const role = piece.role ? entry.roles[piece.role] : undefined;
    return {
      term: piece.term,
      part: piece.part,
      role: piece.role,
      start: piece.start,
      end: piece.end,
      text: text.slice(piece.start, piece.end).join(""),
      value: piece.value,
      unit: piece.unit,
      bound: piece.bound,
      group: piece.group,
      other_units: otherUnits(piece, reader),
      band: band && { says: band.says, basis: band.basis, source: band.source, of: band.of, at: band.at },
      basis: band && band.words,
      ask: [...entry.ask],
      caution: entry.caution,
      page: entry.page,
      because: because(piece, entry, kind, reader),
      fills: piece.value !== null ? (role ? role.fills : entry.fills) : null,
      also_possible: piece.others.map(({ term, value, unit, why }) => ({ term, value, unit, because: reader.say(why) })),
    };
  }

  function otherUnits({ value, unit, measure }, { units }) {
    if (value === null || unit === null || measure === null || unit === "plain") return [];
    const si = units.toSi(value, unit);
    return measure.others.filter((other) => other !== unit).map((other) => {
      const its = units.fromSi(si, other);
      return { value: its, unit: other, text: numbers.show(its) };
    });
  }

  function bandOf({ value, unit }, { scale }, { units }) {
    if (scale === null || value === null || unit === null) return null;
    if (units.dimension(scale.unit) !== units.dimension(unit)) return null;
    const si = units.toSi(value, unit);
    for (const band of scale.bands) {
      if (band.limit === null) return band;
      const [its, limit] = [numbers.snap(units.fromSi(si, band.unit)), numbers.snap(band.limit)];
      if (its < limit || (band.closed && its === limit)) return band;
    }
    return null;
  }

  function because(piece, entry, kind, reader) {
    const name = kind ? reader.data.kinds[kind].name : "";
    const sentences = [reader.say("because-" + piece.why, { clue: piece.clue, kind: name.toLowerCase(), name: entry.name })];
    if (!piece.fits) sentences.push(reader.say("because-outside"));
    if (piece.value !== null && piece.role === null && entry.unsaid && piece.why !== "word") sentences.push(entry.unsaid);
    return sentences.join(" ");
  }

  function missing(all, kind, reader) {
    if (kind === null) return [];
    const there = new Set(all.map((piece) => piece.term));
    const { name, wanted } = reader.data.kinds[kind];
    return wanted.filter((term) => !there.has(term)).slice(0, 8).map((term) => (
      { term, because: reader.say("missing", { kind: name, in_short: reader.entries.get(term).in_short }) }
    ));
  }

  function cautions(items, dangers, reader) {
    return dangers.flatMap(([first, end, groups]) => groups.map((group) => ({
      start: items.start[first],
      end: items.end[end - 1],
      text: written(items, first, end),
      caution: reader.data.danger[group].caution,
    })));
  }

  function questions(all, kind, lacking, clashes, reader) {
    const found = [];
    if (clashes.length) found.push(reader.say("ask-contradiction", { because: clashes[0].because }));
    if (kind !== null) found.push(...reader.data.kinds[kind].ask);
    for (const { term } of [...lacking, ...all]) found.push(...reader.entries.get(term).ask.slice(0, 1));
    return [...new Set(found)].slice(0, 3);
  }

  function unread(items, taken, blocked, told, reader) {
    const understood = new Set(blocked);
    for (const [start, end] of told) for (let at = start; at < end; at += 1) understood.add(at);
    const found = [];
    let [first, last] = [-1, -1];
    for (let at = 0; at <= items.count; at += 1) {
      const inside = at < items.count && !taken[at] && !understood.has(at);
      if (first >= 0 && (!inside || items.segment[at] !== items.segment[first])) {
        found.push({ start: items.start[first], end: items.end[last], text: written(items, first, last + 1) });
        first = -1;
      }
      if (inside && (items.kind[at] === "number" || (items.kind[at] === "word" && !reader.known.has(items.word[at])))) {
        if (first < 0) first = at;
        last = at;
      }
    }
    return found;
  }

  Object.assign(tag, { names, pieces, makersName, contradictions, reading, missing, cautions, questions, unread });
})();
