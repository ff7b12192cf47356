// Where a visit helps most, among what the filter shows.
function setupSurvey() {
  if (!anySurvey) { return { show: function () {} }; }
  var list = [];
  function fact(i) { var f = book.findings[i]; return h("th", { scope: "col", title: f.how }, f.label, h("small", null, f.way)); }
  var p = pager("survey order", $("survey-box"), [20, 50, 100], function (body, from, to) {
    if (!list.length) { put(body, [h("p", null, "For these buildings nothing was drawn, or no unknown fact would settle a verdict or change a choice.")]); return; }
    // Columns: facts by what they are worth over all buildings shown.
    var worth = new Map(), most = 1;
    list.forEach(function (b) { b.facts.forEach(function (f) { worth.set(f.fact, (worth.get(f.fact) || 0) + f.worth); most = Math.max(most, f.worth); }); });
    var facts = Array.from(worth.keys()).sort(function (a, b) { return worth.get(b) - worth.get(a) || a - b; });
    var rows = list.slice(from, to).map(function (b) {
      return h("tr", null, h("th", { scope: "row" }, h("button", { type: "button", "class": "link", on: function () { openBuilding(b, null); } }, own(b.id))), book.address.length ? h("td", null, own(address(b))) : null, h("td", { "class": "n" }, percent(b.wrong)), h("td", null, b.need),
        facts.map(function (id) {
          var f = b.facts.find(function (x) { return x.fact === id; });
          if (!f) { return h("td", null, h("span", { "class": "vh" }, "not among the first")); }
          return h("td", null, h("i", { "class": "gain", "aria-hidden": "true", style: "width:" + (44 * f.worth / most).toFixed(1) + "px" }), worthWords(f));
        }));
    });
    put(body, [h("p", { "class": "help" }, "What knowing each fact does: the chance that a verdict of survey first is settled, either way, and the percentage points of a wrong choice that it takes away; and the way it is investigated. Records come first. Records only: all that helps can be looked up. Records first: one look-up leaves next to nothing open, so a visit may be spared. An empty cell: the fact is known, or not among the first four. survey.csv holds the whole order, with how each is investigated."), scroller("Survey order", table("grid", "Survey order, by the best single fact", [col("Building"), book.address.length ? col("Address") : null, col("Chance of a wrong choice", "n"), col("Visit or records")].concat(facts.map(fact)), rows))]);
  });
  return { show: function () {
    list = view.list.filter(function (b) { return b.wrong !== null && b.facts.length; });
    list.sort(function (a, b) { return (a.need === book.visit) - (b.need === book.visit) || b.facts[0].worth - a.facts[0].worth || b.wrong - a.wrong || a.place - b.place; });
    p.show(list.length);
  } };
}
