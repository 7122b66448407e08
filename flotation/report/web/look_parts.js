"use strict";
// Tables, lists and signs that the page is made of. Whatever comes from the boat file is set as text.

const byId = (id) => document.getElementById(id);

function made(tag, text = "", name = "") {
  const element = document.createElement(tag);
  if (text !== "") element.textContent = text;
  if (name) element.className = name;
  return element;
}

/** A table with a caption; a row is a list of texts or elements, its first cell heads it. */
function table(caption, heads, rows) {
  const whole = made("table");
  whole.append(made("caption", caption));
  const top = whole.createTHead().insertRow();
  for (const head of heads) {
    const cell = made("th", head);
    cell.scope = "col";
    top.append(cell);
  }
  const body = whole.createTBody();
  for (const row of rows) {
    const line = body.insertRow();
    row.forEach((value, place) => {
      const cell = made(place ? "td" : "th");
      if (!place) cell.scope = "row";
      if (value instanceof Node) cell.append(value);
      else cell.textContent = value;
      line.append(cell);
    });
  }
  const frame = made("div", "", "frame");
  frame.append(whole);
  return frame;
}

/** Names and values side by side. */
function pairs(rows) {
  const list = made("dl");
  for (const [name, value] of rows) list.append(made("dt", name), made("dd", value));
  return list;
}

/** Each limit of a test: met, not met, or met within the stated tolerances alone. */
function limitsOf(trial) {
  const list = made("ul");
  for (const limit of trial.limits) {
    const sign = limit.decided ? (limit.meets ? "\u2713" : "\u2717") : "?";
    const words = `${sign} ${limit.name}: ${limit.sentence}.`;
    list.append(made("li", words, limit.meets ? "" : "short"));
  }
  return list;
}

function swatch(foam) {
  return made("i", "", foam < 0 ? "swatch none" : `swatch f${foam % 6} h${hatchOf(foam)}`);
}

function withSwatch(foam, text) {
  const both = made("span");
  both.append(swatch(foam), made("span", text));
  return both;
}
