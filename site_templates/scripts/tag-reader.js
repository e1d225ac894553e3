/**
 * Tags in the browser, last part: what is made of the data of a book's tags once, and the order of the steps from a text
 * to its explanation. The same as hangtag/tag_reader/reader.py and reading.py. The data comes by `hangtag.tag.prepare`, from
 * scripts/tags-data.js. Must not touch the page.
 */
(function () {
  "use strict";
  const { tag } = hangtag;
  const LENGTH_WORDS = "mm cm m in ft yd \" '".split(" ");
  const isText = (/** @type {any} */ part) => typeof part === "string";
  const map = (/** @type {Object<string, any>} */ its) => new Map(Object.entries(its));

  class Units {
    constructor(units) {
      this.units = map(units);
    }

    dimension(/** @type {string} */ unit) {
      return this.units.get(unit).dimension;
    }

    isShifted(/** @type {string} */ unit) {
      return Boolean(this.units.get(unit).shift);
    }

    toSi(/** @type {number} */ value, /** @type {string} */ unit) {
      const { scale, shift } = this.units.get(unit);
      return shift ? (value + shift) * scale : value * scale;
    }

    fromSi(/** @type {number} */ value, /** @type {string} */ unit) {
      const { scale, shift } = this.units.get(unit);
      return shift ? value / scale - shift : value / scale;
    }
  }

  class Reader {
    constructor(data) {
      this.data = data;
      this.units = new Units(data.units);
      const all = measures(data);
      const spellings = [...new Set(all.flatMap((measure) => Object.keys(measure.units)))];
      const unitWords = new Set(spellings.flatMap((spelling) => spelling.split(" ")));
      this.spelling = { same: map(data.same), abbreviated: new Set(data.abbreviated), unitWords };
      this.grammar = {
        units: unitTree(spellings),
        unitWords,
        smaller: smaller(data.units),
        systems: systems(data, all),
        us: new Set(Object.values(data.units).flatMap((unit) => (unit.system === "us" ? unit.spellings : []))),
        bounds: map(data.bounds),
        boundWords: new Set(Object.keys(data.bounds).map((words) => words.split(" ")[0])),
        fractions: map(data.fractions),
      };
      this.figures = { money: new Set(data.money), months: new Set(data.months), numbered: new Set(data.numbered) };
      const { rules, root, signatures } = tree(data);
      const words = new Set(data.patterns.flatMap(([, parts]) => parts.filter((part) => isText(part) && part.length > 1)));
      this.matcher = { root, signatures, fillers: new Set(data.fillers), words };
      this.court = { rules, units: this.units, elsewhere: new Set(data.elsewhere), lengths: new Set(data.lengths) };
      this.parts = {
        always: new Set(data.parts), withColon: new Set(data.parts_with_colon), measures: new Set(data.measures),
      };
      this.kinds = Object.keys(data.kinds);
      this.kindWords = phrases(this.kinds.map((kind) => data.kinds[kind].words));
      this.noKind = phrases([data.no_kind]);
      this.danger = phrases(data.danger.map((danger) => danger.words));
      this.trademarks = new Set(data.trademarks);
      this.entries = map(data.entries);
      this.namers = [...this.entries].filter(([, entry]) => entry.unknown_names).map(([id]) => id);
      this.known = known(data, [...words, ...unitWords]);
    }

    /** A sentence of the reader's, its holes filled. @param {string} label @param {Object<string, string>} values */
    say(label, values = {}) {
      let text = this.data.words[label];
      for (const [name, value] of Object.entries(values)) text = text.split("{" + name + "}").join(value);
      return text;
    }
  }

  function phrases(groups) {
    const found = new Map();
    groups.forEach((group, index) => {
      for (const text of group) {
        const words = text.split(" ");
        found.set(words[0], [...(found.get(words[0]) ?? []), [words, index]]);
      }
    });
    for (const its of found.values()) its.sort((a, b) => b[0].length - a[0].length || a[1] - b[1]);
    return found;
  }

  function measures(data) {
    return Object.values(data.entries).flatMap((entry) =>
      [entry.measure, ...Object.values(entry.roles).map((role) => role.measure)].filter(Boolean),
    );
  }

  function unitTree(spellings) {
    const root = new Map();
    for (const spelling of spellings) {
      let node = root;
      for (const word of spelling.split(" ")) {
        if (!node.has(word)) node.set(word, new Map());
        node = node.get(word);
      }
      node.set("", spelling);
    }
    return root;
  }

  function smaller(units) {
    const found = new Map();
    for (const large of Object.values(units)) {
      for (const small of Object.values(units)) {
        const same = large.system === "us" && small.system === "us" && large.dimension === small.dimension;
        const ratio = large.scale / small.scale;
        const whole = Math.round(ratio);
        if (!same || whole < 2 || Math.abs(ratio - whole) > 1e-9 * whole || !["length", "mass"].includes(large.dimension)) continue;
        for (const spelling of large.spellings) {
          if (!found.has(spelling)) found.set(spelling, new Map());
          for (const each of small.spellings) found.get(spelling).set(each, whole);
        }
      }
    }
    return found;
  }

  function systems(data, all) {
    const found = new Map();
    for (const measure of all) {
      for (const [spelling, its] of Object.entries(measure.units)) {
        const { dimension, system, shift, scale } = data.units[its];
        const meaning = [dimension, system, shift ? 0 : scale];
        if (!found.has(spelling)) found.set(spelling, []);
        const meanings = found.get(spelling);
        if (!meanings.some((one) => one.every((each, at) => each === meaning[at]))) meanings.push(meaning);
      }
    }
    return found;
  }

  function tree(data) {
    const root = tag.node();
    const rules = [];
    const signatureOf = new Map();
    const signatures = new Map();

    function signature(measure) {
      const key = [...measure.units.keys()].sort();
      const name = key.join("\n");
      if (!signatureOf.has(name)) {
        for (const spelling of key) signatures.set(spelling, [...(signatures.get(spelling) ?? []), signatureOf.size]);
        signatureOf.set(name, signatureOf.size);
      }
      return signatureOf.get(name);
    }

    const child = (its, key) => {
      if (!its.has(key)) its.set(key, tag.node());
      return its.get(key);
    };

    for (const [entryId, parts] of data.patterns) {
      const rule = ruleOf(data, entryId, parts, rules.length);
      if (rule === null) continue;
      const shape = withoutUnits(parts, rule.slots);
      if (shape.length > tag.LONGEST) continue;
      rules.push(rule);
      const roles = shape.flatMap((part, index) => (!isText(part) && part[0] === "role" ? [index] : []));
      for (let printed = 0; printed < 2 ** roles.length; printed += 1) {
        const withUnit = new Map(roles.map((index, bit) => [index, !((printed >> (roles.length - 1 - bit)) & 1)]));
        let [node, slot] = [root, 0];
        shape.forEach((part, index) => {
          if (isText(part)) {
            node = child(node.words, part);
            return;
          }
          const { measure } = rule.slots[slot];
          slot += 1;
          const hole = withUnit.get(index) || part[0] === "quantity" ? "quantity" : part[0];
          if (hole === "quantity") node = child(node.holes, signature(measure));
          else if (hole === "thousand") node = node.thousand = node.thousand ?? tag.node();
          else node = node.bare = node.bare ?? tag.node();
        });
        if (!node.ends.includes(rule.rank)) node.ends.push(rule.rank);
      }
    }
    return { rules, root, signatures };
  }

  function withoutUnits(parts, slots) {
    const found = [];
    let slot = -1;
    for (let at = 0; at < parts.length; ) {
      const part = parts[at];
      found.push(part);
      at += 1;
      if (isText(part)) continue;
      slot += 1;
      if (part[0] !== "role") continue;
      for (let length = parts.length - at; length > 0; length -= 1) {
        const words = parts.slice(at, at + length);
        if (words.every(isText) && slots[slot].measure.units.has(words.join(" "))) {
          found[found.length - 1] = ["quantity", part[1], part[2]];
          at += length;
          break;
        }
      }
    }
    return found;
  }

  function ruleOf(data, entryId, parts, rank) {
    const entry = data.entries[entryId];
    const slots = [];
    for (const part of parts) {
      if (isText(part)) continue;
      const [, other, role] = part;
      const owner = data.entries[other || entryId];
      const source = role ? owner.roles[role].measure : owner.measure;
      if (source === null) return null;
      const measure = { ...source, units: map(source.units), borrowed: new Set(source.borrowed) };
      slots.push({ term: other || entryId, role, measure, isRole: role !== null });
    }
    const words = parts.filter(isText);
    const own = words.filter((word) => word[0] >= "a" && word[0] <= "z");
    const names = new Set(entry.names);
    return {
      entry: entryId,
      slots,
      words: own.length,
      names: own.some((word) => names.has(word)),
      marks: slots.length === 1 && words.length > own.length,
      tight: !slots.length && own.some((word) => word.length === 1),
      itself: slots.length > 0 && own.length > 0 && slots.every((slot) => slot.term !== entryId),
      near: new Set(entry.near),
      kinds: new Set(entry.kinds),
      lengths: slots.some((slot) => LENGTH_WORDS.some((word) => slot.measure.units.has(word))),
      rank,
    };
  }

  function known(data, words) {
    const found = new Set(words);
    const add = (/** @type {string[]} */ more) => more.forEach((word) => found.add(word));
    for (const list of ["known", "parts", "elsewhere", "lengths", "fillers", "months", "numbered", "money"]) add(data[list]);
    add(Object.keys(data.same));
    add(Object.values(data.same));
    for (const entry of Object.values(data.entries)) {
      add(entry.near);
      add(entry.names);
    }
    for (const { words: its } of [...Object.values(data.kinds), ...data.danger]) add(its.flatMap((text) => text.split(" ")));
    return found;
  }

  // ------------------------------------------------------------------------------------------------ reading.py

  /** A tag explained, as the JSON that `hangtag read` gives. @param {string} text @param {string | null} [kind] */
  function read(text, kind = null) {
    const { reader } = tag;
    const its = tag.items(text, reader.spelling);
    const leftAlone = tag.blocked(its, reader.figures);
    const found = tag.matches(its, new tag.Quantities(its, reader.grammar, leftAlone), reader.matcher);
    const [gear, dangers] = [tag.findPhrases(its, reader.kindWords), tag.findPhrases(its, reader.danger)];
    const likely = kind !== null ? [kind] : tag.guess(its, gear, found, reader);
    const itsKind = likely.length === 1 ? likely[0] : null;
    const { names: parts, regions } = tag.partsOf(its, reader.parts);
    const chosen = tag.choose(tag.candidates(found, its, reader.court, likely, regions), its.count);
    const taken = its.word.map(() => false);
    for (const { first, end } of chosen) taken.fill(true, first, end);
    const all = withNames(tag.pieces(chosen, its, parts), its, parts, taken, reader);
    const clashes = tag.contradictions(all, reader);
    const lacking = tag.missing(all, itsKind, reader);
    return {
      id: null,
      text,
      kind: itsKind,
      readings: all.map((piece) => tag.reading(piece, its.text, itsKind, reader)),
      unread: tag.unread(its, taken, leftAlone, [...gear, ...dangers], reader),
      missing: lacking,
      contradictions: clashes,
      cautions: tag.cautions(its, dangers, reader),
      questions: tag.questions(all, itsKind, lacking, clashes, reader),
    };
  }

  function withNames(found, its, parts, taken, reader) {
    for (const term of reader.namers) {
      const near = new Set(reader.entries.get(term).near);
      for (const [first, end] of tag.names(its, taken, near, reader.known, reader.trademarks)) {
        found.push(tag.makersName(term, its, parts[first], first, end));
        taken.fill(true, first, end);
      }
    }
    return found.sort((one, other) => one.start - other.start);
  }

  /** @param {{reader: object, page: object}} data */
  function prepare(data) {
    tag.reader = new Reader(data.reader);
    tag.page = data.page;
  }

  Object.assign(tag, { read, prepare });
})();
