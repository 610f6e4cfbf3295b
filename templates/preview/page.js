"use strict";
// The page beside the text: asks what there is, waits for the next change, and shows the leaves of one document.
(() => {
  const at = (id) => document.getElementById(id);
  const view = { set: "", document: "", paper: "", mono: false, twoUp: false, size: "fit", options: {} };
  let state = null;
  let seen = 0;
  let asked = 0;

  const element = (name, fields, text) => {
    const made = Object.assign(document.createElement(name), fields);
    if (text !== undefined) made.textContent = text;
    return made;
  };

  const own = () => state && state.sets.find((set) => set.id === view.set);

  const words = (more) => {
    const set = own();
    const paper = view.paper || (set && set.paper) || "a4";
    const asks = new URLSearchParams({ set: view.set, document: view.document, ...more });
    if (view.twoUp && state) asks.set("paper", state.papers[paper] || paper);
    else if (view.paper) asks.set("paper", view.paper);
    if (view.mono) asks.set("mono", "1");
    for (const [name, value] of Object.entries(view.options)) asks.set(`option.${name}`, value);
    return asks.toString();
  };

  const choose = (select, all, value) => {
    select.replaceChildren(...all.map(([id, text]) => element("option", { value: id, selected: id === value }, text)));
    select.value = value;
  };

  const controls = () => {
    const documents = state.sets.flatMap((set) => set.documents.map((one) => [`${set.id}\n${one.id}`, `${set.title}: ${one.title}`]));
    const value = `${view.set}\n${view.document}`;
    if (!documents.some(([id]) => id === value) && documents.length > 0) {
      [view.set, view.document] = documents[0][0].split("\n");
      return true;
    }
    choose(at("document"), documents, value);
    const set = own();
    choose(at("paper"), [["", "the set's"], ...Object.keys(state.papers).map((paper) => [paper, paper])], view.paper);
    at("mono").checked = view.mono;
    at("two-up").checked = view.twoUp;
    at("size").value = view.size;
    at("options").replaceChildren(...(set ? set.options : []).map((option) => {
      const label = element("label", {}, `${option.what || option.id} `);
      const select = element("select", {});
      choose(select, option.values.map((one) => [one, one]), option.value);
      select.addEventListener("change", () => { view.options[option.id] = select.value; ask(null); });
      label.append(select);
      return label;
    }));
    return false;
  };

  const go = async (file, line) => {
    at("where").textContent = `${file}:${line}`;
    await fetch(`go?${new URLSearchParams({ file, line })}`);
  };

  const findings = () => {
    const all = state.findings;
    const box = at("findings");
    box.hidden = all.length === 0;
    const errors = all.filter((one) => one.severity === "error").length;
    box.classList.toggle("error", errors > 0);
    box.querySelector("summary").textContent = `${all.length} finding${all.length === 1 ? "" : "s"}${errors ? `, ${errors} of them errors: the page is the last good one` : ""}`;
    if (errors) box.open = true;
    box.querySelector("ol").replaceChildren(...all.map((one) => {
      const item = element("li", {}, `${one.severity} ${one.code}: ${one.message} `);
      const place = element("button", { className: "place", type: "button" }, `${one.file}:${one.line}`);
      place.addEventListener("click", () => go(one.file, one.line));
      item.append(place);
      if (one.help) item.append(element("div", {}, `help: ${one.help}`));
      return item;
    }));
    at("trouble").hidden = !state.trouble;
    at("trouble").textContent = state.trouble || "";
  };

  // Points to pixels: an inch is 96 of them. What is 40 cm from the eye on the screen is looked at as from 70 cm.
  const scale = (leaf) => {
    const full = 96 / 72;
    if (view.size === "true") return full;
    if (view.size === "away") return full * 40 / 70;
    const room = document.documentElement.clientWidth - 32;
    const abreast = view.twoUp ? 2 : 1;
    return Math.min(room / abreast / leaf.width, full * 1.25);
  };

  const leaves = () => {
    const box = at("leaves");
    box.classList.toggle("old", !state.fresh);
    box.classList.toggle("two-up", view.twoUp);
    const all = state.leaves || [];
    while (box.children.length > all.length) box.lastChild.remove();
    all.forEach((leaf, n) => {
      const factor = scale(leaf);
      const ppi = Math.round(72 * factor * (window.devicePixelRatio || 1));
      let figure = box.children[n];
      if (!figure) {
        figure = element("figure", {});
        figure.append(element("img", { alt: `Leaf ${n + 1}` }));
        box.append(figure);
      }
      figure.style.width = `${leaf.width * factor}px`;
      figure.style.height = `${leaf.height * factor}px`;
      const source = `leaf?${words({ leaf: n, ppi, v: leaf.version })}`;
      figure.firstChild.dataset.source = source;
    });
  };

  // What can be clicked on. Buttons that are there already are taken again: making hundreds anew takes longer than drawing a leaf.
  const spots = () => {
    (state.leaves || []).forEach((leaf, n) => {
      const factor = scale(leaf);
      const figure = at("leaves").children[n];
      while (figure.children.length > leaf.spots.length + 1) figure.lastChild.remove();
      leaf.spots.forEach((spot, m) => {
        let button = figure.children[m + 1];
        if (!button) {
          button = element("button", { type: "button" });
          button.addEventListener("click", (event) => go(event.currentTarget.dataset.file, event.currentTarget.dataset.line));
          figure.append(button);
        }
        const place = `${spot.file}:${spot.line}`;
        if (button.title !== place) {
          button.title = place;
          Object.assign(button.dataset, { file: spot.file, line: spot.line });
          button.setAttribute("aria-label", `${spot.file}, line ${spot.line}`);
        }
        const [left, top, right, bottom] = spot.area;
        const box = [left, top, right - left, bottom - top].map((points) => `${points * factor}px`);
        if (button.dataset.box !== box.join(" ")) {
          button.dataset.box = box.join(" ");
          [button.style.left, button.style.top, button.style.width, button.style.height] = box;
        }
      });
    });
  };

  // Draws one leaf after the other, those in view first: whoever writes waits for no other one.
  let drawing = null;
  const draw = (first) => {
    if (drawing) return;
    const far = (picture) => {
      const { top, bottom } = picture.parentNode.getBoundingClientRect();
      return Math.max(top - document.documentElement.clientHeight, -bottom, 0);
    };
    const open = [...at("leaves").querySelectorAll("img")].filter((picture) => picture.getAttribute("src") !== picture.dataset.source);
    if (open.length === 0) return;
    const wanted = open.find((picture) => picture.parentNode === first);
    drawing = wanted || open.reduce((best, picture) => (far(picture) < far(best) ? picture : best));
    const next = () => { drawing = null; draw(); };
    drawing.onload = (event) => { event.target.dataset.drawn = "1"; next(); };
    drawing.onerror = next;
    drawing.setAttribute("src", drawing.dataset.source);
  };

  const news = () => at("follow").checked && state.written && state.version !== seen;

  // Takes the card that was written last; true if it is another than the one in view.
  const turn = () => {
    if (!news()) return false;
    for (const set of state.sets) {
      const card = set.documents.find((one) => one.file === state.written.file);
      if (card && (view.set !== set.id || view.document !== card.id)) {
        [view.set, view.document] = [set.id, card.id];
        return true;
      }
    }
    return false;
  };

  // Where what was written last stands: its leaf, and which of the places on it.
  const nearest = () => {
    if (!state.papers || !news() || !state.fresh) return null;
    return state.written.place;
  };

  // Marks it, and brings it into view.
  const point = (where) => {
    if (news() && state.fresh) seen = state.version;
    const spot = where && at("leaves").children[where.leaf].children[where.spot + 1];
    if (!spot) return;
    document.querySelectorAll("button.written").forEach((old) => old.classList.remove("written"));
    spot.classList.add("written");
    spot.scrollIntoView({ block: "nearest" });
  };

  const ask = async (since) => {
    const mine = ++asked;
    try {
      const answer = await fetch(`state?${words(since === null ? {} : { since })}`);
      const next = await answer.json();
      if (mine !== asked) return;
      if (!next.same) {
        state = next;
        if (state.papers && (controls() || turn())) return ask(null);
        findings();
        leaves();
        // It is drawn while the rest is made ready.
        const where = nearest();
        draw(where && at("leaves").children[where.leaf]);
        spots();
        point(where);
        draw();
      }
      ask(next.version);
    } catch (gone) {
      if (mine !== asked) return;
      at("trouble").hidden = false;
      at("trouble").textContent = "benchleaf preview has ended";
      setTimeout(() => { if (mine === asked) ask(null); }, 1000);
    }
  };

  const step = (by) => {
    const select = at("document");
    select.selectedIndex = Math.min(Math.max(select.selectedIndex + by, 0), select.options.length - 1);
    select.dispatchEvent(new Event("change"));
  };

  at("document").addEventListener("change", (event) => { [view.set, view.document] = event.target.value.split("\n"); ask(null); });
  at("paper").addEventListener("change", (event) => { view.paper = event.target.value; ask(null); });
  at("mono").addEventListener("change", (event) => { view.mono = event.target.checked; ask(null); });
  at("two-up").addEventListener("change", (event) => { view.twoUp = event.target.checked; ask(null); });
  at("size").addEventListener("change", (event) => { view.size = event.target.value; leaves(); spots(); draw(); });
  window.addEventListener("resize", () => { if (state && state.papers) { leaves(); spots(); draw(); } });
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || /^(SELECT|INPUT)$/.test(event.target.tagName)) return;
    const keys = {
      n: () => step(1), p: () => step(-1),
      m: () => at("mono").click(), t: () => at("two-up").click(),
      s: () => { const size = at("size"); size.selectedIndex = (size.selectedIndex + 1) % size.options.length; size.dispatchEvent(new Event("change")); },
    };
    if (keys[event.key]) { keys[event.key](); event.preventDefault(); }
  });
  ask(null);
})();
