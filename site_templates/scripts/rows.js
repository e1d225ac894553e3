/**
 * A list that the reader fills: the cells of its rows, their mistakes, and the address that keeps it after its `#`.
 * Cells are read as in hangtag/answers/rows.py. Rows are changed by edits.js. Loaded by calculators with a list alone.
 */
window.hangtag = window.hangtag || {};
hangtag.rows = (function () {
  "use strict";
  const { Refused, fields, slots, units } = hangtag;

  const KEY = "#rows=";
  const LONGEST = 8000; // characters of an address after its `#`: some mail programs cut longer ones
  const MOST_NAMED = 5; // mistakes that are named at once

  /**
   * @typedef {{name: string, units?: string[], unit?: string, low?: [number, string], high?: [number, string],
   *   whole?: boolean, start?: string | [string, string], words?: string[], labels?: string[], tick?: boolean}} Column
   * @typedef {{si: number, text: string, number?: string, unit?: string}} Read  a cell as it was understood
   */

  /** One cell; nothing typed is what a new row holds. Throws Refused. @param {Column} column @returns {Read} */
  function readCell(column, typed, language) {
    if (column.words) {
      const wanted = (typed || column.start).toLowerCase();
      const index = column.words.findIndex((word, at) => [word, column.labels[at]].some((one) => one.toLowerCase() === wanted));
      if (index < 0) throw new Refused("rows-no-choice", { text: typed, known: column.labels.join(", ") });
      return { si: index, text: column.words[index] };
    }
    if (!column.units) return { si: 0, text: typed || "" };
    const own = [column.unit, ...column.units.filter((unit) => unit !== column.unit)];
    const [start, of] = column.start;
    const { number, unit, si } = typed ? units.readQuantity(typed, own, language) : { number: start, unit: of, si: units.toSi(Number(start), of) };
    const fault = fields.QuantityField.prototype.faultOf.call({ data: column }, si, Number(number));
    if (fault) throw new Refused(fault.code, fault.values);
    return { si, number, unit, text: number + units.get(unit).a };
  }

  const controlOf = (/** @type {Element} */ element, /** @type {Column} */ { name }) => element.querySelector('[data-column="' + name + '"]');

  const quoted = (text) => (/[",;\t]|^\s|\s$/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text);

  // ------------------------------------------------------------------------------------------------------ the field

  class RowsField {
    /**
     * @param {HTMLElement} element
     * @param {{name: string, columns: Column[], most: number}} data
     */
    constructor(element, data, calculator) {
      Object.assign(this, { element, calculator, name: data.name, most: data.most });
      this.label = this.find(".ht-list-label").textContent.trim();
      this.list = this.find(".ht-rows");
      this.model = this.find("template").content.firstElementChild;
      this.box = this.find("textarea");
      this.selects = [...element.querySelectorAll("[data-unit-for]")];
      this.columns = data.columns.map((column) => this.withLabels(column));
      this.rows = [...this.list.children].map((row) => this.adopt(row));
      this.settle();
      this.start = this.text();
      element.addEventListener("focusin", () => hangtag.part("edits"), { once: true });
      element.addEventListener("click", ({ target }) => {
        const button = target.closest("[data-do]");
        if (button) this.edit(button.dataset.do, button);
      });
      this.list.addEventListener("paste", (event) => this.paste(event));
      this.box.addEventListener("input", (event) => event.stopPropagation());
      window.addEventListener("hashchange", () => {
        if (calculator.isOwnPage()) this.readAddress();
      });
    }

    find(selector) {
      return this.element.querySelector(selector);
    }

    say(code, values) {
      return slots.say(this.element, code, values);
    }

    get cells() {
      return this.rows.flatMap((row) => row.cells);
    }

    withLabels(column) {
      const control = controlOf(this.model, column);
      const label = this.model.querySelector('[for="' + control.id + '"]').firstChild.textContent.trim();
      const labels = column.tick ? column.words : column.words && [...control.options].map((option) => option.textContent);
      return { ...column, label, labels, unit: column.units?.[0] };
    }

    /** A row of the page with its cells. @param {Element} element */
    adopt(element) {
      const cells = this.columns.map((column) => ({ column, control: controlOf(element, column) }));
      cells.forEach((cell) => this.look(cell));
      return { element, cells };
    }

    /** Reads one cell's control. */
    look(cell) {
      const { column, control } = cell;
      cell.fault = null;
      try {
        if (column.units && !control.value.trim()) throw new Refused("number-empty", {});
        const typed = column.tick ? (control.checked ? "yes" : "no") : control.value;
        Object.assign(cell, readCell(column, typed, slots.languageOf(this.element)));
      } catch (error) {
        if (!(error instanceof Refused)) throw error;
        cell.fault = { code: error.code, values: error.values };
      }
    }

    /** What a run is given, or why there is nothing to give. */
    settle() {
      this.faults = this.rows.flatMap((row, at) => row.cells.filter((cell) => cell.fault).map((cell) => this.inRow(at, cell.column, cell.fault)));
      this.fault = this.faults[0];
      this.values = this.rows.map(({ cells }) => cells.map((cell) => cell.si));
    }

    /** A mistake of one cell with its place. */
    inRow(at, column, { code, values }) {
      return { code: "rows-cell", values: { row: at + 1, column: column.label, because: this.say(code, values) } };
    }

    give(values) {
      values.set(this.name, this.values);
    }

    echo() {
      return "";
    }

    /** @param {Element} target the control that a reader has changed */
    read(target) {
      this.misread = null;
      const cell = this.cellOf(target);
      if (cell) this.look(cell);
      else if (this.selects.includes(target)) this.switchUnit(target);
      this.settle();
    }

    cellOf(target) {
      return this.cells.find((cell) => cell.control === target);
    }

    tidy(target) {
      const cell = this.cellOf(target);
      if (cell && cell.number !== undefined && !cell.fault) cell.control.value = this.shown(cell.column, cell);
    }

    /** A number as it stands in its cell: another unit than the column's comes with it. */
    shown({ unit }, cell) {
      return cell.number.replace("-", "\u2212") + (cell.unit === unit || unit === "plain" ? "" : " " + units.get(cell.unit).p);
    }

    /** All good cells of a column in another unit, each by one exact fraction from what was typed. */
    switchUnit(select) {
      const column = this.columns.find(({ name }) => name === select.dataset.unitFor);
      const unit = (column.unit = select.value);
      for (const cell of this.cells) {
        if (cell.column !== column || cell.fault) continue;
        const number = cell.unit === unit ? cell.number : units.convertText(cell.number, cell.unit, unit);
        cell.control.value = number.replace("-", "\u2212");
      }
      const found = [this.element, this.model].flatMap((place) => [...place.querySelectorAll('[data-unit-of="' + column.name + '"]')]);
      for (const { firstChild, lastChild } of found) {
        firstChild.textContent = ", " + units.get(unit).p;
        lastChild.textContent = ", " + units.get(unit).s;
      }
    }

    // ------------------------------------------------------------------------------------------------------ mistakes

    showFault() {
      const wrong = this.cells.filter((cell) => cell.fault);
      for (const cell of this.cells) {
        const { control, fault } = cell;
        if (fault || cell.marked) this.calculator.showLine({ control, element: control.parentElement, fault });
        cell.marked = fault;
      }
      if (this.misread) this.tell("[data-faults]", "paste-misread", this.misread);
      else this.tell("[data-faults]", "rows-faults", this.faults, wrong);
    }

    /** Mistakes in words, the first few by name; those of the list lead to their cells. */
    tell(place, head, faults, cells = []) {
      const box = this.find(place);
      const words = faults.slice(0, MOST_NAMED).map(({ code, values }) => this.say(code, values));
      const more = faults.length - words.length;
      if (more) words.push(this.say("rows-more", { count: more }));
      const item = (text, at) => {
        const line = document.createElement("li");
        const way = cells[at] && at < MOST_NAMED ? line.appendChild(document.createElement("button")) : line;
        way.textContent = text;
        if (way !== line) way.type = "button";
        way.onclick = () => cells[at]?.control.focus();
        return line;
      };
      box.querySelector("ul").replaceChildren(...words.map(item));
      slots.setLine(box, faults.length ? this.say(head, { count: faults.length }) : "");
    }

    // --------------------------------------------------------------------------------------------------------- changes

    /** The list has changed by more than one cell: shows and announces it. */
    changed(code, values) {
      const { calculator } = this;
      calculator.showFault(this);
      calculator.recalculate(true, this);
      calculator.rests(() => this.say(code, values) + " " + (calculator.refused || calculator.spoken()));
    }

    /** All that changes rows is in scripts/edits.js, which loads with the first touch of the list. */
    edit(name, target, text) {
      hangtag.part("edits").then((edits) => edits[name](this, this.rowOf(target), target, text));
    }

    /** The row that an element of the page is in, counted from 0. */
    rowOf(target) {
      return this.rows.findIndex((row) => row.element.contains(target));
    }

    /** Several cells pasted into a field become rows. */
    paste(event) {
      const text = event.clipboardData.getData("text");
      if (!/[\t\n\r]/.test(text.trim())) return;
      event.preventDefault();
      this.edit("below", event.target, text);
    }

    // -------------------------------------------------------------------------------------------------- what is kept

    /** The list as separated text, as a link and a file carry it. @param {function(object): string} [textOf] */
    text(textOf = (cell) => cell.text) {
      const names = this.columns.map((column) => column.name).join(",");
      return [names, ...this.rows.map(({ cells }) => cells.map((cell) => quoted(textOf(cell))).join(","))].join("\n");
    }

    /** The part of the address after its `#`; a list that is too long for it is offered as a file. */
    hash() {
      const other = location.hash.startsWith(KEY) ? "" : location.hash;
      const text = this.text();
      const hash = KEY + encodeURIComponent(text).replace(/%2C/g, ",");
      const long = text !== this.start && hash.length > LONGEST;
      this.find("[data-long]").hidden = !long;
      return long || text === this.start ? other : hash;
    }

    /** A list in the address takes the place of this one as soon as it is read. */
    readAddress() {
      if (location.hash.startsWith(KEY)) {
        const text = location.hash.length <= LONGEST ? location.hash.slice(KEY.length) : "%";
        this.edit("fromAddress", null, text);
      }
    }
  }

  return { RowsField, readCell, controlOf };
})();
