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

  function hatch(into, id, gap) {
    const pattern = shape(into, "pattern", { id: id, width: gap, height: gap, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" });
    shape(pattern, "line", { x1: 0, y1: 0, x2: 0, y2: gap, class: "mesh" });
  }

  // Rows from `from` up to `upto` of a laying edge: its corners go evenly from its start to its end.
  function slab(edge, from, upto) {
    const s = edge.start, e = edge.end;
    const right = (n) => [s[0] + (e[0] - s[0]) * n / edge.rows, s[1] + (e[1] - s[1]) * n / edge.rows];
    const left = (n) => [s[2] + (e[2] - s[2]) * n / edge.rows, s[3] + (e[3] - s[3]) * n / edge.rows];
    return [right(from), right(upto), left(upto), left(from)].map((point) => point.join(",")).join(" ");
  }

  // The ground lies along a wide screen and stands upright on a narrow one, so that its letters can be read without scrolling.
  const narrow = matchMedia("screen and (max-width: 46rem)");
  let drawing, at, sky, rain, ground, yard, symbols, bar;

  function lay() {
    drawing = narrow.matches ? data.upright : data.lying;
    layPlan();
    layDays();
  }

  function layPlan() {
    plan.classList.toggle("upright", narrow.matches);
    plan.replaceChildren(find("plantitle"), find("plandescription"));
    plan.setAttribute("viewBox", `0 0 ${drawing.width} ${drawing.height}`);
    const made = shape(plan, "defs", {});
    hatch(made, "begun", 5);
    hatch(made, "rain", 26);
    sky = shape(plan, "rect", { width: drawing.width, height: drawing.height });
    rain = shape(plan, "rect", { width: drawing.width, height: drawing.height, class: "rain" });
    for (const corners of drawing.areas) shape(plan, "polygon", { points: corners.join(" "), class: "area" });
    for (const [name, x, y] of drawing.labels) fit(shape(plan, "text", { x: x, y: y + 4 }, name), drawing.width - x);
    ground = shape(plan, "g", {});
    const [yx, yy, yw, yh] = drawing.yard;
    shape(plan, "rect", { x: yx - yw, y: yy - yh, width: 2 * yw, height: 2 * yh, class: "yard" });
    shape(plan, "path", { d: `M${yx - yw} ${yy - yh / 3}h${2 * yw}M${yx - yw} ${yy + yh / 3}h${2 * yw}`, class: "line" });
    yard = shape(plan, "text", { x: yx, y: yy + yh + 13, "text-anchor": "middle" });
    symbols = shape(plan, "g", {});
    const [length, units] = drawing.bar, bx = drawing.width - 6 - units, by = drawing.height - 6;
    shape(plan, "path", { d: `M${bx} ${by - 5}V${by}H${bx + units}V${by - 5}`, class: "line" });
    shape(plan, "text", { x: bx - 6, y: by + 1, "text-anchor": "end" }, length);
  }

  // A name that is longer than the sheet is wide is written smaller rather than cut.
  function fit(label, room) {
    const wide = label.getComputedTextLength();
    if (wide > room) label.style.fontSize = `${13 * room / wide}px`;
  }

  function layDays() {
    const full = days.clientWidth, wide = full - 20;  // a unit is a pixel, so that its letters keep their size
    at = (hour) => 10 + wide * hour / Math.max(data.end, 1e-9);
    days.replaceChildren();
    days.setAttribute("viewBox", `0 0 ${full} 46`);
    hatch(shape(days, "defs", {}), "wet", 5);
    shape(days, "rect", { x: 10, y: 10, width: wide, height: 16, class: "sky" });
    for (const [from, upto] of data.nights) shape(days, "rect", { x: at(from), y: 10, width: at(upto) - at(from), height: 16, class: "off" });
    for (const [from, upto] of data.wet) shape(days, "rect", { x: at(from), y: 10, width: at(upto) - at(from), height: 16, class: "wet" });
    shape(days, "rect", { x: 10, y: 10, width: wide, height: 16, class: "line" });
    for (const [, hour] of data.milestones) shape(days, "path", { d: `M${at(hour) - 5} 1h10l-5 8z` });
    const whole = Math.floor(data.end / 24), every = Math.max(1, Math.ceil(40 * whole / wide));
    for (let day = 0; day <= whole; day += every) {
      shape(days, "path", { d: `M${at(24 * day)} 26v4`, class: "line" });
      shape(days, "text", { x: day ? at(24 * day) : 0, y: 42, "text-anchor": day ? "middle" : "start" }, day ? String(day) : "day 0");
    }
    bar = shape(days, "rect", { y: 5, width: 4, height: 26 });
  }

  function rows(id, lines, numbers) {
    const body = find(id);
    body.replaceChildren(...lines.map((line) => {
      const row = document.createElement("tr");
      line.forEach((text, column) => {
        const cell = document.createElement(column ? "td" : "th");
        if (!column) cell.scope = "row";
        if (column && numbers) cell.className = "number";
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

  function drawGround(frame, moving) {
    ground.replaceChildren();
    drawing.edges.forEach((edge, n) => {
      if (frame.graded[n]) shape(ground, "polygon", { points: slab(edge, 0, frame.graded[n]), class: "graded" });
    });
    drawing.edges.forEach((edge, n) => {
      for (const [first, upto] of frame.lying[n]) {
        shape(ground, "polygon", { points: slab(edge, first, upto), class: "laid" });
      }
      for (const [first, upto] of frame.begun[n]) {
        shape(ground, "polygon", { points: slab(edge, first, upto), class: "sky" });
        shape(ground, "polygon", { points: slab(edge, first, upto), class: "begun" });
      }
    });
    for (const [x1, y1, x2, y2] of moving.rails) shape(ground, "line", { x1, y1, x2, y2, class: "rail" });
    for (const [x1, y1, x2, y2] of moving.ends) shape(ground, "line", { x1, y1, x2, y2, class: "temporary-end" });
    for (const [x1, y1, x2, y2] of moving.strips) shape(ground, "line", { x1, y1, x2, y2, class: "strip" });
  }

  function drawSymbols(moving) {
    symbols.replaceChildren();
    const p = data.pallet, s = data.symbol;
    for (const [x, y] of moving.pallets) shape(symbols, "rect", { x: x - p / 2, y: y - p / 2, width: p, height: p, class: "pallet" });
    for (const [kind, letters, x, y] of moving.symbols) {
      if (kind === "crew") shape(symbols, "circle", { cx: x, cy: y, r: s / 2, class: "crew" });
      else if (kind === "forklift") shape(symbols, "rect", { x: x - s / 2, y: y - s / 2, width: s, height: s, class: "symbol" });
      else if (kind === "rail gang") shape(symbols, "circle", { cx: x, cy: y, r: s / 2, class: "symbol" });
      else {
        const h = s * 0.5, w = s * 0.56;
        shape(symbols, "path", { d: `M${x - w} ${y}L${x - w / 2} ${y - h}H${x + w / 2}L${x + w} ${y}L${x + w / 2} ${y + h}H${x - w / 2}Z`, class: "symbol gang" });
      }
      shape(symbols, "text", { x: x, y: y + 4.5, class: "letters" }, letters);
    }
  }

  function show(number) {
    now = Math.min(Math.max(number, 0), last);
    const frame = frames[now], moving = drawing.moving[now];
    sky.setAttribute("class", frame.night ? "night" : "sky");
    rain.setAttribute("visibility", frame.rain ? "visible" : "hidden");
    drawGround(frame, moving);
    drawSymbols(moving);
    yard.textContent = frame.yard;
    const half = yard.getComputedTextLength() / 2;
    yard.setAttribute("x", Math.max(half, Math.min(drawing.yard[0], drawing.width - half)));
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
    const laid = frame.edges.map((edge) => `${edge[0]}: ${edge[1]} ${data.rows}`).join("; ");
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
    const number = frames.findIndex((frame) => frame.hour >= hour - 1e-6);
    go(number < 0 ? last : number);
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
    event.preventDefault();
    does[event.key]();
  });
  addEventListener("resize", () => {
    lay();
    show(now);
  });
  lay();
  show(0);
})();
