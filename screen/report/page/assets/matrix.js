// Buildings down, strategies across; one page of rows stands in the document.
function setupMatrix() {
  $("matrix-help").textContent = "Each cell: verdict, " + (anySampled ? "chance that a limit is exceeded, or, where it was not sampled, u, the high utilisation" : "u, the high utilisation") + ", or that it is excluded by a gate; saving in " + units.heat.unit + ". The frame marks the best strategy of the building." + (book.repairs ? " " + book.repairs : "");
  $("matrix").hidden = false;
  var short = ["suited", "repairs", "survey", "not suited"];
  return pager("strategies by building", $("matrix-box"), [25, 50, 100, 250], function (body, from, to) {
    var heads = [col("Building")].concat(book.strategies.map(function (s) { return col(s.label); }));
    var rows = view.list.slice(from, to).map(function (b) {
      return h("tr", null, h("th", { scope: "row" }, h("button", { type: "button", "class": "link", on: function () { openBuilding(b, null); } }, own(b.id)), b.group ? h("small", null, own(b.group)) : null),
        book.strategies.map(function (_, s) {
          var v = verdict(b, s), c = chanceOf(b, s);
          return h("td", { "class": s === b.best ? "best" : null }, mark(v), " " + short[v], h("br"), h("small", null, (byGate(b, s) ? "by a gate" : c !== null ? percent(c) : "u " + usedEnd(b, s, highest(b, s))) + " · " + heat(b, s)), s === b.best ? h("span", { "class": "vh" }, " best") : null);
        }));
    });
    put(body, [scroller("Strategies by building", table("grid", "Strategies by building, in order of " + $("f-sort").selectedOptions[0].textContent, heads, rows))]);
  });
}
