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
    place: place, id: r[0], group: r[1], stone: r[2], zone: r[3], extra: r[4], best: r[5], wrong: r[6], need: r[7], facts: factsOf(r[8]), s: r[9], ready: r[10], rank: r[11], lat: r[12] === null ? null : r[12] / 1e5, lon: r[12] === null ? null : r[13] / 1e5,
    hay: (r[0] + "\n" + r[1] + "\n" + book.stones[r[2]] + "\n" + book.zones[r[3]] + "\n" + r[4]).toLowerCase()
  };
}
// address is where a building is, "" where the run was not told which columns say.
function address(b) {
  var cells = b.extra.split(book.gap);
  return book.address.map(function (i) { return cells[i]; }).filter(Boolean).join(", ");
}
// Figures are in the units of the book; nothing is converted here.
var units = book.units;
// Of building b under strategy s.
function at(b, s, k) { return b.s[8 * s + k]; }
function verdict(b, s) { return at(b, s, 0) & 7; }
function byRule(b, s) { return !!(at(b, s, 0) & 8); }
function isHere(b, s) { return !(at(b, s, 0) & 64); }
function unlike(b, s) { return at(b, s, 0) & 128 ? ", by the monthly method" : ""; }
function isNear(b, s) { return !!(at(b, s, 0) & 16); }
// verdictWords is short for a cell: what excludes is named on the card.
function verdictWords(b, s) {
  return byRule(b, s) ? book.excluded.replace(": ", " by a rule") : at(b, s, 0) & 32 && verdict(b, s) === book.verdicts.length - 1 ? book.bare : book.verdicts[verdict(b, s)];
}
function rankIn(b, s) { return at(b, s, 1); }
function saved(b, s) { return at(b, s, 2) / 10; }
function highest(b, s) { return at(b, s, 3) / 100; }
function per1000(x) { return x === null ? null : x / 1000; }
function chanceOf(b, s) { return per1000(at(b, s, 4)); }
function chanceEnds(b, s) { return [per1000(at(b, s, 5)), per1000(at(b, s, 6))]; }
function chanceWords(b, s) { return shared.words[at(b, s, 7)].replace(/ /g, "\u00a0"); }
var anyDrawn = buildings.some(function (b) { for (var s = 0; s < S; s++) { if (chanceOf(b, s) !== null) { return true; } } return false; });
// factsOf are facts with what each is worth, in per mille.
function factsOf(r) {
  var out = [];
  for (var k = 0; k < r.length; k += 3) { out.push({ fact: r[k], clears: r[k + 1], cuts: r[k + 2], worth: r[k + 1] + r[k + 2] }); }
  return out;
}
// worthWords says what knowing a fact does.
function worthWords(f) {
  return (f.clears ? "settles the verdict " + percent(f.clears / 1000) : "") + (f.clears && f.cuts ? ", " : "") + (f.cuts ? "cuts wrong choices by " + fixed(f.cuts / 10, 1) + " points" : "");
}
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
  return { cats: r[0], nums: r[1], texts: r[2], before: r[3] / 1000, masonry: r[4] / 1000, stack: r[5], list: r[6].map(function (j) { return judgement(b, j); }), file: book.files[r[7]], line: r[8] };
}
function judgement(b, r) {
  function words(from, to) { return r.slice(from, to).map(function (i) { return shared.words[i]; }).join("").replace(/ %/g, "\u00a0%"); }
  return {
    s: r[0], tier: r[1] & 1, ready: r[1] >> 1, works: stages(shared.lists[r[2]]), low: r[3] / 100, typical: r[4] / 100, high: highest(b, r[0]), use: uses(r[5]),
    after: r[6] / 1000, lost: r[7] / 1000, draws: r[8], stack: r[9], course: [r[10], r[11]].map(unspell), verdict: words(12, 13), most: words(13, 14), limit: words(14, 15), kept: words(15, 16), facing: words(16, 17), judgedBy: words(17, 18), why: words(18)
  };
}
// stages gathers the lines of a work list by stage; they are numbered through.
function stages(list) {
  var out = [];
  list.forEach(function (k, i) {
    var l = shared.lines[k], w = l.slice(1).map(function (n) { return shared.words[n]; }), last = out[out.length - 1];
    if (!last || last.label !== w[0]) { out.push(last = { label: w[0], from: i + 1, lines: [] }); }
    last.lines.push({ action: l[0], work: w[1], layer: w[2], caution: w[3], why: w[4], blocks: w[5] });
  });
  return out;
}
// uses spreads shares of limits over all indicators: null where one does not
// apply, NOT_JUDGED where it has no answer.
var NOT_JUDGED = -2;
function uses(r) {
  var k = 1;
  return book.indicators[0].map(function (_, id) { return r[0] & (1 << id) ? r[++k] / 100 : r[1] & (1 << id) ? NOT_JUDGED : null; });
}
var letters = new Map();
Array.from(book.alphabet).forEach(function (c, i) { letters.set(c, 100 - i / 2); });
function unspell(s) { return s ? Array.from(s).map(function (c) { return letters.get(c); }) : null; }
