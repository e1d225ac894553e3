/**
 * Where else words stand: the whole text of every entry, and every calculator's question. Loaded when a reader asks for
 * it; the texts follow below, written by hangtag/browser/finder.py. Must not rank: an entry that has every word is
 * listed, in the order of the book, with the sentence in which the first of them stands.
 */
(function () {
  "use strict";
  const { finder, words } = hangtag;
  const MOST = 10;
  const LONGEST = 160; // characters of a sentence
  /** @type {Array<[string, string, string]>} page, name, text */
  let texts = [];
  let says = { some: "", none: "" };

  /** @param {string} text */
  const stems = (text) => words.tokens(text).filter(({ kind }) => kind !== "mark").map(({ folded }) => finder.stem(folded));

  /** @param {string} typed @param {Array<{page: string}>} results what is listed already */
  finder.mentioned = function (typed, results) {
    const all = stems(typed);
    const wanted = all.filter((word) => !finder.isStop(word));
    const looked = new Set(wanted.length ? wanted : all);
    if (!looked.size) return [];
    const found = [];
    for (const [page, name, text] of texts) {
      if (results.some((result) => result.page === page)) continue;
      const its = new Set(stems(name + " " + text));
      if (![...looked].every((word) => its.has(word))) continue;
      const sentences = text.split(/(?<=[.?!])\s+/);
      const sentence = sentences.find((one) => stems(one).some((word) => looked.has(word))) || "";
      found.push({ page, name, text: sentence.length > LONGEST ? sentence.slice(0, LONGEST) + " …" : sentence });
      if (found.length === MOST) break;
    }
    return found;
  };

  /**
   * Puts the list in the place of the button that asked for it.
   * @param {{query: string, results: Array<{page: string}>}} found @param {HTMLElement} button
   * @param {(page: string) => string} address
   */
  finder.mention = function (found, button, address) {
    const places = finder.mentioned(found.query, found.results);
    const part = document.createElement("div");
    const head = document.createElement("p");
    const list = document.createElement("ul");
    head.tabIndex = -1;
    head.textContent = says[places.length ? "some" : "none"];
    for (const { name, page, text } of places) {
      const [item, link, sentence] = ["li", "a", "span"].map((tag) => document.createElement(tag));
      link.href = address(page);
      link.textContent = name;
      sentence.textContent = text;
      item.append(link, " ", sentence);
      list.append(item);
    }
    part.append(head, list);
    if (button.nextElementSibling) button.nextElementSibling.remove();
    button.after(part);
    head.focus();
    button.hidden = true;
  };

  /** @param {{some: string, none: string}} labels @param {Array<[string, string, string]>} given */
  finder.define = function (labels, given) {
    says = labels;
    texts = given;
  };
})();
