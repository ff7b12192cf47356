// What is looked at: one filter for plot, matrix, survey order and cards.
var view = { list: buildings, pairs: [] }; // pairs: place of building × S + strategy
var BEST = -1, ALL = -2;
function option(value, text) { return h("option", { value: value }, text); }
function setupFilter(changed) {
  put($("f-strategy"), [option(BEST, "best of each building"), option(ALL, "all strategies")].concat(book.strategies.map(function (s, i) { return option(i, s.label); })));
  var groups = Array.from(new Set(buildings.map(function (b) { return b.group; }))).sort();
  put($("f-group"), [option("*", "all groups")].concat(groups.map(function (g) { return option("=" + g, g || "(none given)"); })));
  put($("f-ready"), [option("*", "all")].concat(book.ready.map(function (r, i) { return option(i, r); })));
  put($("f-verdicts"), book.verdicts.map(function (v, i) {
    var box = h("input", { type: "checkbox", id: "f-v" + i, value: i });
    box.checked = true;
    box.addEventListener("change", changed);
    return h("label", { "for": "f-v" + i }, box, mark(i), v);
  }));
  var wait = 0;
  $("f-text").addEventListener("input", function () { clearTimeout(wait); wait = setTimeout(changed, 120); });
  ["f-strategy", "f-group", "f-ready", "f-sort"].forEach(function (id) { $(id).addEventListener("change", changed); });
  $("f-clear").addEventListener("click", function () {
    setFilter(new URLSearchParams());
    changed();
    $("f-text").focus();
  });
  // A link to a section must not lose the filter.
  window.addEventListener("hashchange", function () { if (readFilter()) { changed(); } else { writeFilter(); } });
  $("filter").addEventListener("submit", function (e) { e.preventDefault(); });
  $("filter").hidden = false;
  readFilter();
}
// The filter in words, what is not at its start alone: so it stands in the address
// bar and on paper.
var selects = { strategy: "f-strategy", group: "f-group", readiness: "f-ready", order: "f-sort" };
function filterWords() {
  var out = [], text = $("f-text").value.trim(), off = book.verdicts.filter(function (_, i) { return !$("f-v" + i).checked; });
  if (text) { out.push(["search", text]); }
  Object.keys(selects).forEach(function (k) { if ($(selects[k]).selectedIndex > 0) { out.push([k, $(selects[k]).selectedOptions[0].textContent]); } });
  if (off.length) { out.push(["without", off.join(", ")]); }
  return out;
}
function setFilter(q) {
  $("f-text").value = q.get("search") || "";
  Object.keys(selects).forEach(function (k) {
    $(selects[k]).selectedIndex = Math.max(0, Array.from($(selects[k]).options).findIndex(function (o) { return o.textContent === q.get(k); }));
  });
  var off = (q.get("without") || "").split(", ");
  book.verdicts.forEach(function (v, i) { $("f-v" + i).checked = off.indexOf(v) < 0; });
}
function readFilter() {
  if (location.hash.slice(0, 2) !== "#?") { return false; }
  setFilter(new URLSearchParams(location.hash.slice(2)));
  return true;
}
function writeFilter() {
  var words = filterWords(), bar = words.length ? "#?" + new URLSearchParams(words) : location.hash.slice(0, 2) === "#?" ? location.pathname + location.search : "";
  $("f-said").textContent = words.length ? "Above is the whole portfolio. What follows is by the filter: " + words.map(function (w) { return w[0] + ": " + w[1]; }).join("; ") + ". It shows " + view.list.length + " of " + counted(buildings.length, "building") + "." : "";
  if (bar && bar !== location.hash) {
    try { history.replaceState(null, "", bar); } catch (e) { return; } // some browsers allow only so many a minute
  }
}
function applyFilter() {
  var words = $("f-text").value.toLowerCase().split(/\s+/).filter(Boolean), group = $("f-group").value, ready = $("f-ready").value;
  var pick = +$("f-strategy").value, on = book.verdicts.map(function (_, i) { return $("f-v" + i).checked; });
  var list = [], pairs = [];
  buildings.forEach(function (b) {
    if (group !== "*" && "=" + b.group !== group) { return; }
    if (ready !== "*" && b.ready !== +ready) { return; }
    for (var k = 0; k < words.length; k++) { if (b.hay.indexOf(words[k]) < 0) { return; } }
    var from = pick === BEST ? b.best : pick === ALL ? 0 : pick, to = pick === ALL ? S : from + 1, any = false;
    for (var s = from; s < to; s++) { if (isHere(b, s) && on[verdict(b, s)]) { pairs.push(b.place * S + s); any = true; } }
    if (any) { list.push(b); }
  });
  // What an order goes by: the strategy picked, else the best one.
  function key(b) { return pick >= 0 ? pick : b.best; }
  function risk(b) { var c = chanceOf(b, key(b)); return byRule(b, key(b)) ? Infinity : c === null ? 2 + highest(b, key(b)) : c; }
  var order = {
    rank: pick >= 0 ? function (a, b) { return rankIn(a, pick) - rankIn(b, pick); } : null,
    risk: function (a, b) { return risk(a) - risk(b) || a.place - b.place; },
    saved: function (a, b) { return saved(b, key(b)) - saved(a, key(a)) || a.place - b.place; },
    id: function (a, b) { return a.id < b.id ? -1 : a.id > b.id ? 1 : 0; }
  }[$("f-sort").value];
  if (order) { list.sort(order); }
  view = { list: list, pairs: pairs, pick: pick };
  $("f-count").textContent = list.length + " of " + counted(buildings.length, "building") + (pick === ALL ? ", " + counted(pairs.length, "pair") + " of building and strategy" : "") + ".";
  writeFilter();
}
