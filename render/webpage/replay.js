"use strict";
// Plays the data in #run: puts the groups that Chalkfield has drawn where they are at a time. It draws nothing itself.
const run = JSON.parse(document.getElementById("run").textContent);
const $ = id => document.getElementById(id);
const last = run.samples - 1;

// track reads a list of entries, each after the step from the sample of the entry before; at() is the place of the entry
// that holds at a sample, -1 before the first.
function track(entries) {
  let sample = 0;
  const from = entries.map(entry => sample += entry[0]);
  const at = now => {
    let low = 0, high = from.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (from[middle] <= now) low = middle + 1; else high = middle;
    }
    return low - 1;
  };
  return {from, at, entries};
}

function entriesOf(flat, size) {
  const entries = [];
  for (let i = 0; i < flat.length; i += size) entries.push(flat.slice(i, i + size));
  return entries;
}

const scores = track(entriesOf(run.score || [], 2)), phases = track(entriesOf(run.phase || [], 2));
const standing = track(run.lines || []);
const things = run.things.map(thing => {
  const group = document.createElementNS("http://www.w3.org/2000/svg", "g");
  $(thing.layer).append(group);
  const places = track(entriesOf(thing.at, 4)), place = [0, 0, 0];
  for (const entry of places.entries) // changes become places
    for (let i = 0; i < 3; i++) entry[i + 1] = place[i] += entry[i + 1];
  return {group, places, looks: track(entriesOf(thing.look, 2)), look: -1, transform: ""};
});
const rows = {trail: [...$("trail").children], marks: [...$("marks").children],
  events: $("events") ? [...$("events").querySelectorAll("button")] : []};
const lines = $("lines") ? [...$("lines").children] : [];

const markSeconds = 1.5; // that an event is marked on the field
let now = 0; // in samples, with a fraction while it plays
let playing = false, tick = 0, before = 0;
const calm = matchMedia("(prefers-reduced-motion: reduce)");
let shown = {}; // what was shown last

// transform is where a thing is: between two samples that follow each other on the way from one place to the next.
function transform(places, time) {
  const i = places.at(time);
  if (i < 0) return "";
  const next = places.entries[i + 1], share = time - places.from[i];
  let [, x, y, turn] = places.entries[i];
  if (next && next[0] === 1 && share < 1) {
    x += (next[1] - x) * share; y += (next[2] - y) * share; turn += (next[3] - turn) * share;
  }
  return `translate(${x / 100} ${y / 100}) rotate(${turn / 10})`;
}

function show() {
  const sample = Math.floor(now + 1e-6);
  for (const thing of things) {
    const place = transform(thing.places, now);
    if (place !== thing.transform) thing.group.setAttribute("transform", thing.transform = place);
    const entry = thing.looks.entries[thing.looks.at(sample)], look = entry ? entry[1] : -1;
    if (look !== thing.look) {
      thing.look = look;
      thing.group.innerHTML = ((look >= 0 && run.looks[look]) || []).map(sprite => run.sprites[sprite]).join("");
    }
  }
  if (sample === shown.sample) return;
  pass("trail", run.trail, sample, "ahead");
  const recent = sample - markSeconds / run.period;
  rows.marks.forEach((mark, i) => mark.classList.toggle("ahead", run.marks[i] > sample || run.marks[i] <= recent));
  pass("events", run.events, sample, "to-come");
  showEvent();
  showLines(sample);
  const score = scores.entries[scores.at(sample)], phase = phases.entries[phases.at(sample)];
  $("score").textContent = score ? run.scores[score[1]] : "";
  const time = (sample * run.period).toFixed(2) + " s";
  $("time").textContent = `${time} of ${(last * run.period).toFixed(2)} s` + (phase ? ", " + run.phases[phase[1]] : "");
  $("scrub").value = sample;
  $("scrub").setAttribute("aria-valuetext", time);
  shown.sample = sample;
}

