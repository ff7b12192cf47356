// The same sentences as sentence.go; a test compares them.
function sentence(b, j) {
  var why = [], v = verdict(b, j.s), chance = chanceOf(b, j.s);
  function reasons(effect) { j.gates.forEach(function (g) { if (shared.gates[g].effect === effect) { why.push(shared.gates[g].reason); } }); }
  function label(id) { return book.indicators[0][id].label; }
  function over() {
    if (chance !== null) { why.push("the chance that a limit is exceeded is " + percent(chance)); }
    else if (j.low > 1) { why.push(label(j.govHigh) + " is over its limit even in the favourable case"); }
    else if (j.high > 1) { why.push(label(j.govHigh) + " is over its limit in the adverse case"); }
  }
  if (j.excluded) { reasons("exclude"); }
  else if (v === 3) { over(); }
  else if (v === 2) { reasons("survey"); if (j.failed) { why.push("the hourly calculation did not settle"); } over(); }
  else {
    reasons("hold");
    if (chance !== null) { over(); } else if (j.high <= 1) { why.push("every limit is kept, also in the adverse case"); }
  }
  var out = upper(book.verdicts[v]) + (why.length ? ": " + why.join("; ") : "") + ".";
  if (j.gathering) { out += " The wall does not repeat its year: its moisture changes from year to year."; }
  return out;
}
var months = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];
function governed(j) {
  return j.governed ? book.indicators[0][j.gov].label + (j.month >= 0 ? ", " + months[j.month] : "") : "no limit applies";
}
function chanceText(b, j) {
  var c = chanceOf(b, j.s);
  return c === null ? "not sampled" : percent(c) + (j.spread === null ? "" : " ± " + fixed(100 * j.spread, 0));
}
function thickest(j) {
  if (!j.allowed) { return "not sampled"; }
  if (j.full) { return "all of the range, to " + fixed(j.most, 0) + " mm"; }
  if (!j.most) { return "none: even the thinnest is over " + book.indicators[0][j.by].label; }
  return "to " + fixed(j.most, 0) + " mm, then " + book.indicators[0][j.by].label;
}
