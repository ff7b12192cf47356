// The year of relative humidity, week by week.
function drawCourse(b, j) {
  var cold = j.courses[0], timber = j.courses[1];
  if (!cold) {
    return h("p", { "class": "none" }, j.tier ? "Not run." : j.byRule ? "Not run: a rule excludes this strategy." : "Not run: the hourly year was not asked for with this strategy.");
  }
  var noTimber = book.cats[book.cats.findIndex(function (c) { return c.name === "embedded timber"; })], level = b.cats[book.cats.indexOf(noTimber)];
  if (noTimber.levels[level] === "none") { timber = null; }
  var W = narrow() ? 340 : 480, H = 210, L = 44, R = W - 82, T = 12, B = H - 28, low = 100;
  [cold, timber].forEach(function (c) { if (c) { c.forEach(function (v) { low = Math.min(low, v); }); } });
  low = Math.min(60, Math.floor(low / 10) * 10);
  function X(i) { return L + (i + .5) / 52 * (R - L); }
  function Y(v) { return B - (v - low) / (100 - low) * (B - T); }
  function path(c) { return "M" + c.map(function (v, i) { return X(i).toFixed(1) + " " + Y(v).toFixed(1); }).join("L"); }
  function span(c) { return Math.min.apply(null, c) + " to " + Math.max.apply(null, c) + " %"; }
  var g = svg("svg", { "class": "draw", viewBox: "0 0 " + W + " " + H, role: "img", "aria-label": "Weekly relative humidity over the year. Cold face " + span(cold) + (timber ? "; timber " + span(timber) : "") + "." });
  for (var v = low; v <= 100; v += low < 30 ? 20 : 10) {
    g.append(svg("line", { x1: L, x2: R, y1: Y(v), y2: Y(v), stroke: v === 80 ? "#20262c" : "#d5cfc2", "stroke-dasharray": v === 80 ? "5 4" : null }), svg("text", { x: L - 6, y: Y(v) + 4, "text-anchor": "end" }, v + " %"));
  }
  "JFMAMJJASOND".split("").forEach(function (m, i) { g.append(svg("text", { x: L + (i + .5) / 12 * (R - L), y: B + 17, "text-anchor": "middle" }, m)); });
  var ends = [[cold, "cold face", "#123f63", null, "circle"]];
  if (timber) { ends.push([timber, "timber", "#a4620a", "6 3", "square"]); }
  var yEnd = ends.map(function (e) { return Y(e[0][51]); });
  if (yEnd.length === 2 && Math.abs(yEnd[0] - yEnd[1]) < 16) { var mid = (yEnd[0] + yEnd[1]) / 2, up = yEnd[0] <= yEnd[1] ? 0 : 1; mid = Math.max(mid, T + 8); yEnd[up] = mid - 8; yEnd[1 - up] = mid + 8; }
  ends.forEach(function (e, k) {
    g.append(svg("path", { d: path(e[0]), fill: "none", stroke: e[2], "stroke-width": 2, "stroke-dasharray": e[3] }));
    e[0].forEach(function (v, i) {
      if (i % 4 !== (k ? 2 : 0)) { return; }
      g.append(e[4] === "circle" ? svg("circle", { cx: X(i), cy: Y(v), r: 3, fill: e[2] }) : svg("rect", { x: X(i) - 3, y: Y(v) - 3, width: 6, height: 6, fill: "#fff", stroke: e[2], "stroke-width": 1.5 }));
    });
    g.append(e[4] === "circle" ? svg("circle", { cx: R + 10, cy: yEnd[k], r: 3, fill: e[2] }) : svg("rect", { x: R + 7, y: yEnd[k] - 3, width: 6, height: 6, fill: "#fff", stroke: e[2], "stroke-width": 1.5 }), svg("text", { x: R + 18, y: yEnd[k] + 4 }, e[1]));
  });
  return g;
}
