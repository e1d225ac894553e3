/**
 * A tag that was read as a tree of elements: the same as hangtag/pages/tag_view.py, where the form of the tree stands; a
 * test holds the two together. Must not read tags, and must touch the page only in `built`.
 */
(function () {
  "use strict";
  const { numbers, tag } = hangtag;
  const unique = (list) => [...new Set(list)];
  const dashed = (/** @type {string} */ text) => text.replace(/ /g, "-");
  const spaced = (/** @type {string} */ text) => text.replace(/_/g, " ");
  const entryOf = (/** @type {string} */ term) => tag.reader.entries.get(term);

  /** A label of the page, its holes filled. @param {string} label @param {Object<string, string>} values */
  function say(label, values = {}) {
    let text = tag.page.labels[label];
    for (const [name, value] of Object.entries(values)) text = text.split("{" + name + "}").join(value);
    return text;
  }

  const section = (level, name, title, ...nodes) =>
    ["section", { class: "ht-told ht-told-" + name }, ["h" + level, {}, say(title)], ["div", {}, ...nodes]];

  const link = (/** @type {string} */ term) => ["a", { to: entryOf(term).page }, entryOf(term).name];

  // ------------------------------------------------------------------------------------------------ one tag

  /** Everything about one tag. @param {any} its @param {number} level of its headings */
  function explained(its, level = 2) {
    return [parts, cautions, ownText, unread, clashes, missing, questions].map((write) => write(its, level)).filter(Boolean);
  }

  function parts({ readings }, level) {
    if (!readings.length) return section(level, "parts", "explained", ["p", {}, say("nothing")]);
    const nodes = [];
    const seen = new Set();
    const numbered = readings.map((reading, at) => [at + 1, reading]);
    for (const part of unique(readings.map((reading) => reading.part))) {
      const its = numbered.filter(([, reading]) => reading.part === part);
      nodes.push(["h" + (level + 1), {}, part ? part.slice(0, 1).toUpperCase() + part.slice(1) : say("whole")]);
      const terms = unique(its.map(([, reading]) => reading.term));
      const items = terms.map((term) => claim(term, its.filter(([, reading]) => reading.term === term), readings, seen.has(term)));
      terms.forEach((term) => seen.add(term));
      nodes.push(["ul", { class: "ht-told-list" }, ...items]);
    }
    return section(level, "parts", "explained", ...nodes);
  }

  function claim(term, same, all, told) {
    const first = same[0][1];
    const short = told ? say(first.caution ? "above-caution" : "above") : entryOf(term).in_short;
    const nodes = [["p", { class: "ht-told-name" }, link(term)], ["p", { class: "ht-told-short" }, short]];
    let band = "";
    for (const [number, reading] of same) {
      nodes.push(figure(number, reading));
      if (reading.band && JSON.stringify(reading.band) !== band) {
        band = JSON.stringify(reading.band);
        const says = ["span", {}, say("band", { says: reading.band.says })];
        nodes.push(["p", { class: "ht-told-band" }, says, " ", ["span", { class: "ht-basis" }, reading.basis]]);
      }
      nodes.push(...reading.also_possible.map(either));
    }
    if (first.caution && !told) nodes.push(["p", { class: "ht-told-caution" }, first.caution]);
    const links = same.filter(([, reading]) => reading.fills).map(([, reading]) => fill(reading, all));
    nodes.push(...unique(links.map((one) => JSON.stringify(one))).map((one) => JSON.parse(one)));
    if (told) return ["li", {}, ...nodes];
    const why = unique(same.map(([, reading]) => reading.because)).map((one) => ["p", {}, one]);
    const asked = first.ask.length ? [["ul", {}, ...first.ask.map((question) => ["li", {}, question])]] : [];
    nodes.push(["details", { class: "ht-told-more" }, ["summary", {}, say("more")], ...asked, ...why]);
    return ["li", {}, ...nodes];
  }

  function figure(number, reading) {
    const nodes = [
      ["span", { class: "ht-told-n" }, String(number)],
      " ",
      ["bdi", { class: "ht-told-printed", translate: "no" }, say("printed", { text: reading.text })],
    ];
    if (reading.value !== null) {
      nodes.push(" ", ["span", { class: "ht-told-value" }, ...value(reading)]);
      const listed = reading.other_units.flatMap((other) => [" ", quantity(other.text, other.unit)]);
      if (listed.length) nodes.push(" ", ["span", { class: "ht-told-others" }, ...listed.slice(1)]);
    }
    return ["p", { class: "ht-told-figure" }, ...nodes];
  }

  function value(reading) {
    const nodes = [];
    if (reading.role) nodes.push(say("value", { role: spaced(reading.role) }));
    if (reading.bound !== "exact") nodes.push(say("bound-" + dashed(reading.bound)));
    return [...nodes, quantity(numbers.show(reading.value), reading.unit)];
  }

  function quantity(number, unit) {
    const nodes = ["span", { class: "ht-q", translate: "no" }, ...grouped(number)];
    const [prints, says] = tag.page.units[unit];
    if (prints) {
      nodes.push(["span", { class: "ht-u", "aria-hidden": "true" }, (prints === "°" ? "" : " ") + prints]);
      nodes.push(["span", { class: "ht-heard" }, " " + says]);
    }
    return nodes;
  }

  function either(other) {
    const nodes = [say("either", { name: entryOf(other.term).name })];
    if (other.value !== null) nodes.push(say("either-value"), quantity(numbers.show(other.value), other.unit));
    return ["p", { class: "ht-told-either" }, ...nodes, ". " + other.because];
  }

  function fill(reading, all) {
    const { calculator, input } = reading.fills;
    const values = new Map([[input, inAddress(reading)]]);
    for (const other of all) {
      const its = other.fills;
      if (its && its.calculator === calculator && other.part === reading.part && !values.has(its.input)) {
        values.set(its.input, inAddress(other));
      }
    }
    const query = [...values.keys()].sort().map((name) => name + "=" + values.get(name)).join("&");
    const question = say("fill", { question: tag.page.calculators[calculator] });
    return ["p", { class: "ht-told-fill" }, ["a", { to: "calculators/" + calculator + "/?" + query }, question]];
  }

  const inAddress = (reading) =>
    encodeURIComponent(numbers.showPlain(reading.value, 12, 12) + tag.page.units[reading.unit][2]).replace(/%2F/g, "/");

  // ------------------------------------------------------------------------------------ the text, and the rest

  function ownText(its, level) {
    const marks = [
      ...its.readings.map(({ start, end, term }, at) =>
        [start, end, "read", String(at + 1), say("heard-read", { number: String(at + 1), name: entryOf(term).name })]),
      ...its.cautions.map(({ start, end }) => [start, end, "danger", "", say("heard-danger")]),
      ...its.unread.map(({ start, end }) => [start, end, "unread", "", say("heard-unread")]),
    ];
    if (!marks.length) return null;
    const text = Array.from(its.text);
    const nodes = [];
    let at = 0;
    for (const [start, end, kind, number, heard] of marks.sort((one, other) => one[0] - other[0])) {
      if (start < at) continue;
      if (start > at) nodes.push(text.slice(at, start).join(""));
      const sign = number ? [["sup", { "aria-hidden": "true" }, number]] : [];
      const told = ["span", { class: "ht-heard" }, " " + heard + " "];
      nodes.push(["mark", { class: "ht-mark-" + kind }, text.slice(start, end).join(""), ...sign, told]);
      at = end;
    }
    if (at < text.length) nodes.push(text.slice(at).join(""));
    const own = ["p", { class: "ht-told-own", dir: "auto", translate: "no" }, ...nodes];
    return section(level, "text", "text", own, ["p", { class: "ht-uses" }, say("text-lead")]);
  }

  function cautions(its, level) {
    if (!its.cautions.length) return null;
    const items = unique(its.cautions.map((one) => one.caution)).map((caution) => {
      const words = unique(its.cautions.filter((one) => one.caution === caution).map((one) => one.text)).join(", ");
      return ["li", {}, ["bdi", { class: "ht-told-word" }, words], " ", caution];
    });
    return section(level, "cautions", "cautions", ["ul", {}, ...items]);
  }

  function unread(its, level) {
    if (!its.unread.length) return null;
    const items = unique(its.unread.map((one) => one.text)).map((text) =>
      ["li", {}, ["bdi", { translate: "no" }, say("printed", { text })]]);
    return section(level, "unread", "unread", ["p", {}, say("unread-lead")], ["ul", {}, ...items]);
  }

  function clashes(its, level) {
    if (!its.contradictions.length) return null;
    const items = its.contradictions.map(({ certain, because }) =>
      ["li", {}, ["strong", {}, say(certain ? "certain" : "possible")], " ", because]);
    return section(level, "clashes", "clashes", ["ul", {}, ...items]);
  }

  function missing(its, level) {
    if (!its.missing.length) return null;
    const items = its.missing.map(({ term }) =>
      ["li", {}, link(term), " ", ["span", { class: "ht-told-short" }, entryOf(term).in_short]]);
    return section(level, "missing", "missing", ["p", {}, say("missing-lead")], ["ul", {}, ...items]);
  }

  function questions(its, level) {
    if (!its.questions.length) return null;
    return section(level, "ask", "questions", ["ol", {}, ...its.questions.map((question) => ["li", {}, question])]);
  }

  // ------------------------------------------------------------------------------------------- side by side

  function sideBySide(rows, count) {
    const names = Array.from({ length: count }, (_, at) => say("sides-tag", { number: String(at + 1) }));
    const heads = [say("sides-what"), ...names, say("sides-says")];
    const head = ["tr", { role: "row" }, ...heads.map((name) => ["th", { role: "columnheader", scope: "col" }, name])];
    const table = [
      "table",
      { class: "ht-sides", role: "table", "data-tags": String(count) },
      ["thead", { role: "rowgroup" }, head],
      ["tbody", { role: "rowgroup" }, ...rows.map((row) => rowOf(row, names))],
    ];
    return section(2, "sides", "sides", ["p", { class: "ht-uses" }, say("sides-lead")], table);
  }

  function rowOf(row, names) {
    const of = [row.part, spaced(row.role || "")].filter(Boolean);
    const told = of.length ? [" ", ["span", { class: "ht-told-of" }, of.join(", ")]] : [];
    const cells = row.cells.map((cell, at) => {
      let its = ["span", { class: "ht-none" }, say("sides-silent")];
      if (cell && cell.value === null) its = ["bdi", { translate: "no" }, say("printed", { text: cell.text })];
      else if (cell) its = quantity(cell.value, row.unit);
      return ["td", { role: "cell", "data-label": names[at] }, its];
    });
    const head = ["th", { role: "rowheader", scope: "row" }, link(row.term), ...told];
    return ["tr", { role: "row" }, head, ...cells, ["td", { role: "cell", class: "ht-sides-says" }, row.says]];
  }

  // ------------------------------------------------------------------------------------------------ numbers, nodes

  function grouped(/** @type {string} */ text) {
    const [, sign, digits, rest] = /^([-\u2212]*)([^.]*)([^]*)$/.exec(text) || [];
    if (!/^[0-9]{5,}$/.test(digits)) return [text];
    const first = digits.length % 3 || 3;
    const groups = digits.slice(first).match(/.../g) || [];
    return [sign + digits.slice(0, first), ...groups.map((group) => ["span", { class: "ht-g" }, group]), ...(rest ? [rest] : [])];
  }

  /** A tree as nodes of the page. @param {any} node @param {(to: string) => string} address of a page of the site */
  function built(node, address) {
    if (typeof node === "string") return document.createTextNode(node);
    const [name, attributes, ...nodes] = node;
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) {
      made.setAttribute(key === "to" ? "href" : key, key === "to" ? address(value) : value);
    }
    made.append(...nodes.map((each) => built(each, address)));
    return made;
  }

  Object.assign(tag, { say, explained, sideBySide, built });
})();
