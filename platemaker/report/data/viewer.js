"use strict";
// The stack, drawn triangle by triangle into a picture with a depth for each point: no library and no graphics card.
(() => {
  const canvas = document.getElementById("stack-view");
  const store = document.getElementById("mesh-data");
  if (!canvas || !store) return;
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  const pull = document.getElementById("pull");

  function bytes(text) {
    const raw = atob(text), out = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i);
    return out.buffer;
  }

  function unpack(packed) {
    const steps = new Uint16Array(bytes(packed.vertices));
    const buffer = bytes(packed.triangles);
    const triangles = packed.wide ? new Uint32Array(buffer) : new Uint16Array(buffer);
    const points = new Float32Array(steps.length);
    for (let i = 0; i < steps.length; i++) points[i] = packed.low[i % 3] + packed.size[i % 3] * steps[i] / 65535;
    const [colour, ...colours] = [packed.colour, ...packed.colours].map(
      (word) => [1, 3, 5].map((at) => parseInt(word.slice(at, at + 2), 16)));
    const shades = new Uint8Array(bytes(packed.shades));
    const { name, offset, hidden } = packed;
    const body = { name, points, triangles, colour, colours, shades, offset, hidden };
    body.normals = normalsOf(points, triangles);
    body.creases = creasesOf(points, triangles, body.normals);
    return body;
  }

  function normalsOf(points, triangles) {
    const normals = new Float32Array(triangles.length);
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
      const ux = points[b] - points[a], uy = points[b + 1] - points[a + 1], uz = points[b + 2] - points[a + 2];
      const vx = points[c] - points[a], vy = points[c + 1] - points[a + 1], vz = points[c + 2] - points[a + 2];
      const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
      const size = Math.hypot(...n) || 1;
      for (let k = 0; k < 3; k++) normals[t + k] = n[k] / size;
    }
    return normals;
  }

  // Edges where two faces meet at more than 30 degrees, or that belong to one face only, are drawn as lines.
  function creasesOf(points, triangles, normals) {
    const names = new Map(), welded = new Uint32Array(points.length / 3);
    for (let v = 0; v < welded.length; v++) {
      const key = points[3 * v].toFixed(3) + "," + points[3 * v + 1].toFixed(3) + "," + points[3 * v + 2].toFixed(3);
      if (!names.has(key)) names.set(key, v);
      welded[v] = names.get(key);
    }
    const edges = new Map();
    for (let t = 0; t < triangles.length; t += 3) {
      for (let k = 0; k < 3; k++) {
        const a = welded[triangles[t + k]], b = welded[triangles[t + (k + 1) % 3]];
        const key = a < b ? a * welded.length + b : b * welded.length + a;
        const other = edges.get(key);
        if (other === undefined) edges.set(key, { a, b, t, sharp: true });
        else {
          const dot = normals[t] * normals[other.t] + normals[t + 1] * normals[other.t + 1]
            + normals[t + 2] * normals[other.t + 2];
          other.sharp = dot < 0.866;
        }
      }
    }
    const out = [];
    for (const edge of edges.values()) if (edge.sharp) out.push(edge.a, edge.b);
    return Uint32Array.from(out);
  }

  const bodies = JSON.parse(store.textContent).map(unpack);
  const spots = JSON.parse(document.getElementById("spots").textContent);
  for (const body of bodies) {
    body.low = [Infinity, Infinity, Infinity];
    body.high = [-Infinity, -Infinity, -Infinity];
    for (let i = 0; i < body.points.length; i++) {
      body.low[i % 3] = Math.min(body.low[i % 3], body.points[i]);
      body.high[i % 3] = Math.max(body.high[i % 3], body.points[i]);
    }
  }
  // The box round all bodies, shown or not, when they are pulled apart by so many mm times their offset.
  function boxAt(pulled) {
    const low = [0, 1, 2].map((k) => Math.min(...bodies.map((body) => body.low[k] + pulled * body.offset[k])));
    const high = [0, 1, 2].map((k) => Math.max(...bodies.map((body) => body.high[k] + pulled * body.offset[k])));
    return { low, high, reach: Math.hypot(...low.map((v, k) => high[k] - v)) || 1 };
  }
  const { reach } = boxAt(0);
  // The middle of the picture and its scale, so that the boxes of all bodies fill it as they are seen.
  function fitted(apart, width, height) {
    const { right, up } = axes();
    const sides = [right, up].map((axis) => {
      const values = bodies.flatMap((body) => {
        const shift = [0, 1, 2].reduce((sum, k) => sum + axis[k] * body.offset[k] * apart * reach, 0);
        const middle = [0, 1, 2].reduce((sum, k) => sum + axis[k] * (body.low[k] + body.high[k]) / 2, shift);
        const half = [0, 1, 2].reduce((sum, k) => sum + Math.abs(axis[k]) * (body.high[k] - body.low[k]) / 2, 0);
        return [middle - half, middle + half];
      });
      return [Math.min(...values), Math.max(...values)];
    });
    const [[x0, x1], [y0, y1]] = sides, x = (x0 + x1) / 2, y = (y0 + y1) / 2;
    const middle = [0, 1, 2].map((k) => x * right[k] + y * up[k]);
    return { middle, scale: 0.94 * Math.min(width / (x1 - x0 || 1), height / (y1 - y0 || 1)) };
  }
  const start = { turn: -35, tilt: 30, near: 1 };
  const view = { ...start };

  function paint() {
    const ratio = Math.min(window.devicePixelRatio || 1, 1.5);
    const width = Math.max(1, Math.round(canvas.clientWidth * ratio));
    const height = Math.max(1, Math.round(canvas.clientHeight * ratio));
    if (canvas.width !== width || canvas.height !== height) { canvas.width = width; canvas.height = height; }
    const style = getComputedStyle(canvas);
    const ink = rgb(style.color), paper = rgb(style.backgroundColor);
    const picture = pen.createImageData(width, height);
    const pixels = new Uint32Array(picture.data.buffer);
    pixels.fill(packColour(...paper));
    const depths = new Float32Array(width * height).fill(-Infinity);
    const target = { width, height, pixels, depths };
    const apart = Number(pull.value) / 100;
    const box = fitted(apart, width, height);
    const scale = box.scale * view.near;
    // Sheets with colours of their own are drawn last, over the metal that they lie in.
    for (const sheets of [false, true]) {
      if (sheets) depths.fill(-Infinity);
      const drawn = bodies.filter((body) => !body.hidden && (body.colours.length > 0) === sheets);
      const seen = drawn.map((body) => project(body, apart, scale, width, height, box.middle));
      drawn.forEach((body, k) => fillBody(target, body, seen[k]));
      drawn.forEach((body, k) => drawCreases(target, body, seen[k], packColour(...ink)));
    }
    pen.putImageData(picture, 0, 0);
    mark(apart, scale, width, height, box.middle, ratio, style);
  }

  // The places that matter: a point on the body, and its number beside it, kept inside the picture and apart.
  function mark(apart, scale, width, height, middle, ratio, style) {
    const { right, up } = axes(), size = 12 * ratio, seen = [];
    for (const spot of spots) {
      const body = bodies.find((one) => one.name === spot.owner || one.name.startsWith(spot.owner + " ")
        || one.name.startsWith(spot.owner + ","));
      if (body && body.hidden) continue;
      const shift = body ? body.offset.map((value) => value * apart * reach) : [0, 0, 0];
      const at = spot.at.map((value, k) => value + shift[k] - middle[k]);
      const x = width / 2 + scale * (at[0] * right[0] + at[1] * right[1] + at[2] * right[2]);
      const y = height / 2 - scale * (at[0] * up[0] + at[1] * up[1] + at[2] * up[2]);
      const away = Math.hypot(x - width / 2, y - height / 2) || 1;
      let bx = x + 3 * size * (x - width / 2) / away, by = y + 3 * size * (y - height / 2) / away;
      for (const other of seen) if (Math.hypot(bx - other.bx, by - other.by) < 2.4 * size) by = other.by + 2.6 * size;
      bx = Math.max(1.3 * size, Math.min(width - 1.3 * size, bx));
      by = Math.max(1.3 * size, Math.min(height - 1.3 * size, by));
      seen.push({ number: spot.number, x, y, bx, by });
    }
    for (const one of seen) {
      pen.strokeStyle = pen.fillStyle = style.color;
      pen.lineWidth = 1.5 * ratio;
      pen.beginPath(); pen.moveTo(one.x, one.y); pen.lineTo(one.bx, one.by); pen.stroke();
      pen.beginPath(); pen.arc(one.x, one.y, 3.5 * ratio, 0, 7); pen.fill();
      pen.beginPath(); pen.arc(one.bx, one.by, size, 0, 7); pen.fill();
      pen.fillStyle = style.backgroundColor;
      pen.font = `700 ${1.2 * size}px system-ui, sans-serif`;
      pen.textAlign = "center"; pen.textBaseline = "middle";
      pen.fillText(one.number, one.bx, one.by + 0.05 * size);
    }
    canvas.dataset.spots = seen.map((one) => one.number).join(" ");
  }

  function axes() {
    const a = view.turn * Math.PI / 180, e = view.tilt * Math.PI / 180;
    const right = [Math.cos(a), Math.sin(a), 0];
    const towards = [Math.sin(a) * Math.cos(e), -Math.cos(a) * Math.cos(e), Math.sin(e)];
    const up = [-Math.sin(a) * Math.sin(e), Math.cos(a) * Math.sin(e), Math.cos(e)];
    return { right, up, towards };
  }

  function project(body, apart, scale, width, height, middle) {
    const { right, up, towards } = axes();
    const out = new Float32Array(body.points.length);
    const shift = body.offset.map((value) => value * apart * reach);
    for (let i = 0; i < out.length; i += 3) {
      const x = body.points[i] + shift[0] - middle[0];
      const y = body.points[i + 1] + shift[1] - middle[1];
      const z = body.points[i + 2] + shift[2] - middle[2];
      out[i] = width / 2 + scale * (x * right[0] + y * right[1] + z * right[2]);
      out[i + 1] = height / 2 - scale * (x * up[0] + y * up[1] + z * up[2]);
      out[i + 2] = scale * (x * towards[0] + y * towards[1] + z * towards[2]);
    }
    return out;
  }

  function fillBody(target, body, seen) {
    const { right, up, towards } = axes();
    const lamp = [0, 1, 2].map((k) => 0.35 * -right[k] + 0.55 * up[k] + 0.76 * towards[k]);
    for (let t = 0; t < body.triangles.length; t += 3) {
      const n = [body.normals[t], body.normals[t + 1], body.normals[t + 2]];
      const own = body.colours[body.shades[t / 3]];
      const light = own ? 1 : 0.45 + 0.55 * Math.max(0, Math.abs(n[0] * lamp[0] + n[1] * lamp[1] + n[2] * lamp[2]));
      const colour = packColour(...(own || body.colour).map((value) => Math.min(255, value * light)));
      fillTriangle(target, seen, 3 * body.triangles[t], 3 * body.triangles[t + 1], 3 * body.triangles[t + 2], colour);
    }
  }

  function fillTriangle(target, p, a, b, c, colour) {
    const { width, height, pixels, depths } = target;
    const area = (p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[c] - p[a]) * (p[b + 1] - p[a + 1]);
    if (Math.abs(area) < 1e-9) return;
    const x0 = Math.max(0, Math.ceil(Math.min(p[a], p[b], p[c]) - 0.5));
    const x1 = Math.min(width - 1, Math.floor(Math.max(p[a], p[b], p[c]) - 0.5));
    const y0 = Math.max(0, Math.ceil(Math.min(p[a + 1], p[b + 1], p[c + 1]) - 0.5));
    const y1 = Math.min(height - 1, Math.floor(Math.max(p[a + 1], p[b + 1], p[c + 1]) - 0.5));
    const bx = (p[c + 1] - p[a + 1]) / area, by = -(p[c] - p[a]) / area;
    const cx = -(p[b + 1] - p[a + 1]) / area, cy = (p[b] - p[a]) / area;
    for (let y = y0; y <= y1; y++) {
      const dy = y + 0.5 - p[a + 1];
      for (let x = x0; x <= x1; x++) {
        const dx = x + 0.5 - p[a];
        const u = dx * bx + dy * by, v = dx * cx + dy * cy;
        if (u < 0 || v < 0 || u + v > 1) continue;
        const depth = p[a + 2] + u * (p[b + 2] - p[a + 2]) + v * (p[c + 2] - p[a + 2]);
        const at = y * width + x;
        if (depth > depths[at]) { depths[at] = depth; pixels[at] = colour; }
      }
    }
  }

  function drawCreases(target, body, p, colour) {
    const { width, height, pixels, depths } = target;
    for (let i = 0; i < body.creases.length; i += 2) {
      const a = 3 * body.creases[i], b = 3 * body.creases[i + 1];
      const steps = Math.ceil(Math.max(Math.abs(p[b] - p[a]), Math.abs(p[b + 1] - p[a + 1]), 1));
      if (steps > 20000) continue;
      for (let k = 0; k <= steps; k++) {
        const share = k / steps;
        const x = Math.floor(p[a] + share * (p[b] - p[a])), y = Math.floor(p[a + 1] + share * (p[b + 1] - p[a + 1]));
        if (x < 0 || y < 0 || x >= width || y >= height) continue;
        const at = y * width + x;
        // A line lies in its faces, so it may be as deep as they are and a little more.
        if (p[a + 2] + share * (p[b + 2] - p[a + 2]) >= depths[at] - 1.5) pixels[at] = colour;
      }
    }
  }

  function rgb(text) { return (text.match(/[\d.]+/g) || ["0", "0", "0"]).slice(0, 3).map(Number); }
  function packColour(r, g, b) { return (255 << 24 | b << 16 | g << 8 | r) >>> 0; }

  let waiting = false;
  function repaint() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; paint(); });
  }

  function turnBy(turn, tilt) {
    view.turn = (view.turn + turn) % 360;
    view.tilt = Math.max(-90, Math.min(90, view.tilt + tilt));
    repaint();
  }

  function nearBy(factor) { view.near = Math.max(0.2, Math.min(30, view.near * factor)); repaint(); }

  canvas.addEventListener("pointerdown", (event) => { canvas.setPointerCapture(event.pointerId); canvas.focus(); });
  canvas.addEventListener("pointermove", (event) => {
    if (canvas.hasPointerCapture(event.pointerId)) turnBy(-event.movementX * 0.5, event.movementY * 0.5);
  });
  canvas.addEventListener("wheel", (event) => {
    // The page scrolls as usual until the view has been chosen.
    if (document.activeElement !== canvas) return;
    event.preventDefault();
    nearBy(Math.exp(-event.deltaY * 0.001));
  }, { passive: false });
  const keys = {
    ArrowLeft: () => turnBy(-10, 0), ArrowRight: () => turnBy(10, 0), ArrowUp: () => turnBy(0, 10),
    ArrowDown: () => turnBy(0, -10), "+": () => nearBy(1.2), "=": () => nearBy(1.2), "-": () => nearBy(1 / 1.2),
    Home: () => { Object.assign(view, start); repaint(); },
  };
  canvas.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !keys[event.key]) return;
    event.preventDefault();
    keys[event.key]();
  });
  for (const button of document.querySelectorAll("button[data-turn]")) {
    button.addEventListener("click", () => {
      [view.turn, view.tilt] = button.dataset.turn.split(" ").map(Number);
      repaint();
    });
  }
  pull.addEventListener("input", repaint);

  const list = document.getElementById("bodies");
  for (const called of new Set(bodies.map((body) => body.name))) {
    const named = bodies.filter((body) => body.name === called), body = named[0];
    const label = document.createElement("label"), box = document.createElement("input");
    const swatch = document.createElement("span"), name = document.createElement("span");
    box.type = "checkbox";
    box.checked = !body.hidden;
    swatch.className = "swatch";
    swatch.style.backgroundColor = `rgb(${body.colour.join(",")})`;
    name.textContent = body.name;
    box.addEventListener("change", () => { for (const one of named) one.hidden = !box.checked; repaint(); });
    label.append(box, swatch, name);
    list.append(label);
  }
  document.addEventListener("repaint", repaint);
  new ResizeObserver(repaint).observe(canvas);
  repaint();
})();
