/**
 * The finder's field in a page: a combobox with a list of results, spoken counts, arrows, Enter and Escape, and no dead
 * end. Follows the pattern "editable combobox with list autocomplete" of WAI-ARIA. Its words and lasting parts stand in
 * the page. Needs finder.js. Must not rank: it shows what `hangtag.finder.find` gives.
 */
(function () {
  'use strict';
  const { finder } = hangtag;
  const REST = 700; // milliseconds after the last key before a count is spoken

  /**
   * Brings a field to life, once.
   * @param {HTMLElement} box @param {HTMLScriptElement} door knows where scripts lie
   * @param {(name: string) => Promise<void>} load
   */
  finder.attach = function (box, door, load) {
    if (box.hasAttribute('data-live')) return;
    box.setAttribute('data-live', '');
    const [input, status, panel, list, none, tell, more] = /** @type {any[]} */ (
      ['input', '[role=status]', '[data-panel]', '[role=listbox]', '[data-nothing]', '[data-tell]', 'button'].map((part) =>
        box.querySelector(part),
      )
    );
    const stays = box.getAttribute('data-find') === 'path';
    const root = new URL('../', door.src);
    let options = /** @type {HTMLElement[]} */ ([]);
    let found = finder.find('');
    let at = -1;
    let timer = 0;

    /** @param {string} page as on the web: `terms/denier/` */
    const address = (page) => new URL(finder.disk ? page.replace(/\/$/, '.html') : page, root).href;

    /** A label of the page with its holes filled. @param {HTMLElement} element @param {string} name */
    const say = (element, name, values = {}) =>
      element.dataset[name].replace(/\{(\w+)\}/g, (hole, key) => String(values[key]));

    /** @param {boolean} open */
    function show(open) {
      panel.hidden = !open;
      input.setAttribute('aria-expanded', String(open && options.length > 0));
      if (!open) move(-1);
    }

    /** @param {number} to the option to be current; -1 for none */
    function move(to) {
      options.forEach((option, which) => option.setAttribute('aria-selected', String(which === to)));
      at = to;
      input.setAttribute('aria-activedescendant', to < 0 ? '' : options[to].id);
      if (to >= 0) options[to].scrollIntoView({ block: 'nearest' });
    }

    /** @param {{name: string, page: string, because?: string, value?: string | null}} result @param {number} which */
    function option({ name, page, because = '', value }, which) {
      const [made, title, reason] = /** @type {any[]} */ (['a', 'b', 'span'].map((tag) => document.createElement(tag)));
      made.href = address(page) + (value ? '?value=' + encodeURIComponent(value) : '');
      made.id = list.id + which;
      made.tabIndex = -1;
      made.setAttribute('role', 'option');
      title.textContent = name;
      reason.textContent = because;
      made.append(title, ' ', reason);
      return made;
    }

    function update() {
      const typed = input.value.trim();
      found = finder.find(typed);
      const { results, nearest } = found;
      const count = results.length;
      options = (count ? results : nearest).map(option);
      list.replaceChildren(...options);
      list.hidden = !options.length;
      none.hidden = count > 0;
      none.textContent = say(none, nearest.length ? 'nearest' : 'nothing', { typed });
      if (tell) {
        tell.hidden = count > 0;
        tell.href = tell.dataset.tell.replace(/\{words\}|%7Bwords%7D/gi, encodeURIComponent(typed));
      }
      more.hidden = false;
      (more.nextElementSibling || more).hidden = Boolean(more.nextElementSibling);
      move(-1);
      show(typed !== '');
      clearTimeout(timer);
      timer = setTimeout(() => {
        const first = count ? results[0].name + ', ' + results[0].because : '';
        status.textContent = typed && say(status, count ? 'count' : 'none', { count, first });
      }, REST);
    }

    more.addEventListener('click', () => load('finder-text.js').then(() => finder.mention(found, more, address)));
    input.addEventListener('input', update);
    input.addEventListener('focus', () => input.value && panel.hidden && update());
    box.addEventListener('keydown', (/** @type {KeyboardEvent} */ event) => {
      const { key, target } = event;
      if (event.isComposing || event.ctrlKey || event.metaKey || event.altKey) return;
      if (key === 'Escape' && (!panel.hidden || input.value)) {
        if (panel.hidden) input.value = '';
        if (target !== input) input.focus();
        show(false);
      } else if (target !== input) return;
      else if (/^Arrow(Down|Up)$/.test(key) && input.value.trim()) {
        const many = options.length;
        if (panel.hidden) update();
        else if (many) move(key === 'ArrowDown' ? (at + 1) % many : (at < 1 ? many : at) - 1);
      } else if (key === 'Enter' && !panel.hidden && options.length) options[Math.max(at, 0)].click();
      else return;
      event.preventDefault();
    });
    box.addEventListener('focusout', (/** @type {FocusEvent} */ event) => {
      if (!stays && !box.contains(/** @type {Node | null} */ (event.relatedTarget))) show(false);
    });
    // the field keeps the focus while a result is pressed, so that the list stays open until the click is done
    list.addEventListener('mousedown', (/** @type {Event} */ event) => event.preventDefault());
    if (input.value.trim()) update();
  };
})();
