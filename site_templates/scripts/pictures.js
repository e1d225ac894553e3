/**
 * Redraws a calculator's picture with the reader's values: a ladder whose rungs each add their part, or steps over the
 * whole numbers of a field. Marks are placed as in hangtag/browser/pictures.py.
 */
window.hangtag = window.hangtag || {};
(function () {
  "use strict";
  const { numbers, slots, units } = hangtag;

  const MOST = 60;
  const TOP = 4;
  const THINNEST = 0.6;

  const percent = (/** @type {number} */ value) => numbers.showPlain(value, 6, 3) + "%";

  function written(step, number) {
    return numbers.show(number, step.digits, step.places, step.whole);
  }

  /** Rungs from the lowest up. @param {Map<string, number>} results */
  function ladder(calculator, figure, results) {
    const { of } = calculator.data.picture;
    const top = Math.max(...of.map((name) => Math.abs(results.get(name))));
    let below = 0;
    of.forEach((name, index) => {
      const step = calculator.data.steps.find((one) => one.name === name);
      const total = results.get(name);
      const rung = figure.querySelector('[data-rung="' + name + '"]');
      const [x, width] = span(below, total, top);
      const bar = rung.querySelector("rect");
      bar.setAttribute("x", percent(x));
      bar.setAttribute("width", percent(width));
      const part = written(step, units.fromSi(Math.abs(total - below), step.unit) - units.fromSi(0, step.unit));
      const sign = total < below ? "\u2212 " : "+ ";
      rung.querySelector("[data-part-of]").textContent = index ? slots.measured(sign + part, step.unit) : "";
      below = total;
    });
  }

  function span(below, total, top) {
    if (!top || below === total) return [top ? (Math.max(0, Math.min(below, total)) / top) * 100 : 0, 0];
    const [start, end] = [(Math.max(0, below) / top) * 100, (Math.max(0, total) / top) * 100].sort((a, b) => a - b);
    return [Math.min(start, 100 - THINNEST), Math.max(end - start, THINNEST)];
  }

  /** A step for each whole number of the field that has an answer, with the other fields as they are. */
  function steps(calculator, figure) {
    const { of, across } = calculator.data.picture;
    const step = calculator.data.steps.find((one) => one.name === of[0]);
    const field = calculator.fields.find((one) => one.name === across);
    const [unit] = field.data.units;
    const [low, high] = [field.data.low, field.data.high].map(([number, its]) => units.fromSi(units.toSi(number, its), unit));
    const values = calculator.values();
    const here = values.get(across);
    const found = [];
    const first = Math.ceil(low);
    for (let at = first; at <= Math.min(Math.floor(high), first + MOST - 1); at += 1) {
      const si = units.toSi(at, unit);
      const { results } = calculator.tried(values.set(across, si));
      if (results) found.push({ at, here: si === here, value: units.fromSi(results.get(of[0]), step.unit) });
    }
    const drawing = figure.querySelector("svg");
    const height = Number(drawing.getAttribute("height"));
    const top = Math.max(...found.map(({ value }) => Math.abs(value)));
    const wide = 100 / Math.max(found.length, 1);
    const bar = (one, index) => {
      const tall = top ? ((height - TOP) * Math.max(one.value, 0)) / top : 0;
      const rectangle = document.createElementNS(drawing.namespaceURI, "rect");
      const places = { x: percent(index * wide), y: numbers.showPlain(height - tall, 6, 2), width: percent(wide), height: numbers.showPlain(tall, 6, 2) };
      rectangle.setAttribute("class", one.here ? "ht-stair ht-stair-here" : "ht-stair");
      for (const [name, value] of Object.entries(places)) rectangle.setAttribute(name, value);
      return rectangle;
    };
    drawing.replaceChildren(...found.map(bar));
    const list = figure.querySelector("ol");
    list.replaceChildren(...found.map((one) => line(figure, one, slots.measured(written(step, one.value), step.unit))));
  }

  /** One step in text: the number of the field, and the answer there. */
  function line(figure, one, text) {
    const item = figure.querySelector("template").content.cloneNode(true).firstElementChild;
    if (one.here) item.setAttribute("aria-current", "true");
    item.querySelector("[data-at]").textContent = numbers.show(one.at);
    item.querySelector(".ht-stair-value").textContent = text;
    return item;
  }

  hangtag.pictures = function (calculator, figure) {
    const draw = () => {
      if (calculator.data.picture.kind === "steps") return steps(calculator, figure);
      const { results } = calculator.tried(calculator.values());
      if (results) ladder(calculator, figure, results);
    };
    calculator.addEventListener("hangtag-values", draw);
    draw();
  };
})();
