// The address of a calculator's own page: read when the page opens, written when its reader rests. Entries do without it.
// Must not know fields beyond `address`, `set` and `hash`.
(function () {
  "use strict";
  const hangtag = (window.hangtag = window.hangtag || {});

  /** Sets the fields that the address names. @returns {boolean} whether there were any */
  function read(calculator) {
    const asked = new URLSearchParams(location.search);
    const backwards = calculator.querySelector("details[data-part=backwards]");
    let any = false;
    for (const field of calculator.fields) {
      field.readAddress?.();
      if (field.hash || !asked.has(field.name)) continue;
      const offered = backwards?.querySelector('[data-ask=input] [value="' + field.name + '"]');
      if (offered && /^ *(ask|\?) *$/.test(asked.get(field.name))) {
        backwards.open = true; // and its script reads what is wanted
        continue;
      }
      field.set(asked.get(field.name));
      any = true;
    }
    return any;
  }

  /**
   * Writes the fields into the address; keys that are not ours stay. Where the calculator is worked backwards
   * (`question`), the wanted answer stands there too, and `ask` for the asked field.
   */
  function write(calculator) {
    const { fields, question } = calculator;
    if (fields.some((field) => field.fault)) return;
    const names = new Set(fields.map((field) => field.name));
    if (question !== undefined) calculator.data.steps.forEach((step) => names.add(step.name));
    const kept = location.search.slice(1).split("&").filter((part) => part && !names.has(keyOf(part)));
    const address = calculator.addresses();
    const written = (field, at) => field.name + "=" + (question?.input === field.name ? "ask" : encode(address[at]));
    const ours = !question && address.join("&") === calculator.startAddress ? [] : calculator.inQuery().map(written);
    if (question) ours.unshift(question.output + "=" + encode(question.text));
    const query = [...kept, ...ours].join("&");
    const hash = fields.find((field) => field.hash)?.hash() ?? location.hash;
    if (query !== location.search.slice(1) || hash !== location.hash) {
      history.replaceState(history.state, "", location.pathname + (query ? "?" + query : "") + hash);
    }
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

  hangtag.address = { read, write };
})();
