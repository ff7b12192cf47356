// Cards: one for each building on the page at hand, made when it is turned to.
var cards, wanted = null; // strategy a card is to open with: {b, s}
function setupCards() {
  cards = pager("buildings", $("cards-box"), [5, 10, 25, 100, 400], function (body, from, to) {
    put(body, view.list.slice(from, to).map(function (b) { return card(b, wanted && wanted.b === b ? wanted.s : view.pick >= 0 ? view.pick : null); }));
    if (!view.list.length) { put(body, [h("p", { "class": "none" }, "No building matches. Clear the filter to see all.")]); }
  });
}
function openPair(pair) { openBuilding(buildings[Math.floor(pair / S)], pair % S); }
function openBuilding(b, s) {
  var at = view.list.indexOf(b);
  if (at < 0) { return; }
  wanted = { b: b, s: s };
  cards.go(Math.floor(at / cards.size));
  wanted = null;
  var el = $("b" + b.place);
  el.focus({ preventScroll: true });
  el.scrollIntoView({ block: "start" });
}
function card(b, s) {
  var list = b.list.map(cardOf), id = "b" + b.place, j = list[0];
  if (s !== null) { list.forEach(function (x) { if (x.strategy === s) { j = x; } }); }
  var pick = h("select", { id: id + "-s" }, list.map(function (x, i) { return h("option", { value: x.strategy }, (i + 1) + ". " + book.strategies[x.strategy].label + ": " + x.words); }));
  pick.value = j.strategy;
  var body = h("div", { "aria-live": "polite" });
  function show() { put(body, one(b, list, list.find(function (x) { return x.strategy === +pick.value; }))); }
  pick.addEventListener("change", show);
  show();
  var place = address(b);
  return h("article", { "class": "card", id: id, tabindex: "-1", "aria-labelledby": id + "-h" },
    h("header", null, h("div", null, h("h3", { id: id + "-h" }, own(b.id), place ? [", ", own(place)] : null), h("p", { "class": "sub" }, b.stone + "; " + b.zone, b.group ? ["; ", own(b.group)] : null, "; overall rank " + b.rank)),
      h("p", { "class": "row noprint" }, h("label", { "for": id + "-s" }, "Strategy, by rank"), pick, h("button", { type: "button", on: function () { printHome($(id)); } }, "Print this home"))),
    h("p", { "class": "care" }, h("strong", null, "Caution. "), book.caution), book.tier ? h("p", { "class": "care paper" }, book.tier) : null, body, factList(b));
}
// printHome prints one card and nothing else.
function printHome(el) {
  document.body.classList.add("one");
  el.classList.add("now");
  window.print();
}
window.addEventListener("afterprint", function () {
  document.body.classList.remove("one");
  document.querySelectorAll(".card.now").forEach(function (el) { el.classList.remove("now"); });
});
// one is what a card shows of one strategy.
function one(b, list, j) {
  var s = j.strategy, st = book.strategies[s], v = j.verdict;
  function item(name, value) { return value ? h("div", null, h("dt", null, name), h("dd", null, value)) : null; }
  return [
    h("p", { "class": "verdict v" + v }, mark(v), h("span", null, h("strong", null, st.label + ": " + j.words + "."), " ", h("span", { "class": "chip" }, readyMark(j.ready), " " + readyWords(list, j)), " ", h("span", { "class": "why" }, j.why),
      [st.warning, st.caution].map(function (t) { return t ? h("small", { "class": "warn" }, "Caution: " + t) : null; }))),
    h("dl", { "class": "num" }, item("Chance that a limit is exceeded", j.byRule ? null : j.chance === null ? "not drawn" : h("span", null, strip(b, s), h("br"), chanceWords(b, s))), item("Share of the limit (low to high)", j.byRule ? null : share(j.typical) + " (" + share(j.low) + " to " + share(j.high) + ")"),
      item("Limit used most", j.most ? [j.most, j.limit ? h("small", null, j.limit) : null] : null), item("Facing that governs", j.facing), item("Saves, " + units.heat.unit + ", heat through the wall", heat(b, s)), item("U before and after, " + units.u.unit, fixed(b.u, units.u.decimals) + " → " + fixed(j.u, units.u.decimals)),
      st.sized ? item("Insulation allowance", j.kept) : null, j.tier && j.lost ? item("Timber lost to rot, share of its dry mass", percent(j.lost)) : null, item("Judged by", j.judgedBy)),
    changes(b, j),
    works(list[0], j),
    h("h4", null, "The wall"), h("div", null, walls(b, j)),
    h("div", { "class": "pair" }, h("div", null, h("h4", null, "Damage by strategy, share of the limit in the typical case"), damage(list, j)),
      h("div", { "class": "course" }, h("h4", null, "Moisture over the year, weekly means of relative humidity"), drawCourse(b, j)))];
}
// readyWords: readiness of the building goes by its first strategy, as the lists of
// the portfolio do.
function readyWords(list, j) {
  return j === list[0] ? book.ready[j.ready] : "with this strategy: " + (j.ready === book.ready.length - 1 ? j.words : book.ready[j.ready]);
}
// changes says how firm the verdict is and which facts could turn it.
function changes(b, j) {
  var t = book.thresholds, facts = b.facts;
  return h("div", null, h("h4", null, "What would change the answer"),
    h("p", null, j.byRule ? "A rule on the facts of the building excludes this strategy, so it was not run: no chance and no share of a limit is given. " : j.chance === null ? "No chance was drawn, so how near a verdict is to another one is not known. " : "The chance is counted from " + counted(j.draws, "draw") + " of what is not known. Suited below " + percent(t[0]) + ", not suited above " + percent(t[1]) + ": " + (j.near ? "a threshold lies within the range, so that more facts may change the verdict. " : "no threshold lies within the range. "),
      b.wrong === null ? "What a fact is worth is known only after draws. " : "Chance of a wrong choice at this building: " + percent(b.wrong) + ". " + (facts.length ? "To investigate first, and what that does (percentage points of a wrong choice):" : "No single fact settles the verdict or changes the choice.")),
    facts.length ? h("ul", null, facts.map(function (f) { var by = book.findings[f.fact]; return h("li", null, by.label + ", " + by.way + ": " + worthWords(f), h("small", null, by.how)); })) : null);
}
function works(first, j) {
  return h("div", null,
    h("h4", null, "Work list for: " + book.strategies[j.strategy].label),
    j !== first ? h("p", { "class": "help" }, "This is not the list that the building has in " + book.worklist + ": that goes by its first strategy (" + book.strategies[first.strategy].label + "; " + book.ready[first.ready] + ").") : null,
    h("ol", { "class": "works", role: "list" }, j.works.map(function (st) {
      return h("li", null, h("b", { "class": "stage" }, st.label), h("ol", { start: st.from }, st.lines.map(function (l) {
        return h("li", { "class": "a" + l.Action }, h("b", { "class": "act" }, book.actions[l.Action]), h("span", { "class": "vh" }, ":"), " ", h("span", { "class": "what" }, l.Work), l.Layer ? [" ", h("span", { "class": "layer" }, l.Layer)] : null,
          l.Caution ? h("small", { "class": "warn" }, "Caution: " + l.Caution) : null, l.Why ? h("small", null, "Why: " + l.Why) : null, l.Blocks ? h("small", null, "Blocks: " + l.Blocks) : null);
      })));
    })));
}
// damage sets strategies against damage measures: each cell a vessel that fills up
// to the share of the limit, which is the line across it.
function damage(list, j) {
  var tier = j.byRule ? list[0].tier : j.tier, ids = book.indicators[tier].map(function (_, id) { return id; }).filter(function (id) { return list.some(function (x) { return x.shares[id] !== null; }); });
  if (!ids.length) { return h("p", null, "No damage measure applies."); }
  var rows = list.map(function (x) {
    return h("tr", { "class": x === j ? "best" : null }, h("th", { scope: "row" }, mark(x.verdict), " " + book.strategies[x.strategy].label, x.byRule ? h("small", null, x.words) : x.tier !== tier ? h("small", null, "by the " + x.judgedBy + ", not to be set beside the others") : null), ids.map(function (id) {
      var u = x.shares[id];
      return h("td", null, u === null ? h("span", { "class": "vh" }, x.byRule ? "excluded" : "does not apply") : [vessel(u), h("small", null, share(u))]);
    }));
  });
  return [scroller("Damage by strategy", table("damage", "An empty cell: does not apply to the strategy, or a rule excludes the strategy", [col("Strategy")].concat(ids.map(function (id) { return col(book.indicators[tier][id].label); })), rows)),
    h("details", { "class": "more alone" }, h("summary", null, "What is compared, and after whom"), h("ul", null, ids.map(function (id) { var i = book.indicators[tier][id]; return h("li", { "class": j.shares[id] === null ? "noprint" : null }, i.label + ": " + (i.what || "not judged in this tier") + ". " + i.source); })))];
}
function vessel(u) {
  var top = 24 - 20 * Math.min(Math.max(u, 0), 1.5) / 1.5, full = 24 - 20 / 1.5;
  return svg("svg", { "class": "vessel " + (u > 1 ? "v4" : "v1"), viewBox: "0 0 22 26", "aria-hidden": "true" },
    u < 0 ? svg("text", { x: 11, y: 19, "text-anchor": "middle" }, "?") : svg("path", { d: "M4 " + top.toFixed(1) + "H18V24H4z", fill: "currentColor" }),
    svg("path", { d: "M3 3V24.5H19V3", fill: "none", stroke: "#20262c" }), svg("path", { d: "M1 " + full.toFixed(1) + "H21", stroke: "#20262c", "stroke-width": 1.4, fill: "none" }));
}
function factList(b) {
  var out = [];
  function add(name, value, unknown) { out.push(h("div", { "class": unknown ? "unknown" : null }, h("dt", null, own(name)), h("dd", null, own(value)))); }
  book.nums.forEach(function (n, i) { if (b.nums[i]) { add(n, b.nums[i]); } });
  book.cats.forEach(function (c, i) { add(c.name, c.levels[b.cats[i]], b.cats[i] === 0); });
  book.texts.forEach(function (t, i) { if (b.texts[i]) { add(t, b.texts[i]); } });
  b.extra.forEach(function (x, i) { if (x && book.extras) { add(book.extras[i], x); } });
  return h("details", { "class": "more" }, h("summary", null, "Facts of the inventory"), h("p", { "class": "help" }, "From ", own(book.files[b.file]), ", line " + b.line + ", judged by " + book.by + ". What is in italics is not known: it is judged over all that it may be, by priors of this tool, until it is investigated."), h("dl", { "class": "facts" }, out));
}
