"use strict";
// The decision sheet: shows the plan that is chosen. All words and numbers of plans come from the page's data; what is counted
// here is only how many runs are ready by a deadline, and every text is set as text.
(function () {
  const data = JSON.parse(document.getElementById("sheet-data").textContent);
  const form = document.getElementById("sheet");
  const [people, start, forklifts, deadline] = ["people", "start", "forklifts", "deadline"].map((name) => document.getElementById("sheet-" + name));
  const answer = document.getElementById("sheet-answer");
  const curve = document.getElementById("sheet-curve");
  const own = data.plans[data.own];
  const capitalised = data.ready[0].toUpperCase() + data.ready.slice(1);
  const given = data.deadline ? String(Math.round(data.deadline[0] / 24 * 1000) / 1000) : "";

  function fill(select, options) {
    for (const [value, words] of options) select.add(new Option(words, value));
  }

  function asWritten() {
    [people.value, start.value, forklifts.value] = data.own.split("|");
    deadline.value = given;
    show();
  }

  function element(name, text, parent) {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    if (parent) parent.append(made);
    return made;
  }

  // The deadline that the brief was asked for is kept to the second, whatever the field can show of it.
  function limit() {
    if (data.deadline && deadline.value === given) return data.deadline[0];
    return deadline.value === "" ? NaN : 24 * Number(deadline.value);
  }

  function ready(hours, by) {
    return hours.filter((hour) => hour !== null && hour <= by + 1e-6).length;
  }

  function percent(share, digits) {
    return (100 * share).toFixed(digits) + " %";
  }

  function likelihood(share, runs) {
    const words = data.words[runs];
    return words.length ? ", " + (words.find(([end]) => share < end) || words[words.length - 1])[1] : "";
  }

  // A plan of fewer runs: the chance of the scenario as written in all of its runs, and the change of it in those that both have.
  function byChange(plan, by) {
    const [before, after] = plan.paired;
    const written = ready(own.hours, by) / own.hours.length, change = (ready(after, by) - ready(before, by)) / before.length;
    const share = Math.min(1, Math.max(0, written + change));
    const said = capitalised + " by " + (by / 24).toFixed(1) + " days: " + percent(share, 0) + likelihood(share, before.length);
    return said + "; as written: " + percent(written, 0) + ". The change is measured in " + before.length + " runs of both.";
  }

  function onTime(plan) {
    const by = limit();
    if (!(by > 0)) return "Give a deadline to see the chance of being " + data.ready + " by it.";
    if (plan.paired[0].length) return byChange(plan, by);
    const count = ready(plan.hours, by);
    const done = plan.hours.length;
    const [low, high] = data.intervals[done][count];
    const share = count / done;
    const word = likelihood(share, done);
    const runs = count + " of " + done + " runs";
    const before = plan === own ? "" : " As written: " + ready(own.hours, by) + " of " + own.hours.length + ".";
    const said = capitalised + " by " + (by / 24).toFixed(1) + " days: " + percent(share, 0) + word + "; " + runs;
    return said + " (95 % interval " + (100 * low).toFixed(0) + " to " + percent(high, 0) + ")." + before;
  }

  function show() {
    const key = [people.value, start.value, forklifts.value].join("|"), plan = data.plans[key];
    answer.replaceChildren();
    curve.replaceChildren();
    if (!plan) {
      element("p", "This combination was left out: " + data.left_out[key] + ".", answer);
      return;
    }
    const chosen = [people, start, forklifts].map((select) => select.selectedOptions[0].text);
    element("p", chosen.slice(0, 2).filter(Boolean).join("; ") + "; forklifts: " + chosen[2] + ". " + plan.people + " people on site, operators and drivers included.", answer);
    const wide = element("div", "", answer);
    wide.className = "wide";
    const table = element("table", "", wide);
    element("caption", "Days until " + data.ready + ", " + (plan.by_change ? "as written and the change in " : "") + (plan.by_change || plan.hours.length) + " runs", table);
    const head = element("tr", "", element("thead", "", table));
    const columns = ["runs " + data.ready, "days", "day and shift", "95 % interval, days"];
    for (const name of columns) element("th", name, head).scope = "col";
    const body = element("tbody", "", table);
    for (const [name, days, day, interval] of plan.bands) {
      const row = element("tr", "", body);
      element("th", name, row).scope = "row";
      const cells = [days, day || "–", interval].map((text) => element("td", text, row));
      cells[0].dataset.band = name;
      cells.forEach((cell, place) => { cell.dataset.label = columns[place + 1]; });
    }
    element("p", onTime(plan), answer).id = "sheet-chance";
    element("p", plan.change, answer).id = "sheet-change";
    draw(plan);
  }

  // The curves: runs ready against days, the chosen plan solid, the scenario as written dashed.
  function draw(plan) {
    const wide = Math.max(300, Math.min(760, curve.clientWidth)), narrow = wide < 390, left = 50, right = 14, top = narrow ? 54 : 34, low = 46, high = 236 + top;
    const every = Object.values(data.plans).map((one) => one.hours.filter((hour) => hour !== null));
    const known = every.filter((hours) => hours.length);
    if (!known.length) return;
    const first = Math.min(...known.map((hours) => hours[0])) / 24;
    const last = Math.max(...known.map((hours) => hours[Math.ceil(0.95 * hours.length) - 1])) / 24;
    const begin = Math.max(0, first - 0.05 * (last - first) - 0.25), end = last + 0.05 * (last - first) + 0.25;
    const x = (day) => left + (wide - left - right) * (day - begin) / (end - begin);
    const y = (share) => top + (high - top - low) * (1 - share);
    const svg = add("svg", { viewBox: "0 0 " + wide + " " + high, role: "img", "font-size": 14, fill: "currentColor" }, curve);
    const p80 = (one) => { const [, days] = one.bands[1]; return /^\d/.test(days) ? days + " days" : days; };
    svg.setAttribute("aria-label", "Share of runs ready against days. Chosen plan: P80 " + p80(plan) + ". As written: P80 " + p80(own) + ".");
    for (const share of [0, 0.2, 0.4, 0.6, 0.8, 1]) {
      add("line", { x1: left, x2: wide - right, y1: y(share), y2: y(share), stroke: "currentColor", "stroke-opacity": share ? 0.25 : 1 }, svg);
      add("text", { x: left - 6, y: y(share) + 5, "text-anchor": "end" }, svg).textContent = percent(share, 0);
    }
    const step = [0.25, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500].find((one) => (end - begin) / one <= wide / 90) || 1000;
    for (let day = Math.ceil(begin / step) * step; day <= end; day += step) {
      add("line", { x1: x(day), x2: x(day), y1: y(0), y2: y(0) + 5, stroke: "currentColor" }, svg);
      add("text", { x: x(day), y: y(0) + 20, "text-anchor": "middle" }, svg).textContent = String(Math.round(day * 100) / 100);
    }
    add("text", { x: (left + wide - right) / 2, y: high - 6, "text-anchor": "middle" }, svg).textContent = "days after the start";
    const by = limit() / 24;
    if (by >= begin && by <= end) {
      add("line", { x1: x(by), x2: x(by), y1: y(1), y2: y(0), stroke: "currentColor", "stroke-dasharray": "2 3", "stroke-width": 1.5 }, svg);
    }
    line(own, { stroke: "currentColor", "stroke-width": 1.6, "stroke-dasharray": "7 4" });
    line(plan, { stroke: "currentColor", "stroke-width": 2.6 });
    legend(left, 14, "chosen", { "stroke-width": 2.6 });
    legend(left + 100, 14, "as written", { "stroke-width": 1.6, "stroke-dasharray": "7 4" });
    legend(narrow ? left : left + 222, narrow ? 34 : 14, "deadline", { "stroke-width": 1.5, "stroke-dasharray": "2 3" });

    function line(one, look) {
      let path = "M" + x(begin) + " " + y(0), count = 0;
      for (const hour of one.hours) {
        if (hour === null || hour / 24 > end) break;
        count += 1;
        path += "H" + x(hour / 24).toFixed(1) + "V" + y(count / one.hours.length).toFixed(1);
      }
      add("path", { d: path + "H" + x(end), fill: "none", ...look }, svg);
    }

    function legend(at, y, words, look) {
      add("line", { x1: at, x2: at + 28, y1: y, y2: y, stroke: "currentColor", ...look }, svg);
      add("text", { x: at + 33, y: y + 5 }, svg).textContent = words;
    }
  }

  function add(name, attributes, parent) {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    parent.append(made);
    return made;
  }

  fill(people, data.people);
  fill(start, data.starts);
  fill(forklifts, data.forklifts);
  form.hidden = false;
  asWritten();
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const one of [people, start, forklifts]) one.addEventListener("change", show);
  deadline.addEventListener("input", show);
  document.getElementById("sheet-own").addEventListener("click", asWritten);
  window.addEventListener("resize", show);
})();
