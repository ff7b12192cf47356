package page_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wallsift/ingest"
)

// Cells that would be markup or script if a page took them for it. Line
// separators and signs that turn the direction of writing do not get as far:
// ingest refuses them in an id.
var hostile = []string{
	`<script>window.broken=1</script>`,
	`</script><img src=x onerror="window.broken=1">`,
	`<!--<script>`,
	`"><svg onload='window.broken=1'>`,
	"'`${window.broken=1}`\\",
	"line end & &amp; &lt;b&gt;",
	"שלום abc مرحبا",
	"Škoflova 3, 東京 🏠",
	`{{.Secret}} ]]>`,
}

func hostileInventory(t testing.TB) string {
	t.Helper()
	var b strings.Builder
	quote := func(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
	b.WriteString("building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,group_key,heating_fuel," + quote(`<b onclick="window.broken=1">x</b></script>`) + "\n")
	for i, s := range hostile {
		id := s
		if strings.ContainsFunc(s, func(r rune) bool { return r == '\u2028' || r == '\u202e' }) {
			id = fmt.Sprint("H", i) // such ids are rejected
		}
		b.WriteString(quote(id) + ",470,brick_common,4C,moderate,unknown," + strings.Repeat(quote(s)+",", 2) + quote(s) + "\n")
	}
	path := filepath.Join(t.TempDir(), "hostile <img src=x onerror=window.broken=1>.csv")
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestHostileCellsStayText(t *testing.T) {
	in := screened(t, hostileInventory(t))
	if in.Run.Counts.Accepted != len(hostile) {
		t.Fatalf("%d buildings, want %d", in.Run.Counts.Accepted, len(hostile))
	}
	d := parsed(t, written(t, in, madeUp))
	programs := 0
	for _, n := range d.all("") {
		if n.Data == "script" && attr(n, "type") != "application/json" {
			programs++
		}
		if n.Data == "img" || n.Data == "b" && attr(n, "onclick") != "" {
			t.Errorf("a cell became the element %s", n.Data)
		}
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") {
				t.Errorf("a cell became the attribute %s of %s", a.Key, n.Data)
			}
		}
	}
	if programs != 1 {
		t.Errorf("%d programs on the page, want 1", programs)
	}
	found := map[string]bool{}
	for _, r := range d.rows(t) {
		own := r["extra"].([]any)[0].(string)
		found[own] = r["group"] == ingest.Printable(own) && (r["id"] == own || r["id"].(string)[0] == 'H')
	}
	for _, s := range hostile {
		if !found[s] {
			t.Errorf("%q did not come through the data as it was", s)
		}
	}
}
