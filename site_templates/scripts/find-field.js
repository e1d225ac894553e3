/**
 * The door of the finder, on every page: nothing of it is loaded until the reader goes to a field, or until a page that
 * does not exist searches its own address. Then finder.js and its data come, and what was typed in the meantime is
 * searched. Must not search.
 */
(function () {
  "use strict";
  const here = /** @type {HTMLScriptElement} */ (document.currentScript);
  /** @type {Object<string, Promise<void>>} */
  const asked = {};

  /** A script of the site, loaded once; one that failed is asked for anew. @param {string} name @returns {Promise<void>} */
  function load(name) {
    asked[name] = asked[name] || new Promise((done, failed) => {
      const script = document.createElement("script");
      script.src = new URL(name, here.src).href;
      script.async = false; // both travel at once and run in this order
      script.onload = () => done();
      script.onerror = () => {
        delete asked[name];
        failed(new Error(name));
      };
      document.head.append(script);
    });
    return asked[name];
  }

  for (const box of document.querySelectorAll(".ht-find")) {
    const open = () =>
      Promise.all([load("finder.js"), load("finder-data.js")]).then(
        () => hangtag.finder.attach(box, here, load),
        () => undefined, // the lists of the site remain, and the next key tries again
      );
    if (box.getAttribute("data-find") === "path") open();
    box.addEventListener("focusin", open);
    box.addEventListener("input", open);
  }
})();
