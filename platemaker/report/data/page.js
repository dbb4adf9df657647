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

  document.getElementById("print").addEventListener("click", () => window.print());
  window.addEventListener("beforeprint", () => {
    for (const details of document.querySelectorAll("details")) details.open = true;
  });

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
      for (const row of document.querySelectorAll(`tr[data-kind="${button.dataset.show}"]`)) row.hidden = !shown;
    });
  }
})();
