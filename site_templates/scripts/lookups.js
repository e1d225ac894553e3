/**
 * What formulas with a table or an equation call besides formulas.js: only their calculators load this.
 */
window.hangtag = window.hangtag || {};
hangtag.lookups = (function () {
  "use strict";
  const { NoAnswer, finite } = hangtag.formulas;

  const lookups = {
    /** The y of a table at x: see hangtag/formula/numeric.py. @param {number} x @param {number[]} xs @param {number[]} ys @param {string} rule */
    lookup(x, xs, ys, rule) {
      finite(x);
      const last = xs.length - 1;
      if (rule === "exact") {
        if (xs.includes(x)) return ys[xs.indexOf(x)];
      } else if (rule === "up_to") {
        if (x <= xs[last]) return ys[xs.findIndex((at) => x <= at)];
      } else if (x >= xs[0] && rule === "step") {
        return ys[xs.findLastIndex((at) => at <= x)];
      } else if (x >= xs[0] && x <= xs[last] && last > 0) {
        const i = Math.max(1, xs.findIndex((at) => x <= at));
        return ys[i - 1] + (ys[i] - ys[i - 1]) * ((x - xs[i - 1]) / (xs[i] - xs[i - 1]));
      }
      throw new NoAnswer("outside-table");
    },
    /** Where both sides are equal: 40 halvings. @param {(x: number) => number[]} sides @param {number} low @param {number} high */
    root(sides, low, high) {
      const at = (/** @type {number} */ x) => sides(x).map(finite);
      for (const end of [low, high]) {
        const [a, b] = at(end);
        if (Math.abs(a - b) <= 1e-12 * Math.max(Math.abs(a), Math.abs(b))) return end;
      }
      const under = (/** @type {number} */ x) => {
        const [a, b] = at(x);
        return a - b < 0;
      };
      const below = under(low);
      if (under(high) === below) throw new NoAnswer("no-solution");
      for (let i = 0; i < 40; i += 1) {
        const middle = (low + high) / 2;
        if (under(middle) === below) low = middle;
        else high = middle;
      }
      return (low + high) / 2;
    },
  };
  return Object.assign(hangtag.formulas, lookups);
})();
