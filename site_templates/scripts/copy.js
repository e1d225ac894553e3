/**
 * "Copy link": the address of a calculator's own page with the values that stand in its fields, on whatever page it is.
 * It says what it copied; where a page may not copy, the link is shown, selected. Must not change a field.
 */
(function () {
  "use strict";
  const { slots } = hangtag;
  const LIST = "#rows=";

  /** The site on the web where a copy on disk knows it, since a link into somebody's disk is of no use to others. */
  function rootOf() {
    const own = /** @type {HTMLLinkElement | null} */ (document.querySelector("link[rel=canonical]"));
    return location.protocol === "file:" && own ? own.href.replace(/(terms|calculators)\/[^/]+(\/|\.html|\/index\.html)$/, "") : slots.root;
  }

  /** What its own page writes into its address: nothing for start values. */
  function written(calculator) {
    if (calculator.isOwnPage()) {
      calculator.writeAddress();
      return location.search + location.hash;
    }
    const encode = (/** @type {string} */ text) => encodeURIComponent(text).replace(/%2F/g, "/");
    const { question } = calculator;
    const pairs = calculator.inQuery().map((field) => [field.name, question?.input === field.name ? "ask" : field.address()]);
    if (question) pairs.unshift([question.output, question.text]);
    const start = !question && calculator.addresses().join("&") === calculator.startAddress;
    const list = calculator.fields.find((field) => field.hash)?.hash() ?? "";
    const query = start ? "" : "?" + pairs.map(([name, text]) => name + "=" + encode(text)).join("&");
    return query + (list.startsWith(LIST) ? list : "");
  }

  function linkOf(calculator) {
    const page = new URL("calculators/" + encodeURIComponent(calculator.dataset.calculator) + "/", rootOf());
    if (page.protocol === "file:") page.pathname += "index.html"; // a folder opens as a listing there
    return page.href + written(calculator);
  }

  /** A field's value as the link carries it: `Head 1500 mm`. */
  function valueOf(field) {
    if (field.hash) return field.label;
    const { control, element, shown } = field;
    const label = element.querySelector("label").textContent.trim();
    if (control.selectedOptions) return label + " " + control.selectedOptions[0].textContent.trim();
    return label + " " + (shown.texts ? slots.measured(slots.joined(element, shown.texts), shown.unit) : field.written());
  }

  /** What to say of a link that was made. */
  function describe(calculator) {
    const group = calculator.querySelector("[role=group]");
    const name = group.getAttribute("aria-label") || group.querySelector(".ht-calc-name").textContent.trim();
    return { name, values: calculator.fields.map(valueOf).join("; ") };
  }

  hangtag.copy = function (calculator, place) {
    const [button, words, line, field] = ["button", "[data-said]", "[data-by-hand]", "input"].map((one) => place.querySelector(one));
    const status = calculator.querySelector("[role=status]");

    function say(/** @type {string} */ message, /** @type {Object<string, string>} */ values) {
      words.textContent = slots.say(place, message, values);
      words.hidden = false;
      clearTimeout(calculator.timer); // the answers were not asked for now
      status.textContent = "";
      requestAnimationFrame(() => (status.textContent = words.textContent)); // said again when it is asked for again
    }

    async function copy() {
      line.hidden = true;
      const wrong = calculator.fields.find((one) => one.fault);
      if (wrong) return say("copy-fault", { label: wrong.label || wrong.element.querySelector("label").textContent.trim() });
      const link = linkOf(calculator);
      if (calculator.querySelector("[data-long]:not([hidden])")) return say("list-too-long", {});
      try {
        await navigator.clipboard.writeText(link);
        say("copy-done", describe(calculator));
      } catch {
        field.value = link;
        line.hidden = false;
        field.focus();
        field.select();
        say("copy-by-hand", describe(calculator));
      }
    }

    button.addEventListener("click", copy);
    place.hidden = false;
  };
})();
