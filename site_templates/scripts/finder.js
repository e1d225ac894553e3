/**
 * The finder: the same search as hangtag/finder/, over the same data, with the same whole numbers; a test holds the two
 * together. Names here are those of the Python rooms. Needs numbers.js and words.js before it.
 * Must not touch the page: finder-box.js does.
 */
window.hangtag = window.hangtag || {};
hangtag.finder = (function () {
  'use strict';
  const SAME = 100;
  const BARE = 1;
  const THOUSAND = 2;
  const NUMBER = 4;
  const NAMED_BY_UNIT = 8;

  /** @typedef {import('./words.js').Token} Token */
  /** @typedef {{score: number, why: string, values: Object<string, string>, isValue: boolean}} Part */
  /** @typedef {{values: number[], k: boolean, units: number[], typed: string, start: number, after: number,
   *   end: number}} Typed */
  /** @type {Object<string, string>} why a result is there, by reason; given by finder_script of hangtag/browser */
  const labels = {};
  let tables = null;

  // ---------------------------------------------------------------------------------------------- stems.py

  const isSmall = (/** @type {string} */ word) => /^[a-z]+$/.test(word);
  const isPlain = (/** @type {string} */ word) => /^[^0-9\ud800-\uffff]+$/.test(word);
  const isForgiven = (/** @type {string} */ word) => isPlain(word) && word.length >= 4;

  /** @param {string} word */
  function singular(word) {
    if (!isSmall(word) || word.length < 4 || !/s$/.test(word) || /(ss|us|is)$/.test(word)) return word;
    if (/ies$/.test(word) && word.length > 4) return word.slice(0, -3) + 'y';
    return word.slice(0, /(ch|sh|ss|x|z)es$/.test(word) ? -2 : -1);
  }

  /** @param {string} word */
  function stem(word) {
    word = singular(word);
    if (!isSmall(word)) return word;
    const ending = ['ing', 'ed', 'ly', 'er', 'y', 'e'].find((end) => word.endsWith(end) && word.length - end.length >= 3);
    if (ending) word = word.slice(0, -ending.length);
    if (word.length > 3 && word.at(-1) === word.at(-2)) word = word.slice(0, -1);
    return word.slice(0, 6);
  }

  /** @param {string | string[]} one @param {string | string[]} other @param {number} most */
  function slips(one, other, most) {
    if (Math.abs(one.length - other.length) > most) return most + 1;
    let earlier = [];
    let before = [];
    let row = Array.from({ length: other.length + 1 }, (_, at) => at);
    for (let i = 1; i <= one.length; i += 1) {
      [earlier, before, row] = [before, row, [i]];
      let least = i;
      for (let j = 1; j <= other.length; j += 1) {
        let cost = before[j - 1] + (one[i - 1] === other[j - 1] ? 0 : 1);
        cost = Math.min(cost, before[j] + 1, row[j - 1] + 1);
        if (i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1]) {
          cost = Math.min(cost, earlier[j - 2] + 1);
        }
        row.push(cost);
        least = Math.min(least, cost);
      }
      if (least > most) return most + 1;
    }
    return Math.min(row[other.length], most + 1);
  }

  // ---------------------------------------------------------------------------------------------- packed.py

  /** @param {string} stems @param {string} places @returns {Map<string, Map<number, number>>} */
  function unpack(stems, places) {
    const found = new Map();
    const each = places.split('!');
    let before = '';
    [...stems.matchAll(/([0-9])([^0-9]+)/g)].forEach(([, shared, more], which) => {
      before = before.slice(0, Number(shared)) + more;
      const entries = new Map();
      let at = -1;
      let number = 0;
      for (const character of each[which]) {
        const code = character.charCodeAt(0);
        number = number * 25 + code - (code >= 93 ? 93 : 35);
        if (code >= 93) continue;
        at += Math.floor(number / 3);
        entries.set(at, number % 3);
        number = 0;
      }
      found.set(before, entries);
    });
    return found;
  }

  // ---------------------------------------------------------------------------------------------- tables.py

  const WORTHS = [[100, 70], [92, 55], [84, 50]]; // of a name, another name, a printed form; and of their words
  const WAYS = [[30, 'short'], [45, 'said'], [50, 'label']];

  /** @param {Token[]} tokens */
  const wordsOf = (tokens) => tokens.filter((token) => token.kind !== 'mark').map((token) => singular(token.folded));
  const parts = (/** @type {string} */ text, mark = '\n') => (text ? text.split(mark) : []);

  function prepare(data) {
    const its = {
      stop: new Set(data.stop.split(' ')),
      units: [],
      unitKeys: new Map(),
      worth: new Map(),
      targets: [],
      ways: unpack(data.stems, data.places),
      stems: new Map(),
      forgiven: [],
    };
    parts(data.units).forEach((line, at) => {
      const [prints, keys, scale, shift = 0] = line.split('|');
      its.units.push({ prints, scale: Number(scale), shift: Number(shift) });
      for (const key of [unitKey(hangtag.words.tokens(prints)), ...parts(keys, ' ')]) {
        its.unitKeys.set(key, [...(its.unitKeys.get(key) || []), at]);
      }
    });
    const note = (word, target, worth) => {
      if (!its.worth.has(word)) its.worth.set(word, new Map());
      const found = its.worth.get(word);
      found.set(target, Math.max(found.get(target) || 0, worth));
    };
    const add = (isGear, own, id, printed = '', sides = '', shapes = '', quantity = '') => {
      const at = its.targets.length;
      const names = [];
      const all = own.split('|');
      [...all, ...parts(printed, '|')].forEach((text, which) => {
        const kind = which >= all.length ? 2 : which ? 1 : 0;
        const words = wordsOf(hangtag.words.tokens(text));
        const joined = words.join('');
        const [worth, each] = WORTHS[kind];
        const telling = words.filter((each) => !its.stop.has(each));
        names.push({ text, worth, kind, words, joined, needed: telling.length > 1 ? telling : words });
        for (const word of telling) if (!/^[0-9]/.test(word) || word.length >= 4) note(word, at, each);
        if (words.length === 2 || words.length === 3) note(joined, at, each);
      });
      const [flags, usual, low, high, ...units] = parts(quantity, ' ');
      const [from, to] = [low, high].map((end, which) => {
        const amount = flags ? si(its.units[units[0]], Number(end)) : 0;
        return amount + (which * 2 - 1) * Math.abs(amount) * 1e-6;
      });
      its.targets.push({
        id: id || hangtag.words.folded(names[0].text).replace(/ /g, '-'),
        isGear,
        names,
        sides: new Set(parts(sides, ' ')),
        shapes: parts(shapes, '|').map((shape) => shape.split(' ')),
        quantity: flags && { flags: Number(flags), usual: Number(usual), low, high, from, to, units: units.map(Number) },
      });
    };
    const columns = data.terms.map((column) => column.split('\n'));
    columns[0].forEach((own, at) => own && add(false, ...columns.map((column) => column[at])));
    for (const line of parts(data.gear)) {
      const [id, ...names] = line.split('|');
      add(true, names.join('|'), id);
    }
    for (const word of its.worth.keys()) {
      const key = stem(word);
      its.stems.set(key, [...(its.stems.get(key) || []), word]);
      if (isForgiven(word)) its.forgiven.push(word);
    }
    return its;
  }

  // ---------------------------------------------------------------------------------------------- query.py

  const isKept = (/** @type {Token} */ { kind, folded }) => kind !== 'mark' || "/%°\"'".includes(folded);

  /** @param {Token[]} tokens */
  function unitKey(tokens) {
    let key = '';
    for (const token of tokens) {
      const { kind, folded } = token;
      if (isKept(token)) {
        if (!key && kind === 'number') return null;
        key += folded;
      } else if (!key || !'^*·.()-'.includes(folded)) return null;
    }
    return key || null;
  }

  /** @param {Token[]} tokens @returns {number[]} */
  function rows(tokens) {
    const key = unitKey(tokens);
    if (key === null) return [];
    const found = tables.unitKeys.get(key);
    return found || (/s$/.test(key) && key.length > 3 && tables.unitKeys.get(key.slice(0, -1))) || [];
  }

  /** @param {string} text */
  function read(text) {
    const characters = [...text].slice(0, 400);
    const tokens = hangtag.words.tokens(characters.join('')).slice(0, 48);
    const numbers = [];
    for (let at = 0; at < tokens.length; ) {
      if (tokens[at].kind === 'number') {
        numbers.push(numberAt(characters, tokens, at));
        at = numbers.at(-1).end;
      } else at += 1;
    }
    let whole = tokens.length;
    while (whole && /^[?.!]$/.test(tokens[whole - 1].folded)) whole -= 1;
    const between = (start, end) => characters.slice(tokens[start].start, tokens[end - 1].end).join('');
    return { tokens, numbers, between, units: rows(tokens.slice(0, whole)) };
  }

  /** @param {string[]} characters @param {Token[]} tokens @param {number} at @returns {Typed} */
  function numberAt(characters, tokens, at) {
    const isDigits = (/** @type {string} */ text) => /^[0-9]+$/.test(text);
    const begun = tokens[at].folded;
    let digits = begun;
    let values = tokens[at].values.map(Number);
    let end = at + 1;
    let start = at;
    while (
      end < tokens.length && tokens[end].kind === 'number' && !tokens[end].glued && isDigits(begun) && begun[0] !== '0' &&
      begun.length <= 3 && isDigits(tokens[end].folded) && tokens[end].folded.length === 3
    ) {
      digits += tokens[end].folded;
      values = [Number(digits)];
      end += 1;
    }
    let typed = characters.slice(tokens[at].start, tokens[end - 1].end).join('');
    const sign = at ? tokens[at - 1] : null;
    if (sign && sign.folded === '-' && tokens[at].glued && (!sign.glued || '(/'.includes(tokens[at - 2].folded))) {
      values = values.map((value) => -value);
      typed = "\u2212" + typed;
      start = at - 1;
    }
    const after = end;
    const k = end < tokens.length && tokens[end].folded === 'k' && tokens[end].glued;
    if (k) {
      values = values.map((value) => value * 1000);
      typed += 'k';
      end += 1;
    }
    for (let last = Math.min(tokens.length, end + 12); last > end; last -= 1) {
      const units = rows(tokens.slice(end, last));
      if (units.length && isKept(tokens[last - 1])) return { values, k, units, typed, start, after, end: last };
    }
    return { values, k, units: [], typed, start, after, end };
  }

  // ---------------------------------------------------------------------------------------------- numbers.py

  /** @returns {Part} */
  const part = (score = 0, why = 'words', values = {}, isValue = false) => ({ score, why, values, isValue });
  const si = (unit, number) => (number + unit.shift) * unit.scale;

  function fit(query, target, isNamed, hasWords) {
    let best = part();
    if (!query.numbers.length) return best;
    const better = (other) => {
      if (other.score > best.score) best = other;
    };
    for (const shape of target.shapes) better(shaped(query, target.quantity, shape));
    if (!target.quantity) return best;
    query.numbers.forEach((number, at) =>
      better(
        number.units.length
          ? withUnit(target.quantity, number, query.numbers[at + 1], isNamed)
          : withoutUnit(query, target, target.quantity, number, isNamed, hasWords),
      ),
    );
    return best;
  }

  function spelled(query, target) {
    const its = target.quantity;
    const row = its ? its.units.find((each) => query.units.includes(each)) : undefined;
    if (row === undefined) return part();
    return part((its.flags & BARE ? 1200 : 700) + tie(its), 'unit', { unit: tables.units[row].prints });
  }

  function shaped({ tokens, numbers, between }, its, shape) {
    let own = [];
    let foreign = [];
    const endOf = (/** @type {number} */ at) => {
      [own, foreign] = [[], []];
      for (const [which, wanted] of shape.entries()) {
        const number = numbers.find(({ start }) => start === at);
        if (!/[#~]/.test(wanted[0])) {
          if (at >= tokens.length || tokens[at].folded !== wanted) return -1;
          at += 1;
        } else if (!number || (wanted.length > 1 && !number.k)) return -1;
        else {
          const stays = number.after < tokens.length && tokens[number.after].folded === shape[which + 1];
          at = stays ? number.after : number.end;
          (wanted[0] === '#' ? own : foreign).push(number);
        }
      }
      return at;
    };
    for (let start = 0; start < tokens.length; start += 1) {
      const at = endOf(start);
      if (at >= 0 && !(its && foreign.some((number) => rowsOf(its, number).length))) {
        const fits = !its || own.every((number) => readingsOf(its, number, number.units.length ? rowsOf(its, number) : its.units.slice(0, 1)).length);
        const score = !fits ? 500 : at - start === tokens.length ? 2500 : 1900;
        return part(score, 'number', { typed: between(start, at) });
      }
    }
    return part();
  }

  function withUnit(its, number, after, isNamed) {
    const own = rowsOf(its, number);
    if (!own.length) return part();
    const unit = tables.units[own[0]];
    for (const row of own) {
      const each = tables.units[row];
      let more = 0;
      if (after && after.start === number.end) {
        const smaller = its.units.find((other) => after.units.includes(other));
        if (smaller !== undefined && tables.units[smaller].scale < each.scale) {
          more = after.values[0] * tables.units[smaller].scale;
        }
      }
      for (const [reading, value] of number.values.entries()) {
        if (!isPlausible(its, si(each, value) + more)) continue;
        const score = (its.flags & BARE || isNamed ? 1500 : 900) + (isNamed ? 300 : 0) - (reading ? 100 : 0);
        return part(score + tie(its), 'number', { typed: number.typed + ' ' + unit.prints }, true);
      }
    }
    const { prints } = tables.units[its.units[0]];
    const [low, high] = [its.low, its.high].map((end) => (end + ' ' + prints).trim().replace(/-/g, '\u2212'));
    return part(250, 'outside', { unit: unit.prints, low, high });
  }

  function withoutUnit(query, target, its, number, isNamed, hasWords) {
    const fits = readingsOf(its, number);
    if (isBeside(query, target, number)) {
      const typed = query.between(Math.max(0, number.start - 1), Math.min(query.tokens.length, number.end + 1));
      return part(fits.length ? 1600 : 400, 'number', { typed });
    }
    if (!fits.length) return part();
    const [row, amount] = fits[0];
    const values = { number: number.typed, unit: tables.units[row].prints };
    const often = usual(its, amount);
    if (number.k && its.flags & THOUSAND) {
      return part((its.flags & BARE || isNamed ? 1500 : 700) + Math.min(99, often), 'bare', values);
    }
    const rarely = its.flags & NUMBER ? 1 : its.flags & BARE ? 2 : 3;
    if (isNamed) return part(Math.floor(1300 / rarely) + Math.min(99, often), 'bare', values);
    let score = Math.floor((100 + Math.min(500, often)) / rarely);
    score = Math.floor(score / (row === its.units[0] ? 1 : 3));
    return part(Math.floor(score / (hasWords ? 2 : 1)), 'bare', values);
  }

  const rowsOf = (its, { units }) => its.units.filter((row) => units.includes(row));

  /** The units and SI values by which a number is plausible, as [row, amount]. */
  const readingsOf = (its, number, rows = its.units) =>
    number.values
      .flatMap((value) => rows.map((row) => [row, si(tables.units[row], value)]))
      .filter(([, amount]) => isPlausible(its, amount));

  function isBeside({ tokens }, { sides }, number) {
    if (number.end < tokens.length && sides.has('>' + tokens[number.end].folded)) return true;
    let before = number.start - 1;
    if (before > 0 && /^[-:=<]$/.test(tokens[before].folded)) before -= 1;
    return before >= 0 && sides.has('<' + tokens[before].folded);
  }

  const isPlausible = (its, amount) => its.from <= amount && amount <= its.to;

  const tie = (its) => Math.min(99, its.usual + (its.flags & NAMED_BY_UNIT ? 40 : 0));

  function usual(its, amount) {
    const { scale, shift } = tables.units[its.units[0]];
    const value = amount / scale - shift;
    const [low, high] = [Number(its.low), Number(its.high)];
    let width = 50;
    let at = 0;
    if (low > 0) {
      width = steps(low, high) + 1;
      at = steps(low, value);
    } else if (high > low) at = Math.trunc(((value - low) * width) / (high - low));
    return Math.floor((Math.max(0, Math.min(at + 1, width - at)) * 1000 * its.usual) / (width * width));
  }

  function steps(/** @type {number} */ low, /** @type {number} */ high) {
    let count = 0;
    while (count < 400 && low * 1.1 <= high) {
      low *= 1.1;
      count += 1;
    }
    return count;
  }

  // ---------------------------------------------------------------------------------------------- matching.py

  function word(/** @type {string} */ typed, last = false, joined = false) {
    let known = new Map();
    const ways = tables.ways.get(joined ? typed : stem(typed)) || new Map();
    if (last && typed.length >= 2 && isPlain(typed)) {
      for (const each of tables.worth.keys()) if (each.startsWith(typed)) known.set(each, 60);
    }
    if (!joined) for (const each of tables.stems.get(stem(typed)) || []) known.set(each, 75);
    const alone = joined ? typed : singular(typed);
    if (tables.worth.has(alone)) known.set(alone, SAME);
    if (!joined && !known.size && !ways.size && isForgiven(typed)) known = forgiven(singular(typed));
    const targets = new Map();
    const note = (target, worth, why) => {
      if (!targets.has(target) || worth > targets.get(target).worth) targets.set(target, { worth, why });
    };
    for (const [each, quality] of known) {
      for (const [target, worth] of tables.worth.get(each)) note(target, Math.floor((worth * quality) / 100), 'words');
    }
    for (const [target, way] of ways) note(target, ...WAYS[way]);
    const rare = Math.floor(tables.targets.length / Math.max(1, targets.size));
    return { typed, known, targets, weight: 1 + 32 - Math.clz32(rare) };
  }

  function forgiven(/** @type {string} */ typed) {
    let most = typed.length >= 8 ? 2 : 1;
    let known = new Map();
    for (const each of tables.forgiven) {
      const count = slips(typed, each, most);
      if (count < most) [most, known] = [count, new Map()];
      if (count === most) known.set(each, [100, 85, 65][count]);
    }
    return known;
  }

  function meant({ tokens, units }, /** @type {Set<number>} */ taken) {
    const places = tokens.map((_, at) => at);
    const words = places.filter((at) => tokens[at].kind === 'word' && ([...tokens[at].folded].length > 2 || !(taken.has(at) || units.length)));
    let telling = words.filter((at) => !tables.stop.has(tokens[at].folded));
    if (!telling.length) telling = words;
    const found = telling.map((at) => word(tokens[at].folded, at === tokens.length - 1));
    const parted = tokens.filter((token) => token.folded !== '-');
    parted.slice(1).forEach((token, before) => {
      const joined = wordsOf([parted[before], token]).join('');
      if (parted[before].kind === 'word' && token.kind === 'word' && (tables.worth.has(joined) || tables.ways.has(joined))) {
        found.push(word(joined, false, true));
      }
    });
    return found.filter((each) => each.targets.size);
  }

  // ---------------------------------------------------------------------------------------------- ranking.py

  const byId = (one, other) => (one.target.id < other.target.id ? -1 : 1);

  function rank(/** @type {string} */ typed, /** @type {number} */ most) {
    const judge = search(read(typed));
    const ranked = tables.targets.map((_, at) => judge(at)).filter((found) => found.score >= 120);
    ranked.sort((one, other) => other.score - one.score || byId(one, other));
    const gear = ranked.filter((found) => found.target.isGear && found.score >= 3500).slice(0, 2);
    const entries = ranked.filter((found) => !found.target.isGear);
    const near = entries.filter((found) => found.score * 100 >= entries[0].score * 20);
    return [...near.slice(0, Math.max(0, most - gear.length)), ...gear];
  }

  function search(query) {
    const { tokens, numbers } = query;
    const taken = new Set(numbers.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, at) => start + at)));
    const joined = wordsOf(tokens).join('');
    const unnumbered = wordsOf(tokens.filter((_, at) => !taken.has(at))).join('');
    const words = meant(query, taken);
    const weight = words.reduce((sum, each) => sum + each.weight, 0);
    const known = new Map(wordsOf(tokens).filter((each) => /^[0-9]/.test(each) || tables.stop.has(each)).map((each) => [each, SAME]));
    for (const each of words) {
      for (const [one, quality] of each.known) known.set(one, Math.max(quality, known.get(one) || 0));
    }

    /** @returns {[Part, boolean]} */
    function byWords(/** @type {number} */ at) {
      let [total, best, why, isNamed] = [0, 0, 'words', false];
      for (const each of words) {
        const its = each.targets.get(at);
        if (!its) continue;
        total += its.worth * each.weight;
        isNamed = isNamed || (its.worth > 0 && /words|label/.test(its.why));
        if (its.worth * each.weight > best) [best, why] = [its.worth * each.weight, its.why];
      }
      if (!total) return [part(), false];
      const values = {
        // said of the few that are shown alone
        get words() {
          const said = words.filter((each) => (each.targets.get(at) || {}).why === why);
          return [...new Set(said.map((each) => '“' + each.typed + '”'))].join(', ');
        },
      };
      return [part(Math.floor((total * 10) / weight), why, values), isNamed];
    }

    function quality(name) {
      if (!name.joined) return 0;
      if (name.joined === joined || name.joined === unnumbered) return SAME;
      return Math.max(Math.min(...name.needed.map((each) => known.get(each) || 0)), known.get(name.joined) || 0);
    }

    function standing(name, /** @type {boolean} */ fits) {
      if (name.joined === joined || (fits && name.joined === unnumbered)) return 6000;
      const its = [...name.words, name.joined];
      const covered = words.reduce((sum, each) => sum + (its.some((one) => each.known.has(one)) ? each.weight : 0), 0);
      if (covered === weight) {
        const odd = tokens.some((token) => token.kind === 'number' && !its.includes(token.folded));
        return fits || !odd ? 4000 : 600;
      }
      return Math.floor(((300 + 100 * Math.min(name.words.length, 4)) * covered) / weight);
    }

    function byName(/** @type {number} */ at, /** @type {boolean} */ fits) {
      let best = part();
      for (const name of tables.targets[at].names) {
        const good = quality(name);
        if (!good) continue;
        const score = Math.floor((Math.floor((standing(name, fits) * good) / 100) * name.worth) / 100);
        const why = good < SAME ? 'near' : ['name', 'also', 'printed'][name.kind];
        if (score > best.score) best = part(score, why, { name: name.text });
      }
      return best;
    }

    return (/** @type {number} */ at) => {
      const target = tables.targets[at];
      const [by, isNamed] = byWords(at);
      const number = fit(query, target, isNamed, words.length > 0);
      if (numbers.length && !number.score) by.score = Math.floor(by.score / 2);
      const isTouched = by.score > 0 || target.names.some((name) => name.joined === joined);
      const parts = [isTouched ? byName(at, number.score > 0) : part(), number, spelled(query, target), by];
      const best = parts.reduce((one, other) => (other.score > one.score ? other : one));
      const value = number.isValue ? number.values.typed : undefined;
      return { target, score: parts.reduce((sum, each) => sum + each.score, 0), best, value };
    };
  }

  function nearest(/** @type {string} */ typed) {
    const joined = [...wordsOf(read(typed).tokens).join('')].slice(0, 40);
    if (!joined.length) return [];
    const most = Math.ceil(joined.length / 2);
    const far = tables.targets.filter((target) => !target.isGear).map((target) => {
      const away = target.names.map((name) => {
        const its = [...name.joined];
        return Math.floor((slips(joined, its, most) * 100) / Math.max(joined.length, its.length, 1));
      });
      return { target, away: Math.min(...away) };
    });
    far.sort((one, other) => one.away - other.away || byId(one, other));
    return far.slice(0, 3).map(({ target }) => target);
  }

  // ---------------------------------------------------------------------------------------------- find.py

  function because(target, best) {
    let text = labels[target.isGear ? 'gear' : best.why];
    for (const [hole, value] of Object.entries(best.values)) text = text.split('{' + hole + '}').join(value);
    return text.trim();
  }

  /** What was found for a text: the document of `hangtag find --json`. @param {string} query */
  function find(query, most = 8) {
    const page = (target) => (target.isGear ? 'gear/' : 'terms/') + target.id + '/';
    const results = rank(query, most).map(({ target, score, best, value = null }) => ({
      term: target.isGear ? null : target.id,
      name: target.names[0].text,
      because: because(target, best),
      page: page(target),
      value,
      score,
    }));
    const near = results.length ? [] : nearest(query);
    const named = near.map((target) => ({ term: target.id, name: target.names[0].text, page: page(target) }));
    return { query, results, nearest: named };
  }

  return {
    find,
    labels,
    stem,
    /** @param {string} word */
    isStop: (word) => tables.stop.has(word),
    /** Takes the data of finder-data.js. @param {Object} data */
    load(data) {
      tables = prepare(data);
      hangtag.finder.disk = Boolean(data.disk);
    },
  };
})();
