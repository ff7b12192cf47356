package screen_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"wallsift/ingest"
	"wallsift/screen"
)

// A building's answer is a function of its own row, the configuration and the
// version: not of its neighbours, of the order of rows or of the number of workers.

// ownRowAlone checks that of the homes: among others in the order of the file, in
// another order with another number of workers, and some of them alone.
func ownRowAlone(t *testing.T, p *portfolio, homes []ingest.Building, flags map[string]any, alone int, files ...string) {
	t.Helper()
	run := func(workers int, homes []ingest.Building) map[string]string {
		all := map[string]any{"run.workers": workers}
		maps.Copy(all, flags)
		return answersByID(t, screenFiles(t, load(t, all, append(slices.Clone(p.files), files...)...), p.excerpt(t, homes)).run)
	}
	want := run(1, homes)
	if len(want) != len(homes) || len(homes) == 0 {
		t.Fatalf("%d answers of %d homes", len(want), len(homes))
	}
	if d := cmp.Diff(want, run(7, shuffled(homes))); d != "" {
		t.Errorf("another order, seven workers: %s", d)
	}
	for _, b := range spread(homes, alone) {
		if got := run(1, []ingest.Building{b}); got[b.ID] != want[b.ID] {
			t.Errorf("%s alone: %s", b.ID, cmp.Diff(want[b.ID], got[b.ID]))
		}
	}
}

func TestSteadyAnswerIsOfItsOwnRow(t *testing.T) {
	for i := range portfolios {
		p := &portfolios[i]
		ownRowAlone(t, p, p.homes(t), nil, 3)
	}
}

// What explains a judgement is the judgement of the table, field by field, and comes
// to the same governing utilisation.
func explainEqualsTable(t *testing.T, p *portfolio, homes []ingest.Building, flags map[string]any, files ...string) (explained int) {
	t.Helper()
	s := screenFiles(t, load(t, flags, append(slices.Clone(p.files), files...)...), p.excerpt(t, homes))
	e := newEngine(t, flags, append(slices.Clone(p.files), files...)...)
	e.Keeper = newShelf() // of its own: only what a second strategy is explained from is found there
	err := s.run.Each(indices(len(homes)), func(i uint32, row *screen.Row) error {
		ids := []string{""}
		for _, j := range row.Judgements[1:2] {
			ids = append(ids, e.Strategies()[j.Strategy].ID)
		}
		for k, id := range ids {
			w, err := e.Explain(homes[i:i+1], 0, id)
			if err != nil {
				return err
			}
			explained++
			if d := cmp.Diff(row.Answer, w.Home.Answer); d != "" {
				t.Errorf("%s, table and explanation: %s", homes[i].ID, d)
			}
			if d := cmp.Diff(row.Judgements[k], w.Judgement); d != "" {
				t.Errorf("%s, %s, table and explanation: %s", homes[i].ID, w.Strategy.ID, d)
			}
			if (w.Hourly != nil) != (w.Judgement.Tier.String() == "transient") {
				t.Errorf("%s, %s: hourly working %v of tier %s", homes[i].ID, w.Strategy.ID, w.Hourly != nil, w.Judgement.Tier)
			}
			if id, ok := w.Results[1].Governing(); ok && (id != w.Judgement.Governing || w.Results[1][id].Utilisation != w.Judgement.Typical) {
				t.Errorf("%s, %s: %s at %v governs the working, %s at %v the judgement", homes[i].ID, w.Strategy.ID,
					id.Info().Name, w.Results[1][id].Utilisation, w.Judgement.Governing.Info().Name, w.Judgement.Typical)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return explained
}

func TestSteadyExplanationEqualsTable(t *testing.T) {
	for i := range portfolios {
		p := &portfolios[i]
		if n := explainEqualsTable(t, p, spread(p.homes(t), 3), nil); n != 6 {
			t.Errorf("%d explained", n)
		}
	}
}
