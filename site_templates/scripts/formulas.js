/**
 * What generated formulas call: the places where a value that is not finite would otherwise pass unseen.
 * A formula without an answer throws NoAnswer with a code, the same as Python gives.
 */
(function () {
  "use strict";
  const hangtag = (window.hangtag = window.hangtag || {});

  class NoAnswer extends Error {
    /** @param {"divide-by-zero"|"outside-domain"|"too-large"|"outside-table"|"no-solution"} code */
    constructor(code) {
      super(code);
      this.code = code;
      /** @type {string} the step that has no answer */
      this.step = "";
    }
  }

  /** @param {number} x @returns {number} x, where it is finite */
  function finite(x) {
    if (Number.isFinite(x)) return x;
    throw new NoAnswer(Number.isNaN(x) ? "outside-domain" : "too-large");
  }

  /** @param {number[]} values @param {(a: number, b: number) => boolean} wins */
  function best(values, wins) {
    values.forEach(finite);
    return values.reduce((kept, value) => (wins(value, kept) ? value : kept));
  }

  hangtag.formulas = {
    NoAnswer,
    finite,
    /** @param {number} x @param {number} y */
    div(x, y) {
      if (finite(y) === 0) throw new NoAnswer("divide-by-zero");
      return x / y;
    },
    /** x times itself, from the left. @param {number} x @param {number} times */
    times(x, times) {
      let product = x;
      for (let i = 1; i < times; i += 1) product *= x;
      return product;
    },
    /** @param {(...args: number[]) => number} f @param {...number} args */
    call(f, ...args) {
      return finite(f(...args.map(finite)));
    },
    /** @param {...number} values */
    min(...values) {
      return best(values, (a, b) => a < b);
    },
    /** @param {...number} values */
    max(...values) {
      return best(values, (a, b) => a > b);
    },
    /** @param {number} x */
    snap(x) {
      return hangtag.numbers.snap(finite(x));
    },
    /** @param {number[][]} rows @param {(r: number[]) => number} of @param {(r: number[]) => boolean} [where] */
    sum(rows, of, where) {
      let total = 0;
      for (const row of rows) if (!where || where(row)) total += of(row);
      return total;
    },
    /** Runs one step, keeps it, and names it where it has no answer. @param {string} name @param {Map<string, number>} out @param {() => number} run */
    step(name, out, run) {
      try {
        const value = finite(run());
        out.set(name, value);
        return value;
      } catch (error) {
        if (error instanceof NoAnswer && !error.step) error.step = name;
        throw error;
      }
    },
  };
})();
