/**
 * Tags in the browser: items become quantities, every honest way to read the number that begins at an item. The same as
 * hangtag/tag_reader/quantities.py, where the grammar stands. Must not know entries or patterns.
 */
(function () {
  "use strict";
  const { tag } = hangtag;
  const { GLUED, SPACED } = tag;
  const [EXACT, AT_LEAST, AT_MOST, ABOUT] = ["exact", "at least", "at most", "about"];
  const LONGEST = 30;
  const ABOVE = new Set("1 2 3 5 7 9 11 13 15".split(" "));
  const BELOW = new Set("2 3 4 8 16".split(" "));

  /**
   * @typedef {{first: number, end: number, number: number, values: number[], halves: number[], spelling: string,
   *   thousand: boolean, bound: string, again: boolean}} Amount
   * @typedef {{first: number, end: number, amounts: Amount[], spelling: string, thousand: boolean}} Quantity
   */

  /** @param {number} first @param {number} end @param {Amount[]} amounts @returns {Quantity} */
  const quantity = (first, end, amounts) =>
    ({ first, end, amounts, spelling: amounts[0].spelling, thousand: amounts[0].thousand });

  /** @param {string} number @param {number} value */
  function halfWidth(number, value) {
    const [whole, decimals = ""] = number.split(".");
    if (decimals) return Number("5e-" + (decimals.length + 1));
    const zeros = whole.length - whole.replace(/0+$/, "").length;
    if (zeros === 0 || whole === "0") return 0.5;
    return Math.max(0.5, Math.min(Number("5e" + (zeros - 1)), value * 0.025));
  }

  class Quantities {
    /** @param {import('./tag-items.js').Items} items @param {any} grammar @param {Set<number>} blocked */
    constructor(items, grammar, blocked) {
      Object.assign(this, { items, grammar, blocked, amounts: new Map(), found: new Map() });
    }

    /** Every quantity that begins at an item, its bound included. @param {number} at @returns {Quantity[]} */
    at(at) {
      if (!this.found.has(at)) this.found.set(at, this.quantities(at));
      return this.found.get(at);
    }

    quantities(at) {
      if (this.grammar.boundWords.has(this.items.word[at])) {
        const [bound, after] = this.bound(at);
        if (bound) return this.at(after).filter((each) => each.first === after).map((each) => bounded(each, bound, at));
      }
      const found = this.plain(at);
      return [...found, ...found.flatMap((each) => this.twice(each))];
    }

    plain(at) {
      return this.amountsAt(at).flatMap((amount) => [this.closed(amount), ...this.ranges(amount)]);
    }

    /** @returns {[string, number]} */
    bound(at) {
      const { items } = this;
      for (let length = 3; length > 0; length -= 1) {
        const end = at + length;
        if (end >= items.count || items.segment[end] !== items.segment[at]) continue;
        const bound = this.grammar.bounds.get(items.word.slice(at, end).join(" "));
        if (bound && (items.kind[end] === "number" || items.word[end] === "-" || items.word[end] === "+")) return [bound, end];
      }
      return ["", at];
    }

    closed(amount) {
      const { items } = this;
      const { first, end } = amount;
      if (end < items.count && items.word[end] === "+" && items.gap[end] === GLUED && !this.isNumber(end + 1)) {
        return quantity(first, end + 1, [{ ...amount, end: end + 1, bound: AT_LEAST }]);
      }
      const tolerance = this.tolerance(end, first);
      if (tolerance) return quantity(first, tolerance, [{ ...amount, end: tolerance, bound: ABOUT }]);
      return quantity(first, end, [amount]);
    }

    tolerance(at, first) {
      const { items } = this;
      if (at >= items.count || items.segment[at] !== items.segment[first]) return 0;
      let after;
      if (items.word[at] === "±") after = at + 1;
      else if (items.word.slice(at, at + 3).join(" ") === "+ / -") after = at + 3;
      else return 0;
      if (after >= items.count || items.kind[after] !== "number") return 0;
      const ends = this.amountsAt(after).map((amount) => amount.end);
      const end = ends.length ? Math.max(...ends) : after + 1;
      return end < items.count && items.word[end] === "%" ? end + 1 : end;
    }

    ranges(low) {
      const { items } = this;
      const at = low.end;
      if (at + 1 >= items.count || items.segment[at + 1] !== items.segment[low.first]) return [];
      const word = items.word[at];
      if (!(word === "-" || word === "to" || (word === "and" && low.first > 0 && items.word[low.first - 1] === "between"))) return [];
      const found = [];
      const highs = this.amountsAt(at + 1);
      const hasUnit = highs.some((high) => high.spelling);
      for (const high of highs) {
        if ((low.spelling && low.spelling !== high.spelling) || (low.thousand && !high.thousand)) continue;
        if (hasUnit && !high.spelling) continue;
        const thousand = high.thousand && !low.thousand;
        const values = thousand ? low.values.map((value) => value * 1000) : low.values;
        const rising = values[0] <= high.values[0];
        const one = { ...low, values, spelling: high.spelling, thousand: high.thousand };
        found.push(quantity(low.first, high.end, [
          { ...one, bound: rising ? AT_LEAST : AT_MOST },
          { ...high, bound: rising ? AT_MOST : AT_LEAST },
        ]));
      }
      return found;
    }

    twice(one) {
      const { items } = this;
      const at = one.end;
      if (!one.spelling || at + 1 >= items.count || items.segment[at + 1] !== items.segment[one.first]) return [];
      const bracket = items.word[at] === "(";
      if (!bracket && items.word[at] !== "/") return [];
      const found = [];
      let start = at + 1;
      if (this.grammar.boundWords.has(items.word[start])) start = this.bound(start)[1];
      for (const other of this.plain(start)) {
        const { end } = other;
        if (bracket && (end >= items.count || items.word[end] !== ")")) continue;
        if (this.areTheSame(one.amounts[0], other.amounts[0], !bracket)) {
          const again = other.amounts.map((amount) => ({ ...amount, again: true }));
          found.push(quantity(one.first, bracket ? end + 1 : end, [...one.amounts, ...again]));
        }
      }
      return found;
    }

    areTheSame(one, other, near) {
      const { systems } = this.grammar;
      for (const [dimension, system, scale] of systems.get(one.spelling) ?? []) {
        for (const [itsDimension, itsSystem, itsScale] of systems.get(other.spelling) ?? []) {
          if (dimension !== itsDimension || system === itsSystem) continue;
          if (!near || scale === 0) return true; // temperatures have no ratio
          const [mine, theirs] = [Math.abs(one.values[0]) * scale, Math.abs(other.values[0]) * itsScale];
          if (mine <= theirs * 2 && theirs <= mine * 2) return true;
        }
      }
      return false;
    }

    // ---------------------------------------------------------------------------------------------- amounts

    amountsAt(at) {
      if (!this.amounts.has(at)) this.amounts.set(at, this.readAmounts(at));
      return this.amounts.get(at);
    }

    readAmounts(first) {
      const { items } = this;
      if (first >= items.count) return [];
      let [at, sign] = [first, 1];
      if (items.kind[first] === "mark" && (items.word[first] === "-" || items.word[first] === "+") && this.isSign(first)) {
        [at, sign] = [first + 1, items.word[first] === "-" ? -1 : 1];
      }
      if ((items.kind[at] !== "number" && items.kind[at] !== "mark") || this.blocked.has(at)) return [];
      const found = [];
      for (const [end, numbers] of this.numbers(at)) {
        let values = numbers.map(([value]) => sign * value);
        let halves = numbers.map(([, half]) => half);
        if (sign > 0 && at === first && this.isAfterDash(at)) {
          values = [...values, ...values.map((value) => -value)];
          halves = [...halves, ...halves];
        }
        const bare = { first, end, number: at, values, halves, spelling: "", thousand: false, bound: EXACT, again: false };
        found.push(...this.withUnits(bare, true));
      }
      return found;
    }

    withUnits(bare, compound) {
      const { items } = this;
      let { end } = bare;
      let found = [bare];
      if (end < items.count && items.word[end] === "k" && items.gap[end] === GLUED) {
        const thousand = (numbers) => numbers.map((number) => number * 1000);
        bare = { ...bare, values: thousand(bare.values), halves: thousand(bare.halves), end: end + 1, thousand: true };
        found = [bare];
        end += 1;
      }
      const segment = items.segment[bare.first];
      let node = this.grammar.units;
      while (end < items.count && items.segment[end] === segment && items.gap[end] !== ":") {
        node = node.get(items.word[end]);
        if (node === undefined) break;
        end += 1;
        const spelling = node.get("");
        if (spelling !== undefined) {
          const amount = { ...bare, end, spelling };
          found.push(amount);
          if (compound) found.push(...this.compounds(amount));
        }
      }
      return found;
    }

    compounds(large) {
      const { items } = this;
      const smaller = this.grammar.smaller.get(large.spelling);
      let at = large.end;
      if (smaller === undefined || at >= items.count || items.segment[at] !== items.segment[large.first]) return [];
      if (items.word[at] === "and") at += 1;
      if (at >= items.count || items.kind[at] !== "number" || items.gap[at] === ":" || large.values[0] < 0) return [];
      const found = [];
      for (const [end, numbers] of this.numbers(at)) {
        const alone = {
          first: at, end, number: at, values: [numbers[0][0]], halves: [numbers[0][1]], spelling: "", thousand: false,
          bound: EXACT, again: false,
        };
        for (const small of this.withUnits(alone, false)) {
          const ratio = smaller.get(small.spelling);
          if (ratio === undefined || small.values[0] >= ratio) continue;
          const [value, half, whole] = [small.values[0], small.halves[0], large.values[0]];
          found.push({ ...large, end: small.end, values: [whole + value / ratio], halves: [half / ratio] });
          found.push({ ...large, end: small.end, spelling: small.spelling, values: [whole * ratio + value], halves: [half] });
        }
      }
      return found;
    }

    // ---------------------------------------------------------------------------------------------- numbers

    /** @returns {Array<[number, Array<[number, number]>]>} */
    numbers(at) {
      const { items } = this;
      const alone = this.grammar.fractions.get(items.word[at]);
      if (alone !== undefined) return [[at + 1, [[alone[0] / alone[1], 0.5 / alone[1]]]]];
      if (items.kind[at] !== "number") return [];
      const texts = items.values[at].filter((text) => text.length <= LONGEST);
      const readings = texts.map((text) => [Number(text), halfWidth(text, Number(text))]);
      if (!readings.length) return [];
      const found = [[at + 1, readings]];
      const spaced = this.spacedThousands(at);
      if (spaced) found.push(spaced);
      const whole = this.fraction(at, readings[0][0]);
      if (whole) found.push(whole);
      return found;
    }

    spacedThousands(at) {
      const { items } = this;
      let digits = items.word[at];
      if (digits.length > 3 || !tag.isDigits(digits) || digits[0] === "0") return null;
      let end = at + 1;
      while (end < items.count && end - at < 3 && this.isGroup(end)) {
        digits += items.word[end];
        end += 1;
      }
      return end === at + 1 ? null : [end, [[Number(digits), halfWidth(digits, Number(digits))]]];
    }

    isGroup(at) {
      const { items } = this;
      const word = items.word[at];
      return (
        items.kind[at] === "number" && word.length === 3 && tag.isDigits(word) && items.gap[at] === SPACED &&
        items.start[at] === items.end[at - 1] + 1 && items.segment[at] === items.segment[at - 1] && !this.blocked.has(at)
      );
    }

    fraction(at, whole) {
      const { items } = this;
      const { fractions, us } = this.grammar;
      if (at + 1 < items.count && fractions.has(items.word[at + 1]) && (items.gap[at + 1] === GLUED || items.gap[at + 1] === SPACED)) {
        const [above, below] = fractions.get(items.word[at + 1]);
        return [at + 2, [[whole + above / below, 0.5 / below]]];
      }
      for (const [start, before] of [[at + 1, whole], [at, 0]]) {
        if (start + 2 < items.count && items.word[start + 1] === "/" && items.gap[start + 1] === GLUED && items.gap[start + 2] === GLUED) {
          const [above, below] = [items.word[start], items.word[start + 2]];
          if (ABOVE.has(above) && BELOW.has(below) && Number(above) < Number(below)) {
            if (start + 3 < items.count && us.has(items.word[start + 3])) {
              return [start + 3, [[before + Number(above) / Number(below), 0.5 / Number(below)]]];
            }
          }
        }
      }
      return null;
    }

    // ---------------------------------------------------------------------------------------------- signs

    isSign(at) {
      const { items } = this;
      if (at + 1 >= items.count || items.gap[at + 1] !== GLUED || items.kind[at + 1] !== "number") return false;
      if (at === 0 || items.segment[at] !== items.segment[at - 1]) return true;
      const before = items.kind[at - 1];
      if (items.gap[at] === GLUED) return before === "mark" && ![")", "%", "°"].includes(items.word[at - 1]);
      return before !== "number";
    }

    isAfterDash(at) {
      const { items } = this;
      if (at < 2 || items.word[at - 1] !== "-" || items.gap[at] === GLUED) return false;
      return (
        items.segment[at] === items.segment[at - 2] && items.kind[at - 2] === "word" &&
        !this.grammar.unitWords.has(items.word[at - 2])
      );
    }

    isNumber(at) {
      return at < this.items.count && this.items.kind[at] === "number";
    }
  }

  /** @param {Quantity} its @param {string} bound @param {number} first */
  function bounded(its, bound, first) {
    const amounts = its.amounts.map((amount, index) => ({
      ...amount,
      first: index === 0 ? first : amount.first,
      bound: amount.bound === EXACT ? bound : amount.bound,
    }));
    return quantity(first, its.end, amounts);
  }

  Object.assign(tag, { EXACT, Quantities });
})();
