/**
 * The marker on a drawn scale: moved by the reader's own number in the field beside it, by `?value=` in the address and
 * by the calculators of the page, whose fields on this scale take the reader's number too.
 * The figure is complete without this. Must not know formulas.
 */
window.hangtag = window.hangtag || {};
hangtag.scales = (function () {
  "use strict";
  const { fields, numbers, slots, units } = hangtag;

  const REST = 800; // milliseconds after the last key, as in a calculator
  const DIGITS = 8;
  const LONGEST = 80; // characters of an address that the field shows
  /** @type {Map<Element, {field: QuantityField, unit: string, timer?: number}>} by figure */
  const own = new Map();

  /**
   * Moves the marker of every figure of one entry's scale, and its words with it.
   * @param {string} entry
   * @param {number} si
   */
  function mark(entry, si) {
    for (const figure of document.querySelectorAll("[data-scale]")) {
      if (figure.getAttribute("data-scale") === entry) markFigure(figure, si);
    }
  }

  /**
   * @param {Element} figure carries `data-from`, `data-to` (SI), `data-unit` and `data-limits`
   * @param {number} si
   */
  function markFigure(figure, si) {
    figure.setAttribute("data-here", String(si));
    const from = Number(figure.getAttribute("data-from"));
    const width = Number(figure.getAttribute("data-to")) - from;
    const spread = Number(figure.getAttribute("data-spread") || 0);
    const unit = figure.getAttribute("data-unit") || "";
    const percent = (/** @type {number} */ value) => Math.min(100, Math.max(0, ((value - from) / width) * 100));
    const at = percent(si);
    const text = slots.measured(numbers.show(units.fromSi(si, unit)), unit);

    const set = (/** @type {string} */ part, /** @type {Object<string, string>} */ attributes) => {
      const element = figure.querySelector(part);
      if (element) Object.entries(attributes).forEach(([name, value]) => element.setAttribute(name, value));
      return element;
    };
    set(".ht-mark", { x: at + "%" });
    const value = set(".ht-mark-value", {
      x: at + "%",
      "text-anchor": at < 20 ? "start" : at > 80 ? "end" : "middle",
    });
    if (value) slots.setNumber(value, text);
    const ends = [percent(si * (1 - spread)), percent(si * (1 + spread))].sort((a, b) => a - b);
    set(".ht-spread", { x: ends[0] + "%", width: ends[1] - ends[0] + "%" });

    const band = String(slots.bandOf(figure.getAttribute("data-limits") || "", si));
    let words = "";
    for (const item of figure.querySelectorAll("[data-band]")) {
      const current = item.getAttribute("data-band") === band;
      item.toggleAttribute("data-current", current);
      if (!current) continue;
      const says = item.querySelector(".ht-says") || item;
      words = says.textContent.trim();
      const reading = figure.querySelector(".ht-reading-says");
      if (reading) reading.replaceChildren(...says.cloneNode(true).childNodes);
    }
    const reading = figure.querySelector(".ht-reading-value");
    if (reading) slots.setNumber(reading, text);
    showOwn(figure, si);
    const described = figure.querySelector("desc");
    if (described) described.textContent = slots.say(figure, "scale-desc", { value: text, band: words });
  }

  /** The scale of the field that changed follows it; a scale that only an answer sits on follows the answer. */
  function follow(calculator, results, changed) {
    const marked = new Set();
    for (const field of calculator.fields) {
      const scale = field.element.getAttribute("data-scale-of");
      if (!scale || marked.has(scale)) continue;
      marked.add(scale);
      if (field === changed) mark(scale, field.si);
    }
    for (const place of calculator.querySelectorAll("[data-step][data-scale-of]")) {
      const scale = place.getAttribute("data-scale-of");
      if (!marked.has(scale)) mark(scale, results.get(place.getAttribute("data-step")));
      marked.add(scale);
    }
  }

  /** The field follows a marker that something else has moved. */
  function showOwn(figure, si) {
    const its = own.get(figure);
    if (!its) return;
    const { field } = its;
    const unit = figure.getAttribute("data-unit");
    const switched = unit !== its.unit; // the reader prefers another system
    if (switched && field.select) field.unit = field.select.value = unit;
    its.unit = unit;
    if (!switched && !field.fault && field.si === si) return;
    field.control.value = numbers.show(units.fromSi(si, field.unit), DIGITS);
    field.read();
    showFault(figure, field);
  }

  function showFault(figure, { control, fault }) {
    control.toggleAttribute("aria-invalid", false);
    if (fault) control.setAttribute("aria-invalid", "true");
    slots.setLine(figure.querySelector("[data-error]"), fault ? slots.say(figure, fault.code, fault.values) : "");
  }

  /** What the reader typed goes to the marker, and to the first field of each calculator that sits on this scale. */
  function take(figure, field) {
    slots.setLine(figure.querySelector("[data-echo]"), field.echo());
    if (field.fault) return;
    showFault(figure, field);
    markFigure(figure, field.si);
    const entry = figure.getAttribute("data-scale");
    for (const calculator of document.querySelectorAll("hangtag-calculator[data-live]")) {
      const other = calculator.fields.find((one) => one.element.getAttribute("data-scale-of") === entry);
      if (!(other instanceof fields.QuantityField)) continue;
      const offered = other.data.units.includes(field.shown.unit);
      if (offered && other.select) other.unit = other.select.value = field.shown.unit;
      other.set(offered ? numbers.show(field.shown.number, 15, 15) : field.address());
      calculator.recalculate(false);
      calculator.showFault(other);
    }
  }

  /** 800 ms after the last key: a mistake in words, and one announcement. */
  function rest(figure, field) {
    showFault(figure, field);
    const { fault } = field;
    const reading = figure.querySelector(".ht-reading").textContent.trim().replace(/\s+/g, " ");
    const text = fault ? slots.say(figure, fault.code, fault.values) : reading;
    const status = figure.querySelector("[role=status]");
    if (status.textContent !== text) status.textContent = text;
  }

  /** @param {Element} figure */
  function startOwn(figure) {
    const element = figure.querySelector("[data-own]");
    if (!element) return;
    const offered = figure.getAttribute("data-units").split(" ");
    const least = Number(figure.getAttribute("data-from")) < 0 ? -Infinity : 0;
    const limits = { low: [least, offered[0]], high: [Infinity, offered[0]] };
    const field = new fields.QuantityField(element, { name: "own", units: offered, ...limits });
    const its = { field, unit: offered[0] };
    own.set(figure, its);
    element.addEventListener("input", (event) => {
      if (event.target === field.select) field.switchUnit();
      else field.read();
      take(figure, field);
      clearTimeout(its.timer);
      its.timer = setTimeout(() => rest(figure, field), REST);
    });
    element.addEventListener("focusout", () => {
      field.tidy();
      showFault(figure, field);
    });
  }

  /** Takes `?value=1500mm` on an entry's own page. The scripts of calculators are here already. */
  function readAddress() {
    const typed = new URLSearchParams(location.search).get("value");
    if (typed === null) return;
    for (const [figure, { field }] of own) {
      if (!slots.isPage("terms/" + figure.getAttribute("data-scale"))) continue;
      field.control.value = typed;
      field.read();
      if (field.fault) field.control.value = typed.slice(0, LONGEST);
      else markFigure(figure, field.si);
      field.tidy();
      showFault(figure, field);
    }
  }

  document.querySelectorAll("[data-scale]").forEach(startOwn);
  readAddress();
  return { mark, markFigure, follow };
})();
