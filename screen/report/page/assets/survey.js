// Where a visit helps most, among what the filter shows.
function setupSurvey() {
  if (!anySurvey) { return { show: function () {} }; }
  var list = [];
  function fact(i) { var f = book.findings[i]; return h("th", { scope: "col", title: f.how }, f.label, h("small", null, f.where)); }
  var p = pager("survey order", $("survey-box"), [20, 50, 100], function (body, from, to) {
    if (!list.length) { put(body, [h("p", null, "For these buildings nothing was drawn, or no unknown fact would change a choice.")]); return; }
    // Columns: facts by what they are worth over all buildings shown.
    var worth = new Map(), most = 1;
    list.forEach(function (b) { for (var k = 0; k < b.facts.length; k += 2) { worth.set(b.facts[k], (worth.get(b.facts[k]) || 0) + b.facts[k + 1]); most = Math.max(most, b.facts[k + 1]); } });
    var facts = Array.from(worth.keys()).sort(function (a, b) { return worth.get(b) - worth.get(a) || a - b; });
    var rows = list.slice(from, to).map(function (b) {
      return h("tr", null, h("th", { scope: "row" }, h("button", { type: "button", "class": "link", on: function () { openBuilding(b, null); } }, own(b.id))), book.address.length ? h("td", null, own(address(b))) : null, h("td", { "class": "n" }, percent(b.wrong / 1000)), h("td", null, book.needs[b.need]),
        facts.map(function (f) {
          var k = 0;
          while (k < b.facts.length && b.facts[k] !== f) { k += 2; }
          if (k >= b.facts.length) { return h("td", null, h("span", { "class": "vh" }, "not among the first")); }
          return h("td", null, h("i", { "class": "gain", "aria-hidden": "true", style: "width:" + (44 * b.facts[k + 1] / most).toFixed(1) + "px" }), fixed(b.facts[k + 1] / 10, 1));
        }));
    });
    put(body, [h("p", { "class": "help" }, "Percentage points of a wrong choice that each fact takes away, and where it is found out. Records only: all that helps is found in records and on maps. Records first: one look-up takes the whole chance away, so a visit may be spared. An empty cell: the fact is known, or not among the first four. survey.csv holds the whole order, with how each is found out."), scroller("Survey order", table("grid", "Survey order, by the best single fact", [col("Building"), book.address.length ? col("Address") : null, col("Chance of a wrong choice", "n"), col("Visit or records")].concat(facts.map(fact)), rows))]);
  });
  return { show: function () {
    list = view.list.filter(function (b) { return b.wrong !== null && b.facts.length; });
    list.sort(function (a, b) { return b.facts[1] - a.facts[1] || b.wrong - a.wrong || a.place - b.place; });
    p.show(list.length);
  } };
}
