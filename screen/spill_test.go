package screen

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wallsift/ingest"
	"wallsift/model/indicator"
)

// Rows come back from disk bit for bit, unknown numbers and odd text included.
func TestSpillReturnsWhatWasWritten(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.SliceOfN(rapid.Custom(drawRow), 1, 6).Draw(t, "rows")
		sp, err := newSpill(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer sp.close()
		var packed [][]byte
		for i := range rows {
			packed = append(packed, rows[i].Encode(nil))
			if err := sp.add(&rows[i]); err != nil {
				t.Fatal(err)
			}
		}
		if err := sp.w.Flush(); err != nil {
			t.Fatal(err)
		}
		// The row is reused, in any order.
		var row Row
		for _, i := range rapid.Permutation(indices(len(rows))).Draw(t, "order") {
			if err := sp.row(i, &row); err != nil {
				t.Fatal(err)
			}
			want, got := &rows[i].Building, &row.Building
			if got.ID != want.ID || got.Stone != want.Stone || got.Zone != want.Zone || got.File != want.File || got.Line != want.Line ||
				got.Cat != want.Cat || got.Text != want.Text || !slices.Equal(got.Extra, want.Extra) || got.Home != want.Home ||
				got.Facings != want.Facings || !slices.Equal(got.Ranges, want.Ranges) {
				t.Errorf("building %+v, then %+v", want, got)
			}
			for k := range want.Num {
				if math.Float64bits(got.Num[k]) != math.Float64bits(want.Num[k]) {
					t.Errorf("number %d: %v, then %v", k, want.Num[k], got.Num[k])
				}
			}
			if again := row.Encode(nil); !bytes.Equal(again, packed[i]) {
				t.Errorf("row %d encodes differently after it was read", i)
			}
			if !slices.Equal(row.Judgements, rows[i].Judgements) || row.Survey.Wrong != rows[i].Survey.Wrong || row.Survey.Unclear != rows[i].Survey.Unclear || !slices.Equal(row.Survey.Facts, rows[i].Survey.Facts) || row.Past != rows[i].Past || row.Cases != rows[i].Cases {
				t.Errorf("answer %+v, then %+v", rows[i].Answer, row.Answer)
			}
		}
	})
}

// A file cut short or written over is noticed; nothing is made up.
func TestDamagedSpillIsNoticed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		row := rapid.Custom(drawRow).Draw(t, "row")
		packed := row.Encode(nil)
		var out Row
		cut := rapid.IntRange(0, len(packed)-1).Draw(t, "cut")
		if err := out.Decode(packed[:cut]); err == nil {
			t.Errorf("%d of %d bytes were taken for a row", cut, len(packed))
		}
		if err := out.Decode(append(slices.Clone(packed), 0)); err == nil {
			t.Error("a byte too many was not noticed")
		}
	})
}

func indices(n int) []uint32 {
	out := make([]uint32, n)
	for i := range out {
		out[i] = uint32(i)
	}
	return out
}

func drawRow(t *rapid.T) Row {
	text := rapid.String()
	var r Row
	b := &r.Building
	b.ID, b.Stone, b.Zone = text.Draw(t, "id"), text.Draw(t, "stone"), text.Draw(t, "zone")
	b.File, b.Line = rapid.Int32Range(0, math.MaxInt32).Draw(t, "file"), rapid.Int64Range(0, math.MaxInt64).Draw(t, "line")
	for i := range b.Cat {
		b.Cat[i] = rapid.Uint8().Draw(t, "level")
	}
	for i := range b.Num {
		b.Num[i] = rapid.OneOf(rapid.Float64(), rapid.Just(math.NaN()), rapid.Just(math.Copysign(0, -1))).Draw(t, "number")
	}
	for i := range b.Text {
		b.Text[i] = text.Draw(t, "text")
	}
	b.Extra = rapid.SliceOfN(text, 0, 5).Draw(t, "extra")
	b.Home, b.Facings = text.Draw(t, "home"), ingest.Facings(rapid.Uint16().Draw(t, "facings"))
	for range rapid.IntRange(0, 2).Draw(t, "ranges") {
		b.Ranges = append(b.Ranges, ingest.Range{Of: ingest.Number(rapid.Uint8().Draw(t, "of")), Low: rapid.Float64().Draw(t, "low"), High: rapid.Float64().Draw(t, "high")})
	}
	r.Survey = Survey{Wrong: rapid.Float32().Draw(t, "wrong"), Facts: []Fact{{Field: rapid.Int16().Draw(t, "fact"), Gain: 0.5}}}
	r.Past = Past{Typical: rapid.Bool().Draw(t, "ruined"), Draws: 8, Ruined: rapid.IntRange(0, 8).Draw(t, "draws"), Weight: 0.25}
	r.Cases = rapid.IntRange(0, 1<<20).Draw(t, "cases")
	for range rapid.IntRange(0, 4).Draw(t, "judgements") {
		j := Judgement{
			Strategy: rapid.Uint8().Draw(t, "strategy"), Verdict: Verdict(rapid.Uint8().Draw(t, "verdict")),
			Excluded: rapid.Bool().Draw(t, "excluded"), HasGovern: rapid.Bool().Draw(t, "governed"), Month: rapid.Int8().Draw(t, "month"),
			Governing: indicator.ID(rapid.Uint8().Draw(t, "governing")), Gates: rapid.Uint64().Draw(t, "gates"),
			Do: rapid.Uint64().Draw(t, "do"), Check: rapid.Uint64().Draw(t, "check"),
			Demand: rapid.Float64().Draw(t, "demand"), High: rapid.Float64().Draw(t, "high"), Score: rapid.Float64().Draw(t, "score"),
		}
		j.Utilisation[0] = rapid.Float64().Draw(t, "utilisation")
		r.Judgements = append(r.Judgements, j)
	}
	return r
}
