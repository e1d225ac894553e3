/**
 * Working backwards: the same search, in the same order and words, as hangtag/answers/backwards.py.
 * Loaded when its part is opened. Must not fill a field unless its reader asks for that.
 */
(function () {
  "use strict";
  const { fields, formulas, numbers, slots, units } = hangtag;
  const [STEPS, HALVINGS, AT_END, JUMP] = [64, 40, 1e-12, 1e-5];

  /** The field of the wanted value: any number will do. */
  class Wanted extends fields.QuantityField {
    faultOf() {
      return null;
    }
  }

  /** Where the difference is at most `size`, and the middle of the last bracket. @returns {[number?, number?]} */
  function halved(difference, low, high, size, below) {
    const middle = () => (low + high) / 2;
    for (let i = 0; i < HALVINGS; i += 1) {
      const at = middle();
      const value = difference(at);
      if (value === null) return [];
      if (value < 0 === below) low = at;
      else high = at;
    }
    const fits = (/** @type {number} */ x) => difference(x) !== null && Math.abs(difference(x)) <= size;
    return [[middle(), high, low].find(fits), middle()];
  }

  /** Every value of the field at which the difference is none, the jumps over it, and all differences met. */
  function search(low, high, target, difference) {
    const points = Array.from({ length: STEPS }, (_, i) => low + (high - low) * (i / STEPS)).concat(high);
    const tried = points.map(difference);
    const roots = [0, STEPS].filter((i) => tried[i] !== null && Math.abs(tried[i]) <= AT_END * Math.abs(target)).map((i) => points[i]);
    const jumps = [];
    for (let i = 0; i < STEPS; i += 1) {
      const [value, after] = [tried[i], tried[i + 1]];
      if (value === null || after === null || value < 0 === after < 0) continue;
      const size = JUMP * Math.max(Math.abs(value), Math.abs(after));
      const [root, at] = halved(difference, points[i], points[i + 1], size, value < 0);
      if (root !== undefined) roots.push(root);
      else if (at !== undefined) jumps.push(at);
    }
    roots.sort((a, b) => a - b);
    const distinct = roots.filter((x, i) => i === 0 || x - roots[i - 1] > (high - low) * AT_END * 10);
    const near = 1e-6 * (high - low);
    const level = distinct.some((x) => [x - near, x + near].some((at) => at >= low && at <= high && difference(at) === 0));
    return { roots: distinct, jumps, level, reached: tried.filter((value) => value !== null).map((value) => value + target) };
  }

  hangtag.backwards = function (calculator, details) {
    const { data } = calculator;
    const ask = (/** @type {string} */ name) => details.querySelector("[data-ask=" + name + "]");
    const [output, unit, input, error, because, list] = ["output", "unit", "input", "error", "because", "answers"].map(ask);
    let step, wanted, field;

    const text = (/** @type {number} */ si) => numbers.show(units.fromSi(si, step.unit), step.digits, step.places, step.whole);
    const inWords = (/** @type {number} */ si) => slots.measured(text(si), step.unit);
    const shown = (/** @type {number} */ si) => slots.measured(numbers.show(units.fromSi(si, field.unit), 6), field.unit);
    const labelOf = (/** @type {HTMLSelectElement} */ select) => select.selectedOptions[0].text;
    const say = (name, values) => slots.say(details, "backwards-" + name, { input: labelOf(input), output: labelOf(output), ...values });

    function run(values) {
      try {
        return data.requires(values, formulas) < 0 ? data.run(values, formulas).get(step.name) : null;
      } catch (fault) {
        if (!(fault instanceof formulas.NoAnswer)) throw fault;
        return null;
      }
    }

    /** The answers, each a value or the ends of an interval or a choice; and words where there is something to say. */
    function solve() {
      const values = calculator.values();
      const target = wanted.si;
      const fits = (value) => value !== null && inWords(value) === inWords(target);
      const several = (found) => (found.length > 1 ? say("several", { count: found.length }) : "");
      if (field.options) {
        const chosen = [...field.options.values()].filter((option, i) => fits(run(new Map(values).set(field.name, option[3]).set(field.name + "_CHOICE", i))));
        return [chosen.map((option) => ({ choice: option[0] })), chosen.length ? "" : say("no-choice", { wanted: inWords(target) })];
      }
      const uncertain = calculator.uncertain?.() ?? new Map();
      uncertain.delete(field.name);
      const [low, high] = [field.data.low, field.data.high].map((limit) => units.toSi(...limit));
      const rootsAt = (corner) =>
        search(low, high, target, (x) => {
          const value = run(new Map([...values, ...corner, [field.name, x]]));
          return value === null ? null : value - target;
        });
      const { roots, jumps, level, reached } = rootsAt([]);

      function words() {
        if (!reached.length) return say("never-runs");
        const [least, most] = [Math.min(...reached), Math.max(...reached)];
        if (most - least <= AT_END * Math.max(Math.abs(least), Math.abs(most))) return say("no-influence", { value: inWords(least) });
        if (jumps.length && !roots.length) return say("jumps", { at: shown(jumps[0]) });
        if (!roots.length) return say("out-of-reach", { low: inWords(least), high: inWords(most) });
        return level ? say("stretch") : several(roots);
      }

      if (!uncertain.size) {
        if (!field.data.whole || !roots.length) return [roots.map((si) => ({ si })), words()];
        const own = field.data.units[0];
        const beside = roots.map((si) => numbers.snap(units.fromSi(si, own))).flatMap((number) => [Math.floor(number), Math.ceil(number)]);
        const wholes = [...new Set(beside)]
          .map((number) => ({ number, si: units.toSi(number, own) }))
          .map((one) => ({ ...one, value: field.faultOf(one.si, one.number) ? null : run(new Map(values).set(field.name, one.si)) }))
          .filter((one) => one.value !== null);
        const found = wholes.filter((one) => fits(one.value));
        const near = wholes.map(({ number, value }) => numbers.show(number, 6) + ": " + inWords(value)).join(", ");
        return [found, found.length ? several(found) : say("between-wholes", { near })];
      }
      let corners = [[]];
      for (const [name, ends] of uncertain) corners = ends.flatMap((end) => corners.map((corner) => [...corner, [name, end]]));
      const others = corners.map((corner) => rootsAt(corner).roots);
      const interval = (all) => ({ si: all[0], ends: [Math.min(...all), Math.max(...all)] });
      if (roots.length && others.every((one) => one.length === roots.length)) {
        return [roots.map((si, i) => interval([si, ...others.map((one) => one[i])])), words()];
      }
      const all = [...roots, ...others.flat()];
      return all.length ? [[interval(all)], say("not-at-every-end")] : [[], words()];
    }

    /** One answer in words, with a button that puts it into its field. */
    function line({ si, ends, choice }) {
      const value = choice ? field.control.querySelector('[value="' + choice + '"]').text : shown(si);
      const words = ends && shown(ends[0]) !== shown(ends[1]) ? slots.say(details, "field-between", { low: shown(ends[0]), high: shown(ends[1]) }) : value;
      const use = () => {
        field.set(choice || numbers.showPlain(units.fromSi(si, field.unit), 6) + units.get(field.unit).a);
        calculator.showFault(field);
        calculator.changed(field, "");
      };
      const button = Object.assign(document.createElement("button"), { type: "button", textContent: say("use", { value }), onclick: use });
      const item = document.createElement("li");
      item.append(labelOf(input) + ": " + words, button);
      return item;
    }

    /** Looks for the answers, says them, and keeps the question for the address; `late` shows what is wrong as well. */
    function answer(late) {
      const { fault } = wanted;
      calculator.question = fault || !details.open ? null : { input: input.value, output: step.name, text: wanted.address() };
      if (!details.open || (fault && !late)) return "";
      slots.setLine(error, fault ? slots.say(details, fault.code, fault.values) : "");
      wanted.control.setAttribute("aria-invalid", String(Boolean(fault)));
      const [found, words] = fault ? [[], ""] : solve();
      slots.setLine(because, words);
      const lines = found.map(line);
      const same = list.textContent === lines.map((one) => one.textContent).join(""); // then the focus stays where it is
      if (!same) list.replaceChildren(...lines);
      list.hidden = !lines.length;
      return [words, ...lines.map((one) => one.firstChild.textContent)].filter(Boolean).join(" ");
    }

    /** Another answer is wanted: its value now, in its units. */
    function setOutput(typed) {
      step = data.steps.find((one) => one.name === output.value);
      const own = [step.unit, ...(step.units || []).filter((id) => id !== step.unit)];
      unit.replaceChildren(...own.map((id) => new Option(units.get(id).p || "", id)));
      unit.hidden = slots.measured("", own[0]) === "";
      const now = calculator.tried(calculator.values()).results;
      wanted = new Wanted(ask("value").parentNode, { name: step.name, units: own });
      if (typed !== undefined) wanted.set(typed);
      else if (now) wanted.set(text(now.get(step.name)));
    }

    function setInput() {
      field = calculator.fields.find((one) => one.name === input.value);
    }

    details.addEventListener("input", ({ target }) => {
      if (target === output) setOutput();
      else if (target === input) setInput();
      else if (target === unit) wanted.switchUnit();
      else wanted.read();
      answer(false);
      calculator.rests(() => answer(true));
    });
    details.addEventListener("focusout", () => wanted.tidy());
    details.addEventListener("toggle", () => {
      answer(true);
      calculator.rests(() => answer(true));
    });
    calculator.addEventListener("hangtag-values", () => details.open && answer(true));

    const asked = new URLSearchParams(calculator.isOwnPage() ? location.search : "");
    const unknown = [...input.options].filter((option) => /^ *(ask|\?) *$/.test(asked.get(option.value)));
    const fixed = [...output.options].filter((option) => asked.has(option.value));
    if (unknown.length) {
      input.value = unknown[0].value;
      if (fixed.length) output.value = fixed[0].value;
    }
    setInput();
    setOutput(unknown.length && fixed.length ? asked.get(output.value) : undefined);
    answer(true);
    if (!unknown.length) calculator.rests(() => answer(true));
  };
})();
