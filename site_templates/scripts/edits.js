/**
 * What changes a list: rows are added, moved, removed, pasted from a spreadsheet, read from an address, and saved.
 * Separated text is read as in hangtag/answers/rows.py. Loaded when a reader touches a list, or an address holds one.
 */
window.hangtag = window.hangtag || {};
hangtag.edits = (function () {
  "use strict";
  const { Refused, rows, slots } = hangtag;

  const LONGEST_CELL = 131072; // as the reader of separated text in Python takes them

  // ------------------------------------------------------------------------------------------------ separated text

  /** @param {string[]} lines @param {string} mark @returns {string[][]} */
  function cellsOf(lines, mark) {
    const table = [];
    let [cells, cell, state] = [[], "", "start"];
    const end = () => {
      cells.push(cell);
      [cell, state] = ["", "start"];
    };
    for (const line of lines) {
      for (const character of line) {
        const quote = character === '"';
        if (state === "quoted" && quote) state = "closed";
        else if (state === "start" && quote) state = "quoted";
        else if (state !== "quoted" && character === mark) end();
        else {
          cell += character;
          if (cell.length > LONGEST_CELL) throw new Refused("rows-unreadable", {});
          if (state !== "quoted") state = state === "closed" && quote ? "quoted" : "bare";
        }
      }
      if (state === "quoted") continue;
      end();
      table.push(cells);
      cells = [];
    }
    if (state === "quoted") table.push([...cells, cell]);
    return table;
  }

  /**
   * The texts of every row by column; a first line may name the columns. Throws Refused.
   * @param {Column[]} columns with their labels in `label`
   */
  function rowsOf(text, columns, most) {
    const lines = text.replace(/^\ufeff/, "").split(/\r\n|\r|\n/).filter((line) => line.trim());
    if (lines.length > most + 1) throw new Refused("rows-too-many", { most });
    const mark = ["\t", ";", ","].find((one) => lines[0]?.includes(one)) || ",";
    let table = cellsOf(lines, mark).map((cells) => cells.map((cell) => cell.trim()));
    let names = columns.map((column) => column.name);
    const named = (table[0] || []).map((cell) => columns.find(({ name, label }) => [name, label].some((one) => one.toLowerCase() === cell.toLowerCase()))?.name);
    if (named.length && named.every(Boolean) && new Set(named).size === named.length) {
      names = named;
      table = table.slice(1);
    }
    if (table.length > most) throw new Refused("rows-too-many", { most });
    const wide = table.findIndex((cells) => cells.length > names.length);
    if (wide >= 0) throw new Refused("rows-too-wide", { row: wide + 1, most: names.length });
    return table.map((cells) => new Map(cells.map((cell, at) => [names[at], cell])));
  }

  /** Rows of text by column, each cell read, and what is wrong with them in words. */
  function read(field, text) {
    const faults = [];
    const cell = (row, at, column) => {
      try {
        return rows.readCell(column, row.get(column.name), slots.languageOf(field.element));
      } catch (error) {
        if (!(error instanceof Refused)) throw error;
        faults.push(field.inRow(at, column, error));
      }
    };
    try {
      const found = rowsOf(text, field.columns, field.most);
      return { faults, found: found.map((row, at) => new Map(field.columns.map((column) => [column.name, cell(row, at, column)]))) };
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      return { faults: [error], found: [] };
    }
  }

  /** Takes rows over, or shows in the box for pasting why not. */
  function take(field, text, before, after) {
    const { found, faults } = read(field, text);
    if (before.length + found.length + after.length > field.most) faults.push({ code: "rows-too-many", values: { most: field.most } });
    if (!found.length && !faults.length) faults.push({ code: "paste-nothing" });
    const box = field.find("details");
    field.tell("[data-pasted]", "paste-faults", faults);
    box.open = faults.length > 0;
    if (!faults.length) {
      field.box.value = "";
      return put(field, before, found, after);
    }
    field.box.value = text;
    field.box.focus();
    field.changed("paste-faults", { count: faults.length });
  }

  // ---------------------------------------------------------------------------------------------------------- rows

  let made = 0; // rows of this page, for ids that no two of them share

  /** A new row with some cells already read. @param {Map<string, Read>} cells by column */
  function make(field, cells) {
    made += 1;
    const element = field.model.cloneNode(true);
    for (const one of element.querySelectorAll("[id], [for]")) {
      for (const name of ["id", "for"]) {
        const text = one.getAttribute(name);
        if (text) one.setAttribute(name, text.replace(/-n-(?=[a-z0-9_]+(-error)?$)/, "-new-" + made + "-"));
      }
    }
    for (const column of field.columns) {
      const control = rows.controlOf(element, column);
      const read = cells.get(column.name) || rows.readCell(column, "");
      if (column.tick) control.checked = read.text === "yes";
      else control.value = column.units ? field.shown(column, read) : read.text;
    }
    return field.adopt(element);
  }

  /** @param {object[]} its rows in their new order */
  function arrange(field, its) {
    const old = field.rows;
    field.rows = its;
    const kept = new Set(its);
    for (const row of old) if (!kept.has(row)) row.element.remove();
    its.forEach(({ element }, at) => {
      // only what stands elsewhere is moved: to lay out a long list again takes a phone a second
      if (field.list.children[at] !== element) field.list.insertBefore(element, field.list.children[at] || null);
      const name = field.say("rows-row", { row: at + 1 });
      if (element.getAttribute("aria-label") !== name) element.setAttribute("aria-label", name);
    });
    field.misread = null;
    field.settle();
  }

  /** Puts new rows between others. @param {Map<string, Read>[]} found */
  function put(field, before, found, after) {
    if (before.length + found.length + after.length > field.most) return field.changed("rows-too-many", { most: field.most });
    arrange(field, [...before, ...found.map((row) => make(field, row)), ...after]);
    field.rows[before.length]?.cells[0].control.focus();
    field.changed("rows-taken", { count: field.rows.length });
  }

  function move(field, from, to, button) {
    const its = [...field.rows];
    if (!its[to]) return field.changed(to < 0 ? "rows-is-first" : "rows-is-last", { row: to });
    its.splice(to, 0, ...its.splice(from, 1));
    arrange(field, its);
    button.focus();
    field.changed("rows-moved", { from: from + 1, to: to + 1 });
  }

  return {
    rowsOf,
    read,
    add: (field) => put(field, field.rows, [new Map()], []),
    up: (field, at, button) => move(field, at, at - 1, button),
    down: (field, at, button) => move(field, at, at + 1, button),

    remove(field, at) {
      arrange(field, field.rows.filter((_, index) => index !== at));
      const next = field.rows[at] || field.rows[at - 1];
      (next?.element || field.element).querySelector(next ? "[data-do=remove]" : "[data-do=add]").focus();
      field.changed("rows-removed", { row: at + 1, count: field.rows.length });
    },

    replace: (field) => take(field, field.box.value, [], []),
    append: (field) => take(field, field.box.value, field.rows, []),

    /** Text pasted into a row: its rows follow that one, or stand in its place where it is still as it was added. */
    below(field, at, _, text) {
      const { columns, rows: its } = field;
      const fresh = its[at].cells.every((cell, index) => cell.text === rows.readCell(columns[index], "").text);
      take(field, text, its.slice(0, fresh ? at : at + 1), its.slice(at + 1));
    },

    /** A list that came with the address, or words why it cannot be read. */
    fromAddress(field, at, _, hash) {
      let got = { faults: [{ code: "paste-broken" }], found: [] };
      try {
        got = read(field, decodeURIComponent(hash));
      } catch (error) {
        if (!(error instanceof URIError)) throw error;
      }
      const { calculator } = field;
      if (!got.faults.length) arrange(field, got.found.map((row) => make(field, row)));
      else field.misread = got.faults;
      calculator.showFault(field);
      calculator.recalculate(false);
    },

    save(field) {
      const link = document.createElement("a");
      // a spreadsheet would run a text that begins like a formula
      const text = field.text(({ column, text }) => (!column.units && /^[=+@-]/.test(text) ? "'" + text : text));
      link.href = URL.createObjectURL(new Blob(["\ufeff" + text + "\n"], { type: "text/csv" }));
      link.download = field.calculator.dataset.calculator + ".csv";
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    },
  };
})();
