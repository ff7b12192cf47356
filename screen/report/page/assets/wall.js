// A wall in section, outside on the left, layers to scale. Patterns stand for
// kinds of material, names stand at the end of lines that begin in their layer.
function patterns() {
  function pat(kind, w, hgt, bg, kids) { return svg("pattern", { id: "p-" + kind, width: w, height: hgt, patternUnits: "userSpaceOnUse" }, svg("rect", { width: w, height: hgt, fill: bg }), kids); }
  function path(d, stroke, width) { return svg("path", { d: d, fill: "none", stroke: stroke, "stroke-width": width || 1 }); }
  var stone = "#6f6a60";
  document.querySelector("svg.defs defs").append(
    pat("stone", 44, 30, "#d9d4c7", [path("M0 0H44M0 15H44M14 0V15M36 15V30M2 15V30", stone)]),
    pat("composite", 40, 32, "#ddd6c6", [path("M3 3l14-2 6 8-8 7-12-3zM26 3l11 2 1 9-11 2zM5 20l13-2 5 9-14 3zM26 19l12 1-2 9-9 1z", stone)]),
    pat("brick", 28, 16, "#dcc3b0", [path("M0 0H28M0 8H28M6 0V8M20 8V16", "#80563c")]),
    pat("insulation", 12, 12, "#f3ecd2", [path("M-1 13L13-1M-1 1L1-1M11 13l2-2", "#8a7a3a"), path("M-1-1L13 13", "#c9bd8a")]),
    pat("board", 8, 8, "#e8e6e2", [path("M4 0V8", "#77726a")]),
    pat("plaster", 6, 6, "#f1efe9", [svg("circle", { cx: 2, cy: 2, r: .9, fill: "#77726a" }), svg("circle", { cx: 5, cy: 5, r: .7, fill: "#77726a" })]),
    pat("mortar", 6, 6, "#e6e1d6", [svg("circle", { cx: 3, cy: 3, r: 1.1, fill: "#6f6a60" })]),
    pat("air", 10, 10, "#ffffff", [path("M2 5h6", "#9fb4c2")]));
}
var known = { stone: 1, composite: 1, brick: 1, insulation: 1, board: 1, plaster: 1, mortar: 1, air: 1 };
// narrow says that drawings stand in a phone's width, where letters stay legible.
function narrow() { return document.documentElement.clientWidth < 640; }
function sum(layers) { return layers.reduce(function (a, l) { return a + l.thick; }, 0); }
function long(x) { return +x.toFixed(units.layer.decimals) + " " + units.layer.unit; }
function thickness(l) { return l.thick ? long(l.thick) : "thin"; }
// wrapped breaks text into lines of at most n characters.
function wrapped(text, n) {
  return text.split(" ").reduce(function (out, w) {
    var last = out[out.length - 1];
    if (last !== undefined && last.length + 1 + w.length <= n) { out[out.length - 1] = last + " " + w; } else { out.push(w); }
    return out;
  }, []);
}
// drawWall draws layers on a width that holds the most, so that before and after
// share one scale. Each name has its own height, so that no two lines cross.
function drawWall(title, layers, most) {
  var small = narrow(), W = small ? 340 : 540, L = 24, T = 22, R = small ? 124 : 236, line = 14, scale = (R - L) / most, x = L, y = T;
  var names = layers.map(function (l) {
    var text = wrapped(l.label + ", " + thickness(l) + (l.old ? ", the old wall" : l.sized ? ", as judged" : ""), small ? 30 : 44), n = { text: text, y: y + 12 };
    y += line * text.length + 6;
    return n;
  });
  var H = Math.max(108, y - T), bottom = T + H;
  var g = svg("svg", { "class": "draw", viewBox: "0 0 " + W + " " + (bottom + 30), role: "img", "aria-label": title + ", outside to inside: " + layers.map(function (l) { return l.label + " " + thickness(l); }).join(", ") });
  g.append(svg("text", { x: L, y: 13 }, title + ", " + long(sum(layers))));
  var leaders = layers.map(function (l, i) {
    var w = l.thick * scale, n = names[i], from = x + w / 2;
    if (l.thick) { g.append(svg("rect", { x: x, y: T, width: Math.max(w, .8), height: H, fill: known[l.kind] ? "url(#p-" + l.kind + ")" : "#eee", stroke: "#20262c", "stroke-width": w < 3 ? .5 : 1 })); }
    else { g.append(svg("line", { x1: x, x2: x, y1: T - 4, y2: bottom + 4, stroke: "#6b2450", "stroke-width": 2, "stroke-dasharray": "7 3" })); }
    x += w;
    return [svg("path", { d: "M" + from.toFixed(1) + " " + n.y + "H" + (R + 20), stroke: "#fff", "stroke-width": 3, fill: "none" }), svg("path", { d: "M" + from.toFixed(1) + " " + n.y + "H" + (R + 20), stroke: "#20262c", "stroke-width": .8, fill: "none" }), svg("circle", { cx: from.toFixed(1), cy: n.y, r: 2.4, fill: "#20262c", stroke: "#fff" }),
      n.text.map(function (t, k) { return svg("text", { x: R + 24, y: n.y + 4 + k * line }, t); })];
  });
  fill(g, null, leaders); // above every layer
  g.append(svg("text", { x: 14, y: T + H / 2, "text-anchor": "middle", transform: "rotate(-90 14 " + (T + H / 2) + ")" }, "outside"));
  // A measure of a round length that fits the wall.
  var unit = (book.ip ? [4, 1] : [100, 10])[most > (book.ip ? 6 : 150) ? 0 : 1];
  g.append(svg("path", { d: "M" + L + " " + (bottom + 14) + "v6h" + (unit * scale).toFixed(1) + "v-6", stroke: "#20262c", fill: "none" }), svg("text", { x: L + unit * scale + 6, y: bottom + 22 }, long(unit)));
  return g;
}
function walls(b, j) {
  var before = pooled(b.stack).map(pooled), after = pooled(j.stack).map(pooled), most = Math.max(sum(before), sum(after));
  return [h("div", { "class": "cols" }, drawWall("As it is", before, most), drawWall("With the strategy", after, most)),
    h("p", { "class": "help" }, "To scale; dashed lines are membranes and coats too thin to draw. The wall with the strategy is shown after its repairs.")];
}
