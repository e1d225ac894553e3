/**
 * What a reader prefers on all pages. Light and dark: the device decides until the reader does. Units: as printed until
 * the reader chooses a system; then preference.js shows everything in it. Loaded in the head, before anything is painted.
 * Must not touch anything but the root element and the two switches in the header.
 */
(function () {
  "use strict";
  var KEY = "hangtag-look";
  var UNITS = "hangtag-units";
  var root = document.documentElement;
  var here = document.currentScript.src;

  /**
   * @param {string} key
   * @param {string[]} values
   * @returns {string | null} one of the values, or null where the reader has not chosen (or storage is closed)
   */
  function kept(key, values) {
    try {
      var value = localStorage.getItem(key);
      return values.indexOf(value) < 0 ? null : value;
    } catch (closed) {
      return null;
    }
  }

  /** @param {string} key @param {string} value */
  function keep(key, value) {
    try {
      localStorage.setItem(key, value);
    } catch (closed) {
      // The choice then lasts for this page alone.
    }
  }

  /** @returns {boolean} whether the page is dark now */
  function isDark() {
    return (root.dataset.look || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
  }

  /** @param {string | null} look */
  function apply(look) {
    if (look) {
      root.dataset.look = look;
    }
  }

  root.classList.remove("no-js");
  root.classList.add("js");
  apply(kept(KEY, ["dark", "light"]));
  root.dataset.units = kept(UNITS, ["si", "us"]) || "";

  document.addEventListener("DOMContentLoaded", function () {
    var button = document.querySelector(".ht-switch");
    if (!(button instanceof HTMLElement)) {
      return;
    }
    /** The switch says what a press would give. */
    function word() {
      button.textContent = isDark() ? button.dataset.light : button.dataset.dark;
    }
    word();
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", word);
    button.addEventListener("click", function () {
      var look = isDark() ? "light" : "dark";
      apply(look);
      word();
      keep(KEY, look);
    });
  });

  document.addEventListener("DOMContentLoaded", function () {
    var select = document.querySelector(".ht-units select");
    if (!(select instanceof HTMLSelectElement)) {
      return;
    }
    var script = null;
    /** Pages without numbers of ours have nothing to show in other units. */
    function show() {
      if (script) {
        document.dispatchEvent(new Event("hangtag-units"));
      } else if (window.hangtag && window.hangtag.slots && root.dataset.units) {
        script = document.createElement("script");
        script.src = new URL("preference.js", here).href;
        document.head.append(script);
      }
    }
    select.value = root.dataset.units;
    show();
    select.addEventListener("change", function () {
      root.dataset.units = select.value;
      keep(UNITS, select.value);
      show();
    });
  });
})();
