// Making elements. Text always goes in as text: nothing here reads markup.
function $(id) { return document.getElementById(id); }
function h(tag, attrs) { return fill(document.createElement(tag), attrs, Array.prototype.slice.call(arguments, 2)); }
function svg(tag, attrs) { return fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attrs, Array.prototype.slice.call(arguments, 2)); }
function fill(el, attrs, kids) {
  for (var k in attrs || {}) {
    if (k === "on") { el.addEventListener("click", attrs[k]); } else if (attrs[k] !== null && attrs[k] !== undefined) { el.setAttribute(k, attrs[k]); }
  }
  (function put(list) {
    list.forEach(function (c) {
      if (Array.isArray(c)) { put(c); } else if (c !== null && c !== undefined && c !== "") { el.append(c); }
    });
  }(kids));
  return el;
}
function put(box, kids) { box.replaceChildren.apply(box, kids.filter(Boolean)); }
function mark(v) { return svg("svg", { "class": "mark v" + v, viewBox: "0 0 16 16", "aria-hidden": "true" }, svg("use", { href: "#mark" + v })); }
function readyMark(r) { return svg("svg", { "class": "mark", viewBox: "0 0 16 16", "aria-hidden": "true" }, svg("use", { href: "#ready" + r })); }
function own(text) { return h("bdi", null, text); }
function fixed(x, n) { var s = x.toFixed(n); return /^-0(\.0*)?$/.test(s) ? s.slice(1) : s; }
// share prints what is used of a limit as the tables do.
function share(u) {
  var p = Math.round(100 * u);
  if (u === NOT_JUDGED) { return "not judged"; }
  if (u >= book.far) { return "far beyond"; }
  if (p < 1) { return "below 1\u00a0%"; }
  return (p === 100 && u !== 1 ? u > 1 ? 101 : 99 : p) + "\u00a0%";
}
function counted(n, thing) { return n + " " + thing + (n === 1 ? "" : "s"); }
function percent(x) { return x < .005 ? "below 1\u00a0%" : fixed(100 * x, 0) + "\u00a0%"; }
function heat(b, s) { return fixed(saved(b, s), units.heat.decimals); }
function upper(s) { return s.charAt(0).toUpperCase() + s.slice(1); }
// scroller is a table that may be wider than the page; the keyboard can reach it.
function scroller(label, table) { return h("div", { "class": "scroll", role: "region", "aria-label": label, tabindex: "0" }, table); }
function table(cls, caption, heads, rows) {
  return h("table", { "class": cls }, h("caption", null, caption), h("thead", null, h("tr", null, heads)), h("tbody", null, rows));
}
function col(text, cls) { return h("th", { scope: "col", "class": cls }, text); }

// pager leafs through n rows, and tells draw which to show. The pages of a
// pager that is asked to show another list start over.
function pager(name, box, sizes, draw) {
  var p = { page: 0, size: sizes[0], n: 0 };
  var info = h("span", { role: "status" }), back = h("button", { type: "button", on: function () { go(p.page - 1); } }, "Previous"), next = h("button", { type: "button", on: function () { go(p.page + 1); } }, "Next");
  var pick = h("select", { id: box.id + "-size" }, sizes.map(function (n) { return h("option", { value: n }, String(n)); }));
  pick.addEventListener("change", function () { var at = p.page * p.size; p.size = +pick.value; go(Math.floor(at / p.size)); });
  var body = h("div");
  put(box, [h("nav", { "class": "pager", "aria-label": "Pages of: " + name }, back, next, info, h("span", { "class": "size" }, h("label", { "for": pick.id }, "on a page:"), " ", pick)), body]);
  function go(page) {
    var last = Math.max(0, Math.ceil(p.n / p.size) - 1);
    p.page = Math.min(Math.max(0, page), last);
    var from = p.page * p.size, to = Math.min(p.n, from + p.size);
    back.disabled = p.page === 0;
    next.disabled = p.page === last;
    info.textContent = p.n ? (from + 1) + " to " + to + " of " + p.n : "none";
    draw(body, from, to);
  }
  p.go = go;
  p.show = function (n) { p.n = n; go(0); };
  return p;
}
