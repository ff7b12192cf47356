patterns();
// The plain cards give way to ones that are drawn; both say the same.
var matrix, survey;
function refresh() {
  applyFilter();
  chart.zoom = null;
  drawMap();
  drawPlot();
  matrix.show(view.list.length);
  survey.show();
  cards.show(view.list.length);
}
setupFilter(refresh);
setupPlot();
setupMap();
matrix = setupMatrix();
survey = setupSurvey();
setupCards();
refresh();
// On paper nothing can be unfolded.
var folded = [];
window.addEventListener("beforeprint", function () {
  document.querySelectorAll("details:not([open])").forEach(function (d) { d.open = true; folded.push(d); });
});
window.addEventListener("afterprint", function () { folded.splice(0).forEach(function (d) { d.open = false; }); });
document.documentElement.setAttribute("data-ready", "1");
