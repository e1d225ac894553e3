/**
 * The page that reads a tag: up to four boxes, read while their reader types; what they hold stands in the address after
 * `#`, so that it never leaves the device unless its reader shares the link. Without this script the page keeps the sample
 * that was read when it was made. Must not read tags: tag-reader.js does.
 */
(function () {
  "use strict";
  const { tag } = hangtag;
  const MOST_TAGS = 4;
  const MOST_CHARACTERS = 20000;
  const LONGEST_ADDRESS = 8192;
  const SOON = 120; // milliseconds after a key before a tag is read
  const REST = 800; // before the address is written and what was read is spoken
  const here = /** @type {HTMLScriptElement} */ (document.currentScript);
  const root = new URL("../", here.src);

  /** @param {ParentNode} place @param {string} selector @returns {any} */
  const one = (place, selector) => place.querySelector(selector);

  /** An address of the site, for the web or for a disk. @param {string} to such as `terms/denier/?value=20D` */
  function address(to) {
    const [page, query] = to.split("?");
    let path = page;
    if (tag.disk) path = page.startsWith("calculators/") ? page + "index.html" : page.replace(/\/$/, ".html");
    return new URL(path + (query ? "?" + query : ""), root).href;
  }

  class TagPage {
    /** @param {HTMLElement} place */
    constructor(place) {
      this.place = place;
      [this.form, this.boxes, this.told, this.status, this.copy] =
        ["form", "[data-boxes]", "[data-told]", "[role=status]", "[data-copy]"].map((selector) => one(place, selector));
      this.sample = [...this.told.childNodes];
      /** @type {Array<{text: string, kind: string}>} */
      const given = this.fromAddress();
      for (const its of given.length ? given : [{ text: "", kind: "" }]) this.add(its);
      this.listen();
      this.form.hidden = false;
      one(place, ".ht-tags-no-script").hidden = true;
      this.show();
      if (given.length) this.timer = setTimeout(() => this.speak(), REST);
    }

    listen() {
      this.form.addEventListener("submit", (event) => event.preventDefault());
      this.form.addEventListener("input", () => this.change());
      this.form.addEventListener("click", (event) => {
        const button = event.target.closest("button");
        if (!button) return;
        if (button.dataset.do === "add") this.add({ text: "", kind: "" }).focus();
        else if (button.dataset.do === "remove") this.remove(button.closest("fieldset"));
        else if (button.dataset.sample) this.fill(button.dataset.sample);
        this.change();
      });
      window.addEventListener("hashchange", () => this.reread());
      one(this.copy, "button").addEventListener("click", () => this.copyLink());
    }

    get fieldsets() {
      return [...this.boxes.children];
    }

    /** What stands in the boxes. @returns {Array<{text: string, kind: string}>} */
    get values() {
      return this.fieldsets.map((its) => ({ text: one(its, "textarea").value, kind: one(its, "select").value }));
    }

    /** One more box; gives its field. @param {{text: string, kind: string}} its */
    add({ text, kind }) {
      this.boxes.append(one(this.form, "template").content.cloneNode(true));
      const made = this.boxes.lastElementChild;
      const [field, select] = [one(made, "textarea"), one(made, "select")];
      field.value = text;
      select.value = kind;
      if (select.selectedIndex < 0) select.value = "";
      this.number();
      return field;
    }

    remove(/** @type {HTMLElement} */ its) {
      const at = this.fieldsets.indexOf(its);
      its.remove();
      this.number();
      one(this.fieldsets[Math.max(0, at - 1)], "textarea").focus();
    }

    /** Names of boxes and buttons, which are numbered where there are several. */
    number() {
      const many = this.fieldsets.length > 1;
      this.fieldsets.forEach((its, at) => {
        const number = String(at + 1);
        for (const name of ["box", "kind"]) {
          one(its, "[data-name=" + name + "]").textContent = many ? tag.say(name + "-numbered", { number }) : tag.say(name);
        }
        const button = one(its, "[data-do=remove]");
        button.hidden = !many;
        button.textContent = tag.say("remove", { number });
      });
      one(this.form, "[data-do=add]").hidden = this.fieldsets.length >= MOST_TAGS;
    }

    /** A sample goes into the first empty box, else into the last one. @param {string} sample */
    fill(sample) {
      const fields = this.fieldsets.map((its) => one(its, "textarea"));
      const field = fields.find((its) => !its.value.trim()) || fields.at(-1);
      field.value = sample;
      one(field.closest("fieldset"), "select").value = "";
    }

    change() {
      clearTimeout(this.soon);
      clearTimeout(this.timer);
      this.soon = setTimeout(() => this.show(), SOON);
      this.timer = setTimeout(() => {
        this.writeAddress();
        this.speak();
      }, REST);
    }

    // -------------------------------------------------------------------------------------------- what was read

    show() {
      const all = this.values.map(({ text, kind }) => {
        const characters = Array.from(text);
        const cut = characters.length > MOST_CHARACTERS;
        return { cut, its: tag.read(cut ? characters.slice(0, MOST_CHARACTERS).join("") : text, kind || null) };
      });
      this.fieldsets.forEach((fieldset, at) => this.showKind(fieldset, all[at].its));
      this.read = all.map(({ its }) => its).filter(({ text }) => text.trim());
      const nodes = [];
      if (all.some(({ cut }) => cut)) nodes.push(["p", { class: "ht-uses" }, tag.say("too-long", { most: String(MOST_CHARACTERS) })]);
      if (this.read.length === 1) nodes.push(...tag.explained(this.read[0]));
      else if (this.read.length) nodes.push(...this.several());
      const open = [...this.told.querySelectorAll("details[open]")].map((its) => its.dataset.of);
      this.told.replaceChildren(...(nodes.length ? nodes.map((node) => tag.built(node, address)) : this.sample));
      for (const its of this.told.querySelectorAll("details[data-of]")) its.open = open.includes(its.dataset.of);
      this.copy.hidden = !this.read.length;
    }

    /** Side by side first; then each tag alone, folded. */
    several() {
      const alone = this.read.map((its, at) => {
        const text = its.text.trim().replace(/\s+/g, " ");
        const short = Array.from(text).slice(0, 60).join("");
        const title = tag.say("explained-of", { number: String(at + 1), text: short === text ? text : short + " …" });
        const summary = ["summary", {}, ["bdi", {}, title]];
        return ["details", { class: "ht-fold", "data-of": String(at) }, summary, ...tag.explained(its)];
      });
      return [tag.sideBySide(tag.compare(this.read), this.read.length), ...alone];
    }

    showKind(/** @type {HTMLElement} */ fieldset, its) {
      const select = one(fieldset, "select");
      const name = its.kind && tag.reader.data.kinds[its.kind].name;
      const empty = !its.text.trim();
      const told = empty || select.value ? "kind-guess" : name ? "kind-guessed" : "kind-unknown";
      select.options[0].textContent = tag.say(told, { kind: name || "" });
    }

    /** Once after rest, and only what changed. */
    speak() {
      if (!this.read.length) return this.heard("");
      const count = (name) => String(this.read.reduce((sum, its) => sum + its[name].length, 0));
      const names = { count: "readings", unread: "unread", clashes: "contradictions", cautions: "cautions" };
      this.heard(tag.say("heard", Object.fromEntries(Object.entries(names).map(([hole, name]) => [hole, count(name)]))));
    }

    heard(/** @type {string} */ text) {
      if (this.status.textContent !== text) this.status.textContent = text;
    }

    // -------------------------------------------------------------------------------------------- the address

    fromAddress() {
      const given = [];
      for (const pair of location.hash.slice(1, LONGEST_ADDRESS).split("&")) {
        const [name, value] = [pair.slice(0, 2), decoded(pair.slice(2))];
        if (name === "t=" && given.length < MOST_TAGS) given.push({ text: value, kind: "" });
        else if (name === "k=" && given.length) given.at(-1).kind = value;
      }
      return given.filter(({ text }) => text);
    }

    /** The part of the address that holds the tags; null where it would be too long. */
    hash() {
      const encode = (/** @type {string} */ text) => encodeURIComponent(text.toWellFormed ? text.toWellFormed() : text).replace(/%20/g, "+");
      const given = this.values.filter(({ text }) => text.trim());
      const text = given.map(({ text: its, kind }) => "t=" + encode(its) + (kind ? "&k=" + kind : "")).join("&");
      return text.length < LONGEST_ADDRESS ? text && "#" + text : null;
    }

    writeAddress() {
      const hash = this.hash();
      this.say(hash === null ? "copy-long" : "", {});
      if (hash !== null && hash !== location.hash) history.replaceState(null, "", location.pathname + location.search + hash);
    }

    /** A link followed on the page itself. */
    reread() {
      const given = this.fromAddress();
      if (!given.length || this.hash() === location.hash) return;
      this.boxes.replaceChildren();
      given.forEach((its) => this.add(its));
      this.show();
    }

    // -------------------------------------------------------------------------------------------- copying

    say(/** @type {string} */ label, /** @type {Object<string, string>} */ values) {
      const words = one(this.copy, "[data-said]");
      words.textContent = label && tag.say(label, values);
      words.hidden = !label;
      one(this.copy, "[data-by-hand]").hidden = true;
    }

    async copyLink() {
      const hash = this.hash();
      if (!hash) return this.say(hash === null ? "copy-long" : "copy-nothing", {});
      this.writeAddress();
      const own = one(document, "link[rel=canonical]"); // a link into somebody's disk is of no use to others
      const link = (location.protocol === "file:" && own ? own.href : location.href.split("#")[0]) + hash;
      const number = this.read.length;
      const count = number === 1 ? tag.say("count-one") : tag.say("count-more", { number: String(number) });
      const text = Array.from(this.read[0].text.trim()).slice(0, 40).join("") + " …";
      const field = one(this.copy, "input");
      try {
        await navigator.clipboard.writeText(link);
        this.say("copy-done", { count, text });
      } catch {
        this.say("copy-by-hand", { count, text });
        field.value = link;
        one(this.copy, "[data-by-hand]").hidden = false;
        field.focus();
        field.select();
      }
      this.heard(one(this.copy, "[data-said]").textContent);
    }
  }

  /** Text of an address; what is no encoding stays as it stands. @param {string} text */
  function decoded(text) {
    const spaced = text.replace(/\+/g, " ");
    try {
      return decodeURIComponent(spaced);
    } catch {
      return spaced;
    }
  }

  /** @param {{reader: object, page: object, disk: boolean}} data */
  tag.load = function (data) {
    tag.prepare(data);
    tag.disk = data.disk;
    const place = document.getElementById("tags");
    if (place) new TagPage(place);
  };
})();
