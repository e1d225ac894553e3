/**
 * A calculator that is already complete in the page, and answers while its reader types.
 * `<hangtag-calculator data-calculator="down-loft">` keeps its markup; this file only reads fields and fills places.
 * Fields are read by fields.js, formulas come from calculators/<id>/formula.js.
 */
window.hangtag = window.hangtag || {};
(function () {
  "use strict";
  const { fields, formulas, numbers, scales, slots, units } = hangtag;

  const REST = 800; // milliseconds after the last key: before that, a half-typed number would be called wrong
  const WHOLE = 15; // digits of a number in a field: every decimal number of 15 digits survives as a float
  const BRIEF = 8; // digits of a given number in a formula: a converted one would otherwise run off the page

  /**
   * @typedef {{name: string, unit: string, digits: number, places: number, whole: boolean}} StepData
   * @typedef {{inputs: InputData[], steps: StepData[], requires: function(Map<string, number>): number,
   *   run: function(Map<string, number>): Map<string, number>}} CalculatorData  both functions also take the helpers
   *   of hangtag.formulas
   */

  /** @type {Map<string, CalculatorData>} */
  const known = new Map();
  /** @type {Map<string, Set<HangtagCalculator>>} */
  const waiting = new Map();

  /**
   * Takes a calculator's data; each formula.js calls it once.
   * @param {string} id
   * @param {CalculatorData} data
   */
  hangtag.calculator = function (id, data) {
    known.set(id, data);
    for (const element of waiting.get(id) || []) element.start(data);
    waiting.delete(id);
  };

  /** Calls back with the data of a calculator, loading its script where that has not happened yet. */
  function load(id, element) {
    const data = known.get(id);
    if (data) return element.start(data);
    const others = waiting.get(id);
    if (others) return others.add(element);
    waiting.set(id, new Set([element]));
    const script = document.createElement("script");
    script.src = new URL("calculators/" + encodeURIComponent(id) + "/formula.js", slots.root).href;
    script.addEventListener("error", () => {
      for (const one of waiting.get(id)) {
        slots.setLine(one.querySelector("[data-unloaded]"), slots.say(one, "calc-unloaded"));
      }
    });
    document.head.append(script);
  }

  class HangtagCalculator extends HTMLElement {
    connectedCallback() {
      if (!this.fields) load(this.dataset.calculator, this);
    }

    disconnectedCallback() {
      clearTimeout(this.timer);
    }

    /** @param {CalculatorData} data */
    start(data) {
      this.data = data;
      this.fields = data.inputs.map((input) => {
        const element = this.querySelector('[data-input="' + input.name + '"]');
        return input.options ? new fields.ChoiceField(element, input) : new fields.QuantityField(element, input);
      });
      this.startAddress = this.fields.map((field) => field.address()).join("&");
      if (this.readAddress()) {
        this.recalculate(false);
        this.fields.forEach((field) => this.showFault(field));
      }
      this.addEventListener("input", (event) => this.change(event));
      this.addEventListener("focusout", (event) => this.leave(event));
      new ResizeObserver(() => this.showScroll()).observe(this);
      this.dataset.live = ""; // from here on it answers
    }

    /** @param {Event} event */
    fieldOf(event) {
      return this.fields.find((field) => field.element.contains(/** @type {Node} */ (event.target)));
    }

    /** @param {Event} event */
    change(event) {
      const field = this.fieldOf(event);
      if (!field) return;
      let say = "";
      if (event.target === field.select) {
        field.switchUnit();
        say = field.fault ? "" : this.labelled(field, "field-now");
      } else {
        field.read();
      }
      if (!field.fault || event.target === field.select) this.showFault(field);
      this.recalculate(true, field);
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.rest(say), REST);
    }

    /** @param {Event} event */
    leave(event) {
      const field = this.fieldOf(event);
      if (!field) return;
      field.tidy();
      this.showFault(field);
    }

    /**
     * 800 ms after the last key: errors in words, the address, and one announcement.
     * @param {string} say what to announce where results did not change by it
     */
    rest(say) {
      this.fields.forEach((field) => this.showFault(field));
      this.showScroll();
      this.writeAddress();
      const status = this.querySelector("[role=status]");
      const wrong = this.fields.find((field) => field.fault);
      const text = wrong ? this.labelled(wrong, "field-fault") : say || this.refused || this.spoken();
      if (status.textContent !== text) status.textContent = text;
    }

    /** A message about one field that begins with its label. */
    labelled(field, message) {
      const label = this.querySelector('label[for="' + field.control.id + '"]').textContent.trim();
      const fault = field.fault ? slots.say(this, field.fault.code, field.fault.values) : "";
      const value = field.fault ? "" : spoken(field.shown.number, field.shown.unit, BRIEF, WHOLE, false);
      return slots.say(this, message, { label, fault, value });
    }

    /** All answers, with units in words. */
    spoken() {
      return [...this.querySelectorAll("output")].map((output) => output.dataset.spoken).join(" ");
    }

    /** Where formulas are wider than their box it scrolls, and then the keyboard must reach it. */
    showScroll() {
      const working = this.querySelector(".ht-working");
      if (working.scrollWidth > working.clientWidth) working.setAttribute("tabindex", "0");
      else working.removeAttribute("tabindex");
    }

    /** Shows or takes away the words beside one field. */
    showFault(field) {
      const { control, element, fault } = field;
      const line = element.querySelector(".ht-error");
      const ids = control.getAttribute("aria-describedby").split(" ").filter((id) => id !== line.id);
      if (fault) ids.push(line.id);
      control.setAttribute("aria-describedby", ids.join(" "));
      control.toggleAttribute("aria-invalid", false);
      if (fault) control.setAttribute("aria-invalid", "true");
      slots.setLine(line, fault ? slots.say(this, fault.code, fault.values) : "");
      this.showOld();
    }

    /**
     * Runs the formula with the fields' values and fills every place. Where there is no answer, the last results stay
     * and are marked as old.
     * @param {boolean} mark whether the scales of the page follow
     * @param {QuantityField | ChoiceField} [changed]
     */
    recalculate(mark, changed) {
      this.refused = "";
      for (const field of this.fields) {
        slots.setLine(field.element.querySelector(".ht-echo"), field.echo());
        if (!field.fault) this.showBands(field.element, field.si);
      }
      if (this.fields.some((field) => field.fault)) return this.showOld();
      const values = new Map(this.fields.map((field) => [field.name, field.si]));
      const results = this.run(values);
      if (!results) return this.showOld();
      for (const field of this.fields) this.fillAll(field.name, field.shown.number, field.shown.unit, BRIEF, WHOLE, false);
      for (const step of this.data.steps) this.fillStep(step, results.get(step.name));
      this.showOld();
      if (mark) this.markScales(results, changed);
    }

    /** The results, or null where there is none; then `refused` says why. */
    run(values) {
      try {
        const failed = this.data.requires(values, formulas);
        if (failed < 0) return this.data.run(values, formulas);
        this.refused = this.querySelector('[data-requires="' + failed + '"]').textContent.trim();
      } catch (error) {
        if (!(error instanceof hangtag.formulas.NoAnswer)) throw error;
        const step = this.querySelector('[data-step="' + error.step + '"] .ht-label');
        const label = step ? step.textContent.trim() : "";
        this.refused = slots.say(this, "no-answer-" + error.code, { label });
      }
      return null;
    }

    /** Marks results that do not belong to what stands in the fields, and says why there are no others. */
    showOld() {
      const shown = this.fields.some((field) => field.fault);
      const old = shown || this.refused !== "";
      this.querySelector(".ht-results").classList.toggle("ht-old", old);
      this.querySelector(".ht-working").classList.toggle("ht-old", old);
      this.querySelector(".ht-old-note").toggleAttribute("hidden", !old);
      slots.setLine(this.querySelector(".ht-refusal"), this.refused);
    }

    /** @param {StepData} step */
    fillStep(step, si) {
      this.fillAll(step.name, units.fromSi(si, step.unit), step.unit, step.digits, step.places, step.whole, si);
      const place = this.querySelector('[data-step="' + step.name + '"]');
      if (!place) return;
      this.showBands(place, si);
      const label = place.querySelector(".ht-label").textContent.trim();
      const value = spoken(units.fromSi(si, step.unit), step.unit, step.digits, step.places, step.whole);
      const output = place.querySelector("output");
      if (output) output.dataset.spoken = slots.say(this, "result-spoken", { label, value });
    }

    /** Fills every place of one name; a place with a unit of its own (`data-in`) shows the value in that one. */
    fillAll(name, number, unit, digits, places, whole, si) {
      for (const slot of this.querySelectorAll('[data-value="' + name + '"]')) {
        const within = slot.getAttribute("data-in");
        const value = within ? units.fromSi(si, within) : number;
        slots.fill(slot, numbers.show(value, digits, places, whole && !within), within || unit);
      }
    }

    showBands(element, si) {
      for (const bands of element.querySelectorAll("[data-limits]")) slots.showBand(bands, si);
    }

    /** The scale of the field that changed follows it; a scale that only an answer sits on follows the answer. */
    markScales(results, changed) {
      const marked = new Set();
      for (const field of this.fields) {
        const scale = field.element.getAttribute("data-scale-of");
        if (!scale || marked.has(scale)) continue;
        marked.add(scale);
        if (field === changed) scales.mark(scale, field.si);
      }
      for (const place of this.querySelectorAll("[data-step][data-scale-of]")) {
        const scale = place.getAttribute("data-scale-of");
        if (!marked.has(scale)) scales.mark(scale, results.get(place.getAttribute("data-step")));
        marked.add(scale);
      }
    }

    /**
     * On the calculator's own page the address names the inputs; on an entry's page `?value=` is for the first field
     * that sits on the entry's scale.
     * @returns {boolean} whether the address set anything
     */
    readAddress() {
      const asked = new URLSearchParams(location.search);
      let any = false;
      if (this.isOwnPage()) {
        for (const field of this.fields) {
          if (!asked.has(field.name)) continue;
          field.set(asked.get(field.name));
          any = true;
        }
      } else if (asked.has("value")) {
        const onScale = (/** @type {string} */ scale) => scale && slots.isPage("terms/" + scale);
        const field = this.fields.find((one) => onScale(one.element.getAttribute("data-scale-of")));
        if (field) field.set(asked.get("value"));
        any = Boolean(field);
      }
      return any;
    }

    isOwnPage() {
      return slots.isPage("calculators/" + this.dataset.calculator);
    }

    /** Writes the fields into the address of the calculator's own page; keys that are not ours stay. */
    writeAddress() {
      if (!this.isOwnPage() || this.fields.some((field) => field.fault)) return;
      const names = new Set(this.fields.map((field) => field.name));
      const kept = location.search.slice(1).split("&").filter((part) => part && !names.has(keyOf(part)));
      const address = this.fields.map((field) => field.address());
      const ours = address.join("&") === this.startAddress ? [] : this.fields.map((field, at) => field.name + "=" + encode(address[at]));
      const query = [...kept, ...ours].join("&");
      if (query !== location.search.slice(1)) {
        history.replaceState(history.state, "", location.pathname + (query ? "?" + query : "") + location.hash);
      }
    }
  }

  /** A number with its unit in words. */
  function spoken(number, unit, digits, places, whole) {
    const said = slots.measured("", unit) && " " + units.get(unit).s;
    return numbers.show(number, digits, places, whole) + said;
  }

  function encode(text) {
    return encodeURIComponent(text).replace(/%2F/g, "/");
  }

  /** The decoded key of one part of a query; a broken escape is nobody's key. */
  function keyOf(part) {
    const key = part.split("=")[0].replace(/\+/g, " ");
    try {
      return decodeURIComponent(key);
    } catch {
      return "";
    }
  }

  customElements.define("hangtag-calculator", HangtagCalculator);
  scales.readAddress();
})();
