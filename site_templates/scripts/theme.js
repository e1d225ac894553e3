/**
 * Light and dark: the reader's device decides until the reader does. Loaded in the head, before anything is painted.
 * Must not touch anything but the root element and the switch in the header.
 */
(function () {
  "use strict";
  var KEY = "hangtag-look";
  var root = document.documentElement;

  /** @returns {string | null} "dark", "light", or null where the reader has not chosen (or storage is closed) */
  function chosen() {
    try {
      var look = localStorage.getItem(KEY);
      return look === "dark" || look === "light" ? look : null;
    } catch (closed) {
      return null;
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
  apply(chosen());

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
      try {
        localStorage.setItem(KEY, look);
      } catch (closed) {
        // The choice then lasts for this page alone.
      }
    });
  });
})();
