/**
 * Everything of a page in the units that its reader prefers: fields, answers, scales, worked examples. "As printed" brings
 * back what stood there. Numbers are converted by one exact fraction from what was typed or printed, never twice.
 * Loaded by theme.js once a system is chosen. Must not read storage: the choice stands on the root element.
 */
(function () {
  "use strict";
  const { numbers, slots, units } = hangtag;
  const WIDTH = 288; // of a scale on the narrowest screen, and of a digit with its share of the gaps
  const DIGIT = 13.5;

  /** The unit to show out of those offered, the printed one first: that one, unless it belongs to the other system. */
  function preferred(/** @type {string[]} */ offered) {
    const wanted = document.documentElement.dataset.units;
    const of = (/** @type {string} */ id) => units.get(id).y;
    if (!wanted || !of(offered[0]) || of(offered[0]) === wanted) return offered[0];
    return offered.find((id) => of(id) === wanted) || offered.find((id) => !of(id)) || offered[0];
  }

  /** @param {HTMLSelectElement} select @returns {boolean} whether the unit is another one now */
  function choose(select) {
    const printed = select.querySelector("[selected]") || select.options[0];
    const unit = preferred([printed.value, ...[...select.options].map((option) => option.value)]);
    if (select.value === unit) return false;
    select.value = unit;
    return true;
  }

  /** @param {HangtagCalculator} calculator @param {boolean} asked whether the reader has just chosen */
  function showCalculator(calculator, asked) {
    const atStart = calculator.addresses().join("&") === calculator.startAddress;
    for (const field of calculator.fields) {
      if (field.select && choose(field.select)) field.switchUnit();
      for (const select of field.element.querySelectorAll("select[data-unit-for]")) {
        if (choose(select)) field.read(select);
      }
    }
    for (const step of calculator.data.steps) {
      if (!step.units) continue;
      step.unit = preferred(step.units);
      const others = step.units.filter((id) => id !== step.unit);
      const places = calculator.querySelectorAll('[data-step="' + step.name + '"] [data-in]');
      places.forEach((place, i) => place.setAttribute("data-in", others[i]));
    }
    calculator.recalculate(false);
    if (atStart) calculator.startAddress = calculator.addresses().join("&");
    else if (asked) calculator.writeAddress();
  }

  /** What stood in an element at first. @type {WeakMap<Element, Node[]>} */
  const printed = new WeakMap();

  function keep(/** @type {Element} */ element) {
    if (!printed.has(element)) printed.set(element, [...element.childNodes].map((node) => node.cloneNode(true)));
    element.replaceChildren(...printed.get(element).map((node) => node.cloneNode(true)));
  }

  /** A printed number with its unit, to no more figures than its author gave, and no fewer than four. */
  function showQuantity(/** @type {HTMLElement} */ element) {
    const [number, ...offered] = element.dataset.q.split(" ");
    const unit = preferred(offered);
    keep(element);
    if (unit === offered[0]) return;
    const digits = Math.max(4, number.replace(/^[-0.]+|\./g, "").length);
    const gap = slots.measured("", unit) === units.get(unit).p ? "" : " ";
    const [symbol, heard] = ["ht-u", "ht-heard"].map((name) => {
      const span = document.createElement("span");
      span.className = name;
      return span;
    });
    symbol.setAttribute("aria-hidden", "true");
    symbol.textContent = gap + units.get(unit).p;
    heard.textContent = " " + units.get(unit).s;
    slots.setNumber(element, numbers.show(Number(units.convertText(number, offered[0], unit)), digits));
    element.append(symbol, heard);
  }

  /** The bar of a scale keeps its ends; its numbers are round ones of the unit. */
  function showScale(/** @type {HTMLElement} */ figure) {
    const offered = figure.dataset.units.split(" ");
    const unit = preferred(offered);
    const [bar, name] = ["svg", "[data-unit-name]"].map((part) => figure.querySelector(part));
    if (unit === figure.dataset.unit) return;
    figure.dataset.unit = unit;
    [bar, name].forEach(keep);
    if (unit !== offered[0]) {
      const { p, s } = units.get(unit);
      name.textContent = p + (p === s ? "" : " (" + s + ")");
      showTicks(bar, Number(figure.dataset.from), Number(figure.dataset.to), unit);
      const value = (/** @type {string} */ si) => slots.measured(numbers.show(units.fromSi(Number(si), unit)), unit);
      const term = figure.querySelector("[data-term]").textContent;
      bar.querySelector("title").textContent = slots.say(figure, "scale-title", { term, low: value(figure.dataset.from), high: value(figure.dataset.to) });
    }
    hangtag.scales.markFigure(figure, Number(figure.dataset.here));
  }

  function showTicks(bar, from, to, unit) {
    const found = [5, 4, 3, 2, 1]
      .map((most) => ({ most, ticks: numbers.rounds(units.fromSi(from, unit), units.fromSi(to, unit), most) }))
      .find(({ most, ticks }) => most === 1 || WIDTH / most >= Math.max(...ticks.map((tick) => numbers.show(tick, 15).length)) * DIGIT);
    const [lines, texts] = [".ht-tick", ".ht-tick-number"].map((part) => bar.querySelectorAll(part));
    for (const tick of found.ticks) {
      const at = ((units.toSi(tick, unit) - from) / (to - from)) * 100;
      const line = lines[0].cloneNode();
      line.setAttribute("x1", at + "%");
      line.setAttribute("x2", at + "%");
      const text = texts[0].cloneNode();
      text.setAttribute("x", at + "%");
      text.setAttribute("text-anchor", at < 1e-6 ? "start" : at > 100 - 1e-6 ? "end" : "middle");
      slots.setNumber(text, numbers.show(tick, 15));
      lines[0].before(line, text);
    }
    for (const old of [...lines, ...texts]) old.remove();
  }

  function showAll(/** @type {boolean} */ asked) {
    document.querySelectorAll("hangtag-calculator[data-live]").forEach((calculator) => showCalculator(calculator, asked));
    document.querySelectorAll("[data-q]").forEach(showQuantity);
    document.querySelectorAll("figure[data-scale]").forEach(showScale);
    document.documentElement.dataset.unitsShown = document.documentElement.dataset.units;
  }

  document.addEventListener("hangtag-live", (event) => showCalculator(event.target, false));
  document.addEventListener("hangtag-units", () => showAll(true));
  showAll(false);
})();
