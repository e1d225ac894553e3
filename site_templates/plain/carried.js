/**
 * For pages that another generator makes from our exported Markdown: marks the element that holds the text, so that our
 * styles find it, and sets the links that stand within HTML, which some generators leave alone and others rewrite. Such
 * a link names its page as `data-page`. Loads what only some pages need. Must not change what stands in the page.
 */
(function () {
  "use strict";
  const root = new URL("../", document.currentScript.src);

  /**
   * @param {string} page a page's Markdown path, with a place in it or without
   * @returns {string} its address, in the form that the address of this page has: a folder or a file for each page
   */
  function address(page) {
    const [, path, place] = /^([^#]*)(.*)$/.exec(page);
    const files = location.protocol === "file:" || /[^/]\.html$/.test(location.pathname.replace(/index\.html$/, ""));
    const end = files ? ".html" : "/";
    const home = files ? "index.html" : "";
    const below = path.replace(/(^|\/)index\.md$/, "$1" + home).replace(/\.md$/, end);
    return new URL(below, root).href + place;
  }

  /** @param {string} name a script that only some pages need; those asked for first run first */
  function load(name) {
    const script = document.createElement("script");
    script.async = false;
    script.src = new URL(`scripts/${name}`, root).href;
    document.head.append(script);
  }

  document.addEventListener("DOMContentLoaded", function () {
    const heading = document.querySelector("h1[id]");
    if (heading && heading.parentElement) {
      heading.parentElement.classList.add("ht-article", "md-typeset");
    }
    document.documentElement.classList.remove("no-js");
    if (!document.documentElement.dir) {
      document.documentElement.dir = "ltr";
    }
    if (document.querySelector(".ht-tags-form")) {
      load("tags.js");
      load("tags-data.js");
    }
    for (const link of document.querySelectorAll("a[data-page]")) {
      link.setAttribute("href", address(link.getAttribute("data-page")));
    }
  });
})();
