/**
 * What is only known to lie between two ends: a field for a range, and the two ends of every step.
 * Ends are found as in hangtag/formula/bounds.py, in the same order; typed ranges are read as in hangtag/typed.py.
 * Loaded by calculators with an uncertain value alone.
 */
window.hangtag = window.hangtag || {};
hangtag.ranges = (function () {
  "use strict";
  const { fields, formulas, numbers, slots, units } = hangtag;

  const BETWEEN = /\s+to\s+|\s*[\u2013\u2014]\s*|(?<=[0-9])\s*-\s*(?=[0-9])/;
  const WHOLE = 15; // digits of a number in a field
  const BRIEF = 8; // digits of a given number in a formula
  const ROUNDS = 6;
  const TRIED = 8; // steps around the best point, in each round of refinement

  /**
   * @typedef {Map<string, [number, number]>} Uncertain  by name, both ends in SI
   * @typedef {{low: number, high: number, lowAt: Map<string, number>, highAt: Map<string, number>}} Ends
   */

  // --------------------------------------------------------------------------------------------------- a typed range

  /**
   * `0.04 to 0.08`; one number is both ends, and a lower end without a unit takes the upper one's.
   * @returns {{number: string, unit: string, si: number}[]} from low to high
   */
  function readRange(text, own, language) {
    const found = BETWEEN.exec(text.trim());
    const ends = found ? [text.trim().slice(0, found.index), text.trim().slice(found.index + found[0].length)] : [text];
    const high = units.readQuantity(ends[ends.length - 1], own, language);
    if (!found) return [high, high];
    const low = units.readQuantity(ends[0], [high.unit, ...own], language);
    return low.si <= high.si ? [low, high] : [high, low];
  }

  /** One field for a range or a single number. `si` is its middle. */
  class RangeField extends fields.QuantityField {
    read() {
      const own = [this.unit, ...this.data.units.filter((unit) => unit !== this.unit)];
      this.fault = null;
      this.first = undefined;
      try {
        this.typed = readRange(this.control.value, own, slots.languageOf(this.element));
        const [low, high] = this.typed;
        if (this.select && own.includes(high.unit)) this.unit = this.select.value = high.unit;
        this.plain = this.control.value.trim() === this.text();
        this.fault = this.faultOf(low.si, Number(low.number)) || this.faultOf(high.si, Number(high.number));
        if (!this.fault) this.take();
      } catch (error) {
        if (!(error instanceof hangtag.Refused)) throw error;
        this.fault = { code: error.code, values: error.values };
      }
    }

    /** Both ends as values, and as they stand in a formula: in the unit of the upper one. */
    take() {
      const [low, high] = this.typed;
      const { unit } = high;
      this.ends = [low.si, high.si];
      this.si = (low.si + high.si) / 2;
      const number = low.unit === unit ? Number(low.number) : units.fromSi(low.si, unit);
      const texts = [number, Number(high.number)].map((each) => numbers.show(each, BRIEF, WHOLE));
      this.shown = { unit, texts: texts[0] === texts[1] ? [texts[0]] : texts };
    }

    /** What stands in the field once it is read; a unit only where it is another than the field's. */
    text() {
      const own = (end) => end.number.replace("-", "\u2212") + (end.unit === this.unit ? "" : " " + units.get(end.unit).p);
      const [low, high] = this.typed.map(own);
      return low === high ? low : slots.say(this.element, "field-between", { low, high });
    }

    switchUnit() {
      this.unit = this.select.value;
      if (this.fault) return this.read();
      this.first ??= this.typed; // a way there and back ends where it began
      const into = ({ number, unit, si }) => ({ number: unit === this.unit ? number : units.convertText(number, unit, this.unit), unit: this.unit, si });
      this.typed = this.first.map(into);
      this.control.value = this.text();
      this.plain = true;
      this.take();
    }

    tidy() {
      if (!this.fault) this.control.value = this.text();
      this.plain = true;
    }

    echo() {
      return this.fault || this.plain ? "" : slots.say(this.element, "field-echo", { value: slots.measured(slots.joined(this.element, this.shown.texts), this.shown.unit) });
    }

    address() {
      const [low, high] = this.typed.map(({ number, unit }) => number + units.get(unit).a);
      return low === high ? low : low + " to " + high;
    }
  }

  // ---------------------------------------------------------------------------------------------- the ends of steps

  /** The constants and fields of a calculator that have two different ends. @returns {Uncertain} */
  function uncertain(calculator) {
    const found = new Map();
    for (const [name, [low, high]] of Object.entries(calculator.data.uncertain || {})) found.set(name, [low, high]);
    for (const { name, ends } of calculator.fields) if (ends && ends[0] < ends[1]) found.set(name, ends);
    return found;
  }

  /** All points of a grid with so many parts along each axis. @returns {Map<string, number>[]} */
  function grid(uncertain, parts) {
    let points = [new Map()];
    for (const [name, [low, high]] of uncertain) {
      const marks = Array.from({ length: parts }, (_, i) => low + (high - low) * (i / parts)).concat(high);
      points = marks.flatMap((mark) => points.map((point) => new Map(point).set(name, mark)));
    }
    return points;
  }

  const partsOf = (uncertain) => [0, 32, 16][uncertain.size] ?? 8;

  /** The first requirement that fails at the middle or at a corner, or -1. */
  function failed(data, values, uncertain) {
    for (const point of [new Map(), ...grid(uncertain, 1)]) {
      const index = data.requires(new Map([...values, ...point]), formulas);
      if (index >= 0) return index;
    }
    return -1;
  }

  class Search {
    constructor(data, values, uncertain) {
      Object.assign(this, { data, values, uncertain });
      /** @type {Map<string, Ends>} */
      this.ends = new Map();
    }

    tryAll(points) {
      for (const at of points) {
        for (const [name, value] of this.data.run(new Map([...this.values, ...at]), formulas)) {
          const ends = this.ends.get(name);
          if (!ends) this.ends.set(name, { low: value, high: value, lowAt: at, highAt: at });
          else if (value < ends.low) Object.assign(ends, { low: value, lowAt: at });
          else if (value > ends.high) Object.assign(ends, { high: value, highAt: at });
        }
      }
      return this;
    }

    refine(steps) {
      let share = 1 / partsOf(this.uncertain);
      for (let round = 0; round < ROUNDS; round += 1) {
        for (const { name } of steps) {
          for (const end of ["lowAt", "highAt"]) {
            for (const axis of this.uncertain.keys()) this.tryAll(this.near(this.ends.get(name)[end], axis, share));
          }
        }
        share /= 4;
      }
      return this;
    }

    near(at, name, share) {
      const points = [];
      const [low, high] = this.uncertain.get(name);
      for (let i = -TRIED / 2; i <= TRIED / 2; i += 1) {
        const value = at.get(name) + (high - low) * share * (i / (TRIED / 2));
        points.push(new Map(at).set(name, Math.min(Math.max(value, low), high)));
      }
      return points;
    }
  }

  /**
   * The ends of every step. Throws NoAnswer where a tried point has no answer.
   * @param {Uncertain} uncertain
   * @returns {Map<string, Ends>}
   */
  function endsOf(data, values, uncertain) {
    const { ends } = new Search(data, values, uncertain).tryAll(grid(uncertain, 1));
    const steps = data.steps.filter((step) => step.sampled);
    if (steps.length) {
      const searched = new Search(data, values, uncertain).tryAll(grid(uncertain, partsOf(uncertain))).refine(steps);
      for (const { name } of steps) ends.set(name, searched.ends.get(name));
    }
    return ends;
  }

  // ------------------------------------------------------------------------------------------------ the words of ends

  /** Which end is which, and the band that each falls in. @param {string[]} texts one, or two of different ends */
  function show(calculator, step, place, texts, ends) {
    const say = (name, values) => slots.say(calculator, name, values);
    const two = texts.length > 1;
    const [low, high] = texts.map((text) => slots.measured(text, step.unit));
    const when = two && { low, high, low_when: whenOf(calculator, ends.lowAt), high_when: whenOf(calculator, ends.highAt) };
    slots.setLine(place.querySelector(".ht-when"), two ? say("range-when", when) : "");
    const lower = place.querySelector("[data-end=low]");
    if (!lower) return;
    const upper = place.querySelector("[data-end=high]");
    if (two) {
      slots.showBand(lower, ends.low);
      slots.showBand(upper, ends.high);
    }
    const bandOf = (element) => element.querySelector("[data-band]:not([hidden])")?.dataset.band;
    const differ = two && bandOf(lower) !== bandOf(upper);
    upper.hidden = !differ;
    lower.querySelector("[data-at]").textContent = two ? say(differ ? "range-at-low" : "range-at-both") : "";
    upper.querySelector("[data-at]").textContent = differ ? say("range-at-high") : "";
  }

  function whenOf(calculator, at) {
    const words = (name, si) => {
      const constant = calculator.data.uncertain?.[name];
      const field = calculator.fields.find((one) => one.name === name);
      const unit = constant ? constant[2] : field.data.units[0];
      const label = constant ? calculator.querySelector('[data-uncertain="' + name + '"] [data-label]') : calculator.querySelector('label[for="' + field.control.id + '"]');
      return label.textContent.trim() + " " + slots.measured(numbers.show(units.fromSi(si, unit)), unit);
    };
    return [...at].map(([name, si]) => words(name, si)).join(", ");
  }

  /** Gives a calculator what it needs where values are uncertain; it has no such methods otherwise. */
  function begin(calculator) {
    const { data } = calculator;
    const certain = calculator.values;
    Object.assign(calculator, {
      /** @returns {Uncertain} */
      uncertain: () => uncertain(calculator),

      /** What a run is given: all that is uncertain at its middle. */
      values() {
        const values = certain.call(calculator);
        for (const [name, [low, high]] of Object.entries(data.uncertain || {})) values.set(name, (low + high) / 2);
        return values;
      },

      /** The two ends of every step; null where nothing is uncertain now. Throws NoAnswer. */
      ends(values) {
        const found = uncertain(calculator);
        return found.size ? endsOf(data, values, found) : null;
      },

      attempt(values) {
        const index = failed(data, values, uncertain(calculator));
        if (index >= 0) return { failed: index };
        return { failed: index, results: data.run(values, formulas), ends: calculator.ends(values) };
      },

      showEnds: (step, place, texts, ends) => show(calculator, step, place, texts, ends),
    });
  }

  return { RangeField, readRange, endsOf, begin };
})();
