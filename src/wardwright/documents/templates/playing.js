"use strict";
// Plays a timeline on the plan. All figures were computed beforehand; here is only where to put the marks, and when.
const data = JSON.parse(document.getElementById("timeline").textContent);
const byId = (id) => document.getElementById(id);
const svgName = "http://www.w3.org/2000/svg";
const still = matchMedia("(prefers-reduced-motion: reduce)");
const AHEAD = 4000; // quiet time is passed over up to so long before the next moment
let now = 0, playing = false, before = 0, sinceStep = 0, shown = -1;

function make(name, attributes, parent) {
  const element = document.createElementNS(svgName, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  parent.append(element);
  return element;
}

const layers = [...document.querySelectorAll("figure svg")].map((svg) => make("g", { class: "people" }, svg));
const actors = data.tracks.map((track) => {
  const trail = layers.map((layer) => make("polyline", { class: "trail" }, layer));
  const mark = make("g", { class: `who ${track.kind}` }, layers[0]);
  if (track.kind === "intruder") make("path", { d: "M0-2.9 2.9 0 0 2.9-2.9 0Z" }, mark);
  else if (track.kind === "animal") make("path", { d: "M0-2.4 2.5 1.9-2.5 1.9Z" }, mark);
  else make("circle", { r: 2.4 }, mark);
  make("text", { class: "mark", y: track.kind === "animal" ? 1.3 : 0.8 }, mark).textContent = track.mark;
  make("text", { class: "name", y: 5.2 }, mark).textContent = track.name;
  return { track, trail, mark };
});
const devices = new Map();
for (const group of document.querySelectorAll(".device[data-id]")) devices.set(group.dataset.id, group);
const rows = [...document.querySelectorAll("tbody tr")];

function last(list, time) { // index of the last entry that has begun, by halving
  let low = 0, high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (list[middle][0] <= time) low = middle + 1; else high = middle;
  }
  return low - 1;
}

function place(frames, time) {
  const i = last(frames, time);
  if (i < 0) return null;
  const [t0, s0, x0, y0] = frames[i], next = frames[i + 1];
  if (!next || next[1] !== s0 || next[0] === t0) return { at: i, storey: s0, x: x0, y: y0 };
  const share = (time - t0) / (next[0] - t0);
  return { at: i, storey: s0, x: x0 + (next[2] - x0) * share, y: y0 + (next[3] - y0) * share };
}

function drawActor({ track, trail, mark }) {
  const spot = place(track.frames, now);
  const away = !spot || track.gone.some(([from, to]) => now >= from && now < to);
  mark.style.display = away ? "none" : "";
  const begun = Math.max(now - 90000, ...track.gone.filter(([, to]) => to <= now).map(([, to]) => to));
  layers.forEach((_, storey) => {
    const points = [];
    if (!away) {
      for (let i = 0; i <= spot.at; i++) {
        const [t, s, x, y] = track.frames[i];
        if (t >= begun && s === storey) points.push(`${x},${y}`);
      }
      if (spot.storey === storey) points.push(`${spot.x},${spot.y}`);
    }
    trail[storey].setAttribute("points", points.join(" "));
  });
  if (!away) {
    if (mark.parentNode !== layers[spot.storey]) layers[spot.storey].append(mark);
    mark.setAttribute("transform", `translate(${spot.x} ${spot.y})`);
  }
}

function lines(list, items) {
  list.replaceChildren(...items.map((text) => Object.assign(document.createElement("li"), { textContent: text })));
}

function tell(index) {
  rows.forEach((row, i) => row.classList.toggle("now", i === index));
  const moment = data.moments[index];
  byId("cause").textContent = moment ? moment.cause : "";
  lines(byId("areas"), moment ? moment.phases : data.phases);
  byId("sounding").textContent = moment && moment.sounding.length ? moment.sounding.join(", ") : "nothing";
  byId("sounding").classList.toggle("loud", Boolean(moment && moment.loud));
  let keypad = "", reports = [];
  for (let i = 0; i <= index; i++) {
    if (data.moments[i].keypads.length) keypad = data.moments[i].keypads.join("\n");
    reports = reports.concat(data.moments[i].reports.map((r) => `${data.moments[i].clock} ${r}`));
  }
  byId("keypad").innerText = keypad;
  lines(byId("reports"), reports.slice(-4));
}

