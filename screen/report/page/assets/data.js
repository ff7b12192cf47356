// Data: rows of values, whose names stand once, and a pool of what rows share, which
// they name by its place. Figures are in the units of the book; nothing is converted.
function read(id) { return JSON.parse(document.getElementById(id).textContent); }
var book = read("book"), shared = read("shared"), units = book.units;
var S = book.strategies.length;
function named(kind, row) {
  var out = {};
  shared.names[kind].forEach(function (name, i) { out[name] = row[i]; });
  return out;
}
function pooled(place) { return shared.pool[place]; }
var buildings = read("buildings").map(function (row, place) {
  var b = named("building", row);
  b.place = place;
  b.stone = pooled(b.stone);
  b.zone = pooled(b.zone);
  b.need = pooled(b.need);
  b.extra = b.extra || [];
  b.facts = (b.facts || []).map(function (f) { f.worth = Math.round(1000 * (f.clears + f.cuts)); return f; });
  b.list = b.list.map(function (r) { return named("judgement", r); });
  b.by = []; // strategy
  b.list.forEach(function (j) { j.answer = pooled(j.answer); j.chance = j.chances && j.chances[0]; b.by[j.strategy] = j; });
  b.best = b.list[0].strategy;
  b.hay = [b.id, b.group, b.stone, b.zone].concat(b.extra).join("\n").toLowerCase();
  return b;
});
// address is where a building is, "" where the run was not told which columns say.
function address(b) { return book.address.map(function (i) { return b.extra[i]; }).filter(Boolean).join(", "); }
// Of building b under strategy s.
function isHere(b, s) { return !!b.by[s]; }
function answer(b, s) { return b.by[s].answer; }
function verdict(b, s) { return answer(b, s).verdict; }
function byRule(b, s) { return answer(b, s).byRule; }
function isNear(b, s) { return answer(b, s).near; }
function unlike(b, s) { return answer(b, s).unlike ? ", by the monthly method" : ""; }
// verdictWords is short for a cell: what excludes is named on the card.
function verdictWords(b, s) { return byRule(b, s) ? "excluded by a rule" : answer(b, s).words; }
function rankIn(b, s) { return b.by[s].rank; }
function saved(b, s) { return b.by[s].saved; }
function highest(b, s) { return b.by[s].high || 0; }
function chanceOf(b, s) { return b.by[s].chance; }
function chanceEnds(b, s) { return b.by[s].chances.slice(1); }
function chanceWords(b, s) { return pooled(b.by[s].range).replace(/ /g, "\u00a0"); }
var anyDrawn = buildings.some(function (b) { return b.list.some(function (j) { return j.chance !== null; }); });
var anySurvey = buildings.some(function (b) { return b.wrong !== null; });
// worthWords says what knowing a fact does.
function worthWords(f) {
  return (f.clears ? "settles the verdict " + percent(f.clears) : "") + (f.clears && f.cuts ? ", " : "") + (f.cuts ? "cuts wrong choices by " + fixed(100 * f.cuts, 1) + " points" : "");
}
// cardOf is what a card shows of a judgement, in words and in full.
var NOT_JUDGED = -2;
function cardOf(j) {
  function words(places) { return places.map(pooled).join("").replace(/ %/g, "\u00a0%"); }
  return Object.assign({}, j, j.answer, {
    why: words(j.why), most: words([j.most]), limit: words([j.limit]), kept: words([j.kept]), facing: words([j.facing]),
    works: stages(pooled(j.works).map(pooled)), courses: j.courses.map(course)
  });
}
// stages gathers the lines of a work list by stage; they are numbered through.
function stages(lines) {
  var out = [];
  lines.forEach(function (l, i) {
    var last = out[out.length - 1];
    if (!last || last.label !== l.Stage) { out.push(last = { label: l.Stage, from: i + 1, lines: [] }); }
    last.lines.push(l);
  });
  return out;
}
// course is weekly humidity in percent, of bytes of half percents in base 64.
function course(text) { return text && Array.from(atob(text)).map(function (c) { return Math.min(c.charCodeAt(0) / 2, 100); }); }
