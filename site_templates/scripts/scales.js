/**
 * The marker on a drawn scale: moved by `?value=` in the address and by the calculators of the page.
 * The figure is complete without this. Must not know calculators.
 */
window.hangtag = window.hangtag || {};
hangtag.scales = (function () {
  "use strict";
  const { numbers, slots, units } = hangtag;

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
      if (current) words = (item.querySelector(".ht-says") || item).textContent.trim();
    }
    const described = figure.querySelector("desc");
    if (described) described.textContent = slots.say(figure, "scale-desc", { value: text, band: words });
  }

  /** Takes `?value=1500mm` on an entry's own page. The scripts of calculators are here already. */
  function readAddress() {
    const typed = new URLSearchParams(location.search).get("value");
    if (typed === null) return;
    for (const figure of document.querySelectorAll("[data-scale]")) {
      if (!slots.isPage("terms/" + figure.getAttribute("data-scale"))) continue;
      const own = (figure.getAttribute("data-units") || figure.getAttribute("data-unit") || "").split(" ");
      let fault = "";
      try {
        markFigure(figure, units.readQuantity(typed, own, slots.languageOf(figure)).si);
      } catch (error) {
        if (!(error instanceof hangtag.Refused)) throw error;
        fault = slots.say(figure, error.code, error.values);
      }
      slots.setLine(figure.querySelector("[data-error]"), fault);
    }
  }

  readAddress();
  return { mark, markFigure };
})();