function draw() {
  const seconds = (data.begins + Math.floor(now / 1000)) % 86400;
  const two = (n) => String(n).padStart(2, "0");
  const clock = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  byId("clock").textContent = clock;
  byId("time").value = now;
  byId("time").setAttribute("aria-valuetext", clock);
  actors.forEach(drawActor);
  for (const [id, group] of devices) {
    group.classList.toggle("on", (data.lit[id] || []).some(([from, to]) => now >= from && now < to));
    group.classList.toggle("sounding", (data.sounding[id] || []).some(([from, to]) => now >= from && now < to));
  }
  const index = last(data.moments.map((m) => [m.t]), now);
  if (index !== shown) { shown = index; tell(index); }
}

function seek(time) {
  now = Math.min(Math.max(time, 0), data.ends);
  draw();
}

function step(direction) {
  const times = data.moments.map((m) => m.t);
  const next = direction > 0 ? times.find((t) => t > now) : times.filter((t) => t < now).pop();
  seek(next === undefined ? (direction > 0 ? data.ends : 0) : next);
}

function quietUntil() { // where to go on, when nobody moves and nothing happens for a while
  const ahead = [data.ends];
  for (const moment of data.moments) if (moment.t > now) { ahead.push(moment.t); break; }
  for (const { track } of actors) {
    const spot = place(track.frames, now), next = track.frames[(spot ? spot.at : -1) + 1];
    if (!next) continue;
    const [, s0, x0, y0] = spot ? track.frames[spot.at] : [0, -1, 0, 0];
    const rests = !spot || (next[1] === s0 && next[2] === x0 && next[3] === y0)
      || track.gone.some(([from, to]) => now >= from && next[0] <= to);
    ahead.push(rests ? next[0] : now);
  }
  return Math.min(...ahead) - AHEAD;
}

function tick(time) {
  if (!playing) return;
  const passed = Math.min(time - before, 200);
  before = time;
  if (still.matches) {
    sinceStep += passed;
    if (sinceStep > 1500) { sinceStep = 0; step(1); }
  } else {
    seek(now + passed * Number(byId("speed").value));
    const jump = byId("skip").checked ? quietUntil() : 0;
    if (jump > now + AHEAD) seek(jump);
  }
  if (now >= data.ends) play(false);
  else requestAnimationFrame(tick);
}

function play(on) {
  playing = on;
  byId("play").textContent = on ? "Pause" : "Play";
  if (on) {
    if (now >= data.ends) seek(0);
    requestAnimationFrame((time) => { before = time; requestAnimationFrame(tick); });
  }
}

byId("play").addEventListener("click", () => play(!playing));
byId("back").addEventListener("click", () => { play(false); step(-1); });
byId("on").addEventListener("click", () => { play(false); step(1); });
byId("time").addEventListener("input", (event) => { play(false); seek(Number(event.target.value)); });
for (const button of document.querySelectorAll("td button")) {
  button.addEventListener("click", () => { play(false); seek(Number(button.dataset.t)); });
}
document.addEventListener("keydown", (event) => {
  if (event.target.closest("select, input, button") && event.key !== "Escape") return;
  const act = {
    " ": () => play(!playing), Escape: () => play(false), ArrowRight: () => step(1), ArrowLeft: () => step(-1),
    Home: () => seek(0), End: () => seek(data.ends),
  }[event.key];
  if (act) { event.preventDefault(); act(); }
});
const asked = Number(new URLSearchParams(location.hash.slice(1)).get("t"));
seek(Number.isFinite(asked) ? asked * 1000 : 0);
