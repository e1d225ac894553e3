/**
 * The picture of one answer across one field, redrawn with the reader's values: the same as hangtag/browser/curve.py.
 * Must not read fields: the calculator hands out its values, its results and their ends.
 */
(function () {
  "use strict";
  const { numbers, slots, units } = hangtag;
  const { fromSi, toSi } = units;
  const [LAST, TOP, HEIGHT] = [59, 26, 200];
  const short = (/** @type {number} */ value) => numbers.showPlain(value, 5, 2);

  /** As many marks or rows as there are round numbers, each a copy of the first. */
  function mark(group, ticks, fill) {
    const copies = ticks.map((tick) => {
      const copy = group.firstElementChild.cloneNode(true);
      slots.setNumber(copy.firstElementChild, numbers.show(tick, 15, 15));
      fill(copy, tick);
      return copy;
    });
    group.replaceChildren(...copies);
  }

  /** @param {HangtagCalculator} calculator @param {HTMLElement} figure */
  function draw(calculator, figure) {
    const { of, low, high, none, between } = figure.dataset;
    const field = calculator.fields.find((one) => one.name === figure.dataset.across);
    const step = calculator.data.steps.find((one) => one.name === of);
    const find = (/** @type {string} */ selector) => figure.querySelector(selector);
    const { si, shown } = field;
    const left = Math.min(low, si);
    const width = Math.max(high, si) - left;
    const uncertain = calculator.uncertain?.().size;

    /** Both ends of the answer and its middle, in its unit. */
    function at(/** @type {number} */ value) {
      const { results, ends } = calculator.tried(calculator.values().set(field.name, value));
      if (!results) return null;
      const middle = results.get(of);
      const { low, high } = ends ? ends.get(of) : { low: middle, high: middle };
      return [low, middle, high].map((one) => fromSi(one, step.unit));
    }

    function text(/** @type {number[] | null} */ value) {
      if (!value) return none;
      const [first, middle, last] = value.map((one) => numbers.show(one, step.digits, step.places, step.whole));
      return first === last ? middle : between.replace("{low}", first).replace("{high}", last);
    }

    const tried = Array.from({ length: LAST + 1 }, (_, i) => left + width * (i / LAST));
    const values = tried.map(at);
    const now = at(si);
    const reached = [...values, now].flatMap((value) => value || []);
    let [bottom, top] = reached.length ? [Math.min(...reached), Math.max(...reached)] : [0, 0];
    if (bottom > 0 && bottom < top / 2) bottom = 0;
    if (top - bottom <= Math.abs(top) * 1e-9) [bottom, top] = [bottom - 1, top + 1];
    const levels = numbers.rounds(bottom, top, 4, true);
    [bottom, top] = [levels[0], levels.at(-1)];
    const x = (/** @type {number} */ value) => ((value - left) / width) * 100;
    const across = (/** @type {number} */ value) => short(x(value)) + "%";
    const level = (/** @type {number} */ value, above = 0) => short(above + ((top - value) / (top - bottom)) * HEIGHT);

    let [line, ribbon] = ["", ""];
    const place = (/** @type {number} */ i, /** @type {number} */ end) => short(x(tried[i])) + " " + level(values[i][end]);
    values.forEach((value, i) => {
      const joined = values[i - 1];
      if (value) line += (joined ? "L" : "M") + place(i, 1);
      if (value && joined && uncertain) ribbon += "M" + [place(i - 1, 0), place(i, 0), place(i, 2), place(i - 1, 2)].join("L") + "Z";
    });
    find(".ht-line").setAttribute("d", line);
    find(".ht-ribbon").setAttribute("d", ribbon);

    mark(find(".ht-plot-y"), levels, (copy, tick) => copy.setAttribute("y", level(tick, TOP)));
    const ticks = numbers.rounds(fromSi(left, shown.unit), fromSi(left + width, shown.unit), 4);
    mark(find(".ht-plot-x"), ticks, (copy, tick) => copy.setAttribute("x", across(toSi(tick, shown.unit))));
    mark(find("tbody"), ticks, (copy, tick) => (copy.lastElementChild.textContent = text(at(toSi(tick, shown.unit)))));

    for (const band of figure.querySelectorAll("[data-si]")) band.setAttribute("y", level(fromSi(band.dataset.si, step.unit)));

    figure.toggleAttribute("data-nowhere", !now);
    if (now) {
      const here = find(".ht-here");
      here.setAttribute("y", level(now[1], TOP));
      here.setAttribute("height", short(HEIGHT - level(now[1])));
      here.setAttribute("width", across(si));
      here.dataset.late = x(si) > 50;
      here.lastElementChild.textContent = slots.measured(text(now), step.unit);
      slots.fill(find("[data-here=y]"), [text(now)], step.unit);
      slots.fill(find("[data-here=x]"), [numbers.show(shown.number, 8, 15)], shown.unit);
    }
    for (const axis of figure.querySelectorAll("[data-axis]")) slots.fill(axis, [""], (axis.dataset.axis ? shown : step).unit);
  }

  /** Draws now, and after each change as soon as the browser is about to paint. */
  hangtag.curve = function (calculator, figure) {
    const soon = () => requestAnimationFrame(() => draw(calculator, figure));
    calculator.addEventListener("hangtag-values", soon);
    draw(calculator, figure);
  };
})();
