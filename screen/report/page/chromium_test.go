package page_test

import (
	"fmt"
	"testing"

	"wallsift/screen"
)

// The page in a browser: it starts without errors, filters, and can be used by
// the keyboard alone.
func TestInChromium(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	b := chromium(t)
	in := screened(t, demo)
	path := written(t, in, madeUp)
	n := in.Run.Counts.Accepted
	b.open(path, 1366, true)
	b.same(`document.documentElement.dataset.ready`, "1")
	b.same(`document.getElementById("f-count").textContent`, fmt.Sprintf("%d of %d buildings.", n, n))
	// What a gate excludes is said to be so, whatever its utilisation.
	gated := 0
	if err := in.Run.Each(in.Run.Ranks.Overall[:25], func(_ uint32, row *screen.Row) error {
		for _, j := range row.Judgements {
			if j.Excluded {
				gated++
			}
		}
		return nil
	}); err != nil || gated == 0 {
		t.Fatalf("%d pairs are excluded; %v", gated, err)
	}
	b.same(`Array.from(document.querySelectorAll("#matrix-box td")).filter(e => e.textContent.includes("excluded by a rule")).length`, gated)
	b.same(`document.querySelectorAll("#matrix-box .strip").length > 0 && document.querySelectorAll("#matrix-box .strip circle").length > 0`, true)
	const set = `(function(id, v) { var e = document.getElementById(id); if (e.type === "checkbox") e.checked = v; else e.value = v; e.dispatchEvent(new Event("change")); })`
	// One verdict of one strategy: as many as the run counted.
	for v := range screen.NumVerdicts {
		if v != screen.SurveyFirst {
			b.eval(fmt.Sprintf(`%s("f-v%d", false)`, set, v))
		}
	}
	b.eval(set + `("f-strategy", 0)`)
	want := in.Run.Verdicts[0][screen.SurveyFirst]
	b.same(`document.getElementById("f-count").textContent`, fmt.Sprintf("%d of %d buildings.", want, n))
	b.same(`document.querySelectorAll("#matrix tbody tr").length`, min(want, 25))
	b.eval(`document.getElementById("f-clear").click()`)
	b.same(`document.activeElement.id`, "f-text")
	b.same(`document.getElementById("f-count").textContent`, fmt.Sprintf("%d of %d buildings.", n, n))
	// Text search, typed.
	b.do("Input.insertText", map[string]any{"text": "hx-0116"}, nil)
	b.eval(`new Promise(r => setTimeout(r, 300))`)
	b.same(`document.getElementById("f-count").textContent`, fmt.Sprintf("1 of %d buildings.", n))
	b.same(`document.querySelector(".card h3 bdi").textContent`, "HX-0116")
	b.eval(`document.getElementById("f-clear").click()`)
	// The keyboard: first stop, plot, card.
	b.open(path, 1366, true)
	b.key("Tab", 9)
	b.same(`document.activeElement.className`, "skip")
	b.same(`getComputedStyle(document.activeElement).outlineStyle`, "solid")
	b.eval(`document.getElementById("canvas").focus()`)
	b.key("ArrowRight", 39)
	if said := b.eval(`document.getElementById("canvas-say").textContent`); said == "" {
		t.Error("the plot says nothing when a mark is chosen by key")
	}
	b.same(`document.getElementById("canvas-tip").hidden`, false)
	b.key("Enter", 13)
	b.same(`document.activeElement.className`, "card")
	b.same(`document.activeElement.querySelector("h3 bdi").textContent === document.getElementById("canvas-say").textContent.split(",")[0]`, true)
	// No width makes the page itself scroll sideways.
	for _, width := range []int{390, 1366} {
		b.open(path, width, true)
		b.same(fmt.Sprintf(`document.documentElement.scrollWidth <= %d`, width), true)
	}
	// It prints at all: some rules for paper make a browser seek page breaks for
	// ever, and the call then fails after a minute.
	var pdf struct{ Data string }
	if b.do("Page.printToPDF", map[string]any{"preferCSSPageSize": true, "paperWidth": 8.27, "paperHeight": 11.69}, &pdf); len(pdf.Data) < 10000 {
		t.Errorf("the print has %d characters", len(pdf.Data))
	}
	// On paper: the cautions and the cards, none of the controls.
	b.do("Emulation.setEmulatedMedia", map[string]any{"media": "print"}, nil)
	b.same(`["filter", "cards", "matrix-box"].map(id => document.getElementById(id).offsetHeight > 0).join()`, "false,true,true")
	b.same(`Array.from(document.querySelectorAll(".caution")).filter(e => e.offsetHeight > 0).length`, 2)
	// One home alone: its card with the cautions, and nothing else.
	b.eval(`(function () { window.print = function () {}; Array.from(document.querySelectorAll(".card")).find(e => e.textContent.includes("To investigate first")).querySelector("header button").click(); }())`)
	b.same(`["glance", "matrix", "survey", "notes"].map(id => document.getElementById(id).offsetHeight > 0).join()`, "false,false,false,false")
	b.same(`Array.from(document.querySelectorAll(".card")).filter(e => e.offsetHeight > 0).length`, 1)
	b.same(`document.querySelector(".card.now .care").offsetHeight > 0 && document.querySelectorAll(".card.now .warn").length > 0`, true)
	// It says how firm the verdict is, what is compared and after whom, where the
	// facts are from, and what the tier does not see.
	b.eval(`document.querySelectorAll(".card.now details").forEach(e => e.open = true)`)
	for _, want := range []string{"counted from 32 draws", "threshold lies within", "To investigate first", "ISO 13788", "demo.csv, line ", in.Manifest.TierCaution} {
		b.same(fmt.Sprintf(`document.querySelector(".card.now").innerText.includes(%q)`, want), true)
	}
	b.do("Emulation.setEmulatedMedia", map[string]any{"media": ""}, nil)
	b.open(written(t, screened(t, hostileInventory(t)), madeUp), 390, true)
	b.same(`[window.broken, document.querySelectorAll("img").length].join()`, ",0")
	b.same(`document.querySelectorAll(".card").length`, 5)
	for _, e := range b.errors {
		t.Errorf("the console reports %s", e)
	}
}
