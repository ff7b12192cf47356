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
  var d = details(b), id = "b" + b.place, j = d.list[0];
  if (s !== null) { d.list.forEach(function (x) { if (x.s === s) { j = x; } }); }
  var pick = h("select", { id: id + "-s" }, d.list.map(function (x, i) { return h("option", { value: x.s }, (i + 1) + ". " + book.strategies[x.s].label + ": " + book.verdicts[verdict(b, x.s)]); }));
  pick.value = j.s;
  var body = h("div", { "aria-live": "polite" });
  function show() { put(body, one(b, d, d.list.find(function (x) { return x.s === +pick.value; }))); }
  pick.addEventListener("change", show);
  show();
  return h("article", { "class": "card", id: id, tabindex: "-1", "aria-labelledby": id + "-h" },
    h("header", null, h("div", null, h("h3", { id: id + "-h" }, own(b.id)), h("p", { "class": "sub" }, book.stones[b.stone] + "; " + book.zones[b.zone], b.group ? ["; ", own(b.group)] : null, "; place " + (b.place + 1))),
      h("p", { "class": "row noprint" }, h("label", { "for": id + "-s" }, "Strategy, by rank"), pick)),
    body, factList(b, d));
}
// one is what a card shows of one strategy.
function one(b, d, j) {
  var st = book.strategies[j.s], v = verdict(b, j.s), place = d.list.indexOf(j);
  function item(name, value) { return h("div", null, h("dt", null, name), h("dd", null, value)); }
  return [
    h("p", { "class": "verdict v" + v }, mark(v), h("span", null, h("strong", null, st.label + ": " + book.verdicts[v] + "."), " ", h("span", { "class": "why" }, j.why), v === 3 && !st.sized && book.repairs ? h("small", null, book.repairs) : null, st.warning ? h("small", { "class": "warn" }, "Warning: " + st.warning) : null)),
    h("dl", { "class": "num" }, item("Chance that a limit is exceeded", j.chance), item("Utilisation (low to high)", used(j.typical) + " (" + usedEnd(b, j.s, j.low) + " to " + usedEnd(b, j.s, j.high) + ")"),
      item("Limit used most", j.most), item("Saves, " + units.heat.unit, heat(b, j.s)), item("U before and after, " + units.u.unit, fixed(d.before, units.u.decimals) + " → " + fixed(j.after, units.u.decimals)),
      st.sized ? item("Insulation the wall takes", j.takes) : null, item("Tier", j.tier ? "transient, hourly" : "steady, monthly")),
    h("div", { "class": "cols work" },
      h("div", null, works(b, d, j)),
      h("div", null, h("h4", null, "Moisture over the year, weekly means of relative humidity"), drawCourse(b, d, j, place))),
    h("h4", null, "The wall"), h("div", null, walls(b, d, j)),
    limits(j)];
}
// works is the work list of a strategy. Readiness of the building goes by its
// first strategy, as the lists of the portfolio do.
function works(b, d, j) {
  var first = d.list[0], other = j !== first, none = j.ready === book.ready.length - 1;
  return [
    h("h4", null, "Work list for: " + book.strategies[j.s].label, " ", h("span", { "class": "chip" }, readyMark(j.ready), " " + (other ? "With this strategy: " : "Readiness: ") + (other && none ? book.verdicts[verdict(b, j.s)] : book.ready[j.ready]))),
    other ? h("p", { "class": "help" }, "This is not the list that the building has in " + book.worklist + ": that goes by its first strategy (" + book.strategies[first.s].label + "; " + book.ready[first.ready] + ").") : null,
    h("ol", { "class": "works", role: "list" }, j.works.map(function (st) {
      return h("li", null, h("b", { "class": "stage" }, st.label), h("ol", { start: st.from }, st.lines.map(function (l) {
        return h("li", { "class": "a" + l.action }, h("b", { "class": "act" }, book.actions[l.action]), h("span", { "class": "vh" }, ":"), " ", h("span", { "class": "what" }, l.work), l.layer ? [" ", h("span", { "class": "layer" }, l.layer)] : null,
          l.why ? h("small", null, "Why: " + l.why) : null, l.holds ? h("small", { "class": "warn" }, "Holds up: " + l.holds) : null);
      })));
    }))];
}
function limits(j) {
  var rows = [];
  j.use.forEach(function (u, id) {
    if (u === null) { return; }
    var i = book.indicators[j.tier][id], over = u > 1;
    var figures = j.governed && j.gov === id && j.demand !== null ? j.demand + " of " + j.limit + (i.unit === "1" ? "" : " " + i.unit) : null;
    rows.push(h("tr", null, h("th", { scope: "row" }, i.label, h("small", null, i.source)),
      h("td", null, h("span", { "class": over ? "meter over" : "meter", "aria-hidden": "true" }, h("i", { style: "width:" + (Math.min(u, 1.5) / 1.5 * 100).toFixed(1) + "%" }), h("u"))),
      h("td", { "class": "n" }, used(u), over ? h("small", null, "over the limit") : null), h("td", null, i.demand ? i.demand + "; limit: " + i.limit : "not described for this tier", figures ? h("small", null, "Used most: " + figures) : null)));
  });
  if (!rows.length) { return h("p", null, "No indicator applies."); }
  return scroller("Indicators", table("lim", "Every indicator, typical case; the upright bar is the limit", [col("Indicator"), col("Share of the limit"), col("Utilisation", "n"), col("What is compared")], rows));
}
function factList(b, d) {
  var out = [];
  function add(name, value, unknown) { out.push(h("div", { "class": unknown ? "unknown" : null }, h("dt", null, own(name)), h("dd", null, own(value)))); }
  book.nums.forEach(function (n, i) { if (d.nums[i] !== null) { add(n.name, d.nums[i] / n.per + (n.unit ? " " + n.unit : "")); } });
  book.cats.forEach(function (c, i) { add(c.name, c.levels[d.cats[i]], d.cats[i] === 0); });
  book.texts.forEach(function (t, i) { if (d.texts[i]) { add(t, d.texts[i]); } });
  b.extra.split(book.gap).forEach(function (x, i) { if (x && book.extras) { add(book.extras[i], x); } });
  return h("details", { "class": "more" }, h("summary", null, "Facts of the inventory"), h("dl", { "class": "facts" }, out));
}
