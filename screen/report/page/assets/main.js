patterns();
// The plain cards give way to ones that are drawn; both say the same.
var matrix, survey;
function refresh() {
  applyFilter();
  drawPlot();
  matrix.show(view.list.length);
  survey.show();
  cards.show(view.list.length);
}
setupFilter(refresh);
setupPlot();
matrix = setupMatrix();
survey = setupSurvey();
setupCards();
refresh();
document.documentElement.setAttribute("data-ready", "1");
