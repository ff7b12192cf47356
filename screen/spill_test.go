package screen

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

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
			packed = append(packed, encodeRow(nil, &rows[i].Building, rows[i].Judgements, &rows[i].Survey))
			if err := sp.add(packed[i]); err != nil {
				t.Fatal(err)
			}
		}
		if err := sp.w.Flush(); err != nil {
			t.Fatal(err)
		}
		// The row and the scratch memory are reused, in any order.
		var row Row
		var scratch []byte
		for _, i := range rapid.Permutation(indices(len(rows))).Draw(t, "order") {
			if scratch, err = sp.row(i, scratch, &row); err != nil {
				t.Fatal(err)
			}
			want, got := &rows[i].Building, &row.Building
			if got.ID != want.ID || got.Stone != want.Stone || got.Zone != want.Zone || got.File != want.File || got.Line != want.Line ||
				got.Cat != want.Cat || got.Text != want.Text || !slices.Equal(got.Extra, want.Extra) {
				t.Errorf("building %+v, then %+v", want, got)
			}
			for k := range want.Num {
				if math.Float64bits(got.Num[k]) != math.Float64bits(want.Num[k]) {
					t.Errorf("number %d: %v, then %v", k, want.Num[k], got.Num[k])
				}
			}
			if again := encodeRow(nil, got, row.Judgements, &row.Survey); !bytes.Equal(again, packed[i]) {
				t.Errorf("row %d encodes differently after it was read", i)
			}
			if !slices.Equal(row.Judgements, rows[i].Judgements) {
				t.Errorf("judgements %+v, then %+v", rows[i].Judgements, row.Judgements)
			}
		}
	})
}

// A file cut short or written over is noticed; nothing is made up.
func TestDamagedSpillIsNoticed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		row := rapid.Custom(drawRow).Draw(t, "row")
		packed := encodeRow(nil, &row.Building, row.Judgements, &row.Survey)
		var out Row
		cut := rapid.IntRange(0, len(packed)-1).Draw(t, "cut")
		if err := decodeRow(packed[:cut], &out); err == nil {
			t.Errorf("%d of %d bytes were taken for a row", cut, len(packed))
		}
		if err := decodeRow(append(slices.Clone(packed), 0), &out); err == nil {
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

// The memo answers for equal cases only: every part of the key tells apart.
func TestMemoTellsCasesApart(t *testing.T) {
	base := caseKey{thickness: 500000, zone: 1, stone: 2, strategy: 3, outer: 1, inner: 1, depth: 1, humidity: 2}
	vary := []func(*caseKey){
		func(k *caseKey) { k.thickness++ }, func(k *caseKey) { k.zone++ }, func(k *caseKey) { k.stone++ }, func(k *caseKey) { k.strategy++ },
		func(k *caseKey) { k.outer++ }, func(k *caseKey) { k.inner++ }, func(k *caseKey) { k.depth++ }, func(k *caseKey) { k.humidity++ },
	}
	m := newMemo(1 << 12)
	m.put(&base, new(heatCase))
	if m.get(&base) == nil {
		t.Fatal("the memo forgot")
	}
	for i, f := range vary {
		k := base
		if f(&k); m.get(&k) != nil {
			t.Errorf("part %d of the key is not heeded", i)
		}
	}
	none := newMemo(0)
	none.put(&base, new(heatCase))
	if none.get(&base) != nil {
		t.Error("a memo of no entries remembers")
	}
}
