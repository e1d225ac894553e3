/**
 * The fields of a calculator: what a reader typed or chose, as a value, or why it is none.
 * Numbers are read by numbers.js and units.js. Must not know formulas or answers.
 */
window.hangtag = window.hangtag || {};
hangtag.fields = (function () {
  "use strict";
  const { numbers, slots, units } = hangtag;

  const LONGEST = 80; // characters of an address that a field takes over
  const WHOLE = 15; // digits of a number in a field: every decimal number of 15 digits survives as a float

  /**
   * @typedef {{name: string, units?: string[], low?: [number, string], high?: [number, string], whole?: boolean,
   *   options?: ([string, number, string, number] | [string])[]}} InputData
   * @typedef {{code: string, values: Object<string, string>}} Fault
   */

  /** One field for a number with a unit. `typed` is what the reader meant; a unit switch never changes it. */
  class QuantityField {
    /**
     * @param {Element} element
     * @param {InputData} data
     */
    constructor(element, data) {
      this.element = element;
      this.name = data.name;
      this.data = data;
      this.control = /** @type {HTMLInputElement} */ (element.querySelector("input"));
      this.select = /** @type {HTMLSelectElement | null} */ (element.querySelector("select"));
      this.unit = this.select ? this.select.value : data.units[0];
      this.read();
    }

    /** Reads the field's text. Sets `typed`, `si` and `fault`; a good unit of its own moves the unit field with it. */
    read() {
      const language = slots.languageOf(this.element);
      const own = [this.unit, ...this.data.units.filter((unit) => unit !== this.unit)];
      /** @type {Fault | null} */
      this.fault = null;
      try {
        const found = units.readQuantity(this.control.value, own, language);
        this.typed = { number: found.number, unit: found.unit };
        this.shown = { number: Number(found.number), unit: found.unit };
        this.plain = /^[-\u2212]?\d+(\.\d+)?$/.test(this.control.value.trim());
        if (this.select && own.includes(found.unit)) this.unit = this.select.value = found.unit;
        this.fault = this.faultOf(found.si, Number(found.number));
        if (!this.fault) this.si = found.si;
      } catch (error) {
        if (!(error instanceof hangtag.Refused)) throw error;
        this.fault = { code: error.code, values: error.values };
      }
    }

    /**
     * Limits are compared in their own unit, on the value snapped to 15 significant digits.
     * @param {number} si
     * @param {number} number as typed
     * @returns {Fault | null}
     */
    faultOf(si, number) {
      const { low, high, whole } = this.data;
      const within = (/** @type {string} */ unit) => numbers.snap(units.fromSi(si, unit));
      if (within(low[1]) < low[0]) return { code: "field-too-low", values: { limit: written(low[0], low[1]) } };
      if (within(high[1]) > high[0]) return { code: "field-too-high", values: { limit: written(high[0], high[1]) } };
      if (whole && !Number.isInteger(number)) return { code: "field-not-whole", values: {} };
      return null;
    }

    /** Shows the same value in the unit that was chosen, by one exact fraction from what was typed. */
    switchUnit() {
      this.unit = this.select.value;
      if (this.fault) return this.read();
      const back = this.unit === this.typed.unit;
      const { number, unit } = this.typed;
      const text = back ? number : units.convertText(number, unit, this.unit);
      this.control.value = text.replace("-", "\u2212");
      this.shown = { number: Number(text), unit: this.unit };
      this.plain = true;
    }

    /** On leaving the field: the number as it was understood, and its unit where the unit field does not show it. */
    tidy() {
      if (this.fault || this.plain) return;
      const { number, unit } = this.typed;
      const rest = unit === this.unit ? "" : " " + units.get(unit).p;
      this.control.value = number.replace("-", "\u2212") + rest;
    }

    /** What to show as understood, where the text was more than a plain number. */
    echo() {
      return this.fault || this.plain ? "" : slots.say(this.element, "field-echo", { value: this.written() });
    }

    /** The value with its unit, as text. */
    written() {
      return written(this.shown.number, this.shown.unit);
    }

    /** @param {Map<string, number>} values what a run is given */
    give(values) {
      values.set(this.name, this.si);
    }

    /** The value as an address carries it: ASCII digits and the unit's ASCII spelling. */
    address() {
      return numbers.showPlain(this.shown.number, WHOLE, 30) + units.get(this.shown.unit).a;
    }

    /** @param {string} text what an address said */
    set(text) {
      this.control.value = text.slice(0, LONGEST);
      this.read();
      this.tidy();
      this.plain = this.plain || (!this.fault && this.shown.unit === this.unit); // nobody typed it: nothing to echo
    }
  }

  /** One field of named values. */
  class ChoiceField {
    /**
     * @param {Element} element
     * @param {InputData} data
     */
    constructor(element, data) {
      this.element = element;
      this.name = data.name;
      this.options = new Map(data.options.map((option) => [option[0], option]));
      this.control = /** @type {HTMLSelectElement} */ (element.querySelector("select"));
      this.select = null;
      this.read();
    }

    /** Takes the chosen value or name, and shows the basis of that one alone. */
    read() {
      this.fault = null;
      const [name, number, unit, si] = this.options.get(this.control.value);
      const label = this.control.selectedOptions[0].textContent;
      this.shown = unit ? { number, unit } : { texts: [label], unit: "plain" };
      this.si = si;
      for (const basis of this.element.querySelectorAll("[data-option]")) {
        basis.toggleAttribute("hidden", basis.getAttribute("data-option") !== name);
      }
    }

    tidy() {}

    echo() {
      return "";
    }

    /** @param {Map<string, number>} values what a run is given: the value, if it has one, and which option it is */
    give(values) {
      if (this.si !== undefined) values.set(this.name, this.si);
      values.set(this.name + "_CHOICE", [...this.options.keys()].indexOf(this.control.value));
    }

    address() {
      return this.control.value;
    }

    /** @param {string} text what an address said */
    set(text) {
      if (this.options.has(text)) {
        this.control.value = text;
        this.read();
      } else {
        this.fault = { code: "field-no-choice", values: {} };
      }
    }
  }

  /** A number in a unit, as text. */
  function written(number, unit) {
    return slots.measured(numbers.show(number, WHOLE, WHOLE), unit);
  }

  return { QuantityField, ChoiceField };
})();
