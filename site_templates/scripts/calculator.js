/**
 * A calculator that is already complete in the page, and answers while its reader types.
 * `<hangtag-calculator data-calculator="down-loft">` keeps its markup; this file only reads fields and fills places.
 * Fields are read by fields.js, formulas come from calculators/<id>/formula.js.
 */
window.hangtag = window.hangtag || {};
(function () {
  "use strict";
  const { fields, formulas, numbers, slots, units } = hangtag;

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
    const begin = () => {
      known.set(id, data);
      for (const element of waiting.get(id) || []) element.start(data);
      waiting.delete(id);
    };
    if (data.needs) Promise.all(data.needs.map(hangtag.part)).then(begin, () => unloaded(id));
    else begin();
  };

  /** Calls back with the data of a calculator, loading its script where that has not happened yet. */
  function load(id, element) {
    const data = known.get(id);
    if (data) return element.start(data);
    const others = waiting.get(id);
    if (others) return others.add(element);
    waiting.set(id, new Set([element]));
    addScript("calculators/" + encodeURIComponent(id) + "/formula.js").addEventListener("error", () => unloaded(id));
  }

  function unloaded(id) {
    for (const one of waiting.get(id)) one.querySelector("[data-unloaded]").hidden = false;
  }

  function addScript(path) {
    const script = document.createElement("script");
    script.src = new URL(path, slots.root).href;
    document.head.append(script);
    return script;
  }

  /** @type {Map<string, Promise<void>>} */
  const parts = new Map();

  /**
   * A script that only some pages need, loaded once: scripts/<name>.js, which sets `hangtag.<name>`.
   * @param {string} name
   */
  hangtag.part = function (name) {
    if (!parts.has(name)) {
      const wait = (done, failed) => {
        const script = addScript("scripts/" + name + ".js");
        script.addEventListener("load", () => done(hangtag[name]));
        script.addEventListener("error", failed);
      };
      parts.set(name, new Promise(wait));
    }
    return parts.get(name);
  };

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
        if (input.columns) return new hangtag.rows.RowsField(element, input, this);
        if (input.between) return new hangtag.ranges.RangeField(element, input);
        return input.options ? new fields.ChoiceField(element, input) : new fields.QuantityField(element, input);
      });
      if (data.needs?.includes("ranges")) hangtag.ranges.begin(this); // its answers may have two ends
      this.startAddress = this.addresses().join("&");
      this.startParts();
      if (this.readAddress()) {
        this.recalculate(false);
        this.fields.forEach((field) => this.showFault(field));
      }
      this.addEventListener("input", (event) => this.change(event));
      this.addEventListener("focusout", (event) => this.leave(event));
      new ResizeObserver(() => this.showScroll()).observe(this);
      this.dataset.live = ""; // from here on it answers
      this.dispatchEvent(new Event("hangtag-live", { bubbles: true }));
    }

    /** A picture asks for its script at once, a part that opens when it opens; `start(calculator, place)` does the rest. */
    startParts() {
      for (const place of this.querySelectorAll("[data-part]")) {
        const begin = (start) => start(this, place);
        const load = () => hangtag.part(place.dataset.part).then(begin, () => (place.hidden = true));
        if (place.localName === "details") place.addEventListener("toggle", load, { once: true });
        else load();
      }
    }

    /** What a run is given. @returns {Map<string, number | number[][]>} */
    values() {
      const values = new Map();
      this.fields.forEach((field) => field.give(values));
      return values;
    }

    /** Results for any values, or the number of the requirement that fails. Throws NoAnswer. */
    attempt(values) {
      const failed = this.data.requires(values, formulas);
      return failed < 0 ? { failed, results: this.data.run(values, formulas) } : { failed };
    }

    /** The same; nothing where there is no answer. @param {Map<string, number>} values */
    tried(values) {
      try {
        return this.attempt(values);
      } catch (error) {
        if (!(error instanceof formulas.NoAnswer)) throw error;
        return {};
      }
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
        field.read(event.target);
      }
      if (!field.fault || event.target === field.select) this.showFault(field);
      this.changed(field, say);
    }

    /** A field has a new value; `say` is what to announce where that is not the answers. */
    changed(field, say) {
      this.recalculate(true, field);
      this.rests(() => say);
    }

    /** Once the reader rests, `words` gives what to announce. @param {function(): string} words */
    rests(words) {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.rest(words()), REST);
    }

    /** @param {Event} event */
    leave(event) {
      const field = this.fieldOf(event);
      if (!field) return;
      field.tidy(event.target);
      // the words of a list wait for the rest: a button below would move away under the finger that presses it
      if (!field.hash) this.showFault(field);
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
      const label = field.label || this.querySelector('label[for="' + field.control.id + '"]').textContent.trim();
      const fault = field.fault ? slots.say(this, field.fault.code, field.fault.values) : "";
      const value = field.fault ? "" : spoken(this, given(field.shown), field.shown.unit);
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
      if (field.showFault) field.showFault();
      else this.showLine(field);
      this.showOld();
    }

    showLine({ control, element, fault }) {
      const line = element.querySelector(".ht-error");
      const ids = (control.getAttribute("aria-describedby") || "").split(" ").filter((id) => id && id !== line.id);
      if (fault) ids.push(line.id);
      control.setAttribute("aria-describedby", ids.join(" "));
      control.toggleAttribute("aria-invalid", false);
      if (fault) control.setAttribute("aria-invalid", "true");
      slots.setLine(line, fault ? slots.say(this, fault.code, fault.values) : "");
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
      this.dispatchEvent(new Event("hangtag-values")); // for parts: good values stand in all fields
      const results = this.run(this.values());
      if (!results) return this.showOld();
      for (const { name, shown } of this.fields) if (shown) this.fillAll(name, shown.unit, () => given(shown));
      for (const step of this.data.steps) this.fillStep(step, results.get(step.name), this.reached?.get(step.name));
      this.showOld();
      if (mark) hangtag.scales?.follow(this, results, changed);
    }

    /** The results, or null where there is none; then `refused` says why. */
    run(values) {
      try {
        const { failed, results, ends } = this.attempt(values);
        if (failed < 0) {
          this.reached = ends;
          return results;
        }
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
    fillStep(step, si, ends) {
      this.fillAll(step.name, step.unit, (unit) => texts(step, unit, si, ends));
      const place = this.querySelector('[data-step="' + step.name + '"]');
      if (!place) return;
      this.showBands(place, si);
      const output = place.querySelector("output");
      if (!output) return;
      const both = texts(step, step.unit, si, ends);
      const label = place.querySelector(".ht-label").textContent.trim();
      output.dataset.spoken = slots.say(this, "result-spoken", { label, value: spoken(this, both, step.unit) });
      this.showEnds?.(step, place, both, ends);
    }

    /** Fills every place of one name; a place with a unit of its own (`data-in`) shows the value in that one. */
    fillAll(name, unit, textsIn) {
      this.slots ??= [...this.querySelectorAll("[data-value]")]; // a long list makes looking for them slow
      for (const slot of this.slots) {
        if (slot.dataset.value !== name) continue;
        const within = slot.getAttribute("data-in") || unit;
        slots.fill(slot, textsIn(within), within);
      }
    }

    showBands(element, si) {
      for (const bands of element.querySelectorAll("[data-limits]")) slots.showBand(bands, si);
    }

    /**
     * On the calculator's own page the address names the inputs; on an entry's page `?value=` is for the first field
     * that sits on the entry's scale.
     * @returns {boolean} whether the address set anything
     */
    readAddress() {
      if (this.isOwnPage()) return hangtag.address.read(this);
      const value = new URLSearchParams(location.search).get("value");
      const onScale = (/** @type {string} */ scale) => scale && slots.isPage("terms/" + scale);
      const field = this.fields.find((one) => onScale(one.element.getAttribute("data-scale-of")));
      if (value === null || !field) return false;
      field.set(value);
      return true;
    }

    isOwnPage() {
      return slots.isPage("calculators/" + this.dataset.calculator);
    }

    addresses() {
      return this.inQuery().map((field) => field.address());
    }

    /** The fields that an address names before its `#`: all but lists. */
    inQuery() {
      return this.fields.filter((field) => !field.hash);
    }

    writeAddress() {
      if (this.isOwnPage()) hangtag.address.write(this);
    }
  }

  /** A field's value as it stands in a formula: one text, or two of a range. */
  function given(shown) {
    return shown.texts || [numbers.show(shown.number, BRIEF, WHOLE)];
  }

  /** A result as text in one of its units; two texts where its ends differ. */
  function texts(step, unit, si, ends) {
    const show = (at) => numbers.show(units.fromSi(at, unit), step.digits, step.places, step.whole && unit === step.unit);
    return ends ? [...new Set([show(ends.low), show(ends.high)])] : [show(si)];
  }

  /** A number, or both ends of a range, with its unit in words. */
  function spoken(element, both, unit) {
    return slots.joined(element, both) + (slots.measured("", unit) && " " + units.get(unit).s);
  }

  customElements.define("hangtag-calculator", HangtagCalculator);
})();
