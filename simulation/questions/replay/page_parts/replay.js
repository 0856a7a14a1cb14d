"use strict";
(function () {
  const data = JSON.parse(document.getElementById("data").textContent);
  const frames = data.frames, last = frames.length - 1;
  const find = (id) => document.getElementById(id);
  const plan = find("plan"), days = find("days"), slider = find("hour"), play = find("play");
  let now = 0, timer = null;

  // Everything that is written goes through textContent: a name is text, whatever stands in it.
  function shape(into, kind, look, text) {
    const one = document.createElementNS("http://www.w3.org/2000/svg", kind);
    for (const [name, value] of Object.entries(look)) one.setAttribute(name, value);
    if (text !== undefined) one.textContent = text;
    into.appendChild(one);
    return one;
  }

  function hatch(into, id, gap, ink) {
    const pattern = shape(into, "pattern", { id: id, width: gap, height: gap, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" });
    shape(pattern, "line", { x1: 0, y1: 0, x2: 0, y2: gap, stroke: ink, "stroke-width": 1.4 });
  }

  // Rows from `from` up to `upto` of a laying edge: its corners go evenly from its start to its end.
  function slab(edge, from, upto) {
    const s = edge.start, e = edge.end;
    const right = (n) => [s[0] + (e[0] - s[0]) * n / edge.rows, s[1] + (e[1] - s[1]) * n / edge.rows];
    const left = (n) => [s[2] + (e[2] - s[2]) * n / edge.rows, s[3] + (e[3] - s[3]) * n / edge.rows];
    return [right(from), right(upto), left(upto), left(from)].map((point) => point.join(",")).join(" ");
  }

  const ink = "#1a1a1a";
  plan.setAttribute("viewBox", `0 0 ${data.width} ${data.height}`);
  const made = shape(plan, "defs", {});
  hatch(made, "begun", 5, ink);
  hatch(made, "rain", 26, "#9a9a9a");
  const sky = shape(plan, "rect", { width: data.width, height: data.height, fill: "#fff" });
  const rain = shape(plan, "rect", { width: data.width, height: data.height, fill: "url(#rain)" });
  for (const corners of data.areas) {
    shape(plan, "polygon", { points: corners.join(" "), fill: "#fff", stroke: ink, "stroke-dasharray": "2 2" });
  }
  for (const [name, x, y] of data.labels) shape(plan, "text", { x: x, y: y + 4, fill: ink }, name);
  const ground = shape(plan, "g", {});
  const [yx, yy, yw, yh] = data.yard;
  shape(plan, "rect", { x: yx - yw, y: yy - yh, width: 2 * yw, height: 2 * yh, fill: "#fff", stroke: ink, "stroke-width": 1.6 });
  shape(plan, "path", { d: `M${yx - yw} ${yy - yh / 3}h${2 * yw}M${yx - yw} ${yy + yh / 3}h${2 * yw}`, stroke: ink });
  const yard = shape(plan, "text", { x: yx, y: yy + yh + 13, "text-anchor": "middle", fill: ink });
  const symbols = shape(plan, "g", {});
  const [length, units] = data.bar, bx = data.width - 6 - units, by = data.height - 6;
  shape(plan, "path", { d: `M${bx} ${by - 5}V${by}H${bx + units}V${by - 5}`, fill: "none", stroke: ink, "stroke-width": 1.4 });
  shape(plan, "text", { x: bx - 6, y: by + 1, "text-anchor": "end", fill: ink }, length);

  // The days: one unit of time is one unit of length.
  const at = (hour) => 10 + 980 * hour / Math.max(data.end, 1e-9);
  days.setAttribute("viewBox", "0 0 1000 44");
  hatch(shape(days, "defs", {}), "wet", 5, ink);
  shape(days, "rect", { x: 10, y: 10, width: 980, height: 16, fill: "#fff" });
  for (const [from, upto] of data.nights) shape(days, "rect", { x: at(from), y: 10, width: at(upto) - at(from), height: 16, fill: "#c9c9c9" });
  for (const [from, upto] of data.wet) shape(days, "rect", { x: at(from), y: 10, width: at(upto) - at(from), height: 16, fill: "url(#wet)" });
  shape(days, "rect", { x: 10, y: 10, width: 980, height: 16, fill: "none", stroke: ink });
  for (const [, hour] of data.milestones) shape(days, "path", { d: `M${at(hour) - 5} 1h10l-5 8z`, fill: ink });
  const whole = Math.floor(data.end / 24), every = Math.max(1, Math.ceil(whole / 20));
  for (let day = 0; day <= whole; day += every) {
    shape(days, "path", { d: `M${at(24 * day)} 26v4`, stroke: ink });
    shape(days, "text", { x: at(24 * day), y: 42, "text-anchor": day ? "middle" : "start", fill: ink }, day ? String(day) : "day 0");
  }
  const bar = shape(days, "rect", { y: 5, width: 4, height: 26, fill: ink });

  function rows(id, lines, numbers) {
    const body = find(id);
    body.replaceChildren(...lines.map((line) => {
      const row = document.createElement("tr");
      line.forEach((text, place) => {
        const cell = document.createElement(place ? "td" : "th");
        if (!place) cell.scope = "row";
        if (place && numbers) cell.className = "number";
        cell.textContent = text;
        row.appendChild(cell);
      });
      return row;
    }));
  }

  function items(id, lines) {
    find(id).replaceChildren(...lines.map((line) => {
      const item = document.createElement("li");
      item.textContent = line;
      return item;
    }));
  }

  function drawGround(frame) {
    ground.replaceChildren();
    data.edges.forEach((edge, n) => {
      if (frame.graded[n]) shape(ground, "polygon", { points: slab(edge, 0, frame.graded[n]), fill: "#dedede" });
    });
    data.edges.forEach((edge, n) => {
      const laid = frame.laid[n], upto = laid + frame.work[n];
      if (laid) shape(ground, "polygon", { points: slab(edge, 0, laid), fill: "#8f8f8f", stroke: ink, "stroke-width": 0.8 });
      if (upto > laid) {
        shape(ground, "polygon", { points: slab(edge, laid, upto), fill: "#fff" });
        shape(ground, "polygon", { points: slab(edge, laid, upto), fill: "url(#begun)", stroke: ink, "stroke-width": 0.8 });
      }
    });
    for (const [x1, y1, x2, y2] of frame.rails) shape(ground, "line", { x1, y1, x2, y2, stroke: ink, "stroke-width": 2.2, "stroke-dasharray": "8 2 2 2" });
    for (const [x1, y1, x2, y2] of frame.strips) shape(ground, "line", { x1, y1, x2, y2, stroke: ink, "stroke-width": 2 });
  }

  function drawSymbols(frame) {
    symbols.replaceChildren();
    const p = data.pallet, s = data.symbol;
    for (const [x, y] of frame.pallets) {
      shape(symbols, "rect", { x: x - p / 2, y: y - p / 2, width: p, height: p, fill: "#fff", stroke: ink, "stroke-width": 1.2 });
    }
    for (const [kind, letters, x, y] of frame.symbols) {
      const crew = kind === "crew";
      if (crew) shape(symbols, "circle", { cx: x, cy: y, r: s / 2, fill: ink, stroke: "#fff" });
      else if (kind === "forklift") {
        shape(symbols, "rect", { x: x - s / 2, y: y - s / 2, width: s, height: s, fill: "#fff", stroke: ink, "stroke-width": 1.6 });
      } else if (kind === "rail gang") {
        shape(symbols, "circle", { cx: x, cy: y, r: s / 2, fill: "#fff", stroke: ink, "stroke-width": 1.6 });
      } else {
        const h = s * 0.5, w = s * 0.56;
        shape(symbols, "path", { d: `M${x - w} ${y}L${x - w / 2} ${y - h}H${x + w / 2}L${x + w} ${y}L${x + w / 2} ${y + h}H${x - w / 2}Z`, fill: "#fff", stroke: "#595959", "stroke-width": 1.6 });
      }
      shape(symbols, "text", { x: x, y: y + 4.5, "text-anchor": "middle", "font-weight": "bold", fill: crew ? "#fff" : ink }, letters);
    }
  }

  function show(number) {
    now = Math.min(Math.max(number, 0), last);
    const frame = frames[now];
    sky.setAttribute("fill", frame.night ? "#ebebeb" : "#fff");
    rain.setAttribute("visibility", frame.rain ? "visible" : "hidden");
    drawGround(frame);
    drawSymbols(frame);
    yard.textContent = frame.yard;
    bar.setAttribute("x", at(frame.hour) - 2);
    find("clock").textContent = frame.clock;
    find("since").textContent = frame.since;
    find("state").textContent = frame.state;
    find("sky").textContent = frame.sky;
    rows("edges", frame.edges, true);
    rows("actors", frame.actors, false);
    rows("supply", frame.supply, false);
    items("stones", frame.stones);
    items("further", frame.further);
    find("furtherpart").hidden = frame.further.length === 0;
    slider.value = now;
    slider.setAttribute("aria-valuetext", `${frame.clock}; ${frame.state}`);
    const laid = frame.edges.map((edge) => `${edge[0]}: ${edge[1]} rows laid`).join("; ");
    find("plandescription").textContent = `${frame.clock}. ${laid}. ${frame.yard} pallets.`;
    // While it plays, a reader would be told more than can be heard.
    if (timer === null) find("told").textContent = `${frame.clock}. ${frame.state}. Weather: ${frame.sky}. ${laid}.`;
    document.body.dataset.frame = now;
  }

  function pause() {
    if (timer !== null) clearTimeout(timer);
    timer = null;
    play.textContent = "▶ play";
    play.setAttribute("aria-pressed", "false");
  }

  function tick() {
    if (now >= last) {
      pause();
      show(now);
      return;
    }
    show(now + 1);
    timer = setTimeout(tick, Number(find("pace").value));
  }

  function toggle() {
    if (timer !== null) {
      pause();
      show(now);
      return;
    }
    play.textContent = "❚❚ pause";
    play.setAttribute("aria-pressed", "true");
    if (now >= last) show(0);
    timer = setTimeout(tick, Number(find("pace").value));
  }

  function go(number) {
    pause();
    show(number);
  }

  function nextStone() {
    const ahead = data.milestones.filter(([, hour]) => hour > frames[now].hour + 1e-6);
    const hour = ahead.length ? ahead[0][1] : data.end;
    const place = frames.findIndex((frame) => frame.hour >= hour - 1e-6);
    go(place < 0 ? last : place);
  }

  find("first").addEventListener("click", () => go(0));
  find("back").addEventListener("click", () => go(now - 1));
  find("next").addEventListener("click", () => go(now + 1));
  find("last").addEventListener("click", () => go(last));
  find("stone").addEventListener("click", nextStone);
  play.addEventListener("click", toggle);
  slider.addEventListener("input", () => go(Number(slider.value)));
  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const on = event.target.tagName;
    // A control keeps the keys that it knows itself: space presses a button, arrows move a slider or a choice.
    if (event.key === " " && (on === "BUTTON" || on === "SELECT")) return;
    if (on === "SELECT" || (on === "INPUT" && event.key !== " " && event.key.toLowerCase() !== "m")) return;
    const does = { " ": toggle, ArrowLeft: () => go(now - 1), ArrowRight: () => go(now + 1), Home: () => go(0), End: () => go(last), m: nextStone, M: nextStone };
    if (!does[event.key]) return;
    // On a narrow screen the drawing is wider than its frame, and whoever has gone into it scrolls it.
    if (event.target.id === "drawing" && event.target.scrollWidth > event.target.clientWidth && event.key.startsWith("Arrow")) return;
    event.preventDefault();
    does[event.key]();
  });
  show(0);
})();
