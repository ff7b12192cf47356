// A map without a ground: homes by their coordinates, equirectangular and true to
// scale at the middle latitude. It holds what the filter shows.
var chart = { points: [], at: -1, zoom: null }; // zoom: homes that the map closes in on
var METRES = 6371008.8 * Math.PI / 180; // a degree of latitude on the mean radius of the earth (IUGG, from memory)
var LEAST = 60, FEW = 12; // metres across the closest map; homes of a group that are listed at once
function placed(b) { return b.lat !== null; }
function shown(b) { return verdict(b, view.pick >= 0 ? view.pick : b.best); }
function setupMap() {
  $("map").hidden = false;
  if (!buildings.some(placed)) { $("map-sum").textContent = "No home has coordinates, so there is no map."; return; }
  pointing("map-canvas", chart, tellPlace, openPlace);
  $("map-canvas").addEventListener("keydown", function (e) { if (e.key === "Escape" && chart.zoom) { closeIn(null); } });
  $("map-whole").addEventListener("click", function () { closeIn(null); $("map-canvas").focus(); });
  $("map-part").hidden = false;
  new ResizeObserver(drawMap).observe($("map-canvas").parentElement);
}
function closeIn(homes) {
  chart.zoom = homes;
  drawMap();
  $("map-canvas-say").textContent = homes ? "The map has closed in on " + counted(homes.length, "home") + "." : "The whole map.";
}
// span is the middle of homes in degrees and how far they spread in metres. Homes
// on both sides of the 180th meridian are taken together.
function span(homes) {
  var lat = homes.map(function (b) { return b.lat; }), lon = homes.map(function (b) { return b.lon; });
  function least(l) { return l.reduce(function (a, x) { return Math.min(a, x); }); }
  function most(l) { return l.reduce(function (a, x) { return Math.max(a, x); }); }
  var turn = most(lon) - least(lon) > 180;
  if (turn) { lon = lon.map(function (x) { return x < 0 ? x + 360 : x; }); }
  var mid = (least(lat) + most(lat)) / 2, across = METRES * Math.cos(mid * Math.PI / 180);
  return { lat: mid, lon: (least(lon) + most(lon)) / 2, turn: turn, across: across, wide: (most(lon) - least(lon)) * across, tall: (most(lat) - least(lat)) * METRES };
}
function drawMap() {
  var c = $("map-canvas"), w = c.parentElement.clientWidth, dpr = Math.max(2, window.devicePixelRatio || 1);
  var list = view.list.filter(placed).sort(function (a, b) { return a.place - b.place; }), without = view.list.length - list.length;
  if (!chart.choose || !w) { return; }
  chart.choose(-1, false);
  chart.points = [];
  put($("map-list"), []);
  $("map-whole").hidden = !chart.zoom;
  c.parentElement.hidden = !list.length;
  var sum = without ? without + " of " + counted(view.list.length, "home") + (without === 1 ? " has" : " have") + " no coordinates and " + (without === 1 ? "is" : "are") + " not on the map." : "";
  if (!list.length) { $("map-sum").textContent = sum; return; }
  var at = span(chart.zoom || list), pad = 40, wide = Math.max(at.wide, LEAST), tall = Math.max(at.tall, LEAST);
  var hgt = Math.round(Math.min(Math.max(tall / wide * (w - 2 * pad) + 2 * pad, 260), w < 560 ? 380 : 560));
  var scale = Math.min((w - 2 * pad) / wide, (hgt - 2 * pad) / tall); // pixels a metre
  c.width = w * dpr; c.height = hgt * dpr; c.style.height = hgt + "px";
  var homes = list.map(function (b) {
    return { b: b, x: w / 2 + ((at.turn && b.lon < 0 ? b.lon + 360 : b.lon) - at.lon) * at.across * scale, y: hgt / 2 - (b.lat - at.lat) * METRES * scale };
  }).filter(function (m) { return m.x > 8 && m.x < w - 8 && m.y > 8 && m.y < hgt - 8; });
  chart.points = gathered(homes);
  var g = c.getContext("2d"), groups = chart.points.filter(function (p) { return p.homes.length > 1; }).length;
  g.setTransform(dpr, 0, 0, dpr, 0, 0);
  g.clearRect(0, 0, w, hgt);
  g.font = "600 12px system-ui, sans-serif"; g.textBaseline = "middle"; g.textAlign = "left"; g.lineWidth = 1.5;
  chart.points.forEach(function (p) {
    if (p.homes.length === 1) { shape(g, p.v, p.x, p.y, 5); return; }
    var text = few(p.homes.length), long = g.measureText(text).width + 24;
    g.fillStyle = "#fff"; g.strokeStyle = colour.ink; g.lineWidth = 1;
    g.fillRect(p.x - long / 2, p.y - 9, long, 18); g.strokeRect(p.x - long / 2, p.y - 9, long, 18);
    g.lineWidth = 1.5;
    shape(g, p.v, p.x - long / 2 + 10, p.y, 4.4);
    g.fillStyle = colour.ink; g.fillText(text, p.x - long / 2 + 19, p.y + .5);
  });
  nameGroups(g, homes, w, hgt);
  var most = Math.min(160, w / 3) / scale, bar = Math.pow(10, Math.floor(Math.log10(most)));
  bar *= bar * 5 <= most ? 5 : bar * 2 <= most ? 2 : 1;
  var words = bar < 1000 ? bar + "\u00a0m" : bar / 1000 + "\u00a0km";
  $("map-bar").textContent = words;
  $("map-bar").style.width = 100 * bar * scale / w + "%"; // of the canvas, so that it holds on paper too
  $("map-sum").textContent = (chart.zoom ? "Part of the map: " : "") + counted(homes.length, "home") + " at " + counted(chart.points.length, "mark") + ", north up; the bar is " + words + " at the middle of the map. " +
    (groups ? "Homes too close to tell apart share a mark: their number, and the verdict that most of them have. " : "") + (homes.length < list.length ? list.length - homes.length + " more lie beyond its edge. " : "") + sum;
}
function few(n) { return n < 1000 ? String(n) : Math.floor(n / 1000) + "k+"; }
// gathered puts homes whose marks would cover one another under one mark: first
// those at hand's breadth, then what the box of a number would cover.
function gathered(homes) {
  var cells = {}, seeds = [], NEAR = 13;
  homes.forEach(function (m) {
    var cx = Math.floor(m.x / NEAR), cy = Math.floor(m.y / NEAR), to = null, d = NEAR * NEAR;
    for (var i = cx - 1; i <= cx + 1; i++) {
      for (var j = cy - 1; j <= cy + 1; j++) {
        (cells[i + "," + j] || []).forEach(function (p) { var e = (p.x - m.x) * (p.x - m.x) + (p.y - m.y) * (p.y - m.y); if (e < d) { d = e; to = p; } });
      }
    }
    if (to) { to.homes.push(m.b); return; }
    seeds.push(to = { x: m.x, y: m.y, homes: [m.b] });
    (cells[cx + "," + cy] = cells[cx + "," + cy] || []).push(to);
  });
  seeds.slice().sort(function (a, b) { return b.homes.length - a.homes.length; }).forEach(function (p) {
    if (p.homes.length < 2 || p.gone) { return; }
    seeds.forEach(function (q) {
      var box = q.homes.length > 1;
      if (q !== p && !q.gone && Math.abs(q.x - p.x) < (box ? 47 : 31) && Math.abs(q.y - p.y) < (box ? 20 : 16)) { p.homes = p.homes.concat(q.homes); q.gone = true; }
    });
  });
  seeds = seeds.filter(function (p) { return !p.gone; });
  seeds.forEach(function (p) {
    p.count = book.verdicts.map(function () { return 0; });
    p.homes.forEach(function (b) { p.count[shown(b)]++; });
    p.wide = p.homes.length > 1;
    p.v = p.count.lastIndexOf(Math.max.apply(null, p.count)); // of equals the worse
  });
  return seeds.sort(function (a, b) { return a.x - b.x || a.y - b.y; });
}
// nameGroups writes the name of each group near the middle of its homes, where it
// covers neither a mark nor another name.
function nameGroups(g, homes, w, hgt) {
  var at = new Map(), taken = chart.points.map(function (p) { var half = p.homes.length > 1 ? 24 : 7; return { l: p.x - half, r: p.x + half, t: p.y - 10, b: p.y + 10 }; });
  homes.forEach(function (m) {
    if (!m.b.group) { return; }
    if (!at.has(m.b.group)) { at.set(m.b.group, { n: 0, x: 0, y: 0 }); }
    var s = at.get(m.b.group);
    s.n++; s.x += m.x; s.y += m.y;
  });
  if (at.size > 40) { return; }
  g.font = "italic 12px system-ui, sans-serif"; g.fillStyle = colour.soft; g.textAlign = "center";
  taken.push({ l: w - 44, r: w, t: 0, b: 52 }, { l: 0, r: 150, t: hgt - 40, b: hgt });
  Array.from(at.entries()).sort(function (a, b) { return b[1].n - a[1].n || (a[0] < b[0] ? -1 : 1); }).forEach(function (e) {
    var half = g.measureText(e[0]).width / 2 + 2, x = e[1].x / e[1].n, y = e[1].y / e[1].n;
    for (var k = 0; k < 13; k++) {
      var up = y + (k % 2 ? -1 : 1) * Math.ceil(k / 2) * 14, r = { l: x - half, r: x + half, t: up - 8, b: up + 8 };
      if (r.l > 2 && r.r < w - 2 && r.t > 2 && r.b < hgt - 2 && !taken.some(function (o) { return r.l < o.r && o.l < r.r && r.t < o.b && o.t < r.b; })) {
        g.fillText(e[0], x, up);
        taken.push(r);
        return;
      }
    }
  });
}
function tellPlace(p) {
  var b = p.homes[0];
  if (p.homes.length === 1) {
    var s = view.pick >= 0 ? view.pick : b.best;
    return [b.id, [address(b), b.group, book.strategies[s].label, verdictWords(b, s), s === b.best ? book.ready[b.ready] : null].filter(Boolean).join(", ")];
  }
  var groups = Array.from(new Set(p.homes.map(function (b) { return b.group; }).filter(Boolean)));
  return [counted(p.homes.length, "home"), [groups.slice(0, 3).join(", ") + (groups.length > 3 ? " and " + (groups.length - 3) + " more groups" : "")].concat(p.count.map(function (n, v) { return n ? n + " " + book.verdicts[v] : ""; })).filter(Boolean).join(", ")];
}
function openPlace(p) {
  if (p.homes.length === 1) { openBuilding(p.homes[0], null); return; }
  var at = span(p.homes);
  if (p.homes.length > FEW && Math.max(at.wide, at.tall) > 5) { closeIn(p.homes); return; }
  var some = p.homes.slice(0, 100);
  put($("map-list"), [h("p", null, counted(p.homes.length, "home") + " at this mark" + (some.length < p.homes.length ? ", of which the first " + some.length : "") + ":"),
    h("ul", null, some.map(function (b) { return h("li", null, mark(shown(b)), " ", h("button", { type: "button", "class": "link", on: function () { openBuilding(b, null); } }, own(b.id)), " " + book.verdicts[shown(b)], address(b) ? [", ", own(address(b))] : null); }))]);
  $("map-list").focus();
}
