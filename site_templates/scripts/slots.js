/**
 * The places of a page that a script fills: numbers with their unit, words by name, bands.
 * Everything is set as text; no markup is ever built from a string. Must not know calculators or scales.
 */
window.hangtag = window.hangtag || {};
hangtag.slots = (function () {
  "use strict";
  const { numbers, units } = hangtag;

  /** @type {Map<string, Object<string, string>>} */
  const tables = new Map();

  /**
   * Takes some of one language's labels and messages; what is generated before each script calls it.
   * @param {string} language
   * @param {Object<string, string>} table
   */
  function define(language, table) {
    tables.set(language, { ...tables.get(language), ...table });
  }

  /**
   * @param {Element} element any element of the page
   * @returns {string} the language its text is in
   */
  function languageOf(element) {
    const marked = element.closest("[lang]");
    return (marked && marked.getAttribute("lang")) || "en";
  }

  /**
   * One message with its holes filled.
   * @param {Element} element where it will stand: its language decides
   * @param {string} name
   * @param {Object<string, string>} [values]
   */
  function say(element, name, values) {
    const table = tables.get(languageOf(element)) || tables.get("en") || {};
    return (table[name] || name).replace(/\{(\w+)\}/g, (hole, key) =>
      values && Object.hasOwn(values, key) ? values[key] : hole,
    );
  }

  /**
   * Sets a number's text, its whole digits in threes from five on (a style draws the gaps, in a drawing an offset).
   * @param {Element} element
   * @param {string} text a number, perhaps with its unit
   */
  function setNumber(element, text) {
    const parts = /^(\D*)(\d{5,})(.*)$/.exec(text) || ["", text, "", ""];
    const first = parts[2].length % 3 || 3;
    element.textContent = parts[1] + parts[2].slice(0, first);
    for (let at = first; at < parts[2].length; at += 3) {
      const drawn = element.localName === "text";
      const group = document.createElementNS(element.namespaceURI, drawn ? "tspan" : "span");
      if (drawn) group.setAttribute("dx", "2");
      else group.setAttribute("class", "ht-g");
      group.textContent = parts[2].slice(at, at + 3);
      element.append(group);
    }
    element.append(parts[3]);
  }

  /**
   * A unit's printed form with the gap before it, as it follows a number.
   * @param {string} unit a unit's id
   */
  function symbolOf(unit) {
    const printed = unit === "plain" ? "" : units.get(unit).p;
    return printed && printed !== "°" ? "\u00a0" + printed : printed;
  }

  /**
   * A number and its unit as people print it.
   * @param {string} text
   * @param {string} unit a unit's id
   */
  function measured(text, unit) {
    return text + symbolOf(unit);
  }

  /**
   * One text, or both ends of a range as one: `0.04 to 0.08`.
   * @param {Element} element where it will stand
   * @param {string[]} texts
   */
  function joined(element, [low, high]) {
    return high === undefined ? low : say(element, "field-between", { low, high });
  }

  /**
   * Fills one `[data-value]` place: the number or both ends of a range, the unit as printed and as spoken. A place of a
   * formula holds all as one text, in brackets where it would be misread.
   * @param {Element} slot
   * @param {string[]} texts
   * @param {string} unit a unit's id
   */
  function fill(slot, texts, unit) {
    const number = slot.querySelector("[data-number]");
    if (!number) {
      const whole = measured(joined(slot, texts), unit);
      const bare = slot.hasAttribute("data-result") || (texts.length < 2 && !whole.startsWith("\u2212"));
      slot.textContent = bare ? whole : "(" + whole + ")";
      return;
    }
    setNumber(number, texts[0]);
    const high = slot.querySelector("[data-high]");
    if (high) {
      setNumber(high, texts[1] ?? "");
      high.parentElement.toggleAttribute("hidden", texts.length < 2);
    }
    slot.querySelector("[data-symbol]").textContent = symbolOf(unit);
    slot.querySelector("[data-says]").textContent = symbolOf(unit) && " " + units.get(unit).s;
  }

  /**
   * Which band a value falls in. A limit is compared in its own unit, on the value snapped to 15 significant digits:
   * on the way through SI the last bit of a value may change.
   * @param {string} limits such as `1000 mmH2O; 20 kPa =`; the last sign marks a limit that belongs to its band
   * @param {number} si
   * @returns {number} the band's place, counted from 0
   */
  function bandOf(limits, si) {
    const list = limits ? limits.split(";") : [];
    const at = list.findIndex((limit) => {
      const [number, unit, included] = limit.trim().split(" ");
      const value = numbers.snap(units.fromSi(si, unit));
      return included ? value <= Number(number) : value < Number(number);
    });
    return at < 0 ? list.length : at;
  }

  /**
   * Shows the one child of `[data-limits]` that says what such a value is commonly used for.
   * @param {Element} element
   * @param {number} si
   */
  function showBand(element, si) {
    const band = String(bandOf(element.getAttribute("data-limits") || "", si));
    for (const words of element.querySelectorAll("[data-band]")) {
      words.toggleAttribute("hidden", words.getAttribute("data-band") !== band);
    }
  }

  /**
   * Sets a line's words, and hides it while it has none.
   * @param {Element | null} element
   * @param {string} text
   */
  function setLine(element, text) {
    if (!element) return;
    (element.querySelector("[data-words]") || element).textContent = text;
    element.toggleAttribute("hidden", text === "");
  }

  const script = /** @type {HTMLScriptElement | null} */ (document.currentScript);
  const root = new URL("..", script ? script.src : location.href);

  /**
   * Whether this is the page at a permanent address, on the web or from disk.
   * @param {string} address such as `calculators/down-loft`
   */
  function isPage(address) {
    const path = new URL(address, root).pathname;
    return [path, path + "/", path + "/index.html", path + ".html"].includes(location.pathname);
  }

  return { define, languageOf, say, measured, joined, setNumber, fill, bandOf, showBand, setLine, isPage, root };
})();
