"use strict";
(() => {
  const root = document.documentElement;
  const letter = 0.6; // width of a drawing's letter over its height, as the drawings are made

  function showUnit(unit) {
    for (const node of document.querySelectorAll("[data-mm]")) {
      const text = node.getAttribute("data-" + unit);
      node.textContent = text;
      if (node.hasAttribute("textLength")) {
        node.setAttribute("textLength", [...text].length * letter * Number(node.getAttribute("font-size")));
      }
    }
    for (const button of document.querySelectorAll("button[data-unit]")) {
      button.setAttribute("aria-pressed", String(button.dataset.unit === unit));
    }
    root.dataset.unit = unit;
  }

  for (const button of document.querySelectorAll("button[data-unit]")) {
    button.addEventListener("click", () => showUnit(button.dataset.unit));
  }

  const theme = document.getElementById("theme");
  const isDark = () => root.dataset.theme
    ? root.dataset.theme === "dark"
    : window.matchMedia("(prefers-color-scheme: dark)").matches;
  theme.setAttribute("aria-pressed", String(isDark()));
  theme.addEventListener("click", () => {
    root.dataset.theme = isDark() ? "light" : "dark";
    theme.setAttribute("aria-pressed", String(isDark()));
    document.dispatchEvent(new Event("repaint"));
  });

  // What prints is opened for it, and closed again: the short print has the items, the whole one has everything.
  let opened = [];
  function openFor(selector) {
    opened = [...document.querySelectorAll(selector)].filter((details) => !details.open);
    for (const details of opened) details.open = true;
  }
  window.addEventListener("beforeprint", () => {
    openFor(root.dataset.print === "all" ? "details" : "details.item[data-print=true]:not(#accepted details)");
  });
  window.addEventListener("afterprint", () => { for (const details of opened) details.open = false; });
  // Some browsers lay a page out more than once for one print: the whole one is wanted until the reader goes on.
  for (const act of ["pointerdown", "keydown"]) window.addEventListener(act, () => delete root.dataset.print, true);
  document.getElementById("print").addEventListener("click", () => window.print());
  document.getElementById("print-all").addEventListener("click", () => { root.dataset.print = "all"; window.print(); });

  // A link to what is folded away opens it; to what search, filter or buttons hide, shows it.
  function reveal() {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!target) return;
    const veiled = target.closest("[data-find][hidden]");
    if (veiled) {
      search.value = choice.value = "";
      filter();
      veiled.hidden = false;
    }
    const inside = target.matches("details") ? target : target.querySelector(":scope > details");
    if (inside) inside.open = true;
    for (let one = target.parentElement; one; one = one.parentElement) if (one.tagName === "DETAILS") one.open = true;
    target.scrollIntoView();
  }
  window.addEventListener("hashchange", reveal);
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#']");
    if (link && link.hash === location.hash) reveal();
  });

  const search = document.getElementById("search"), choice = document.getElementById("part-filter");
  const all = [...document.querySelectorAll("[data-find]")];
  const hiddenKinds = new Set(["v-pass"]);
  function filter() {
    const words = search.value.toLowerCase().split(/\s+/).filter(Boolean), part = choice.value;
    let items = 0, rows = 0, folded = 0;
    for (const one of all) {
      const text = one.textContent.toLowerCase();
      const match = words.every((word) => text.includes(word)) && (!part || one.dataset.parts.split(" ").includes(part));
      const kind = one.dataset.kind;
      one.hidden = !match || (kind !== undefined && hiddenKinds.has(kind));
      if (match && kind === undefined) items += 1;
      if (match && kind !== undefined) { rows += 1; if (one.hidden) folded += 1; }
    }
    const passes = folded ? `, ${folded} of them hidden` : "";
    document.getElementById("matches").textContent = words.length || part ? `${items} items, ${rows} findings${passes}` : "";
  }
  search.addEventListener("input", filter);
  choice.addEventListener("change", filter);
  reveal();

  function sortBy(table, column, descending) {
    const body = table.tBodies[0];
    const key = (row) => row.cells[column].dataset.sort;
    const compare = (a, b) => {
      const x = Number(key(a)), y = Number(key(b));
      if (key(a) !== "" && key(b) !== "" && !Number.isNaN(x) && !Number.isNaN(y)) return x - y;
      return key(a).localeCompare(key(b), "en", { numeric: true });
    };
    const rows = [...body.rows].sort(compare);
    if (descending) rows.reverse();
    body.append(...rows);
  }

  for (const table of document.querySelectorAll("table.sortable")) {
    const heads = [...table.tHead.rows[0].cells];
    heads.forEach((head, column) => {
      head.querySelector("button").addEventListener("click", () => {
        const descending = head.getAttribute("aria-sort") === "ascending";
        for (const other of heads) other.setAttribute("aria-sort", "none");
        head.setAttribute("aria-sort", descending ? "descending" : "ascending");
        sortBy(table, column, descending);
      });
    });
  }

  for (const button of document.querySelectorAll("button[data-show]")) {
    button.addEventListener("click", () => {
      const shown = button.getAttribute("aria-pressed") !== "true";
      button.setAttribute("aria-pressed", String(shown));
      if (shown) hiddenKinds.delete(button.dataset.show);
      else hiddenKinds.add(button.dataset.show);
      filter();
    });
  }
})();
