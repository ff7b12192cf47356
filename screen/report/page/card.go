package page

import (
	"math"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// card is what the plain HTML of a building shows.
type card struct {
	ID, Group, Stone, Zone string
	Place                  int
	Facts                  []pair
	Sentence, Strategy     string
	Verdict                screen.Verdict
	Choices                []choice
	Before, After          []pair
	Limits                 []limitRow
	WorkFor, Ready         string
	Stages                 []workStage
}

type pair struct{ Name, Value string }

type choice struct {
	Label                         string
	Verdict                       screen.Verdict
	Chance, Utilisation, Saved, U string
	Governed                      string
}

type limitRow struct{ Label, Used string }

// cards gathers the first cards; they must be few.
func (w *writer) cards() (out []card, err error) {
	order := w.in.Run.Ranks.Overall
	err = w.each(order[:min(len(order), staticCards)], func(_ uint32, row *screen.Row) error {
		out = append(out, w.card(row, len(out)+1))
		return nil
	})
	return out, err
}

func (w *writer) card(row *screen.Row, place int) card {
	b, best := &row.Building, &row.Judgements[0]
	c := card{ID: b.ID, Group: b.Text[ingest.GroupKey], Stone: w.words.stone(b.Stone), Zone: w.words.zone(b.Zone), Place: place,
		Sentence: report.Sentence(w.in.Engine, best), Strategy: w.strategies[best.Strategy].Label, Verdict: best.Verdict}
	c.Facts = w.factList(b)
	for i := range row.Judgements {
		j := &row.Judgements[i]
		c.Choices = append(c.Choices, choice{Label: w.strategies[j.Strategy].Label, Verdict: j.Verdict, Chance: report.Chance(j), Utilisation: report.Spread(j),
			Saved: w.units.Heat.Text(j.Saved), U: w.units.U.Text(j.UAfter), Governed: governed(j)})
	}
	before, after := w.in.Engine.Stack(b, best)
	c.Before, c.After = w.layerPairs(before), w.layerPairs(after)
	for id, u := range best.Utilisation {
		if u < 0 {
			continue
		}
		c.Limits = append(c.Limits, limitRow{Label: limitInfo(best, id).Label, Used: report.Used(u)})
	}
	j := screen.ForWork(row.Judgements)
	ready, list := w.workList(row, j)
	c.WorkFor, c.Ready, c.Stages = w.strategies[j.Strategy].Label, ready.String(), list
	return c
}

func (w *writer) factList(b *ingest.Building) (out []pair) {
	for n, x := range b.Num {
		if math.IsNaN(x) {
			continue
		}
		f := &w.facts[n]
		out = append(out, pair{f.name, f.text(x)})
	}
	for c, level := range b.Cat {
		out = append(out, pair{spaced(ingest.Category(c).Name()), spaced(ingest.Category(c).Levels()[level])})
	}
	names := w.in.Run.ExtraColumns()
	for i, s := range b.Extra {
		if s != "" && i < len(names) {
			out = append(out, pair{names[i], s})
		}
	}
	return out
}

func (w *writer) layerPairs(layers []screen.StackLayer) (out []pair) {
	for _, l := range layers {
		v := "thin"
		if l.Thickness > 0 {
			v = w.units.Layer.Short(l.Thickness) + " " + w.units.Layer.Unit()
		}
		out = append(out, pair{l.Label, v})
	}
	return out
}

// thickest says how much insulation the wall takes.
func (w *writer) thickest(j *screen.Judgement) string {
	a := &j.Allowance
	most := w.units.Insulation.Text(a.Thickness) + "\u00a0" + w.units.Insulation.Unit()
	switch {
	case !a.Known:
		return "not sampled"
	case a.Full:
		return "all of the range, to " + most
	case a.Thickness == 0:
		return "none: even the thinnest is over " + a.By.Info().Label
	}
	return "to " + most + ", then " + a.By.Info().Label
}

// governed says which limit is used most.
func governed(j *screen.Judgement) string {
	if !j.HasGovern {
		return "no limit applies"
	}
	s := j.Governing.Info().Label
	if j.Month >= 0 {
		s += ", " + months[j.Month]
	}
	return s
}
