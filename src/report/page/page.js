// SPDX-License-Identifier: GPL-3.0-or-later
// The cursor: one instant of a dive, moved by pointer, touch and keys, and what the replay says of it. Everything is read
// from the samples that the page carries; nothing is computed here but the layout.
(() => {
  "use strict";
  const SVG = "http://www.w3.org/2000/svg";
  const imperial = document.documentElement.dataset.units === "imperial";

  // --- elements ------------------------------------------------------------------------------------------------

  function element(name, attributes, ...children) {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes || {})) made.setAttribute(key, value);
    made.append(...children);
    return made;
  }

  function drawn(name, attributes, text) {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (text !== undefined) made.textContent = text;
    return made;
  }

  // --- samples -------------------------------------------------------------------------------------------------

  // A number divided by whole steps is the decimal that the record had; times 0.01 it may be its neighbour.
  function unpack(column) {
    const text = atob(column.data), steps = Math.round(1 / column.scale);
    const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
    const view = new DataView(bytes.buffer), size = column.bits / 8, count = bytes.length / size;
    const values = new Float64Array(count);
    for (let i = 0; i < count; i++) {
      const get = (column.signed ? "getInt" : "getUint") + column.bits;
      const number = size === 1 ? view[get](i) : view[get](i * size, true);
      const missing = column.signed ? -(2 ** (column.bits - 1)) : 2 ** column.bits - 1;
      values[i] = number === missing ? NaN : number / steps + column.offset;
    }
    return values;
  }

  function read(article) {
    const stored = JSON.parse(article.querySelector("script.samples").textContent);
    const columns = {};
    for (const column of stored.columns) columns[column.key] = unpack(column);
    return {
      from: stored.from_s, to: stored.to_s, count: stored.count, gases: stored.gases, columns,
      tanks: stored.tanks.map((tank) => ({ name: tank.name, time: unpack(tank.columns[0]), bar: unpack(tank.columns[1]) })),
      headroom: stored.headroom.map(unpack), helium: stored.helium.map(unpack), every: stored.helium_every,
    };
  }

  // --- figures -------------------------------------------------------------------------------------------------

  const unknown = "not known";

  function figure(value, unit, digits) {
    if (!Number.isFinite(value)) return unknown;
    if (imperial && unit === "m") return `${(value / 0.3048).toFixed(Math.max(digits - 1, 0))} ft`;
    if (imperial && unit === "m/min") return `${(value / 0.3048).toFixed(Math.max(digits - 1, 0))} ft/min`;
    if (imperial && unit === "bar") return `${(value * 14.5037738).toFixed(0)} psi`;
    const shown = value.toFixed(digits);
    return `${Number(shown) === 0 ? shown.replace("-", "") : shown}${unit ? ` ${unit}` : ""}`;
  }

  function clock(seconds) {
    if (!Number.isFinite(seconds)) return unknown;
    const rounded = Math.round(seconds), whole = Math.abs(rounded);
    return `${rounded < 0 ? "-" : ""}${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
  }

  const rows = [
    ["Depth", "depth_m", (v) => figure(v, "m", 1)],
    ["PO2", "po2_atm", (v) => figure(v, "atm", 2)],
    ["END, nitrogen only", "end_n2_m", (v) => figure(v, "m", 1)],
    ["END, nitrogen and oxygen", "end_n2o2_m", (v) => figure(v, "m", 1)],
    ["Gas density", "density_g_l", (v) => figure(v, "g/L", 1)],
    ["Ascent rate", "ascent_rate_m_min", (v) => figure(v, "m/min", 1)],
    ["Ceiling", "ceiling_m", (v) => (v === 0 ? "none" : figure(v, "m", 1))],
    ["Stop", "stop_m", (v) => (v === 0 ? "none" : figure(v, "m", 0))],
    ["Gradient", "gradient_percent", (v) => figure(v, "%", 0)],
    ["Time to surface", "time_to_surface_s", clock],
    ["CNS", "cns_percent", (v) => figure(v, "%", 0)],
    ["OTU", "otu", (v) => figure(v, "", 0)],
  ];

  function gasAt(samples, time) {
    let words = "";
    for (const gas of samples.gases) if (gas.from_s <= time) words = gas.words;
    return words;
  }

  function between(times, values, time) {
    let after = times.findIndex((t) => t >= time);
    if (after < 0 || (after === 0 && times[0] > time)) return NaN;
    if (times[after] === time) return values[after];
    const share = (time - times[after - 1]) / (times[after] - times[after - 1]);
    return values[after - 1] + share * (values[after] - values[after - 1]);
  }

  // --- the compartments ----------------------------------------------------------------------------------------

  const LEAST = -0.5, ROW = 16, TOP = 8, BARS = [-8, -4, -2, -1, -0.5, 0, 0.5, 1, 2, 4, 8, 16, 32];
  const greatest = (column) => column.reduce((most, bar) => (bar > most ? bar : most), 0.5);
  const least = (column) => column.reduce((low, bar) => (bar < low ? bar : low), LEAST);

  // Room near the limit, and for all of the dive: places go with the root of the headroom.
  const root = (bar) => Math.sign(bar) * Math.sqrt(Math.abs(bar));

  function dots(samples, hatch) {
    const from = Math.min(...samples.headroom.map(least)), to = Math.max(...samples.headroom.map(greatest));
    const percent = (bar) => 8 + ((root(bar) - root(from)) / (root(to) - root(from))) * 88;
    const bottom = TOP + samples.headroom.length * ROW;
    const chart = drawn("svg", { class: "dots", height: bottom + 24, role: "img", "aria-label": "Headroom of each compartment; as figures below" });
    const over = { x: `${percent(from)}%`, width: `${percent(0) - percent(from)}%`, y: 0, height: bottom };
    chart.append(drawn("rect", { class: "over", ...over }), drawn("rect", { fill: `url(#${hatch})`, ...over }));
    for (const bar of BARS.filter((one) => one >= from && one <= to)) {
      chart.append(drawn("line", { class: bar ? "grid" : "limit", x1: `${percent(bar)}%`, x2: `${percent(bar)}%`, y1: 0, y2: bottom }));
      chart.append(drawn("text", { x: `${percent(bar)}%`, y: bottom + 16, "text-anchor": "middle" }, bar ? `${bar}` : "0 bar"));
    }
    const marks = samples.headroom.map((column, c) => {
      const y = TOP + c * ROW + ROW / 2, group = drawn("g", {});
      chart.append(drawn("text", { x: 0, y: y + 4 }, `${c + 1}`));
      const open = drawn("circle", { class: "helium", cy: y, r: 5 }), full = drawn("circle", { class: "nitrogen", cy: y });
      group.append(open, full);
      chart.append(group);
      return { group, open, full };
    });
    const table = element("table", { class: "figures" },
      element("thead", {}, element("tr", {}, ...["Compartment", "Headroom, bar", "Helium"].map((t) => element("th", { scope: "col" }, t)))));
    const body = element("tbody");
    const cells = marks.map((_, c) => {
      const row = [element("td"), element("td")];
      body.append(element("tr", {}, element("th", { scope: "row" }, `${c + 1}`), ...row));
      return row;
    });
    table.append(body);
    const show = (i) => {
      marks.forEach(({ group, open, full }, c) => {
        const bar = samples.headroom[c][i], helium = (samples.helium[c] && samples.helium[c][Math.floor(i / samples.every)]) || 0;
        const known = Number.isFinite(bar);
        group.setAttribute("visibility", known ? "visible" : "hidden");
        group.setAttribute("class", bar < 0 ? "beyond" : "");
        if (known) for (const circle of [open, full]) circle.setAttribute("cx", `${percent(bar)}%`);
        full.setAttribute("r", known ? (5 * Math.sqrt(1 - helium)).toFixed(2) : 0);
        cells[c][0].textContent = known ? bar.toFixed(2) : unknown;
        cells[c][1].textContent = known ? `${Math.round(helium * 100)} %` : unknown;
      });
    };
    const hint = element("p", { class: "hint" }, "How far the gas in each compartment lies below what the replay allows at this depth; left of 0 it is beyond. " +
      "The scale is wider near 0. The dot is filled by nitrogen and open by helium. Fast compartments stand at the top.");
    return { show, parts: [element("p", {}, "Headroom of the compartments"), chart, hint,
      element("details", { class: "figures" }, element("summary", {}, "Compartments as figures"), table)] };
  }

  // --- one dive ------------------------------------------------------------------------------------------------

  // What stays in sight while one points at a strip.
  const first = ["Depth", "PO2", "Gas density", "Ceiling", "Stop", "Time to surface"];

  function button(words, action) {
    const made = element("button", { type: "button" }, words);
    made.addEventListener("click", action);
    return made;
  }

  function open(article) {
    const picture = article.querySelector("section.picture"), samples = read(article), { columns } = samples;
    const readout = picture.querySelector(".readout"), time = columns.time_s;
    const fields = [...picture.querySelectorAll("svg.field")];
    const lines = fields.map((field) => drawn("line", { class: "cursor", y1: 0, y2: "100%" }));
    fields.forEach((field, i) => field.prepend(lines[i]));
    const findings = [...article.querySelectorAll("tr.finding")];
    const handle = element("input", { type: "range", min: 0, max: samples.count - 1, step: 1, value: 0, "aria-label": "Instant of the dive" });
    const near = element("dl"), rest = element("dl");
    const cell = (name, list) => {
      const dd = element("dd");
      list.append(element("div", {}, element("dt", {}, name), dd));
      return dd;
    };
    const when = cell("Run time", near), gas = cell("Breathed", near);
    const cells = rows.filter(([, key]) => columns[key])
      .map(([name, key, words]) => [cell(name, first.includes(name) ? near : rest), columns[key], words]);
    const tanks = samples.tanks.map((tank) => [cell(tank.name || "Tank", rest), tank]);
    const record = cell("Record's clock", rest);
    const chart = samples.headroom.length ? dots(samples, `d${article.dataset.dive}-hatch`) : null;
    let now = 0;

    // `isSet`: asked for, not only passed by the pointer.
    function show(i, isSet = true) {
      now = Math.max(0, Math.min(samples.count - 1, i));
      const at = time[now], x = `${((at - samples.from) / (samples.to - samples.from)) * 100}%`;
      for (const line of lines) {
        line.setAttribute("x1", x);
        line.setAttribute("x2", x);
      }
      handle.value = now;
      when.textContent = clock(at - samples.from);
      gas.textContent = gasAt(samples, at);
      for (const [dd, column, words] of cells) dd.textContent = words(column[now]);
      for (const [dd, tank] of tanks) dd.textContent = figure(between(tank.time, tank.bar, at), "bar", 0);
      record.textContent = `${clock(at)}, in replay time_s ${at}`;
      if (chart) chart.show(now);
      handle.setAttribute("aria-valuetext", `${when.textContent}, ${cells[0][0].textContent}, ${gas.textContent}`);
      for (const row of findings) row.toggleAttribute("data-now", row.dataset.from <= at && at <= row.dataset.to);
      picture.toggleAttribute("data-set", isSet || picture.hasAttribute("data-set"));
      readout.dataset.time = at;
    }

    // The sample nearest to an instant; of two as near the later one.
    function nearest(at) {
      let low = 0, high = samples.count - 1;
      while (low < high) {
        const middle = (low + high) >> 1;
        if (time[middle] < at) low = middle + 1;
        else high = middle;
      }
      return low > 0 && at - time[low - 1] < time[low] - at ? low - 1 : low;
    }

    const byMinute = (minutes) => show(nearest(time[now] + 60 * minutes));
    const toFinding = (row) => show(nearest(Number(row.dataset.peak)));

    function byFinding(step) {
      const peaks = findings.map((row) => nearest(Number(row.dataset.peak))).sort((a, b) => a - b);
      const next = step > 0 ? peaks.find((peak) => peak > now) : peaks.reverse().find((peak) => peak < now);
      if (next !== undefined) show(next);
    }

    const keys = {
      ArrowLeft: (e) => (e.shiftKey ? byMinute(-1) : show(now - 1)), ArrowRight: (e) => (e.shiftKey ? byMinute(1) : show(now + 1)),
      ArrowDown: () => show(now - 1), ArrowUp: () => show(now + 1), PageDown: () => byMinute(-1), PageUp: () => byMinute(1),
      Home: () => show(0), End: () => show(samples.count - 1), f: () => byFinding(1), F: () => byFinding(-1),
    };
    handle.addEventListener("keydown", (e) => {
      if (!keys[e.key] || e.ctrlKey || e.metaKey || e.altKey) return;
      e.preventDefault();
      keys[e.key](e);
    });
    handle.addEventListener("input", () => show(Number(handle.value)));

    function follow(e, isSet) {
      const box = e.currentTarget.getBoundingClientRect();
      show(nearest(samples.from + ((e.clientX - box.left) / box.width) * (samples.to - samples.from)), isSet);
    }

    // The number of a finding leads to its peak. Until an instant is asked for the cursor goes along with the mouse; from
    // then on it stays, so that one can move on to other parts of the page.
    let drags = false;
    function press(e) {
      const number = e.target.closest("svg.number");
      const row = number && findings.find((one) => one.dataset.mark === number.textContent.replace(/\D/g, ""));
      drags = !row;
      if (row) toFinding(row);
      else follow(e, true);
    }
    function move(e) {
      if (e.buttons ? drags : e.pointerType === "mouse" && !picture.hasAttribute("data-set")) follow(e, e.buttons > 0);
    }
    for (const field of fields) {
      field.addEventListener("pointerdown", press);
      field.addEventListener("pointermove", move);
    }

    for (const row of findings) {
      const mark = row.querySelector(".mark");
      mark.setAttribute("role", "button");
      mark.setAttribute("tabindex", "0");
      mark.setAttribute("aria-label", `Finding ${row.dataset.mark}: show this instant`);
      mark.addEventListener("click", () => toFinding(row));
      mark.addEventListener("keydown", (e) => { if (e.key === "Enter" || e.key === " ") { e.preventDefault(); toFinding(row); } });
    }

    const buttons = [button("a minute back", () => byMinute(-1)), button("a minute on", () => byMinute(1))];
    if (findings.length) buttons.push(button("previous finding", () => byFinding(-1)), button("next finding", () => byFinding(1)));
    readout.append(
      element("div", { class: "now" }, handle, element("div", { class: "steps" }, ...buttons), near),
      element("p", { class: "hint" }, "Press on the picture or drag, or use the arrow keys on the slider: a sample; with Shift a minute" +
        (findings.length ? "; F the next finding, Shift F the previous one." : ".")),
      element("div", { class: "instant" }, rest, element("div", {}, ...(chart ? chart.parts : ["The compartments are not known."]))));
    const deepest = columns.depth_m.reduce((best, depth, i) => (depth > columns.depth_m[best] ? i : best), 0);
    show(findings.length ? nearest(Number(findings[0].dataset.peak)) : deepest, false);
    // The cursor of a team's picture leads those of its dives.
    article.addEventListener("instant", () => show(nearest(Number(article.dataset.instant))));
    if (article.dataset.instant) show(nearest(Number(article.dataset.instant)));
  }

  // --- several divers ------------------------------------------------------------------------------------------

  function openTeam(section) {
    const team = JSON.parse(section.querySelector("script.team").textContent);
    const count = team.separation_dm.length, readout = section.querySelector(".team-readout");
    const fields = [...section.querySelectorAll("svg.field")];
    const lines = fields.map((field) => drawn("line", { class: "cursor", y1: 0, y2: "100%" }));
    fields.forEach((field, i) => field.prepend(lines[i]));
    const handle = element("input", { type: "range", min: 0, max: count - 1, step: 1, value: 0, "aria-label": "Instant of the dive" });
    const list = element("dl");
    const cell = (name) => {
      const dd = element("dd");
      list.append(element("div", {}, element("dt", {}, name), dd));
      return dd;
    };
    const when = cell("Team's run time"), apart = cell("Separation");
    const cells = team.divers.map((diver) => [cell(diver.letter), diver]);
    const metres = (dm) => (dm === null ? "\u2013" : figure(dm / 10, "m", 1));

    function show(i, isSet) {
      section.toggleAttribute("data-set", isSet || section.hasAttribute("data-set"));
      const now = Math.max(0, Math.min(count - 1, i)), at = team.from_s + now * team.step_s;
      const x = `${count > 1 ? (now / (count - 1)) * 100 : 0}%`;
      for (const line of lines) {
        line.setAttribute("x1", x);
        line.setAttribute("x2", x);
      }
      handle.value = now;
      when.textContent = clock(at);
      apart.textContent = metres(team.separation_dm[now]);
      for (const [dd, diver] of cells) {
        dd.textContent = metres(diver.depth_dm[now]);
        const article = document.getElementById(`dive-${diver.place}`);
        if (!article) continue;
        article.dataset.instant = at - diver.to_team_s;
        article.dispatchEvent(new Event("instant"));
      }
      handle.setAttribute("aria-valuetext", `${when.textContent}, separation ${apart.textContent}`);
      readout.dataset.time = at;
    }

    function follow(e) {
      const box = e.currentTarget.getBoundingClientRect();
      show(Math.round(((e.clientX - box.left) / box.width) * (count - 1)), true);
    }
    handle.addEventListener("input", () => show(Number(handle.value), true));
    for (const field of fields) {
      field.addEventListener("pointerdown", follow);
      field.addEventListener("pointermove", (e) => { if (e.buttons) follow(e); });
    }
    readout.append(element("div", { class: "now" }, handle, list),
      element("p", { class: "hint" }, "Press on the picture or drag, or use the slider. The debriefs below go along."));
    const widest = team.separation_dm.reduce((best, dm, i) => (dm !== null && dm > (team.separation_dm[best] || 0) ? i : best), 0);
    show(widest, false);
  }

  // --- a copy with the remarks ---------------------------------------------------------------------------------

  function keepCopy() {
    const copy = document.documentElement.cloneNode(true);
    const written = document.querySelectorAll("textarea");
    copy.querySelectorAll("textarea").forEach((area, i) => { area.textContent = written[i].value; });
    copy.querySelectorAll("line.cursor, .keep").forEach((made) => made.remove());
    copy.querySelectorAll("article[data-instant]").forEach((one) => one.removeAttribute("data-instant"));
    copy.querySelectorAll(".readout, .team-readout").forEach((made) => { made.replaceChildren(); made.removeAttribute("data-time"); });
    copy.querySelectorAll(".picture[data-set]").forEach((picture) => picture.removeAttribute("data-set"));
    copy.querySelectorAll(".mark[role]").forEach((mark) => ["role", "tabindex", "aria-label"].forEach((name) => mark.removeAttribute(name)));
    copy.querySelectorAll("tr[data-now]").forEach((row) => row.removeAttribute("data-now"));
    const blob = new Blob(["<!DOCTYPE html>\n", copy.outerHTML, "\n"], { type: "text/html" });
    const link = element("a", { href: URL.createObjectURL(blob), download: "debrief-with-remarks.html" });
    link.click();
    URL.revokeObjectURL(link.href);
  }

  for (const article of document.querySelectorAll("article.dive")) {
    if (!article.querySelector("script.samples")) continue;
    const folded = article.querySelector(":scope > details");
    const openOnce = () => { if (!article.querySelector(".readout > *")) open(article); };
    if (!folded || folded.open) openOnce();
    else folded.addEventListener("toggle", openOnce);
  }
  for (const section of document.querySelectorAll("section.team")) openTeam(section);
  // A dive that is pointed to unfolds.
  function unfold() {
    const target = /^#dive-\d+$/.test(location.hash) && document.querySelector(location.hash);
    const folded = target && target.querySelector(":scope > details");
    if (folded) folded.open = true;
  }
  window.addEventListener("hashchange", unfold);
  unfold();

  for (const people of document.querySelectorAll("section.people")) {
    const keep = element("button", { type: "button", class: "keep" }, "Keep a copy with these remarks");
    keep.addEventListener("click", keepCopy);
    people.append(keep);
  }
  window.addEventListener("beforeprint", () => {
    for (const folded of document.querySelectorAll("article.dive > details")) folded.open = true;
  });
})();