// pass marks what is still to come of things in order of time; only those that have changed sides are touched.
function pass(name, samples, sample, mark) {
  samples = samples || [];
  let i = shown[name] === undefined ? 0 : shown[name];
  if (shown[name] === undefined) rows[name].forEach(row => row.classList.add(mark));
  while (i < samples.length && samples[i] <= sample) rows[name][i++].classList.remove(mark);
  while (i > 0 && samples[i - 1] > sample) rows[name][--i].classList.add(mark);
  shown[name] = i;
}

function showEvent() {
  const current = rows.events[shown.events - 1];
  if (current === shown.event) return;
  if (shown.event) shown.event.classList.remove("now");
  if (current) current.classList.add("now");
  shown.event = current;
  keepInView($("events"), current && current.parentElement);
}

function showLines(sample) {
  const entry = standing.entries[standing.at(sample)];
  if (entry === shown.entry) return;
  shown.entry = entry;
  const lit = new Set(entry ? entry.slice(1) : []);
  lines.forEach((line, i) => line.classList.toggle("lit", lit.has(i + 1)));
  const main = entry && entry.slice(1).find(line => line > 0);
  keepInView($("lines"), main && lines[main - 1]);
}

// keepInView scrolls a list, and never the page.
function keepInView(list, row) {
  if (!list || !row) return;
  const top = row.offsetTop, bottom = top + row.offsetHeight;
  if (top < list.scrollTop || bottom > list.scrollTop + list.clientHeight)
    list.scrollTop = top - (list.clientHeight - row.offsetHeight) / 2;
}

function frame(time) {
  if (!playing) return;
  const speed = Number($("speed").value);
  const step = calm.matches ? 500 * Math.max(speed, 1) : 0; // ms: who wants less motion gets still pictures
  if (time - before >= Math.max(step, 1)) {
    now = Math.min(now + Math.min(time - before, Math.max(step, 250)) / 1000 * speed / run.period, last);
    if (calm.matches) now = Math.floor(now);
    before = time;
    show();
  }
  if (now >= last) return play(false);
  tick = requestAnimationFrame(frame);
}

function play(on) {
  cancelAnimationFrame(tick);
  playing = on;
  if (on && now >= last) now = 0;
  $("play").textContent = on ? "Pause" : "Play";
  $("play").setAttribute("aria-pressed", on);
  before = performance.now();
  if (on) tick = requestAnimationFrame(frame);
  else now = Math.floor(now + 1e-6);
  show();
}

function seek(sample) {
  now = Math.max(0, Math.min(last, Math.round(sample)));
  show();
}

function faster(way) {
  const speed = $("speed");
  speed.selectedIndex = Math.max(0, Math.min(speed.options.length - 1, speed.selectedIndex + way));
}

function event(way) {
  const samples = run.events || [], sample = Math.floor(now + 1e-6);
  const to = way > 0 ? samples.find(s => s > sample) : samples.filter(s => s < sample).pop();
  if (to !== undefined) seek(to);
}

const keys = {
  " ": () => play(!playing), Home: () => seek(0), End: () => seek(last), ArrowUp: () => faster(1), ArrowDown: () => faster(-1),
  ArrowLeft: e => seek(now - (e.shiftKey ? 1 / run.period : 1)), ArrowRight: e => seek(now + (e.shiftKey ? 1 / run.period : 1)),
  p: () => event(-1), n: () => event(1),
};

document.addEventListener("keydown", e => {
  const own = e.target.closest && e.target.closest("button, select, #lines");
  const act = keys[e.key.length === 1 ? e.key.toLowerCase() : e.key];
  if (!act || e.ctrlKey || e.metaKey || e.altKey) return;
  if (own && own.id !== "play" && (own.tagName !== "BUTTON" || e.key === " ")) return; // it has keys of its own
  e.preventDefault();
  act(e);
});
$("play").addEventListener("click", () => play(!playing));
$("play").addEventListener("keyup", e => { if (e.key === " ") e.preventDefault(); }); // the press has done it
$("scrub").max = last;
$("scrub").addEventListener("input", () => { play(false); seek(Number($("scrub").value)); });
$("field").addEventListener("click", () => play(!playing));
rows.events.forEach((row, i) => row.addEventListener("click", () => { play(false); seek(run.events[i]); }));
show();
if (!calm.matches) play(true);
