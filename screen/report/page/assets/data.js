// Data: the index of all buildings is read at once, details block by block when
// a card asks for them.
function read(node) { return JSON.parse(node.textContent); }
var book = read(document.getElementById("book"));
var shared = read(document.getElementById("shared"));
var S = book.strategies.length;
var buildings = [];
document.querySelectorAll("script.index").forEach(function (node) {
  read(node).forEach(function (r) { buildings.push(building(r, buildings.length)); });
  node.remove();
});

function building(r, place) {
  return {
    place: place, id: r[0], group: r[1], stone: r[2], zone: r[3], extra: r[4], best: r[5], wrong: r[6], facts: r[7], s: r[8], ready: r[9],
    hay: (r[0] + "\n" + r[1] + "\n" + book.stones[r[2]] + "\n" + book.zones[r[3]] + "\n" + r[4]).toLowerCase()
  };
}
// Figures are in the units of the book; nothing is converted here.
var units = book.units;
// Of building b under strategy s.
function verdict(b, s) { return b.s[5 * s] & 3; }
function byGate(b, s) { return !!(b.s[5 * s] & 4); }
function rankIn(b, s) { return b.s[5 * s + 1]; }
function saved(b, s) { return b.s[5 * s + 2] / 10; }
function highest(b, s) { return b.s[5 * s + 3] / 100; }
function chanceOf(b, s) { var c = b.s[5 * s + 4]; return c === null ? null : c / 1000; }
var anySampled = buildings.some(function (b) { for (var s = 0; s < S; s++) { if (chanceOf(b, s) !== null) { return true; } } return false; });
var anySurvey = buildings.some(function (b) { return b.wrong !== null; });

var blocks = document.querySelectorAll("script.details"), opened = [];
// details returns what a card shows, read from the block the building stands in.
// A few blocks are kept, so that leafing does not read them again.
function details(b) {
  var at = Math.floor(b.place / book.block), have = null;
  opened.forEach(function (o) { if (o.at === at) { have = o; } });
  if (!have) {
    have = { at: at, rows: read(blocks[at]) };
    opened.push(have);
    if (opened.length > 6) { opened.shift(); }
  }
  var r = have.rows[b.place % book.block];
  return { cats: r[0], nums: r[1], texts: r[2], before: r[3] / 1000, stack: r[4], list: r[5].map(function (j) { return judgement(b, j); }) };
}
function judgement(b, r) {
  var f = r[1];
  function words(from, to) { return r.slice(from, to).map(function (i) { return shared.words[i]; }).join(""); }
  return {
    s: r[0], governed: !!(f & 1), tier: f & 2 ? 1 : 0, ready: f >> 2, gov: r[2], works: stages(shared.lists[r[3]]), demand: r[4], limit: r[5],
    low: r[6] / 100, typical: r[7] / 100, high: highest(b, r[0]), use: uses(r[8]), after: r[9] / 1000, stack: r[10],
    course: [r[11], r[12]].map(unspell), chance: words(13, 14), most: words(14, 15), takes: words(15, 16), why: words(16)
  };
}
// stages reads a work list, whose lines are numbered through.
function stages(list) {
  var from = 1;
  function word(k) { return shared.words[k]; }
  return list.map(function (k) {
    var r = shared.stages[k], st = { label: word(r[0]), from: from, lines: r.slice(1).map(function (k) {
      var l = shared.lines[k];
      return { action: l[0], work: word(l[1]), layer: word(l[2]), why: word(l[3]), holds: word(l[4]) };
    }) };
    from += st.lines.length;
    return st;
  });
}
// uses spreads utilisations over all indicators, null where one does not apply.
function uses(r) {
  var k = 0;
  return book.indicators[0].map(function (_, id) { return r[0] & (1 << id) ? r[++k] / 100 : null; });
}
var letters = new Map();
Array.from(book.alphabet).forEach(function (c, i) { letters.set(c, 100 - i / 2); });
function unspell(s) { return s ? Array.from(s).map(function (c) { return letters.get(c); }) : null; }
