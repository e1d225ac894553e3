/**
 * On the page for an address that leads nowhere: the words of the address go into the finder's field, which then searches
 * them. Needs to run before find-field.js.
 */
(function () {
  "use strict";
  const root = new URL("../", document.currentScript.src).href;
  const input = document.querySelector("[data-find=path] input");
  if (!(input instanceof HTMLInputElement)) return;
  const [path] = location.href.slice(location.href.startsWith(root) ? root.length : location.origin.length).split(/[?#]/);
  let text = path;
  try {
    text = decodeURIComponent(path);
  } catch (broken) {
    // Searched as it stands.
  }
  text = text.replace(/(index)?\.html?$/, "").replace(/^\/?(terms|calculators|gear|areas)\//, "");
  input.value = text.replace(/[-_/+]+/g, " ").trim();
})();
