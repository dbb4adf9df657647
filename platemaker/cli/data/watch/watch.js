"use strict";
(() => {
  const frame = document.getElementById("page");
  const state = document.getElementById("state"), faults = document.getElementById("faults");
  let shown = "", kept = null;

  // The reader's place on the page: the section at the top of the window and how far it is scrolled past.
  function place() {
    const inside = frame.contentDocument;
    if (!inside || !inside.body) return null;
    const root = inside.documentElement;
    const sections = [...inside.querySelectorAll("main > [id]")];
    const top = sections.filter((one) => one.getBoundingClientRect().top < 80).pop();
    return {
      id: top ? top.id : "",
      past: top ? top.getBoundingClientRect().top : -root.scrollTop,
      unit: root.dataset.unit,
      theme: root.dataset.theme,
    };
  }

  function restore() {
    const inside = frame.contentDocument;
    if (!kept || !inside) return;
    const root = inside.documentElement;
    if (kept.unit && kept.unit !== root.dataset.unit) {
      const button = inside.querySelector(`button[data-unit="${kept.unit}"]`);
      if (button) button.click();
    }
    const theme = inside.getElementById("theme");
    if (kept.theme && theme && theme.getAttribute("aria-pressed") !== String(kept.theme === "dark")) theme.click();
    const section = kept.id && inside.getElementById(kept.id);
    root.scrollTop += section ? section.getBoundingClientRect().top - kept.past : -kept.past;
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
      if (shown) kept = place() || kept;
      shown = now.page;
      frame.contentWindow.location.replace(now.page);
    }
  }

  frame.addEventListener("load", restore);
  const events = new EventSource("/events");
  events.addEventListener("message", (event) => show(JSON.parse(event.data)));
  events.addEventListener("error", () => { state.textContent = "The watcher does not answer; it may have been ended."; });
})();
