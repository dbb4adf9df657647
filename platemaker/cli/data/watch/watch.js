"use strict";
(() => {
  const frame = document.getElementById("page");
  const state = document.getElementById("state"), faults = document.getElementById("faults");
  let shown = "", kept = null, settled = -1;

  // The reader's place: the sections down to the one at the top of the window, and how far that one is scrolled past.
  function place() {
    const inside = frame.contentDocument;
    if (!inside || !inside.body) return kept;
    const root = inside.documentElement;
    if (kept && root.scrollTop === settled) return { ...kept, unit: root.dataset.unit, theme: root.dataset.theme };
    const above = [...inside.querySelectorAll("main > [id]")].filter((one) => one.getBoundingClientRect().top < 80);
    const top = above[above.length - 1];
    return {
      ids: above.map((one) => one.id),
      past: top ? top.getBoundingClientRect().top : 0,
      scrolled: root.scrollTop,
      unit: root.dataset.unit,
      theme: root.dataset.theme,
    };
  }

  function restore() {
    const inside = frame.contentDocument;
    if (!kept || !inside || !inside.body) return;
    const root = inside.documentElement;
    if (kept.unit && kept.unit !== root.dataset.unit) {
      const button = inside.querySelector(`button[data-unit="${kept.unit}"]`);
      if (button) button.click();
    }
    const theme = inside.getElementById("theme");
    if (kept.theme && theme && theme.getAttribute("aria-pressed") !== String(kept.theme === "dark")) theme.click();
    const id = [...kept.ids].reverse().find((one) => inside.getElementById(one));
    if (id) root.scrollTop += inside.getElementById(id).getBoundingClientRect().top - kept.past;
    else root.scrollTop = kept.scrolled;
    settled = root.scrollTop;
  }

  function show(now) {
    state.textContent = now.busy ? `${now.name}: building` : `${now.name}: up to date`;
    if (now.faults.length) state.textContent = `${now.name}: waiting for a change`;
    document.title = `${now.faults.length ? "fault: " : ""}${now.name}`;
    faults.hidden = now.faults.length === 0;
    faults.replaceChildren(...now.faults.map((text) => {
      const item = document.createElement("li");
      item.textContent = text;
      return item;
    }));
    if (now.page && now.page !== shown) {
      if (shown) kept = place();
      shown = now.page;
      frame.contentWindow.location.replace(now.page);
    }
  }

  frame.addEventListener("load", restore);
  const events = new EventSource("/events");
  events.addEventListener("message", (event) => show(JSON.parse(event.data)));
  events.addEventListener("error", () => { state.textContent = "The watcher does not answer; it may have been ended."; });
})();
