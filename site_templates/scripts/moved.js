/** Leads from an old address to the new one and takes query and fragment along. The page has a plain link as well. */
(function () {
  "use strict";
  const to = new URL(document.currentScript.dataset.to, location.href);
  to.search = location.search;
  to.hash = location.hash;
  location.replace(to.href);
})();
