// Buildings down, strategies across; one page of rows stands in the document.
function setupMatrix() {
  $("matrix-help").textContent = "Each cell: verdict; " + (anyDrawn ? "the range of the chance that a limit is exceeded on a line from 0 to 100 %, ticks where a verdict changes, a ring where that may be" : "the high end of the share of the limit") + "; saving in " + units.heat.unit + ". The frame marks the best strategy of the building. " + (book.repairs || "");
  $("matrix").hidden = false;
  return pager("strategies by building", $("matrix-box"), [25, 50, 100, 250], function (body, from, to) {
    var heads = [col("Building"), col("Readiness")].concat(book.strategies.map(function (s) { return col(s.label); }));
    var rows = view.list.slice(from, to).map(function (b) {
      return h("tr", null, h("th", { scope: "row" }, h("button", { type: "button", "class": "link", on: function () { openBuilding(b, null); } }, own(b.id)), b.group ? h("small", null, own(b.group)) : null),
        h("td", null, readyMark(b.ready), " " + book.ready[b.ready]),
        book.strategies.map(function (_, s) {
          if (!isHere(b, s)) { return h("td", null, h("span", { "class": "vh" }, "one measure does as well")); }
          var words = byRule(b, s) ? null : chanceOf(b, s) !== null ? [strip(b, s), h("br"), chanceWords(b, s)] : "high end " + share(highest(b, s)) + unlike(b, s);
          return h("td", { "class": s === b.best ? "best" : null }, mark(verdict(b, s)), " " + verdictWords(b, s), h("small", null, words, h("br"), "saves " + heat(b, s)), s === b.best ? h("span", { "class": "vh" }, " best") : null);
        }));
    });
    put(body, [scroller("Strategies by building", table("grid", "Strategies by building, in order of " + $("f-sort").selectedOptions[0].textContent, heads, rows))]);
  });
}
// strip draws the range of a chance; a ring marks a threshold that lies within.
function strip(b, s) {
  var e = chanceEnds(b, s);
  function X(p) { return 3 + 66 * p; }
  return svg("svg", { "class": "strip v" + verdict(b, s), viewBox: "0 0 72 12", "aria-hidden": "true" }, svg("path", { d: "M3 6H69", stroke: "#8a8f94", fill: "none" }),
    svg("rect", { x: X(e[0]) - 1, y: 3.5, width: X(e[1]) - X(e[0]) + 2, height: 5, fill: "currentColor" }),
    book.thresholds.map(function (t) { return [svg("path", { d: "M" + X(t) + " 1V11", stroke: "#20262c", fill: "none" }), isNear(b, s) && e[0] < t && t < e[1] ? svg("circle", { cx: X(t), cy: 6, r: 4.5, stroke: "#20262c", "stroke-width": 1.4, fill: "none" }) : null]; }));
}
