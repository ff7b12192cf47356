// Risk against saving, on a canvas: it may hold every pair of a large run.
var plot = { points: [], at: -1 };
var colour = {};
function shape(g, v, x, y, r) {
  g.strokeStyle = g.fillStyle = colour["v" + v];
  g.beginPath();
  if (v === 0) { g.arc(x, y, r, 0, 7); g.fill(); }
  else if (v === 1) { g.arc(x, y, r, 0, 7); g.stroke(); g.beginPath(); g.arc(x, y, r, Math.PI / 2, 1.5 * Math.PI); g.fill(); }
  else if (v === 2) { g.moveTo(x, y - r * 1.25); g.lineTo(x + r * 1.25, y); g.lineTo(x, y + r * 1.25); g.lineTo(x - r * 1.25, y); g.closePath(); g.stroke(); }
  else if (v === 3) { g.moveTo(x, y - r * 1.2); g.lineTo(x + r * 1.1, y + r * .8); g.lineTo(x - r * 1.1, y + r * .8); g.closePath(); g.stroke(); }
  else { g.moveTo(x - r, y - r); g.lineTo(x + r, y + r); g.moveTo(x + r, y - r); g.lineTo(x - r, y + r); g.stroke(); }
}
// stamp is a mark drawn once: a large run sets it many times.
function stamp(v, r, width, dpr) {
  var c = document.createElement("canvas"), g = c.getContext("2d"), half = Math.ceil(r * 1.25 + width + 1);
  c.width = c.height = 2 * half * dpr;
  g.scale(dpr, dpr);
  g.lineWidth = width;
  shape(g, v, half, half, r);
  return c;
}
function ticks(lo, hi, about) {
  var raw = (hi - lo) / about, ten = Math.pow(10, Math.floor(Math.log10(raw))), step = [1, 2, 5, 10].map(function (m) { return m * ten; }).find(function (s) { return s >= raw; }), out = [];
  for (var t = Math.ceil(lo / step) * step; t <= hi + step / 1e6; t += step) { out.push(t); }
  return out;
}
function setupPlot() {
  put($("y-axis"), (anyDrawn ? [option("chance", "chance that a limit is exceeded")] : []).concat([option("high", "share of the limit, high end")]));
  var style = getComputedStyle(document.documentElement);
  ["ink", "soft", "line", "v0", "v1", "v2", "v3", "v4", "focus"].forEach(function (k) { colour[k] = style.getPropertyValue("--" + k).trim(); });
  $("y-axis").addEventListener("change", drawPlot);
  pointing("canvas", plot, tellPair, function (p) { openPair(p.pair); });
  new ResizeObserver(drawPlot).observe($("canvas").parentElement);
  $("plot").hidden = false;
}
function drawPlot() {
  var c = $("canvas"), w = c.parentElement.clientWidth, small = w < 560, hgt = small ? 340 : 440, dpr = Math.max(2, window.devicePixelRatio || 1);
  if (!w) { return; }
  c.width = w * dpr; c.height = hgt * dpr; c.style.height = hgt + "px";
  var byChance = $("y-axis").value === "chance", g = c.getContext("2d");
  var box = { l: 60, r: w - 16, t: 16, b: hgt - 48 }, top = byChance ? 1 : 2;
  var lo = 0, hi = book.ip ? 2 : 10, strip = 0, none = 0, ends = 0;
  var pairs = view.pairs.filter(function (p) { return !byRule(buildings[Math.floor(p / S)], p % S); }), ruledOut = view.pairs.length - pairs.length;
  var marks = pairs.map(function (p) {
    var b = buildings[Math.floor(p / S)], s = p % S, m = { pair: p, v: verdict(b, s), saves: saved(b, s), up: byChance ? chanceOf(b, s) : highest(b, s), ends: byChance && chanceOf(b, s) !== null ? chanceEnds(b, s) : null };
    m.out = m.up === null || m.up > top;
    m.end = byChance && !m.out && (m.up === 0 || m.up === 1);
    lo = Math.min(lo, m.saves); hi = Math.max(hi, m.saves);
    strip += m.out; none += m.saves === 0; ends += m.end;
    return m;
  });
  hi *= 1.03;
  if (strip) { box.t = 62; }
  // What saves nothing stands in a strip of its own, what is at an end of the
  // chances a little apart: else many marks would hide behind one.
  var left = none && lo === 0 ? box.l + 52 : box.l, pad = byChance ? 9 : 0;
  function X(v) { return left + (v - lo) / (hi - lo) * (box.r - left); }
  function Y(v) { return box.b - pad - v / top * (box.b - box.t - 2 * pad); }
  function apart(p, by, wide) { return (p * by % 101 / 100 - .5) * wide; } // a fixed shuffle
  var many = marks.length > 3000, r = many ? 2.6 : marks.length > 600 ? 3.4 : 4.4;
  plot.points = marks.map(function (m) {
    return { pair: m.pair, v: m.v, ends: m.ends, x: m.saves === 0 && left > box.l ? box.l + 22 + apart(m.pair, 6007, 30) : X(m.saves),
      y: m.out ? 28 + apart(m.pair, 7919, 24) : Y(m.up) + (m.end ? apart(m.pair, 7919, 13) : 0) };
  });
  plot.points.sort(function (a, b) { return a.x - b.x || a.y - b.y || a.pair - b.pair; });
  g.setTransform(dpr, 0, 0, dpr, 0, 0);
  g.clearRect(0, 0, w, hgt);
  g.font = "12px system-ui, sans-serif"; g.fillStyle = colour.soft; g.strokeStyle = colour.line; g.lineWidth = 1;
  g.textAlign = "center"; g.textBaseline = "top";
  ticks(lo, hi, small ? 5 : 9).forEach(function (t) { var x = X(t); if (t !== 0 || left === box.l) { line(g, x, box.t, x, box.b); g.fillText(String(+t.toFixed(3)), x, box.b + 6); } });
  if (left > box.l) { g.fillText("0", box.l + 22, box.b + 6); line(g, box.l + 44, box.t, box.l + 44, box.b); }
  g.fillText("saves, " + units.heat.unit, (box.l + box.r) / 2, box.b + 26);
  g.textAlign = "right"; g.textBaseline = "middle";
  ticks(0, top, 5).forEach(function (t) { var y = Y(t); line(g, box.l, y, box.r, y); g.fillText(fixed(100 * t, 0) + " %", box.l - 7, y); });
  g.strokeStyle = colour.ink;
  line(g, box.l, box.t, box.l, box.b); line(g, box.l, box.b, box.r, box.b);
  g.textAlign = "left"; g.fillStyle = colour.ink;
  if (!byChance) { g.setLineDash([6, 4]); line(g, box.l, Y(1), box.r, Y(1)); g.setLineDash([]); g.textBaseline = "bottom"; g.textAlign = "right"; g.fillText("limit", box.r - 4, Y(1) - 2); g.textAlign = "left"; }
  if (strip) {
    g.strokeStyle = colour.soft; g.setLineDash([2, 3]); g.strokeRect(box.l, 8, box.r - box.l, 40); g.setLineDash([]);
    g.textBaseline = "middle"; g.textAlign = "right"; g.fillStyle = colour.soft;
    (byChance ? ["not", "drawn"] : ["over", "200 %"]).forEach(function (t, i) { g.fillText(t, box.l - 7, 21 + 14 * i); });
  }
  if (byChance) {
    book.thresholds.forEach(function (t) { g.setLineDash([6, 4]); line(g, box.l, Y(t), box.r, Y(t)); g.setLineDash([]); });
    g.globalAlpha = many ? .12 : .4; g.lineWidth = 1.5; // the range of each chance
    plot.points.forEach(function (p) { if (p.ends) { g.strokeStyle = colour["v" + p.v]; line(g, p.x, Y(p.ends[0]), p.x, Y(p.ends[1])); } });
  }
  g.lineWidth = many ? 1 : 1.5; g.globalAlpha = many ? 0.55 : 0.85;
  [4, 3, 2, 1, 0].forEach(function (v) {
    var one = stamp(v, r, g.lineWidth, dpr), half = one.width / dpr / 2;
    plot.points.forEach(function (p) { if (p.v === v) { g.drawImage(one, p.x - half, p.y - half, 2 * half, 2 * half); } });
  });
  g.globalAlpha = 1;
  plot.choose(-1, false);
  $("plot-sum").textContent = "Upright: " + $("y-axis").selectedOptions[0].textContent + ". " + counted(plot.points.length, "mark") + (strip ? ", of which " + strip + (byChance ? (strip === 1 ? " was" : " were") + " not drawn" : (strip === 1 ? " is" : " are") + " over 200 %") + ": the strip on top, where height means nothing." : ".") +
    (left > box.l ? " The strip on the left holds the " + none + (none === 1 ? " that saves nothing;" : " that save nothing;") + " places across it mean nothing." : "") + (ends ? " Marks at the ends of the chances are set a little apart to be told from one another." : "") +
    (byChance ? " Upright lines are the range of each chance, broken lines where a verdict changes." : "") + (anyDrawn ? "" : " No chance is shown: nothing was drawn in this run.") + (ruledOut ? " " + counted(ruledOut, "pair") + " of building and strategy that a rule excludes " + (ruledOut === 1 ? "has" : "have") + " no mark: what is excluded is not judged by limits." : "");
}
function line(g, a, b, c, d) { g.beginPath(); g.moveTo(a, b); g.lineTo(c, d); g.stroke(); }
function tellPair(p) {
  var b = buildings[Math.floor(p.pair / S)], s = p.pair % S;
  return [b.id, [book.strategies[s].label, verdictWords(b, s), s === b.best ? book.ready[b.ready] : null, "saves " + heat(b, s) + " " + units.heat.unit, chanceOf(b, s) === null ? "chance not drawn" : "chance " + chanceWords(b, s), "share of the limit up to " + share(highest(b, s)) + unlike(b, s)].filter(Boolean).join(", ")];
}
// pointing lets the marks p.points, each at x and y, be chosen by pointer and by
// keys; a wide mark is a box. tell gives a name and what else is said of a mark; open is what a click
// on one does.
function pointing(id, p, tell, open) {
  var c = $(id), ring = $(id + "-ring"), tip = $(id + "-tip");
  function nearest(x, y) {
    var best = -1, d = 15 * 15;
    p.points.forEach(function (m, i) { var e = (m.x - x) * (m.x - x) + (m.y - y) * (m.y - y); if (e < d) { d = e; best = i; } });
    return best;
  }
  p.choose = function (i, say) {
    if (i === p.at) { return; }
    var m = p.points[i];
    p.at = i;
    tip.hidden = ring.hidden = !m;
    if (!m) { return; }
    var words = tell(m), w = c.clientWidth;
    ring.classList.toggle("wide", !!m.wide);
    put(tip, [own(words[0]), h("br"), words[1]]);
    ring.style.left = m.x + "px";
    ring.style.top = m.y + "px";
    tip.style.left = Math.min(m.x + 12, Math.max(4, w - tip.offsetWidth - 6)) + "px";
    tip.style.top = (m.y + 16 + tip.offsetHeight > c.clientHeight ? m.y - tip.offsetHeight - 12 : m.y + 14) + "px";
    if (say) { $(id + "-say").textContent = words.join(", "); }
  };
  c.addEventListener("pointermove", function (e) { p.choose(nearest(e.offsetX, e.offsetY), false); });
  c.addEventListener("pointerleave", function () { if (document.activeElement !== c) { p.choose(-1, false); } });
  c.addEventListener("click", function (e) { var i = nearest(e.offsetX, e.offsetY); if (i >= 0) { open(p.points[i]); } });
  c.addEventListener("focus", function () { if (p.at < 0 && p.points.length) { p.choose(0, true); } });
  c.addEventListener("blur", function () { p.choose(-1, false); });
  c.addEventListener("keydown", function (e) {
    var n = p.points.length, i = p.at, to = { ArrowRight: i + 1, ArrowLeft: i - 1, ArrowUp: i + 10, ArrowDown: i - 10, Home: 0, End: n - 1 }[e.key];
    if (to !== undefined && n) { e.preventDefault(); p.choose(Math.min(Math.max(to, 0), n - 1), true); }
    if (e.key === "Enter" && i >= 0) { e.preventDefault(); open(p.points[i]); }
    if (e.key === "Escape") { p.choose(-1, false); }
  });
}
