package page

import (
	"wallsift/ingest"
	"wallsift/screen"
)

// words turns the open vocabularies of an inventory into places in a list.
type words struct {
	stones, zones         []string // labels
	stoneIndex, zoneIndex map[string]int
}

func newWords(e *screen.Engine) *words {
	opt := e.InputOptions()
	w := &words{}
	w.stones, w.stoneIndex = labels(opt.Stones)
	w.zones, w.zoneIndex = labels(opt.Zones)
	return w
}

func labels(terms []ingest.Term) (out []string, index map[string]int) {
	index = map[string]int{}
	for i, t := range terms {
		label := t.Label
		if label == "" {
			label = t.ID
		}
		out = append(out, label)
		index[t.ID] = i
	}
	return out, index
}

// stone returns the label of a stone.
func (w *words) stone(id string) string { return w.stones[w.stoneIndex[id]] }

// zone returns the label of a zone with its id, which people know it by.
func (w *words) zone(id string) string { return id + ", " + w.zones[w.zoneIndex[id]] }
