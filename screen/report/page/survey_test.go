package page_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"strings"
	"testing"

	"wallsift/ingest"
	"wallsift/screen"
)

// streets are the demo's addresses by building, read without the tool.
func streets(t *testing.T) map[string]string {
	t.Helper()
	f, err := os.Open(demo)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for i, name := range rows[0] {
		for _, row := range rows[1:] {
			if id := strings.TrimSpace(row[0]); name == "street" && i < len(row) && out[id] == "" {
				out[id] = row[i]
			}
		}
	}
	return out
}

// Whether somebody has to go, and the order of equal worth.
func TestVisitWordsInChromium(t *testing.T) {
	words := map[string]string{}
	path := written(t, screened(t, demo), func(i uint32, row *screen.Row) {
		facade, timber := int16(ingest.ProtectedFacade), int16(ingest.EmbeddedTimber)
		id := row.Building.ID
		switch i {
		case 3: // 0.0004 apart, the same in print
			row.Survey.Wrong, words[id] = 0.4004, "records first"
			row.Survey.Facts = []screen.Fact{{Field: facade, Gain: 0.4}, {Field: timber, Gain: 0.2}}
		case 4:
			row.Survey.Wrong, words[id] = 0.5, "visit"
			row.Survey.Facts = []screen.Fact{{Field: timber, Gain: 0.4}, {Field: facade, Gain: 0.3}}
		case 5:
			row.Survey.Wrong, words[id] = 0.6, "records only"
			row.Survey.Facts = []screen.Fact{{Field: facade, Gain: 0.4}}
		}
	})
	if testing.Short() {
		t.Skip("starts a browser")
	}
	b := chromium(t)
	b.open(path, 1366, true)
	b.same(`Array.from(document.querySelectorAll("#survey tbody tr")).map(r => r.children[3].textContent).join(", ")`, "records only, records first, visit") // records before visits, then by the chance of a wrong choice
	for id, word := range words {
		b.same(`Array.from(document.querySelectorAll("#survey tbody tr")).find(r => r.children[0].textContent === "`+id+`").children[3].textContent`, word)
	}
	for _, e := range b.errors {
		t.Errorf("the console reports %s", e)
	}
}

// The heads say facts in words and where each is found out, and the address stands
// beside the id.
func TestSurveyOrderInChromium(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	b := chromium(t)
	at := streets(t)
	b.open(written(t, screened(t, demo), madeUp), 1366, true)
	id := fmt.Sprint(b.eval(`document.querySelectorAll("#survey tbody tr")[0].children[0].textContent`))
	b.same(`document.querySelectorAll("#survey tbody tr")[0].children[1].textContent`, at[id])
	heads := fmt.Sprint(b.eval(`Array.from(document.querySelectorAll("#survey thead th")).map(e => e.textContent).join("|")`))
	for _, want := range []string{"Building|Address|", "|timber built into the walltest|", "|direction the main wall faceslook up"} {
		if !strings.Contains(heads, want) {
			t.Errorf("heads %q lack %q", heads, want)
		}
	}
	for _, e := range b.errors {
		t.Errorf("the console reports %s", e)
	}
}
